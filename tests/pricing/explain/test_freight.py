"""Freight as trees (rules 5.5 item 7): the terms of a supplier at and around their thresholds."""

from __future__ import annotations

from typing import Any

import pytest

from quotekit.model.shop_book import ShopBook
from tests.build import a_part, a_supplier, an_operation, settings
from tests.pricing.explain.small import a_shop, assert_reads, assert_rules, assert_said


def supplied(terms: dict[str, str], charged: bool = True, **values: Any) -> ShopBook:
    """One seal of 10.00 from NORTH."""
    freight = "this job alone" if charged else "none"
    return a_shop(settings=settings(freight_to_customer=freight), suppliers=[a_supplier(**terms)], **values)


@pytest.mark.parametrize(
    ("terms", "flat", "small", "charged"),
    [
        pytest.param({"freight": "12.5"}, "12.50", "0.00", "12.50", id="flat"),
        pytest.param({"freight": "12.5", "free_freight_from": "10"}, "0.00", "0.00", "0.00", id="free at the value"),
        pytest.param({"freight": "12.5", "free_freight_from": "10.01"}, "12.50", "0.00", "12.50", id="a cent below"),
        pytest.param({"minimum_order": "10.01", "small_order_fee": "4"}, "0.00", "4.00", "4.00", id="a small order"),
        pytest.param({"minimum_order": "10", "small_order_fee": "4"}, "0.00", "0.00", "0.00", id="at the minimum"),
    ],
)
def test_terms_hold_from_their_very_value_on(terms: dict[str, str], flat: str, small: str, charged: str) -> None:
    line = f"{charged} = sum(flat freight of NORTH {flat}, small order at NORTH {small}), half up to cents"
    book = supplied(terms)
    assert_said({"freight of NORTH": line, "amounts.freight": f"{charged} = sum(freight of NORTH {charged})"}, book)
    assert_reads({"amounts.freight": "Freight to customer: Value"}, book)


def test_which_value_a_threshold_looks_at() -> None:
    """Whole packs at pack cost, not what the customer pays."""
    terms = {"freight": "12.5", "free_freight_from": "30", "minimum_order": "25", "small_order_fee": "4"}
    book = supplied(
        terms, parts=[a_part("SEAL", 10, pack_quantity=2)], operations=[an_operation("FIT", "0.5", parts="SEAL x 3")]
    )
    assert_said(
        {
            "order value at NORTH": "20.00 = sum(packs of SEAL 20.00)",
            "flat freight of NORTH": (
                "12.50 = unless at least(Freight of NORTH 12.5, Free freight from 30, order value at NORTH 20.00)"
            ),
            "small order at NORTH": (
                "4.00 = if below(Small order fee of NORTH 4, Minimum order 25, order value at NORTH 20.00)"
            ),
        },
        book,
    )
    assert_reads(
        {
            "Freight of NORTH": "NORTH: Freight",
            "Free freight from": "NORTH: Free freight from",
            "Small order fee of NORTH": "NORTH: Small order fee",
            "Minimum order": "NORTH: Minimum order",
        },
        book,
    )


def test_heavy_parts_pay_by_the_pack() -> None:
    book = supplied(
        {"freight": "5"},
        parts=[a_part("SEAL", 10, extra_freight="3.5"), a_part("CLIP", 1)],
        operations=[an_operation("FIT", "0.5", parts="SEAL x 2; CLIP")],
    )
    assert_said(
        {
            "freight of NORTH": (
                "12.00 = sum(flat freight of NORTH 5.00, small order at NORTH 0.00, extra freight of SEAL 7.00), "
                "half up to cents"
            ),
            "extra freight of SEAL": "7.00 = product(parts.SEAL.packs 2, Extra freight of SEAL 3.5)",
        },
        book,
    )
    assert_reads({"Extra freight of SEAL": "SEAL: Extra freight"}, book)


def test_freight_that_is_not_charged_is_still_a_cost() -> None:
    book = supplied({"freight": "5"}, charged=False)
    assert_said({"amounts.freight": "0.00 = decided()", "cost.freight": "5.00 = sum(freight of NORTH 5.00)"}, book)
    assert_rules({"amounts.freight": "The shop charges no freight"}, book)
    assert_reads({"amounts.freight": "Freight to customer: Value"}, book)


def test_a_supplier_the_book_has_no_terms_of_ships_for_nothing() -> None:
    book = supplied({"code": "SOUTH", "freight": "3"})
    assert_said({"amounts.freight": "0.00 = sum(freight of NORTH 0.00)", "freight of NORTH": "0.00 = decided()"}, book)
    assert_rules({"freight of NORTH": "The book has no terms of NORTH"}, book)


def test_parts_from_the_shelf_have_no_freight() -> None:
    book = supplied({"freight": "5"}, parts=[a_part("SEAL", 10, supplier="NORTH"), a_part("BELT")])
    shelf = a_shop(settings=book.settings, suppliers=[a_supplier(freight="5", shelf=True)])
    assert_said({"amounts.freight": "0.00 = sum()", "cost.freight": "0.00 = sum()"}, shelf)
