"""Freight of any choice: each option's own, flat freight only where it orders nothing, and extra freight per pack.

Option good mends the bushing with a part from NORTH; extras bring what they bring. NORTH: 9.00, SOUTH: 7.00.
"""

from __future__ import annotations

from typing import Any

from quotekit.model.shop_book import ShopBook
from tests import build
from tests.pricing.live.bench import a_job_with, figures, live_of


def shop(*suppliers: object, parts: list[Any] | None = None, rounding: str = "invoice", **values: Any) -> ShopBook:
    """BUSHING from NORTH; extras NEAR (a part of NORTH), FAR and FAR-2 (parts of SOUTH), STOCK (of the shelf)."""
    codes = {"NEAR": "NORTH", "FAR": "SOUTH", "FAR-2": "SOUTH", "STOCK": "SHELF"}
    named: dict[str, Any] = {
        "settings": build.settings(freight_to_customer="this job alone", tax_rounding=rounding),
        "operations": [
            build.an_operation("FIT", parts="BUSHING"),
            *(build.an_operation(f"OP-{code}", "0.1", parts=f"PART-{code}") for code in codes),
        ],
        "parts": [
            build.a_part("BUSHING"),
            *(build.a_part(f"PART-{code}", supplier=supplier) for code, supplier in codes.items()),
            *(parts or []),
        ],
        "extras": [build.an_extra(code, [f"OP-{code}"]) for code in codes],
        "suppliers": [
            *(suppliers or (build.a_supplier("NORTH", freight=9), build.a_supplier("SOUTH", freight=7))),
            build.a_supplier("SHELF", shelf=True, freight=99),
        ],
        "findings": [build.a_finding("WORN")],
        "remedies": [build.a_remedy("NEW-BUSHING", ["WORN"], ["FIT"])],
        "tiers": [build.a_tier("good")],
    }
    return build.a_book(**(named | values))


ALL = a_job_with("NEAR", "FAR", "FAR-2", "STOCK")


def freight(book: ShopBook, *extras: str, tier: str = "good") -> str:
    """Freight of a choice."""
    return figures(book, ALL, tier, *extras)["freight"]


def test_the_option_pays_its_own_freight() -> None:
    assert freight(shop()) == "9.00"


def test_more_from_the_same_supplier_travels_with_it() -> None:
    assert freight(shop(), "NEAR") == "9.00"


def test_flat_freight_of_a_new_supplier_once() -> None:
    """9.00 + 7.00, and not 7.00 again for the second part from SOUTH."""
    assert freight(shop(), "FAR") == freight(shop(), "FAR", "FAR-2") == "16.00"


def test_the_shelf_is_free() -> None:
    assert freight(shop(), "STOCK") == "9.00"


def test_what_the_customer_brings_is_not_ordered() -> None:
    job = a_job_with("FAR", own_parts=("PART-FAR",))
    assert figures(shop(), job, "good", "FAR")["freight"] == "9.00"


def test_thresholds_stay_as_judged_on_the_option_alone() -> None:
    """The bushing costs 10.00, below the minimum of 15.00: 9.00 + 4.00; the extra's 10.00 do not take the 4.00 off.

    At 20.00 and more NORTH sends free; the extra does not reach that for the option either.
    """
    north = build.a_supplier("NORTH", freight=9, minimum_order=15, small_order_fee=4, free_freight_from=20)
    book = shop(north, build.a_supplier("SOUTH", freight=7, minimum_order=50, small_order_fee=5))
    assert freight(book) == freight(book, "NEAR") == "13.00"
    assert freight(book, "FAR") == "20.00"


def test_no_flat_freight_is_no_freight() -> None:
    assert freight(shop(build.a_supplier("NORTH"), build.a_supplier("SOUTH")), "FAR") == "0.00"


def test_extra_freight_is_paid_for_each_pack_that_is_added() -> None:
    """Bushings come in packs of 2, 1.505 extra a pack. The option uses 1: a pack. SPARE uses 1 more: no new pack.

    LOT uses 2 more: 3 bushings, a second pack. Both: 4 bushings, two packs. The extra pack: 1.505 -> 1.51.
    The option's own freight is 9.00 + 1.505 = 10.505 -> 10.51.
    """
    book = shop(
        operations=[
            build.an_operation("FIT", parts="BUSHING"),
            build.an_operation("OP-SPARE", parts="BUSHING"),
            build.an_operation("OP-LOT", parts="BUSHING x 2"),
        ],
        parts=[build.a_part("BUSHING", 10, 2, extra_freight="1.505")],
        extras=[build.an_extra("SPARE", ["OP-SPARE"]), build.an_extra("LOT", ["OP-LOT"])],
    )
    job = a_job_with("SPARE", "LOT")
    found = [figures(book, job, "good", *keys)["freight"] for keys in ((), ("SPARE",), ("LOT",), ("SPARE", "LOT"))]
    assert found == ["10.51", "10.51", "12.02", "12.02"]


def test_packs_of_a_fraction() -> None:
    """Oil in cans of 0.75 l, 2.00 extra a can: 0.75 l is a can, 0.76 l are two."""
    for litres, expected in (("0.75", "2.00"), ("0.76", "4.00"), ("1.5", "4.00"), ("1.51", "6.00")):
        book = shop(
            operations=[build.an_operation("FIT"), build.an_operation("OP-OIL", parts=f"OIL x {litres}")],
            extras=[build.an_extra("NEAR", ["OP-OIL"])],
            parts=[build.a_part("OIL", 3, "0.75", extra_freight=2)],
            suppliers=[build.a_supplier("NORTH")],
        )
        assert figures(book, a_job_with("NEAR"), "good", "NEAR")["freight"] == expected


def test_where_tax_is_rounded_line_by_line_each_supplier_is_a_line() -> None:
    """10 % of 9.05 and of 7.05: 0.905 -> 0.91 and 0.705 -> 0.71 = 1.62; of 16.10 together 1.61."""
    suppliers = (build.a_supplier("NORTH", freight="9.05"), build.a_supplier("SOUTH", freight="7.05"))
    tax = [build.a_tax(charges=["freight"])]
    by_line = figures(shop(*suppliers, rounding="line", taxes=tax), ALL, "good", "FAR")
    together = figures(shop(*suppliers, taxes=tax), ALL, "good", "FAR")
    assert (by_line["freight"], by_line["tax"]) == ("16.10", "1.62")
    assert (together["freight"], together["tax"]) == ("16.10", "1.61")


def test_the_customer_pays_no_freight_where_the_shop_does() -> None:
    live = live_of(shop(settings=build.settings(freight_to_customer="none")), ALL)
    assert live.figures["freight"].formula == 0


def test_no_terms_are_in_the_sums() -> None:
    """Neither a threshold nor a small-order fee can be read from the steps: only freight as charged."""
    north = build.a_supplier("NORTH", freight=9, minimum_order="12345.67", small_order_fee="23.45")
    text = repr([step.formula for step in live_of(shop(north, build.a_supplier("SOUTH")), ALL).steps])
    assert "1234567" not in text and "2345" not in text
