"""Part lines laid open: what to buy, from whom, on which side, and why at that price (DESIGN.md 5.4 and 7)."""

from __future__ import annotations

from typing import Any

import pytest

from quotekit.model.quote import PartLine
from quotekit.pricing import build_quote
from tests import build
from tests.pricing.priced import plain


def lines(findings: tuple[Any, ...] = (), job: dict[str, Any] | None = None, **values: Any) -> dict[str, PartLine]:
    """Part lines by code; a worn bushing takes two bushes of a pack of eight at 12.00 each side."""
    book = build.a_book(
        **{
            "operations": [build.an_operation("BUSHING", each_side=True, parts="BUSH x 2")],
            "parts": [build.a_part("BUSH", 12, 8, suppliers_number="N-77", unit="each")],
            "findings": [build.a_finding("WORN")],
            "remedies": [build.a_remedy("NEW-BUSH", ["WORN"], ["BUSHING"])],
            "tiers": [build.a_tier("good")],
        }
        | values
    )
    found = findings or (build.a_finding_on("WORN", "left"),)
    return {line.part: line for line in build_quote(book, build.a_job(*found, **(job or {}))).tiers[0].part_lines}


BOTH = (build.a_finding_on("WORN", "right"), build.a_finding_on("WORN", "left"))


def test_everything_the_shop_must_know_to_buy() -> None:
    """Unit cost 1.50, price 2.25; four used of one pack, four left over."""
    line = lines(BOTH)["BUSH"]
    assert [plain(value) for value in (line.quantity, line.packs, line.pack_quantity, line.left_over)] == [
        "4",
        "1",
        "8",
        "4",
    ]
    assert [str(value) for value in (line.unit_price, line.amount, line.cost)] == ["2.25", "9.00", "6.00"]
    assert (line.supplier, line.suppliers_number, line.unit, line.lead_days) == ("North", "N-77", "each", 3)
    assert (line.ordered, line.own, line.returnable) == (True, False, True)


@pytest.mark.parametrize(
    ("quantity", "packs", "left_over"), [("1", 1, "7"), ("8", 1, "0"), ("8.5", 2, "7.5"), ("9", 2, "7")]
)
def test_whole_packs_are_bought(quantity: str, packs: int, left_over: str) -> None:
    """What is left over stays with the shop."""
    line = lines(operations=[build.an_operation("BUSHING", each_side=True, parts=f"BUSH x {quantity}")])["BUSH"]
    assert (line.packs, plain(line.left_over)) == (packs, left_over)


@pytest.mark.parametrize(("findings", "sides"), [((), ("left",)), (BOTH, ("left", "right"))])
def test_the_sides_that_use_a_part(findings: tuple[Any, ...], sides: tuple[str, ...]) -> None:
    """In the machine's order, whatever order they were recorded in."""
    assert lines(findings)["BUSH"].sides == sides


def test_a_part_of_work_without_a_side_has_none() -> None:
    """A belt is a belt."""
    line = lines(operations=[build.an_operation("BUSHING", parts="BUSH")])["BUSH"]
    assert line.sides == ()


def test_a_part_of_an_access_step_has_the_sides_of_the_step() -> None:
    """The gasket of the right flap."""
    found = lines(
        (build.a_finding_on("WORN", "right"),),
        access=[build.a_step("FLAP", each_side=True, parts="GASKET")],
        operations=[build.an_operation("BUSHING", each_side=True, access=["FLAP"])],
        parts=[build.a_part("GASKET", 2)],
    )
    assert found["GASKET"].sides == ("right",)


@pytest.mark.parametrize(
    ("part", "ordered", "lead"),
    [
        ({}, True, 3),
        ({"lead_days": 0}, True, 0),
        ({"lead_days": 9}, True, 9),
        ({"supplier": "SHELF", "lead_days": 9}, False, 0),
        ({"supplier": ""}, False, 0),
    ],
)
def test_what_is_ordered_and_when_it_comes(part: dict[str, Any], ordered: bool, lead: int) -> None:
    """The part's own lead, else its supplier's; no supplier means the shelf."""
    line = lines(parts=[build.a_part("BUSH", 12, 8, **part)])["BUSH"]
    assert (line.ordered, line.lead_days) == (ordered, lead)


def test_the_customers_own_part_is_listed_at_nothing() -> None:
    """It must be on the paper, costs nothing, and is not bought."""
    line = lines(job={"own_parts": ("BUSH",)})["BUSH"]
    assert [str(value) for value in (line.unit_price, line.amount, line.core_charge)] == ["0.00"] * 3
    assert (plain(line.quantity), line.packs, plain(line.left_over)) == ("2", 0, "0")
    assert (line.own, line.ordered, line.lead_days, line.why_price) == (True, False, 0, "the customer's own")


def test_the_companion_of_an_own_part_is_charged() -> None:
    """They brought the bush, not its clip."""
    parts = [build.a_part("BUSH", 12, 8, also_needs="CLIP"), build.a_part("CLIP", 1)]
    clip = lines(job={"own_parts": ("BUSH",)}, parts=parts)["CLIP"]
    assert (plain(clip.quantity), str(clip.amount)) == ("2", "3.00")


def test_a_superseded_part_says_what_it_stands_for() -> None:
    """BUSH was replaced by BUSH-B, and that by BUSH-C: the last is bought."""
    parts = [
        build.a_part("BUSH", 12, 8, replaced_by="BUSH-B"),
        build.a_part("BUSH-B", 12, 8, replaced_by="BUSH-C"),
        build.a_part("BUSH-C", 20, 8),
    ]
    found = lines(parts=parts)
    assert list(found) == ["BUSH-C"]
    assert (found["BUSH-C"].replaces, str(found["BUSH-C"].unit_price)) == (("BUSH",), "3.75")


def test_what_a_kit_contains_is_taken_off_and_said() -> None:
    """The kit holds three bushes of the four that both sides take."""
    kit = build.a_part("KIT", 30, contains="BUSH x 3")
    remedies = [build.a_remedy("NEW-BUSH", ["WORN"], ["BUSHING", "SEAL"])]
    operations = [
        build.an_operation("BUSHING", each_side=True, parts="BUSH x 2"),
        build.an_operation("SEAL", parts="KIT"),
    ]
    line = lines(BOTH, parts=[build.a_part("BUSH", 12, 8), kit], remedies=remedies, operations=operations)["BUSH"]
    assert [plain(line.quantity), plain(line.taken_from_kits), str(line.amount)] == ["1", "3", "2.25"]


@pytest.mark.parametrize(
    ("part", "word", "price"),
    [
        ({}, "markup", "2.25"),
        ({"list_price_each": 2}, "list price", "2.00"),
        ({"list_price_each": 3}, "markup", "2.25"),
        ({"fixed_price_each": "9.99"}, "fixed price", "9.99"),
    ],
)
def test_the_reason_of_the_price(part: dict[str, Any], word: str, price: str) -> None:
    """In words, for who has to defend it."""
    line = lines(parts=[build.a_part("BUSH", 12, 8, **part)])["BUSH"]
    assert word in line.why_price
    assert str(line.unit_price) == price


@pytest.mark.parametrize(
    ("line", "why", "price", "cost", "ordered"),
    [
        ({"unit_price": 9}, "price given on the job", "9.00", None, False),
        ({"unit_cost": 6, "unit_price": 9}, "price given on the job", "9.00", "12.00", False),
        ({"unit_cost": 6}, "markup", "9.00", "12.00", False),
        ({"unit_cost": 6, "supplier": "NORTH"}, "markup", "9.00", "12.00", True),
    ],
)
def test_a_one_off_part(line: dict[str, Any], why: str, price: str, cost: str | None, ordered: bool) -> None:
    """Two of them; a pack of one, from the shelf unless a supplier is named; without a cost none is invented."""
    found = lines(job={"one_off": [build.a_one_off(1, "part", 2, **line)]})["ONEOFF-1"]
    assert (found.why_price, str(found.unit_price), found.ordered, found.packs) == (why, price, ordered, 2)
    assert found.cost is None if cost is None else str(found.cost) == cost


def test_a_core_is_on_the_line_of_its_part() -> None:
    """2 x 4.50 where the customer keeps the old parts."""
    line = lines(job={"old_parts": "keep"}, parts=[build.a_part("BUSH", 12, 8, core_charge="4.50")])["BUSH"]
    assert str(line.core_charge) == "9.00"


def test_a_unit_cost_without_end_is_shown_to_six_decimals() -> None:
    """10 / 3; the cost of two is rounded from the exact value: 6.67."""
    line = lines(parts=[build.a_part("BUSH", 10, 3)])["BUSH"]
    assert [str(line.unit_cost), str(line.cost)] == ["3.333333", "6.67"]
