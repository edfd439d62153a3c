"""From items to work (DESIGN.md 5.2): requirements, inclusions, access, second sides."""

from __future__ import annotations

from typing import Any

import pytest

from quotekit.model.shop_book import Operation
from quotekit.pricing.work import brought_by, hours_of_operations
from tests import build
from tests.pricing.priced import Priced, plain, price


def work(operations: list[Operation], *keys: str, always: tuple[str, ...] = ()) -> Priced:
    """Work of some operations by themselves."""
    book = build.a_book(
        operations=operations, machines=[build.a_machine(always=always)], access=[build.a_step("COVER")]
    )
    return price(book, *keys)


def op(code: str, includes: str = "", requires: str = "", **values: Any) -> Operation:
    """An operation with what it includes and requires."""
    return build.an_operation(code, includes=includes.split(), requires=requires.split(), **values)


def test_requirements_are_added_until_nothing_changes() -> None:
    found = work([op("A", requires="B"), op("B", requires="C"), op("C"), op("D")], "A")
    assert found.charges.work.present == {"A", "B", "C"}


def test_what_a_present_operation_includes_is_dropped() -> None:
    found = work([op("REBUILD", includes="SEAL"), op("SEAL")], "REBUILD", "SEAL").charges.work
    assert found.present == {"REBUILD"}
    assert found.dropped == {"SEAL"}


def test_what_only_dropped_work_required_goes_too() -> None:
    """SEAL required DRAIN; REBUILD does not."""
    found = work([op("REBUILD", includes="SEAL"), op("SEAL", requires="DRAIN"), op("DRAIN")], "REBUILD", "SEAL")
    assert found.charges.work.present == {"REBUILD"}
    assert found.charges.work.dropped == {"SEAL", "DRAIN"}


def test_required_work_that_something_present_requires_stays() -> None:
    found = work(
        [op("REBUILD", includes="SEAL", requires="DRAIN"), op("SEAL", requires="DRAIN"), op("DRAIN")], "REBUILD", "SEAL"
    )
    assert found.charges.work.present == {"REBUILD", "DRAIN"}


def test_required_work_that_an_item_names_itself_stays() -> None:
    found = work(
        [op("REBUILD", includes="SEAL"), op("SEAL", requires="DRAIN"), op("DRAIN")], "REBUILD", "SEAL", "DRAIN"
    )
    assert found.charges.work.present == {"REBUILD", "DRAIN"}


def test_an_included_operation_satisfies_a_requirement() -> None:
    """BUSH requires ALIGN, and REBUILD includes ALIGN: BUSH stays, ALIGN is not done twice."""
    found = work([op("BUSH", requires="ALIGN"), op("ALIGN"), op("REBUILD", includes="ALIGN")], "BUSH", "REBUILD")
    assert found.charges.work.present == {"BUSH", "REBUILD"}


def test_dropped_work_still_drops_what_it_includes() -> None:
    """Every operation present drops at once what it includes, even if it is dropped itself; nothing comes back."""
    found = work([op("BIG", includes="MID"), op("MID", includes="SMALL"), op("SMALL")], "BIG", "MID", "SMALL")
    assert found.charges.work.present == {"BIG"}
    assert found.charges.work.dropped == {"MID", "SMALL"}


def test_two_that_include_each_other_both_go() -> None:
    """A reader refuses such a book; by the letter each drops the other at once."""
    found = work([op("A", includes="B"), op("B", includes="A")], "A", "B")
    assert found.charges.work.present == frozenset()


@pytest.mark.parametrize(
    ("each", "keys", "present"),
    [
        ((True, True), ("BIG@left", "SMALL@left", "SMALL@right"), {"BIG@left", "SMALL@right"}),
        ((False, True), ("BIG", "SMALL@left", "SMALL@right"), {"BIG"}),
        ((True, False), ("BIG@left", "SMALL"), {"BIG@left"}),
        ((False, False), ("BIG", "SMALL"), {"BIG"}),
    ],
)
def test_the_same_side_or_either_without_a_side(
    each: tuple[bool, bool], keys: tuple[str, ...], present: set[str]
) -> None:
    operations = [op("BIG", includes="SMALL", each_side=each[0]), op("SMALL", each_side=each[1])]
    assert work(operations, *keys).charges.work.present == present


def test_an_always_operation_drops_an_items_operation_it_includes() -> None:
    """The final test includes a trial run: the item that only brings the trial run is done by larger work."""
    found = work([op("TEST", includes="TRIAL"), op("TRIAL")], "TRIAL", always=("TEST",)).charges.work
    assert found.present == {"TEST"}
    assert found.dropped == {"TRIAL"}
    assert found.is_done_by_larger(found.items[0])


def test_an_items_operation_may_drop_always_work() -> None:
    found = work([op("TEST"), op("REBUILD", includes="TEST")], "REBUILD", always=("TEST",)).charges.work
    assert found.present == {"REBUILD"}
    assert found.dropped == {"TEST"}


def test_always_work_is_there_once_whoever_asks_for_it() -> None:
    found = work([op("TEST", "", "", net_hours="0.4")], "TEST", always=("TEST",))
    assert found.charges.work.present == {"TEST"}
    assert plain(found.charges.hours.by_rate["MAIN"].net) == "0.4"


def test_dropped_work_opens_no_access() -> None:
    operations = [op("REBUILD", includes="SEAL"), op("SEAL", access=["COVER"])]
    assert work(operations, "REBUILD", "SEAL").charges.work.steps == frozenset()
    assert work(operations, "SEAL").charges.work.steps == {"COVER"}


@pytest.mark.parametrize(
    ("keys", "hours"),
    [
        (("BUSH@left",), {"BUSH@left": "0.8"}),
        (("BUSH@right",), {"BUSH@right": "0.8"}),
        (("BUSH@left", "BUSH@right"), {"BUSH@left": "0.8", "BUSH@right": "0.5"}),
        (("PIN@left", "PIN@right"), {"PIN@left": "0.3", "PIN@right": "0.3"}),
    ],
)
def test_each_further_position_takes_second_side_hours_where_given(
    keys: tuple[str, ...], hours: dict[str, str]
) -> None:
    operations = [
        op("BUSH", net_hours="0.8", each_side=True, second_side_hours="0.5"),
        op("PIN", net_hours="0.3", each_side=True),
    ]
    found = work(operations, *keys)
    of_operation = hours_of_operations(found.basis, found.charges.work.present)
    assert {key: plain(value) for key, value in of_operation.items()} == hours


def test_four_positions_take_the_second_side_hours_three_times() -> None:
    """0.8 + 3 x 0.5 = 2.3."""
    positions = ("left front", "left rear", "right front", "right rear")
    book = build.a_book(operations=[op("BUSH", net_hours="0.8", each_side=True, second_side_hours="0.5")])
    found = price(book, *(f"BUSH@{side}" for side in positions), job=build.a_job(positions=positions))
    assert plain(found.charges.hours.by_rate["MAIN"].net) == "2.3"


def test_second_side_hours_of_zero_count() -> None:
    """Blank is never zero, and zero is not blank."""
    operations = [op("BLEED", net_hours="0.8", each_side=True, second_side_hours="0")]
    assert plain(work(operations, "BLEED@left", "BLEED@right").charges.hours.by_rate["MAIN"].net) == "0.8"


def test_what_an_item_really_brings() -> None:
    """Its own operations that are present, and what those require: not what its dropped work required."""
    operations = [
        op("BIG", includes="SMALL"),
        op("SMALL", requires="DRAIN"),
        op("DRAIN"),
        op("OTHER", requires="DRAIN"),
    ]
    found = work(operations, "BIG", "SMALL", "OTHER").charges.work
    brought = {item.key: brought_by(item, found.present) for item in found.items}
    assert brought == {"BIG": {"BIG"}, "SMALL": frozenset(), "OTHER": {"OTHER", "DRAIN"}}


def test_an_item_does_not_bring_what_only_its_dropped_work_required() -> None:
    """BIG includes SMALL, which required DRAIN; OTHER still requires it: DRAIN is OTHER's alone."""
    operations = [
        op("BIG", includes="SMALL"),
        op("SMALL", requires="DRAIN"),
        op("WASH"),
        op("DRAIN"),
        op("OTHER", requires="DRAIN"),
    ]
    book = build.a_book(operations=operations, remedies=[build.a_remedy("BOTH", ["WORN"], ["SMALL", "WASH"])])
    found = price(book, "BIG", "BOTH", "OTHER").charges.work
    brought = {item.key: brought_by(item, found.present) for item in found.items}
    assert brought == {"BIG": {"BIG"}, "BOTH": {"WASH"}, "OTHER": {"OTHER", "DRAIN"}}


def test_items_are_in_text_order() -> None:
    found = work([op("B"), op("A", each_side=True)], "B", "A@right", "A@left").charges.work
    assert [item.key for item in found.items] == ["A@left", "A@right", "B"]
