"""Parts as bought in the costing: packs, supplier, what is said of each, and how far an order is from free freight.

The bushing is sold from packs of four at 22.00: two are used, two are left over, 5.50 each.
"""

from __future__ import annotations

from typing import Any

import pytest

from quotekit.documents.costing_parts import lay_out_parts
from quotekit.documents.sheet import Row
from quotekit.pricing import build_quote
from tests import build
from tests.pricing.explain.small import a_shop, job_of, typed

BUSH = build.a_part("BUSH", 22, 4, suppliers_number="N-12", lead_days=3)


def rows(
    *parts: Any, parts_used: str = "BUSH x 2", job: dict[str, Any] | None = None, read: bool = False, **values: Any
) -> list[Row]:
    """The table of a tier that uses these parts, from its titles on; as read from files where cells are wanted."""
    named: dict[str, Any] = {
        "parts": list(parts) or [BUSH],
        "operations": [build.an_operation("FIT", "0.5", parts=parts_used)],
        "access": [],
    }
    book = a_shop(**(named | values))
    found = job_of(book, **(job or {}))
    quote = build_quote(typed(book), typed(found)) if read else build_quote(book, found)
    laid_out = list(lay_out_parts(quote, quote.tiers[0]))
    start = next((at for at, row in enumerate(laid_out) if said(row)[:1] in (["Part"], ["No parts."])))
    return laid_out[start:]


def said(row: Row) -> list[object]:
    return [cell.content for cell in row.cells if cell.content is not None]


def plain(row: Row) -> list[str]:
    """As text, whatever the kind of cell."""
    return [str(one) for one in said(row)]


def order(**terms: Any) -> list[str]:
    """The one supplier's order of 22.00: what stands after its name."""
    return plain(rows(suppliers=[build.a_supplier(**terms)])[4])[1:]


def test_a_part_is_told_by_its_packs() -> None:
    """Used 2 of 1 pack of 4 at 22.00; cash for the whole pack."""
    titles, part, about, *_ = rows()
    assert said(titles) == [
        "Part", "Used", "Packs", "In a pack", "Pack cost", "Cash", "Left over", "Cost each", "Bought from",
    ]  # fmt: skip
    assert plain(part)[:7] == ["Bush (BUSH)", "2", "1", "4", "22", "22", "2"]
    assert plain(part)[7] == "5.500000"
    assert plain(part)[8] == "North, number N-12"
    assert part.keep_with_next and "3 days to arrive" in plain(about)[0]


@pytest.mark.parametrize(
    ("part", "words", "others"),
    [
        ({"lead_days": 3}, "3 days to arrive", "from the shelf"),
        ({"lead_days": None}, "3 days to arrive", "not known"),
        ({"supplier": "LOST", "lead_days": None}, "lead days not known", "days to arrive"),
        ({"supplier": "SHELF"}, "from the shelf", "days"),
        ({"returnable": False}, "can't go back", "from the shelf"),
        ({"new_or_used": "used"}, "used; ", "can't go back"),
    ],
)
def test_what_is_said_of_a_part(part: dict[str, Any], words: str, others: str) -> None:
    """A part without lead days has its supplier's three."""
    (about,) = plain(rows(build.a_part("BUSH", 22, 4, **part))[2])
    assert words in about and others not in about


def test_sides_and_kits_and_what_it_replaces_are_said() -> None:
    parts = [
        build.a_part("OLD", 10, replaced_by="BUSH"),
        BUSH,
        build.a_part("KIT", 30, contains="BUSH x 1"),
    ]
    table = rows(*parts, parts_used="OLD x 2; KIT")
    about = {plain(table[at])[0]: plain(table[at + 1])[0] for at in (1, 3)}
    assert "replaces OLD" in about["Bush (BUSH)"] and "1 more come in a kit" in about["Bush (BUSH)"]
    assert "kit" not in about["Kit (KIT)"] and "replaces" not in about["Kit (KIT)"]


@pytest.mark.parametrize(
    ("prices", "cells"),
    [
        ({}, "BUSH!Pack quantity 1, BUSH!Pack cost 1"),
        ({"list_price_each": 9}, "BUSH!Pack quantity 1, BUSH!Pack cost 1, BUSH!List price each 1"),
        ({"fixed_price_each": 9}, "BUSH!Pack quantity 1, BUSH!Pack cost 1, BUSH!Fixed price each 1"),
    ],
)
def test_the_cells_of_its_price_are_named(prices: dict[str, Any], cells: str) -> None:
    (about,) = plain(rows(build.a_part("BUSH", 22, 4, **prices), read=True)[2])
    assert about.endswith(f"; {cells}")


def test_a_part_of_this_job_alone_has_no_row_of_the_book() -> None:
    line = build.a_one_off(1, "part", 2, unit_cost=7, line="Odd bolt")
    table = rows(job={"one_off": (line,)}, read=True)
    at = next(place for place, row in enumerate(table) if plain(row)[:1] == [f"Odd bolt ({line.code})"])
    assert not any("Pack cost" in words for words in plain(table[at + 1]))


def test_the_customers_own_part_costs_nothing_and_is_not_ordered() -> None:
    table = rows(job={"own_parts": ("BUSH",)})
    part = plain(table[1])
    assert (part[2], part[5], part[6], part[-1]) == ("0", "0", "0", "the customer brings it"), "packs, cash, left over"
    assert plain(table[2]) == ["price: the customer's own"]
    assert plain(table[3]) == ["Nothing is ordered: all of it is on the shelf or the customer's own."]


def test_what_is_on_the_shelf_is_not_ordered() -> None:
    table = rows(build.a_part("BUSH", 22, 4, supplier="SHELF"))
    assert plain(table[1])[-1] == "Shelf"
    assert plain(table[-1]) == ["Nothing is ordered: all of it is on the shelf or the customer's own."]


def test_a_tier_without_parts_says_so() -> None:
    (only,) = rows(parts_used="")
    assert plain(only) == ["No parts."]


@pytest.mark.parametrize(
    ("terms", "words"),
    [
        ({}, ["22", "0.00", "no free freight and no minimum is set"]),
        ({"freight": 9, "free_freight_from": 40}, ["22", "9.00", "40", "18.00 USD short of free freight"]),
        ({"freight": 9, "free_freight_from": 22}, ["22", "0.00", "22", "freight is free"]),
        ({"free_freight_from": "22.01"}, ["22", "0.00", "22.01", "0.01 USD short of free freight"]),
        ({"minimum_order": 30}, ["22", "0.00", "8.00 USD below the minimum order"]),
        (
            {"minimum_order": 30, "small_order_fee": 5},
            ["22", "5.00", "8.00 USD below the minimum order, small order fee 5.00"],
        ),
        ({"minimum_order": 22}, ["22", "0.00", "no free freight and no minimum is set"]),
        (
            {"free_freight_from": 40, "minimum_order": 30},
            ["22", "0.00", "40", "18.00 USD short of free freight; 8.00 USD below the minimum order"],
        ),
    ],
)
def test_how_far_an_order_is_from_free_freight_and_from_the_minimum(terms: dict[str, Any], words: list[str]) -> None:
    """A pack of 22.00; at the amount itself freight is free and the minimum is met. A small order's fee is
    part of what bringing it costs."""
    assert order(**terms) == words


def test_a_supplier_that_the_book_does_not_know() -> None:
    """A name typed on Parts without a row on Suppliers has no terms."""
    table = rows(build.a_part("BUSH", 22, 4, supplier="Someone"))
    assert plain(table[4]) == ["Someone", "22", "0.00", "no freight or minimum is known"]


def test_each_supplier_has_one_order_of_all_its_packs() -> None:
    """Two parts of NORTH, 22.00 and 3 x 10.00; one of SOUTH, 7.00."""
    parts = [BUSH, build.a_part("RING", 10), build.a_part("BELT", 7, supplier="SOUTH")]
    table = rows(
        *parts, parts_used="BUSH x 2; RING x 3; BELT", suppliers=[build.a_supplier(), build.a_supplier("SOUTH")]
    )
    orders = {plain(row)[0]: plain(row)[1] for row in table if plain(row)[:1] in (["North"], ["South"])}
    assert orders == {"North": "52", "South": "7"}
