"""Hours of a tier in the costing, built up step by step: each line with who shares it and its cells, sums by hand.

NEW fits a seal in half an hour behind a cover of half an hour, 0.2 to open and 0.3 to close; 1.0 hour is billed.
"""

from __future__ import annotations

from typing import Any

import pytest

from quotekit.documents.costing_hours import lay_out_hours
from quotekit.documents.sheet import Row
from quotekit.pricing import build_quote
from tests import build
from tests.pricing.explain.small import a_shop, job_of, typed


def rows(book: Any = None, **job: Any) -> list[list[str]]:
    """The build-up as texts, blank cells left out; a cell is `CODE!Heading 1`."""
    book = book or a_shop()
    quote = build_quote(typed(book), typed(job_of(book, **job)))
    assert not any(problem.severity == "error" for problem in quote.problems), quote.problems
    return [said(row) for row in lay_out_hours(quote, quote.tiers[0])]


def said(row: Row) -> list[str]:
    return [str(cell.content) for cell in row.cells if cell.content not in (None, "")]


def line(start: str, *more: Any, **job: Any) -> list[str]:
    """The first row that begins so."""
    return next(row for row in rows(*more, **job) if row and row[0].startswith(start))


def after(start: str, *more: Any, **job: Any) -> list[list[str]]:
    """Rows from the one after a heading to the sum below it."""
    table = rows(*more, **job)
    at = next(place for place, row in enumerate(table) if row and row[0].startswith(start)) + 1
    end = next(place for place in range(at, len(table)) if table[place][:1] == ["Together"])
    return table[at : end + 1]


def test_a_step_stands_once_with_both_its_cells() -> None:
    assert after("Opening and closing") == [
        ["Cover (COVER)", "0.5", "MAIN", "NEW", "COVER!Hours to open 1, COVER!Hours to close 1"],
        ["Together", "0.5"],
    ]


def test_an_operation_stands_with_its_net_hours() -> None:
    assert after("Net hours") == [["Fit (FIT)", "0.5", "MAIN", "NEW", "FIT!Net hours 1"], ["Together", "0.5"]]


def test_a_further_side_takes_its_own_hours_and_says_so() -> None:
    """Half an hour on the left, 0.3 on the right."""
    book = a_shop(
        access=[],
        operations=[build.an_operation("FIT", "0.5", each_side=True, second_side_hours="0.3")],
    )
    found = (build.a_finding_on("WORN", "left"), build.a_finding_on("WORN", "right"))
    quote = build_quote(typed(book), typed(build.a_job(*found)))
    table = [said(row) for row in lay_out_hours(quote, quote.tiers[0])]
    assert ["Fit (FIT@left)", "0.5", "MAIN", "NEW@left", "FIT!Net hours 1"] in table
    assert ["Fit (FIT@right)", "0.3", "MAIN", "NEW@right; a further side", "FIT!Second side hours 1"] in table
    assert ["Together", "0.8"] in table


def test_what_is_done_on_every_job_is_shared_by_all() -> None:
    book = a_shop(
        operations=[build.an_operation("FIT", "0.5"), build.an_operation("TEST", "0.2")],
        machines=[build.a_machine(always=["TEST"])],
    )
    assert line("Test (TEST)", book)[:4] == ["Test (TEST)", "0.2", "MAIN", "done on every job: all share it"]


def test_labour_of_this_job_alone_is_a_line_like_the_others() -> None:
    """At the job's own rate where it names none."""
    book = a_shop(labour_rates=[build.a_rate(), build.a_rate("WELD", 130)])
    one = build.a_one_off(1, "labour", "0.7", line="Free the bolt")
    other = build.a_one_off(2, "labour", "0.4", line="Weld a tab", labour="WELD")
    part = build.a_one_off(3, "part", 2, unit_cost=7)
    table = rows(book, one_off=(one, other, part), labour_rate="MAIN")
    assert [row[:3] for row in table if row and row[0].startswith(("Free", "Weld a", "Part"))] == [
        [f"Free the bolt ({one.code})", "0.7", "MAIN"],
        [f"Weld a tab ({other.code})", "0.4", "WELD"],
    ]
    assert after("Net hours", book, one_off=(one, other, part))[-1] == ["Together", "1.6"]


@pytest.mark.parametrize(
    ("ceiling", "words"),
    [(None, "25 % of 0.5 h slowed by rust"), ("0.1", "25 % of 0.5 h slowed by rust, at most 0.1 h")],
)
def test_the_allowance_says_of_how_many_hours(ceiling: str | None, words: str) -> None:
    """A quarter of the half hour is 0.125 h; opening the cover is not slowed."""
    book = a_shop(
        operations=[build.an_operation("FIT", "0.5", access=["COVER"], slowed_by_rust=True)],
        conditions=[build.a_condition(at_most_hours=ceiling)],
    )
    allowed = "0.125" if ceiling is None else "0.1"
    assert line("Allowance", book, condition="RUSTY") == ["Allowance: Rusty", allowed, words, "RUSTY!Allowance 1"]
    assert line("Fit (FIT)", book, condition="RUSTY")[3] == "yes"
    billed = "1.2" if ceiling is None else "1.1"
    assert line("Before rounding", book, condition="RUSTY")[1] == ("1.125" if ceiling is None else "1.1")
    assert line("Rounded up", book, condition="RUSTY")[1] == billed


def test_without_a_condition_there_is_none() -> None:
    assert line("Allowance") == ["Allowance for the condition", "0", "none named"]


def test_the_step_and_the_minimum_name_their_cells() -> None:
    book = a_shop(settings=build.settings(minimum_labour_hours=2, hours_step="0.25"))
    assert line("Rounded up", book)[1:] == [
        "1.00",
        "each labour rate once, up to the next 0.25 h",
        "Hours step!Value 1",
    ]
    assert line("Added by the minimum", book)[1:] == [
        "1.00", "up to the minimum of 2 h, at the default rate", "Minimum labour hours!Value 1",
    ]  # fmt: skip


def test_a_setting_that_nobody_typed_is_a_default() -> None:
    book = a_shop()
    quote = build_quote(book, job_of(book))
    table = [said(row) for row in lay_out_hours(quote, quote.tiers[0])]
    assert [row[-1] for row in table if row and row[0] in ("Rounded up", "Added by the minimum")] == ["default"] * 2


def test_hours_that_a_bundle_takes_off_are_taken_off() -> None:
    """1.0 hour of work, 0.2 off."""
    book = a_shop(bundles=[build.a_bundle("ONE", ["NEW"], "hours off", "0.2")])
    assert line("Hours off by bundles", book) == ["Hours off by bundles", "-0.2"]
    assert line("Before rounding", book) == ["Before rounding", "0.8"]
    assert not [row for row in rows() if row and row[0].startswith("Hours off")]


def test_work_that_larger_work_does_is_named() -> None:
    """FIT includes WIPE, which the remedy names too."""
    book = a_shop(
        operations=[build.an_operation("FIT", "0.5", includes=["WIPE"]), build.an_operation("WIPE", "0.4")],
        remedies=[build.a_remedy("NEW", ["WORN"], ["FIT", "WIPE"])],
    )
    assert rows(book).count(["Dropped, done by larger work: WIPE."]) == 1
    assert not [row for row in rows() if row and row[0].startswith("Dropped")]


def test_each_rate_is_billed_by_itself() -> None:
    """Bench 0.5 h for the cover and 0.5 h for the seal; welding 0.45 h, billed 0.5 at 130.00: 65.00."""
    book = a_shop(
        labour_rates=[build.a_rate(name="Bench"), build.a_rate("WELD", 130)],
        operations=[
            build.an_operation("FIT", "0.5", access=["COVER"]),
            build.an_operation("PAD", "0.45", labour="WELD"),
        ],
        remedies=[build.a_remedy("NEW", ["WORN"], ["FIT", "PAD"])],
    )
    assert line("Bench (MAIN)", book) == [
        "Bench (MAIN)",
        "0.5",
        "0.5",
        "0",
        "0",
        "1.0",
        "100",
        "100.00",
        "MAIN!Rate per hour 1",
    ]
    assert line("WELD", book) == ["WELD", "0", "0.45", "0", "0", "0.5", "130", "65.00", "WELD!Rate per hour 1"]
