"""Freight as trees (rules 5.5 item 7): the terms of a supplier at and around their thresholds."""

from __future__ import annotations

from typing import Any

import pytest

from quotekit.model.shop_book import ShopBook
from tests.build import a_job_extra, a_part, a_supplier, an_extra, an_operation, settings
from tests.pricing.explain.small import a_shop, assert_reads, assert_rules, assert_said, job_of


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


def beside() -> ShopBook:
    """Packs of four from NORTH at 3.00 each to ship; the extra needs two seals more, and rags from SOUTH."""
    return a_shop(
        settings=settings(freight_to_customer="this job alone"),
        suppliers=[a_supplier("NORTH", freight="5"), a_supplier("SOUTH", freight="7.5")],
        parts=[
            a_part("SEAL", 10, pack_quantity=4, extra_freight="3"),
            a_part("RAG", 2, supplier="SOUTH", extra_freight="1.005"),
            a_part("CLIP", 1),
        ],
        operations=[
            an_operation("FIT", "0.5", parts="SEAL x 3; CLIP"),
            an_operation("WIPE", "0.4", parts="SEAL x 2; RAG x 2; CLIP"),
        ],
        extras=[an_extra("CLEAN", ["WIPE"])],
    )


def test_an_extra_pays_for_the_packs_it_adds() -> None:
    """Five seals are two packs, one of them the tier's own; flat freight of a supplier is paid once."""
    book = beside()
    assert_said(
        {
            "freight of NORTH": (
                "8.00 = sum(flat freight of NORTH 5.00, small order at NORTH 0.00, extra freight of SEAL 3.00), "
                "half up to cents"
            ),
            "freight of NORTH (with CLEAN)": "11.00 = sum(freight of NORTH 8.00, extra freight of SEAL 3.00)",
            "packs of SEAL added": "1 = most(none 0, packs of SEAL more 1)",
            "packs of SEAL more": "1 = difference(parts.SEAL.packs (with CLEAN) 2, parts.SEAL.packs 1)",
            "freight of SOUTH (with CLEAN)": "9.51 = sum(flat freight of SOUTH 7.50, extra freight of RAG 2.01)",
            "flat freight of SOUTH": "7.50 = same(Freight of SOUTH 7.5), half up to cents",
            "amounts.freight (with CLEAN)": (
                "20.51 = sum(freight of NORTH (with CLEAN) 11.00, freight of SOUTH (with CLEAN) 9.51)"
            ),
        },
        book,
        job_of(book, extras=[a_job_extra("CLEAN")]),
    )
    assert_rules(
        {"flat freight of SOUTH": "The tier orders nothing there"}, book, job_of(book, extras=[a_job_extra("CLEAN")])
    )


def test_order_values_are_kept_apart_by_supplier() -> None:
    """A belt of 90.00 from SOUTH does not make the 10.00 at NORTH ship free."""
    book = a_shop(
        settings=settings(freight_to_customer="this job alone"),
        suppliers=[a_supplier("NORTH", freight="5", free_freight_from="50"), a_supplier("SOUTH")],
        parts=[a_part("SEAL", 10), a_part("BELT", 90, supplier="SOUTH")],
        operations=[an_operation("FIT", "0.5", parts="SEAL; BELT")],
    )
    assert_said(
        {
            "order value at NORTH": "10.00 = sum(packs of SEAL 10.00)",
            "order value at SOUTH": "90.00 = sum(packs of BELT 90.00)",
            "amounts.freight": "5.00 = sum(freight of NORTH 5.00, freight of SOUTH 0.00)",
        },
        book,
    )
