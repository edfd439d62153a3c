"""Freight to the customer: this job's packs ordered alone, per supplier (DESIGN.md 5.5 item 7 and 5.8), by hand."""

from __future__ import annotations

from typing import Any

import pytest

from quotekit.model.shop_book import Part, ShopBook, Supplier
from tests import build
from tests.pricing.priced import first_tier, price


def shop(supplier: Supplier, *parts: Part, **values: Any) -> ShopBook:
    """A shop that charges freight; FIT uses one of each part but EXTRA, which MORE uses."""
    uses = "; ".join(part.code for part in parts if part.code != "EXTRA")
    named: dict[str, Any] = {
        "settings": build.settings(freight_to_customer="this job alone"),
        "suppliers": [
            supplier,
            build.a_supplier("SOUTH", freight=7),
            build.a_supplier("SHELF", shelf=True, freight=50),
        ],
        "operations": [build.an_operation("FIT", parts=uses), build.an_operation("MORE", parts="EXTRA")],
        "parts": list(parts),
    }
    return build.a_book(**(named | values))


def freight(book: ShopBook, *keys: str) -> dict[str, str]:
    """Freight per supplier."""
    return {supplier: str(amount) for supplier, amount in price(book, *keys).charges.freight.items()}


@pytest.mark.parametrize(
    ("free_from", "charged"),
    [(None, "9.00"), (0, "9.00"), ("40.01", "9.00"), ("40", "0.00"), ("39", "0.00")],
)
def test_free_from_a_value_where_one_is_given(free_from: str | int | None, charged: str) -> None:
    """An order of 40 at pack cost; a blank or zero value never makes it free."""
    terms = build.a_supplier(freight=9, free_freight_from=free_from)
    assert freight(shop(terms, build.a_part("A", 30), build.a_part("B", 10)), "FIT") == {"NORTH": charged}


def test_thresholds_look_at_whole_packs_not_at_units_used() -> None:
    """One clip of a pack of ten at 50: the order is 50, although the clip costs 5."""
    terms = build.a_supplier(freight=9, free_freight_from=50)
    assert freight(shop(terms, build.a_part("CLIP", 50, 10)), "FIT") == {"NORTH": "0.00"}


@pytest.mark.parametrize(
    ("minimum", "fee", "charged"),
    [(None, 4, "9.00"), (0, 4, "9.00"), (40, 4, "9.00"), ("40.01", 4, "13.00"), (100, None, "9.00")],
)
def test_the_small_order_fee_is_charged_below_the_minimum(
    minimum: str | int | None, fee: int | None, charged: str
) -> None:
    """An order of 40: on the minimum no fee."""
    terms = build.a_supplier(freight=9, minimum_order=minimum, small_order_fee=fee)
    assert freight(shop(terms, build.a_part("A", 40)), "FIT") == {"NORTH": charged}


def test_free_freight_leaves_the_small_order_fee_and_extra_freight() -> None:
    """An order of 40, free from 30, minimum 50 with a fee of 4, a heavy pack at 5 extra: 0 + 4 + 5."""
    terms = build.a_supplier(freight=9, free_freight_from=30, minimum_order=50, small_order_fee=4)
    book = shop(terms, build.a_part("GEAR", 40, extra_freight="5"))
    assert freight(book, "FIT") == {"NORTH": "9.00"}


def test_extra_freight_is_for_each_pack() -> None:
    """Five blades in packs of two: three packs at 2.50."""
    book = shop(build.a_supplier(), build.a_part("BLADE", 10, 2, extra_freight="2.50"))
    book = build.a_book(
        settings=book.settings,
        suppliers=list((book.suppliers or {}).values()),
        parts=list(book.parts.values()),
        operations=[build.an_operation("FIT", parts="BLADE x 5")],
    )
    assert freight(book, "FIT") == {"NORTH": "7.50"}


def test_each_supplier_by_itself_and_the_shelf_is_free() -> None:
    parts = [build.a_part("A", 10), build.a_part("B", 10, supplier="SOUTH"), build.a_part("C", supplier="SHELF")]
    assert freight(shop(build.a_supplier(freight=9), *parts), "FIT") == {"NORTH": "9.00", "SOUTH": "7.00"}


def test_own_parts_are_not_ordered() -> None:
    book = shop(build.a_supplier(freight=9), build.a_part("A", 10))
    assert dict(price(book, "FIT", job=build.a_job(own_parts=("A",))).charges.freight) == {}


def test_a_shop_that_charges_no_freight_still_bears_it() -> None:
    """`none`: the customer pays nothing, the cost shows what the packs would cost ordered alone."""
    book = shop(
        build.a_supplier(freight=9),
        build.a_part("A", 10),
        settings=build.settings(),
        findings=[build.a_finding("WORN")],
        remedies=[build.a_remedy("NEW", ["WORN"], ["FIT"])],
    )
    tier = first_tier(book, build.a_finding_on("WORN"))
    assert (str(tier.amounts.freight), str(tier.cost.freight)) == ("0.00", "9.00")


def test_a_supplier_that_is_free_text_has_no_freight() -> None:
    book = shop(build.a_supplier(), build.a_part("A", 10, supplier="Anyone"), suppliers=None)
    assert freight(book, "FIT") == {"Anyone": "0.00"}


def offered(supplier: Supplier, extra: Part) -> list[str]:
    """Price, at most and total work of an extra beside a tier that orders a part of 40 from NORTH."""
    book = shop(
        supplier,
        build.a_part("A", 40),
        extra,
        findings=[build.a_finding("WORN")],
        remedies=[build.a_remedy("NEW", ["WORN"], ["FIT"])],
        extras=[build.an_extra("MORE", ["MORE"])],
    )
    (one,) = first_tier(book, build.a_finding_on("WORN"), extras=(build.a_job_extra("MORE"),)).extras
    return [str(one.price), str(one.at_most), str(one.work)]


def test_an_extra_from_the_same_supplier_pays_no_flat_freight_again() -> None:
    """FIT 50 + 60 + 9 freight = 119; MORE adds 50 and a part of 15: nothing more for freight."""
    assert offered(build.a_supplier(freight=9), build.a_part("EXTRA", 10)) == ["65.00", "65.00", "184.00"]


def test_an_extra_from_another_supplier_pays_its_flat_freight() -> None:
    """SOUTH asks 7 and the tier orders nothing there."""
    assert offered(build.a_supplier(freight=9), build.a_part("EXTRA", 10, supplier="SOUTH")) == [
        "72.00",
        "72.00",
        "191.00",
    ]


def test_an_extra_never_makes_the_tiers_freight_free() -> None:
    """Free from 45: the tier is judged without the extra, and 9 stays, so that the extra has one price."""
    terms = build.a_supplier(freight=9, free_freight_from=45)
    assert offered(terms, build.a_part("EXTRA", 10)) == ["65.00", "65.00", "184.00"]


def test_an_extra_neither_saves_nor_brings_the_small_order_fee() -> None:
    """The tier's order of 40 is below 45 and pays 4; the extra does not take that back."""
    terms = build.a_supplier(freight=9, minimum_order=45, small_order_fee=4)
    assert offered(terms, build.a_part("EXTRA", 10)) == ["65.00", "65.00", "188.00"]


def test_an_extra_pays_extra_freight_for_its_packs() -> None:
    assert offered(build.a_supplier(freight=9), build.a_part("EXTRA", 10, extra_freight=3)) == [
        "68.00",
        "68.00",
        "187.00",
    ]


def test_an_extra_pays_only_for_the_packs_it_adds() -> None:
    """The tier uses two of a pack of four at 3 extra; two more need no pack, three more need one.

    Exactly 50 and 30 for two, 50 and 45 and 3 for three; on paper each is a pack of its own.
    """
    for count, expected in [(2, ["80.00", "83.00"]), (3, ["98.00", "98.00"])]:
        book = shop(
            build.a_supplier(freight=9),
            build.a_part("BLADE", 40, 4, extra_freight=3),
            operations=[
                build.an_operation("FIT", parts="BLADE x 2"),
                build.an_operation("MORE", parts=f"BLADE x {count}"),
            ],
            findings=[build.a_finding("WORN")],
            remedies=[build.a_remedy("NEW", ["WORN"], ["FIT"])],
            extras=[build.an_extra("MORE", ["MORE"])],
        )
        (one,) = first_tier(book, build.a_finding_on("WORN"), extras=(build.a_job_extra("MORE"),)).extras
        assert [str(one.price), str(one.at_most)] == expected


def test_the_shelf_is_free_for_extras_too() -> None:
    part = build.a_part("EXTRA", 10, supplier="SHELF")
    assert offered(build.a_supplier(freight=9), part) == ["65.00", "65.00", "184.00"]
