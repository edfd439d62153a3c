"""Part lines laid open: what the shop must know to buy them (DESIGN.md 5.4 and 7), by hand."""

from __future__ import annotations

from typing import Any

import pytest

from quotekit.model.quote import PartLine
from quotekit.model.shop_book import Part, ShopBook
from tests import build
from tests.pricing.priced import first_tier, plain


def shop(*parts: Part, uses: str, **values: Any) -> ShopBook:
    named: dict[str, Any] = {
        "operations": [build.an_operation("FIT", 1, parts=uses)],
        "parts": list(parts),
        "findings": [build.a_finding("WORN")],
        "remedies": [build.a_remedy("NEW", ["WORN"], ["FIT"])],
    }
    return build.a_book(**(named | values))


def lines(book: ShopBook, **job: Any) -> dict[str, PartLine]:
    return {line.part: line for line in first_tier(book, build.a_finding_on("WORN"), **job).part_lines}


def test_everything_about_a_part() -> None:
    """Five of a pack of four at 10: 2.50 each, sold at 3.75; two packs, three left over."""
    part = build.a_part("CLIP", 10, 4, unit="each", new_or_used="new original", suppliers_number="N-77", lead_days=6)
    line = lines(shop(part, uses="CLIP x 5"))["CLIP"]
    assert (line.name, line.unit, line.new_or_used) == ("Clip", "each", "new original")
    assert (line.supplier, line.suppliers_number, line.lead_days) == ("North", "N-77", 6)
    assert [plain(value) for value in (line.quantity, line.pack_quantity, line.left_over)] == ["5", "4", "3"]
    assert line.packs == 2
    assert [str(value) for value in (line.unit_price, line.amount, line.unit_cost, line.cost, line.pack_cost)] == [
        "3.75",
        "18.75",
        "2.500000",
        "12.50",
        "10",
    ]
    assert (line.ordered, line.returnable, line.own, line.why_price) == (True, True, False, "markup 50 %")


def test_unit_cost_is_shown_to_six_decimals() -> None:
    assert str(lines(shop(build.a_part("CLIP", 10, 3), uses="CLIP"))["CLIP"].unit_cost) == "3.333333"


@pytest.mark.parametrize(
    ("part", "why"),
    [
        ({}, "markup 50 %"),
        ({"list_price_each": 12}, "list price"),
        ({"list_price_each": 9}, "unit cost, as the list price is below it"),
        ({"fixed_price_each": 9}, "fixed price"),
    ],
)
def test_why_the_price_is_what_it_is(part: dict[str, int], why: str) -> None:
    assert lines(shop(build.a_part("CLIP", 10, **part), uses="CLIP"))["CLIP"].why_price == why


def test_shelf_stock_is_not_ordered() -> None:
    line = lines(shop(build.a_part("CLIP", supplier="SHELF", lead_days=4), uses="CLIP"))["CLIP"]
    assert (line.ordered, line.lead_days, line.supplier) == (False, 0, "Shelf")


def test_own_parts_are_listed_with_zero_and_nothing_to_buy() -> None:
    line = lines(shop(build.a_part("CLIP", 10, 4), uses="CLIP x 2"), own_parts=("CLIP",))["CLIP"]
    assert (line.own, line.ordered, line.packs, line.lead_days) == (True, False, 0, 0)
    assert [str(value) for value in (line.unit_price, line.amount, line.cost)] == ["0.00"] * 3
    assert (plain(line.quantity), plain(line.left_over)) == ("2", "0")
    assert line.why_price == "the customer's own"


def test_it_says_which_codes_it_stands_for() -> None:
    parts = build.a_part("OLD", replaced_by="NEW"), build.a_part("OLDER", replaced_by="OLD"), build.a_part("NEW")
    assert lines(shop(*parts, uses="OLDER; OLD"))["NEW"].replaces == ("OLD", "OLDER")


def test_it_says_how_many_came_out_of_kits() -> None:
    parts = build.a_part("KIT", 20, contains="SEAL x 2"), build.a_part("SEAL", 4)
    line = lines(shop(*parts, uses="KIT; SEAL x 3"))["SEAL"]
    assert (plain(line.quantity), plain(line.taken_from_kits)) == ("1", "2")


def test_positions_that_use_it_in_the_order_of_the_machine() -> None:
    operations = [build.an_operation("FIT", 1, each_side=True, parts="CLIP", access=["HUB"])]
    access = [build.a_step("HUB", each_side=True, parts="PIN")]
    book = shop(build.a_part("CLIP"), build.a_part("PIN"), uses="", operations=operations, access=access)
    found = [build.a_finding_on("WORN", side) for side in ("right", "left")]
    tier = first_tier(book, *found)
    assert {line.part: line.sides for line in tier.part_lines} == {"CLIP": ("left", "right"), "PIN": ("left", "right")}


def test_no_side_matters_where_no_sided_work_uses_it() -> None:
    assert lines(shop(build.a_part("CLIP"), uses="CLIP"))["CLIP"].sides == ()


def test_the_remedys_own_parts_have_its_side() -> None:
    """Two makes share one operation: the part is the remedy's."""
    book = shop(
        build.a_part("CLIP"),
        uses="",
        operations=[build.an_operation("FIT", 1, each_side=True)],
        remedies=[build.a_remedy("NEW", ["WORN"], ["FIT"], parts="CLIP")],
    )
    (line,) = first_tier(book, build.a_finding_on("WORN", "right")).part_lines
    assert line.sides == ("right",)


def test_core_charge_of_the_line() -> None:
    book = shop(build.a_part("PUMP", core_charge="12.50"), uses="PUMP x 2")
    assert str(lines(book, old_parts="keep")["PUMP"].core_charge) == "25.00"
    assert str(lines(book, old_parts="dispose")["PUMP"].core_charge) == "0.00"


@pytest.mark.parametrize(
    ("values", "expected"),
    [
        ({"unit_cost": 8}, ["12.00", "8.000000", "16.00", "markup"]),
        ({"unit_price": 9}, ["9.00", "null", "null", "price given on the job"]),
    ],
)
def test_a_one_off_part(values: dict[str, int], expected: list[str]) -> None:
    """Two of them: of the shelf without a supplier, ordered and slow with one."""
    line = lines(shop(uses=""), one_off=[build.a_one_off(1, "part", 2, **values)])["ONEOFF-1"]
    found = [str(line.unit_price), *("null" if one is None else str(one) for one in (line.unit_cost, line.cost))]
    assert [*found, line.why_price] == expected
    assert (line.name, line.ordered, line.packs, line.lead_days) == ("Line 1", False, 2, 0)
    ordered = build.a_one_off(1, "part", 2, supplier="NORTH", lead_days=7, **values)
    line = lines(shop(uses=""), one_off=[ordered])["ONEOFF-1"]
    assert (line.ordered, line.lead_days, line.supplier) == (True, 7, "North")


def test_a_supplier_that_is_free_text() -> None:
    line = lines(shop(build.a_part("CLIP", supplier="The corner shop"), uses="CLIP", suppliers=None))["CLIP"]
    assert (line.supplier, line.ordered, line.lead_days) == ("The corner shop", True, None)
