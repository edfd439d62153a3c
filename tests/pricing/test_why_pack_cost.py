"""The pack cost that brings a price to a wanted one, and where it says more than a price."""

from __future__ import annotations

from dataclasses import replace
from decimal import Decimal as D
from decimal import localcontext
from typing import Any

import pytest
from hypothesis import given
from hypothesis import strategies as st

from quotekit.model.shop_book import ShopBook
from quotekit.money import EXACT
from quotekit.pricing import build_quote
from quotekit.pricing.basis import Basis
from quotekit.pricing.part_price import unit_price
from quotekit.pricing.why_pack_cost import pack_cost_for
from tests import build


def basis_of(part: dict[str, Any], **book: Any) -> Basis:
    """A seal and what is told of it."""
    named = {"pack_cost": 10, "pack_quantity": 2} | part
    return Basis(book=build.a_book(parts=[build.a_part("SEAL", **named)], **book), job=build.a_job())


@pytest.mark.parametrize(
    ("part", "price", "cost"),
    [
        ({}, "6.00", "8.00"),  # 4.00 each and half
        ({}, "6.01", "8.01"),  # 4.005 x 1.5 = 6.0075
        ({}, "9.00", "12.00"),  # up: at 11.99 it is 5.995 x 1.5 = 8.9925, too little
        ({"fixed_price_each": "7"}, "6.00", None),
        ({"list_price_each": "7"}, "6.00", "8.00"),  # 7.50 is held at 7.00 by the list
        ({"list_price_each": "7"}, "7.50", "14.99"),  # past the list only cost itself counts: 7.495
        ({}, "7.50", None),  # it is the price already
    ],
)
def test_by_hand(part: dict[str, Any], price: str, cost: str | None) -> None:
    """Two in a pack at 10.00 and half on cost: 7.50 each."""
    with localcontext(EXACT):
        found = pack_cost_for(basis_of(part), "SEAL", D(price))
    assert (None if found is None else str(found)) == cost


def test_a_cost_that_no_band_holds_gives_none() -> None:
    bands = [build.a_band(cost_over=4)]
    with localcontext(EXACT):
        assert pack_cost_for(basis_of({}, markup=bands), "SEAL", D("6.00")) is None


@given(st.integers(1, 5000), st.integers(1, 9), st.integers(1, 9000))
def test_one_cent_nearer_the_price_is_not_reached(cost: int, quantity: int, wanted: int) -> None:
    """Over two bands, where the price stands still for a while."""
    bands = [build.a_band(0, 10, "0.8"), build.a_band(10, None, "0.4")]
    basis = basis_of({"pack_cost": D(cost).scaleb(-2), "pack_quantity": quantity}, markup=bands)
    price = D(wanted).scaleb(-2)
    with localcontext(EXACT):
        found, now = pack_cost_for(basis, "SEAL", price), basis.price("SEAL").price
        if found is None:
            return
        part = basis.part("SEAL")
        step = D("0.01") if price < now else D("-0.01")

        def sold(at: D) -> D:
            return unit_price(replace(part, pack_cost=at), basis.book.markup, 2).price

        if price < now:
            assert sold(found) <= price < sold(found + step)
        else:
            assert sold(found) >= price > sold(found + step)


def two_ways(**supplier: Any) -> ShopBook:
    """An hour for 100.00, or half an hour for 50.00 and a shaft at 60.00."""
    return build.a_book(
        settings=build.settings(freight_to_customer="this job alone"),
        operations=[build.an_operation("HALF", "0.5"), build.an_operation("HOUR", 1)],
        parts=[build.a_part("SHAFT", 40)],
        suppliers=[build.a_supplier("NORTH", **supplier)],
        findings=[build.a_finding("WORN")],
        remedies=[
            build.a_remedy("HOURLY", ["WORN"], ["HOUR"]),
            build.a_remedy("NEW", ["WORN"], ["HALF"], parts="SHAFT"),
        ],
        tiers=[build.a_tier("good")],
    )


@pytest.mark.parametrize(
    ("supplier", "cost"),
    [
        ({}, "33.32"),
        ({"freight": 5, "free_freight_from": 30}, "33.32"),  # free at 40.00 and at 33.32
        ({"freight": 5, "free_freight_from": 35}, None),  # free at 40.00, 5.00 below 35.00
        ({"minimum_order": 34, "small_order_fee": 3}, None),
        ({"minimum_order": 50, "small_order_fee": 3}, "31.32"),  # below at both: 3.00 more to make up for
    ],
)
def test_a_threshold_of_freight_on_the_way_leaves_the_pack_cost_out(supplier: dict[str, Any], cost: str | None) -> None:
    tier = build_quote(two_ways(**supplier), build.a_job(build.a_finding_on("WORN"))).tiers[0]
    assert tier.why is not None
    (found,) = tier.why.remedies[0].break_even
    assert found.wins_at is not None
    assert (None if found.pack_cost is None else str(found.pack_cost)) == cost
