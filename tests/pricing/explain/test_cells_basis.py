"""A job's work looked up piece by piece: each piece is the engine's, and reads its own cell and no other of its row."""

from __future__ import annotations

from collections.abc import Callable
from datetime import date
from decimal import Decimal as D
from decimal import localcontext
from typing import Any

import pytest

from quotekit.model.shop_book import ShopBook
from quotekit.money import EXACT
from quotekit.pricing.explain.cells_basis import LateBasis, LateUses
from quotekit.pricing.explain.cells_choice import LateSetup
from tests import build
from tests.pricing.explain.cells_by_name import by_stage, late
from tests.pricing.explain.small import a_shop


def a_bench(**values: Any) -> ShopBook:
    """FIT on each side behind a cover, with a seal and its grease; at a rate of its own, slowed by rust."""
    named: dict[str, Any] = {
        "labour_rates": [build.a_rate(), build.a_rate("FINE", 120), build.a_rate("OLD", 80)],
        "machines": [build.a_machine(always=["CHECK"], positions=["left", "right"])],
        "operations": [
            build.an_operation(
                "FIT",
                "0.5",
                access=["COVER"],
                parts="SEAL x 2",
                each_side=True,
                second_side_hours="0.3",
                labour="FINE",
                slowed_by_rust=True,
                includes=["WIPE"],
            ),
            build.an_operation("WIPE", "0.1"),
            build.an_operation("CHECK", "0.2"),
        ],
        "access": [build.a_step("COVER", parts="GASKET", labour="OLD"), build.a_step("HOOD")],
        "parts": [build.a_part("SEAL", 10, also_needs="GREASE"), build.a_part("GREASE", 2), build.a_part("GASKET", 4)],
        "conditions": [build.a_condition()],
    }
    return a_shop(**(named | values))


def a_setup(book: ShopBook | None = None, **job: Any) -> LateSetup:
    book = book or a_bench()
    findings = (build.found(book, "WORN", "left"),)
    return late(book, build.a_job(*findings, **({"condition": "RUSTY", "positions": ("left", "right")} | job)))


def op(setup: LateSetup, side: str | None = "left") -> Any:
    """The fitting on one side."""
    with localcontext(EXACT):
        work = setup.charges(lambda: list(setup.candidates.items.values())).work
    key = next(key for key in work.present if key.startswith("FIT"))
    return setup.basis.op_named(key)


def step(setup: LateSetup) -> Any:
    with localcontext(EXACT):
        work = setup.charges(lambda: list(setup.candidates.items.values())).work
    return setup.basis.step_named(next(iter(work.steps)))


def read_by(setup: LateSetup, ask: Callable[[], Any]) -> tuple[Any, set[str]]:
    """What is answered, and the cells read for it."""
    with localcontext(EXACT), setup.seen.frame("asked") as reads:
        answer = ask()
    return answer, {cell for said in by_stage(reads).values() for cell in said.split("; ")}


OF_FIT: list[tuple[str, Callable[[Any], Any], Any, set[str]]] = [
    ("code", lambda one: one.code, "FIT", {"FIT: Code"}),
    ("net hours", lambda one: one.net_hours, D("0.5"), {"FIT: Net hours"}),
    ("further side", lambda one: one.second_side_hours, D("0.3"), {"FIT: Second side hours"}),
    ("rate", lambda one: one.rate, "FINE", {"FIT: Labour", "FINE: Code"}),
    ("slowed", lambda one: one.slowed, True, {"FIT: Slowed by rust"}),
]


@pytest.mark.parametrize(("name", "ask", "answer", "cells"), OF_FIT, ids=[each[0] for each in OF_FIT])
def test_a_piece_of_an_operation_reads_its_cell(
    name: str, ask: Callable[[Any], Any], answer: Any, cells: set[str]
) -> None:
    setup = a_setup()
    one = op(setup)
    assert read_by(setup, lambda: ask(one)) == (answer, cells)


def test_access_parts_and_what_it_makes_unnecessary_are_looked_up_when_asked() -> None:
    """Two seals, and grease for each: how many hangs on both cells, and on no hour."""
    setup = a_setup()
    one = op(setup)
    steps, cells = read_by(setup, lambda: one.steps)
    assert {key.partition("@")[0] for key in steps} == {"COVER"}
    assert "FIT: Access" in cells and "FIT: Net hours" not in cells
    parts, cells = read_by(setup, lambda: dict(one.parts))
    assert parts == {"SEAL": 2, "GREASE": 2}
    assert {"FIT: Parts", "SEAL: Also needs"} <= cells and not {"FIT: Net hours", "SEAL: Pack cost"} & cells
    included, cells = read_by(setup, lambda: one.includes)
    assert included == {"WIPE", "WIPE@left"} and "FIT: Includes" in cells and "FIT: Parts" not in cells


def test_an_operation_that_has_no_side_has_no_hours_of_a_further_one() -> None:
    setup = a_setup()
    check = setup.basis.op_named(next(iter(key for key in setup.charges(list).work.present)))
    assert (check.code, check.side, check.second_side_hours) == ("CHECK", None, None)
    assert (check.rate, check.slowed) == ("MAIN", False)


def test_an_operation_without_a_rate_has_the_default_and_says_whose_it_is() -> None:
    """The first row of the sheet, or what the job says."""
    plain, told = a_setup(), a_setup(labour_rate="OLD")
    for setup, rate in ((plain, "MAIN"), (told, "OLD")):
        check = setup.basis.op_named(next(iter(setup.charges(list).work.present)))
        answer, cells = read_by(setup, lambda check=check: check.rate)  # type: ignore[misc]
        assert answer == rate and {"CHECK: Labour", "Labour rate: Value"} <= cells


def test_a_step_reads_both_its_hours_and_its_own_rate() -> None:
    setup = a_setup()
    one = step(setup)
    assert read_by(setup, lambda: one.hours) == (D("0.5"), {"COVER: Hours to open", "COVER: Hours to close"})
    assert read_by(setup, lambda: one.rate) == ("OLD", {"COVER: Labour", "OLD: Code"})
    assert read_by(setup, lambda: one.code) == ("COVER", {"COVER: Code"})
    parts, cells = read_by(setup, lambda: [code for code, _ in one.parts])
    assert parts == ["GASKET"] and "COVER: Parts" in cells


LINE = build.a_one_off(1, "labour", "1.5", access=["HOOD"], labour="FINE", slowed_by_rust=True)


def test_the_work_of_a_line_of_the_job() -> None:
    setup = a_setup(one_off=[LINE])
    assert setup.one_offs
    one: Any = setup.basis.op_named("ONEOFF-1")
    assert (one.code, one.key, one.side, one.operation, one.parts) == ("ONEOFF-1", "ONEOFF-1", None, None, ())
    assert (one.second_side_hours, one.includes) == (None, frozenset())
    hours, cells = read_by(setup, lambda: one.net_hours)
    assert hours == D("1.5") and "ONEOFF-1: Quantity" in cells and "ONEOFF-1: Labour" not in cells
    assert read_by(setup, lambda: one.rate)[0] == "FINE"
    assert read_by(setup, lambda: one.slowed) == (True, {"ONEOFF-1: Slowed by rust"})
    assert read_by(setup, lambda: one.steps)[0] == {"HOOD"}


@pytest.mark.parametrize("kind", ["part", "charge"])
def test_a_line_that_is_no_labour_takes_no_hours(kind: str) -> None:
    """Its quantity is of parts or of charges."""
    line = build.a_one_off(1, kind, 3, unit_price=4)
    setup = a_setup(one_off=[line])
    assert [item.one_off and item.one_off.quantity for item in setup.one_offs] == [3]
    with localcontext(EXACT):
        charges = setup.charges(lambda: setup.one_offs)
        assert charges.labour == {"MAIN": D("20.00")}, "the check of 0.2 h that is always done"


KEPT: list[tuple[str, Callable[[LateBasis], Any], Any, set[str]]] = [
    ("digits", lambda basis: basis.digits, 2, {"Currency: Value"}),
    ("default rate", lambda basis: basis.default_rate, "MAIN", {"Labour rate: Value", "MAIN: Code"}),
    ("condition", lambda basis: basis.condition.code, "RUSTY", {"Condition: Value", "RUSTY: Code"}),
    ("always", lambda basis: basis.always, ("CHECK",), {"THROWER: Always"}),
    ("own parts", lambda basis: basis.own_parts, frozenset({"SEAL"}), {"Customer's own parts: Value", "SEAL: Code"}),
]


@pytest.mark.parametrize(("name", "ask", "answer", "cells"), KEPT, ids=[each[0] for each in KEPT])
def test_what_the_engine_keeps_is_read_by_each_who_asks(
    name: str, ask: Callable[[LateBasis], Any], answer: Any, cells: set[str]
) -> None:
    setup = a_setup(own_parts=["SEAL"])
    first, second = (read_by(setup, lambda: ask(setup.basis)) for _ in range(2))
    assert first == second and first[0] == answer and cells <= first[1]


def test_no_condition_reads_that_there_is_none() -> None:
    assert read_by(setup := a_setup(condition=""), lambda: setup.basis.condition) == (None, {"Condition: Value"})


def test_the_rates_in_force_are_those_of_the_date() -> None:
    """120 from February stands for 100; 130 from April is not yet in force in March."""
    rates = [
        build.a_rate(),
        build.a_rate("MAIN", 120, in_force_from=date(2026, 2, 1)),
        build.a_rate("MAIN", 130, in_force_from=date(2026, 4, 1)),
        build.a_rate("FINE", 90),
        build.a_rate("OLD", 80),
    ]
    setup = a_setup(a_bench(labour_rates=rates))
    found, cells = read_by(setup, lambda: {code: row.rate_per_hour for code, row in setup.basis.rates.items()})
    assert found == {"MAIN": 120, "FINE": 90, "OLD": 80}
    assert {"MAIN: In force from", "Quote date: Value"} <= cells


def test_a_price_follows_from_the_cost_and_the_markup() -> None:
    """10.00 and half of it; asked again it is looked up again."""
    setup = a_setup()
    first, second = (read_by(setup, lambda: setup.basis.price("SEAL").price) for _ in range(2))
    assert first == second and first[0] == D("15.00")
    assert {"SEAL: Pack cost", "0: Markup", "Currency: Value"} <= first[1]


def test_parts_are_looked_up_once_and_only_when_they_are_gone_through() -> None:
    setup = a_setup()
    asked: list[str] = []

    def look_up() -> tuple[Any, ...]:
        asked.append("looked up")
        return ("A", "B")

    uses = LateUses(setup.seen, look_up)  # type: ignore[arg-type]
    assert asked == []
    assert (len(uses), list(uses), len(uses)) == (2, ["A", "B"], 2)
    assert asked == ["looked up"]


STAGES: list[tuple[str, Callable[[LateSetup], Any]]] = [
    ("which work is present", lambda setup: op(setup).steps),
    ("which work is present", lambda setup: op(setup).includes),
    ("which work is present", lambda setup: setup.basis.always),
    ("which work is present", lambda setup: setup.one_offs and setup.basis.op_named("ONEOFF-1").steps),
    ("parts used", lambda setup: list(op(setup).parts)),
    ("parts used", lambda setup: list(step(setup).parts)),
    ("parts used", lambda setup: setup.basis.own_parts),
    ("labour", lambda setup: setup.basis.digits),
    ("labour rates in force", lambda setup: setup.basis.rates),
    ("labour rates in force", lambda setup: setup.basis.default_rate),
    ("condition", lambda setup: setup.basis.condition),
]


@pytest.mark.parametrize(("stage", "ask"), STAGES)
def test_a_look_up_is_told_by_the_name_of_its_rule(stage: str, ask: Callable[[LateSetup], Any]) -> None:
    """The owner reads the names beside the cells: no other name may come in."""
    setup = a_setup(one_off=[LINE], own_parts=["SEAL"])
    with localcontext(EXACT), setup.seen.frame("asked") as reads:
        ask(setup)
    told = by_stage(reads)
    assert stage in told
    names = {"which work is present", "parts used", "labour", "labour rates in force", "condition", "asked"}
    assert set(told) <= names | {"which remedies are taken", "rows of the shop book"}


def test_of_two_lines_each_has_its_own_work() -> None:
    lines = [build.a_one_off(1, "labour", 1), build.a_one_off(2, "labour", 2)]
    setup = a_setup(one_off=lines)
    assert len(setup.one_offs) == 2
    assert [setup.basis.op_named(f"ONEOFF-{n}").net_hours for n in (1, 2)] == [1, 2]
