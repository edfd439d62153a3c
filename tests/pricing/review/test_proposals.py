"""Which times are proposed, with which cells of the shop book, and which are left alone."""

from __future__ import annotations

from decimal import Decimal

import pytest

from quotekit.model.review import Proposal
from quotekit.model.shop_book import ShopBook
from quotekit.pricing.review.accuracy import estimates, norms_in_force
from quotekit.pricing.review.measured import Measured
from quotekit.pricing.review.proposals import propose_allowances, propose_times, standard_times
from quotekit.pricing.review.rust import known_allowances, rust_ratios
from tests import build
from tests.pricing.review.observations import measured, repeated

D = Decimal
RIGHT = "TURN 1.0: " + repeated(["0.9", "1.0", "1.1"], 7)
"""A time that is right."""


def book() -> ShopBook:
    """Operations and a step whose times the tests measure."""
    return build.a_book(
        operations=[
            build.an_operation("FIT", "1.0"),
            build.an_operation("BUSH", "0.5", second_side_hours="0.3", each_side=True),
            build.an_operation("TURN", "1.0"),
        ],
        access=[build.a_step("STEP1", "0.4", "0.6"), build.a_step("STEP2", "1.0", "0")],
        conditions=[build.a_condition("RUSTY", "0.25")],
    )


def proposed(found: list[Measured], of: ShopBook | None = None) -> tuple[Proposal, ...]:
    """The times that are proposed."""
    norms = norms_in_force(found, standard_times(of))
    return propose_times(estimates(found, norms), of)


@pytest.mark.parametrize(
    ("hours", "codes"),
    [
        (repeated(["1.4", "1.5", "1.6"], 4), ["FIT"]),
        (repeated(["0.5", "0.6", "0.7"], 4), ["FIT"]),
        (repeated(["0.9", "1.0", "1.1"], 4), []),
        (repeated(["1.05", "1.08", "1.11"], 12), []),
        ("1.5 1.5 1.5 1.5", []),
        (repeated(["0.3", "2.9"], 6), []),
        (repeated(["1.11", "1.12", "1.13"], 12), ["FIT"]),
    ],
    ids=[
        "takes longer",
        "takes less",
        "as timed",
        "off by less than a tenth",
        "too few jobs",
        "spread too wide",
        "off by a little more than a tenth, surely",
    ],
)
def test_what_is_proposed(hours: str, codes: list[str]) -> None:
    """At least five jobs, off by a tenth, the whole interval off by a twentieth."""
    found = proposed(measured(f"FIT 1.0: {hours}; {RIGHT}; BORE 1.0: {repeated(['0.8', '1.0', '1.2'], 6)}"))
    assert [one.code for one in found] == codes


@pytest.mark.parametrize("circumstance", ["rust", "minimum"])
def test_rusty_jobs_and_the_minimum_move_no_time(circumstance: str) -> None:
    """However long they took."""
    found = measured(f"FIT 1.0: {repeated(['1.5', '1.6'], 9)}", circumstance, "RUSTY")  # type: ignore[arg-type]
    assert proposed([*found, *measured(RIGHT)]) == ()


def test_the_cells_of_an_operation() -> None:
    """The first and the further positions change in the same proportion, to hundredths of an hour."""
    (found,) = proposed(measured(f"BUSH 0.5: {repeated(['0.7', '0.8'], 10)}; {RIGHT}"), book())
    cells = [(one.sheet, one.code, one.column, one.in_force) for one in found.changes]
    assert cells == [
        ("Operations", "BUSH", "Net hours", D("0.5")),
        ("Operations", "BUSH", "Second side hours", D("0.3")),
    ]
    first, second = (one.new for one in found.changes)
    assert first == found.new and abs(first / D("0.5") - second / D("0.3")) < D("0.05")
    assert all(one.low < one.new < one.high for one in found.changes)
    assert (found.jobs, found.in_force, found.kind) == (20, D("0.5"), "operation")


def test_the_cells_of_a_step() -> None:
    """Opening and closing; a time of nothing stays nothing."""
    found = proposed(
        measured(f"STEP1 1.0: {repeated(['1.4', '1.5'], 9)}; STEP2 1.0: {repeated(['1.4', '1.5'], 9)}"), book()
    )
    cells = [[(one.sheet, one.column, one.in_force) for one in each.changes] for each in found]
    assert cells == [
        [("Access", "Hours to open", D("0.4")), ("Access", "Hours to close", D("0.6"))],
        [("Access", "Hours to open", D("1.0"))],
    ]
    assert [each.kind for each in found] == ["access", "access"]


def test_without_a_book_no_cell_is_named() -> None:
    """The ratio is told all the same, and what it makes of the time the jobs had."""
    (found,) = proposed(measured(f"FIT 1.0: {repeated(['1.4', '1.5', '1.6'], 4)}; {RIGHT}"))
    assert found.changes == ()
    assert found.low < found.new < found.high and found.in_force == D("1.0")


def test_a_code_the_book_no_longer_has() -> None:
    """It is told, and no cell can be changed."""
    (found,) = proposed(measured(f"GONE 1.0: {repeated(['1.4', '1.5', '1.6'], 4)}; {RIGHT}"), book())
    assert (found.code, found.changes) == ("GONE", ())


def test_a_time_that_was_taken_over_is_not_proposed_again() -> None:
    """Jobs under the old time say nothing of the new one."""
    old = measured(f"FIT 0.6: {repeated(['1.0', '1.1'], 9)}")
    assert [one.code for one in proposed([*old, *measured(RIGHT)])] == ["FIT"]
    assert proposed([*old, *measured(RIGHT)], book()) == ()


@pytest.mark.parametrize(
    ("hours", "new"),
    [
        (repeated(["1.5", "1.6", "1.7"], 5), "0.60"),
        (repeated(["0.9", "1.0", "1.1"], 5), "0.00"),
        (repeated(["1.2", "1.25", "1.3"], 5), None),
        (repeated(["1.26", "1.27", "1.28"], 9), None),
        ("1.6 1.6 1.6 1.6", None),
        (repeated(["0.6", "2.6"], 4), None),
    ],
    ids=["more", "none at all", "as it is", "off by too little", "too few jobs", "spread too wide"],
)
def test_an_allowance_for_rust(hours: str, new: str | None) -> None:
    """25 % is in force; five jobs, off by five hundredths, with an interval that does not hold it."""
    found = [*measured(f"FIT 1.0: {hours}", "rust", "RUSTY"), *measured(f"FIT 1.0: {repeated(['1.0'], 9)}")]
    shop = book()
    ratios = rust_ratios(found, estimates(found, norms_in_force(found, {})))
    listed = list(propose_allowances(ratios, known_allowances(found, {"RUSTY": D("0.25")}), shop))
    assert [str(one.new) for one in listed] == ([] if new is None else [new])
    for one in listed:
        (change,) = one.changes
        assert (change.sheet, change.code, change.column, change.in_force) == (
            "Conditions",
            "RUSTY",
            "Allowance",
            D("0.25"),
        )


def test_an_allowance_nobody_knows() -> None:
    """Without a shop book there is none to compare with."""
    found = measured(f"FIT 1.0: {repeated(['1.6'], 9)}", "rust", "RUSTY")
    ratios = rust_ratios(found, estimates(found, norms_in_force(found, {})))
    assert list(propose_allowances(ratios, known_allowances(found, {}), None)) == []


@pytest.mark.parametrize(("others", "proposed"), [("0.9 1.1", []), ("0.6 1.9", ["FIT"])])
def test_few_jobs_against_a_mean_that_says_otherwise(others: str, proposed: list[str]) -> None:
    """Five jobs of one operation take 1.57 of their time. Where all others are as timed, that is likely to be chance
    and waits for more jobs, though the interval of its own jobs is beyond 1.05; where others are off too, it is told.
    """
    turned = "; ".join(f"OP{n} 1.0: {repeated([place], 8)}" for n, place in enumerate(others.split() * 6))
    found = measured(f"FIT 1.0: 1.5 1.6 1.5 1.65 1.6; {_spread(turned)}")
    own = [one.code for one in propose_times(estimates(found, norms_in_force(found, {})), None)]
    assert [code for code in own if code == "FIT"] == proposed


def _spread(text: str) -> str:
    """Each operation's hours a quarter more and less in turn."""
    made = []
    for entry in text.split("; "):
        head, _, hours = entry.partition(": ")
        mixed = (f"{float(each) * (1.25 if n % 2 else 0.75):.3f}" for n, each in enumerate(hours.split()))
        made.append(f"{head}: {' '.join(mixed)}")
    return "; ".join(made)
