"""The program's price of a set of remedies is the engine's: every rule of work, hours, parts, savings and freight."""

from __future__ import annotations

from collections.abc import Sequence
from decimal import Decimal, localcontext
from random import Random
from typing import Any

import pytest

from quotekit.model.job import Job
from quotekit.model.shop_book import ShopBook
from quotekit.money import EXACT
from quotekit.pricing.exact import split
from quotekit.pricing.exact.build import Priced, price_choice
from quotekit.pricing.exact.flags import TRUE
from quotekit.pricing.exact.lines import Line
from quotekit.pricing.exact.present import Taken
from quotekit.pricing.exact.program import Program
from quotekit.pricing.exact.solver import Solver
from quotekit.pricing.items import Item
from quotekit.pricing.setup import Setup, set_up
from tests import build
from tests.random_jobs import a_random_case

SPLIT_CEILING = (1173, 1473, 1477, 1617, 1798)
"""Seeds where a ceiling is split over two labour rates and a part ends between two units of time."""


def both_prices(setup: Setup, tier: str, chosen: Sequence[Item]) -> tuple[int, int, int, int]:
    """Work and number of operations of a set: by the program and by the engine, money in minor units."""
    given = setup.in_every(tier)
    program = Program()
    items = [setup.candidates.items[key] for key in sorted(setup.candidates.items)]
    remedies = [Taken(item, program.flag()) for item in items]
    taken = [*remedies, *(Taken(item, TRUE) for item in given)]
    priced = price_choice(program, setup.basis, taken, setup.always)
    for one in remedies:
        value = int(one.item in chosen)
        program.row(program.line_of(one.flag), low=value, high=value)
    values = least_values(program, priced)
    charges = setup.price((*chosen, *given))
    return (
        int(priced.work.value(values)),
        int(priced.operations.value(values)),
        int(charges.total.scaleb(setup.basis.digits)),
        len(charges.work.present),
    )


def least_values(program: Program, priced: Priced) -> Sequence[int]:
    answer = Solver(program, 20).least(priced.work)
    assert answer.ending == "proven"
    assert answer.values is not None
    return answer.values


def random_sets(seed: int) -> tuple[Setup, list[list[Item]]]:
    book, job = a_random_case(seed)
    with localcontext(EXACT):
        setup = set_up(book, job)
    dice = Random(seed)
    items = [setup.candidates.items[key] for key in sorted(setup.candidates.items)]
    return setup, [[item for item in items if dice.random() < 0.6] for _ in range(2)]


@pytest.mark.parametrize("first", range(0, 200, 50))
def test_random_sets_of_random_jobs(first: int) -> None:
    """Each figure of the engine, also for sets that no tier would choose."""
    differ = []
    for seed in range(first, first + 50):
        setup, sets = random_sets(seed)
        for chosen in sets:
            with localcontext(EXACT):
                work, operations, right, present = both_prices(setup, setup.basis.book.tiers[0].code, chosen)
            if (work, operations) != (right, present):
                differ.append((seed, work, right))
    assert differ == []


@pytest.mark.parametrize("seed", SPLIT_CEILING)
def test_a_split_ceiling_is_the_engines(seed: int) -> None:
    """The part of each rate is a quotient of two sums: counted in units of time it is exact all the same."""
    setup, sets = random_sets(seed)
    for chosen in sets:
        with localcontext(EXACT):
            work, _, right, _ = both_prices(setup, setup.basis.book.tiers[0].code, chosen)
        assert work == right


@pytest.mark.parametrize("seed", SPLIT_CEILING)
def test_a_split_of_too_many_units_is_never_above_the_engine(seed: int, monkeypatch: pytest.MonkeyPatch) -> None:
    """Hours in very small steps are held between bounds: a bound from there still proves."""
    monkeypatch.setattr(split, "MOST_UNITS", 0)
    setup, sets = random_sets(seed)
    for chosen in sets:
        with localcontext(EXACT):
            work, _, right, _ = both_prices(setup, setup.basis.book.tiers[0].code, chosen)
        assert work <= right


def setup_of(remedies: Sequence[Any], job: dict[str, Any] | None = None, **values: Any) -> Setup:
    """A job with faults A, B and C; operations OP-A to OP-C of 0.4 hours each unless given."""
    named: dict[str, Any] = {
        "operations": [build.an_operation(f"OP-{code}", "0.4") for code in "ABC"],
        "findings": [build.a_finding(code) for code in "ABC"],
        "remedies": list(remedies),
    }
    book: ShopBook = build.a_book(**(named | values))
    made: Job = build.a_job(*(build.a_finding_on(code) for code in "ABC"), **(job or {}))
    return set_up(book, made)


def remedy(code: str, operations: str, parts: str = "") -> Any:
    return build.a_remedy(f"R-{code}", [code], operations.split(), parts=parts)


THREE = [remedy(code, f"OP-{code}") for code in "ABC"]


@pytest.mark.parametrize(
    ("case", "values"),
    [
        (
            "an operation includes another",
            {
                "operations": [
                    build.an_operation("OP-A", "1.5", includes=["OP-B"]),
                    build.an_operation("OP-B", "0.4", requires=["OP-C"]),
                    build.an_operation("OP-C", "0.3"),
                ]
            },
        ),
        ("supplies reach their cap", {"settings": build.settings(supplies_percent_of_labour="0.07", supplies_cap="5")}),
        ("the minimum binds", {"settings": build.settings(minimum_labour_hours="2")}),
        ("a bundle takes labour off", {"bundles": [build.a_bundle("ALL", ["R-A", "R-B"], "labour amount off", "25")]}),
        ("a bundle takes hours off", {"bundles": [build.a_bundle("ALL", ["R-A", "R-C"], "hours off", "0.5")]}),
        (
            "a bundle takes more off than there is",
            {"bundles": [build.a_bundle("ALL", ["R-A", "R-B"], "labour amount off", "900")]},
        ),
    ],
)
def test_one_rule_at_a_time(case: str, values: dict[str, Any]) -> None:
    """All eight sets of three remedies, by the program and by the engine."""
    setup = setup_of(THREE, **values)
    items = [setup.candidates.items[f"R-{code}"] for code in "ABC"]
    for number in range(8):
        chosen = [item for place, item in enumerate(items) if number >> place & 1]
        with localcontext(EXACT):
            work, operations, right, present = both_prices(setup, "good", chosen)
        assert (work, operations) == (right, present), (case, [item.key for item in chosen])


def test_a_hand_worked_price() -> None:
    """Two operations of 0.4 hours at 100.00 an hour, rounded up once to 0.8: 80.00."""
    setup = setup_of(THREE)
    items = [setup.candidates.items[f"R-{code}"] for code in "AB"]
    rate = setup.basis.rates[setup.basis.default_rate].rate_per_hour
    with localcontext(EXACT):
        work, operations, *_ = both_prices(setup, "good", items)
    assert (work, operations) == (int(rate * Decimal("0.8") * 100), 2)


def test_no_unknown_is_left_loose() -> None:
    """The most the price could be over the program, with the remedies held, is the least: nothing may float."""
    setup = setup_of(THREE, settings=build.settings(supplies_percent_of_labour="0.07", minimum_labour_hours="1"))
    program = Program()
    remedies = [Taken(setup.candidates.items[f"R-{code}"], program.flag()) for code in "ABC"]
    with localcontext(EXACT):
        priced = price_choice(program, setup.basis, remedies, setup.always)
    for one, value in zip(remedies, (1, 0, 1), strict=True):
        program.row(program.line_of(one.flag), low=value, high=value)
    least = priced.work.value(least_values(program, priced))
    dearest = Solver(program, 20).least(Line().plus(priced.work, -1))
    assert dearest.values is not None
    assert priced.work.value(dearest.values) == least
