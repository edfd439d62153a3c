"""The order of money up to the work (DESIGN.md 5.5 items 1 to 7), by hand."""

from __future__ import annotations

from typing import Any

import pytest

from quotekit.pricing.charges import price_items
from tests import build
from tests.pricing.priced import items_named, price, texts


@pytest.mark.parametrize(
    ("hours", "rate", "amount"), [("0.3", "95.50", "28.65"), ("0.7", "77.77", "54.44"), ("0.5", "33.33", "16.67")]
)
def test_a_labour_line_is_billed_hours_by_the_rate_rounded(hours: str, rate: str, amount: str) -> None:
    """0.7 x 77.77 = 54.439; 0.5 x 33.33 = 16.665."""
    book = build.a_book(labour_rates=[build.a_rate(rate=rate)], operations=[build.an_operation("FIT", hours)])
    assert {code: str(value) for code, value in price(book, "FIT").charges.labour.items()} == {"MAIN": amount}


@pytest.mark.parametrize(
    ("cost", "markup", "amount"), [("80", "0", "80.00"), ("80", "0.15", "92.00"), ("33.33", "0.1", "36.66")]
)
def test_sublet_is_its_cost_with_the_sublet_markup(cost: str, markup: str, amount: str) -> None:
    """33.33 x 1.1 = 36.663."""
    book = build.a_book(
        settings=build.settings(sublet_markup=markup), operations=[build.an_operation("PLATE", 0, sublet_cost=cost)]
    )
    assert {code: str(value) for code, value in price(book, "PLATE").charges.sublet.items()} == {"PLATE": amount}


@pytest.mark.parametrize(
    ("values", "amount"),
    [({"unit_cost": 40}, "88.00"), ({"unit_cost": 40, "unit_price": 50}, "100.00"), ({"unit_price": 50}, "100.00")],
)
def test_a_one_off_sublet_by_cost_or_price(values: dict[str, int], amount: str) -> None:
    """2 x 40 x 1.1; a unit price needs no markup."""
    job = build.a_job(one_off=[build.a_one_off(1, "sublet", 2, **values)])
    book = build.a_book(settings=build.settings(sublet_markup="0.1"))
    assert {code: str(value) for code, value in price(book, "ONEOFF-1", job=job).charges.sublet.items()} == {
        "ONEOFF-1": amount
    }


@pytest.mark.parametrize(
    ("values", "supplies"),
    [
        ({}, "0.00"),
        ({"supplies_percent_of_labour": "0.05"}, "7.50"),
        ({"supplies_percent_of_labour": "0.05", "supplies_cap": "6"}, "6.00"),
        ({"supplies_percent_of_labour": "0.05", "supplies_cap": "8"}, "7.50"),
        ({"supplies_percent_of_labour": "0.0333"}, "5.00"),
        ({"supplies_percent_of_labour": "0.05", "supplies_shown_as": "off"}, "0.00"),
        ({"supplies_percent_of_labour": "0.05", "minimum_labour_hours": 2}, "10.00"),
    ],
)
def test_supplies_are_a_percent_of_labour_at_most_the_cap(values: dict[str, Any], supplies: str) -> None:
    """1.5 hours at 100; 3.33 % is 4.995, so 5.00; the minimum line counts as labour."""
    book = build.a_book(settings=build.settings(**values), operations=[build.an_operation("FIT", "1.5")])
    assert str(price(book, "FIT").charges.supplies) == supplies


def test_supplies_are_before_savings() -> None:
    """A bundle takes 100 of labour off; supplies stay 5 % of 150."""
    book = build.a_book(
        settings=build.settings(supplies_percent_of_labour="0.05"),
        operations=[build.an_operation("FIT", "1.5")],
        remedies=[build.a_remedy("NEW", ["WORN"], ["FIT"])],
        bundles=[build.a_bundle("GIFT", ["NEW"], "labour amount off", 100)],
    )
    assert str(price(book, "NEW").charges.supplies) == "7.50"


def a_full_book() -> Any:
    """One of everything."""
    return build.a_book(
        settings=build.settings(
            minimum_labour_hours=2,
            supplies_percent_of_labour="0.04",
            sublet_markup="0.1",
            freight_to_customer="this job alone",
        ),
        labour_rates=[build.a_rate(), build.a_rate("WELD", 120)],
        access=[build.a_step("COVER", "0.2", "0.3", parts="GASKET")],
        operations=[
            build.an_operation("FIT", "0.4", access=["COVER"], parts="PUMP"),
            build.an_operation("JOIN", "0.35", labour="WELD", sublet_cost=30),
        ],
        parts=[build.a_part("PUMP", 50, core_charge=15), build.a_part("GASKET", 2)],
        suppliers=[build.a_supplier(freight=9)],
        remedies=[build.a_remedy("NEW", ["WORN"], ["FIT", "JOIN"])],
        bundles=[build.a_bundle("GIFT", ["NEW"], "parts amount off", 8)],
        fees=[build.a_fee("WASTE", 4, applies_to=["FIT"]), build.a_fee("PICKUP", 2, unit="mile")],
    )


def test_the_work_is_the_sum_of_one_to_seven() -> None:
    """MAIN 0.9 = 90, WELD 0.4 = 48, minimum 0.7 = 70: labour 208. Parts 75 + 3, core 15, sublet 33.

    Bundle 8; discount 5 % of 208 = 10.40 and of 70 = 3.50. Supplies 4 % of 208 = 8.32, fee 4, freight 9.
    208 + 78 + 15 + 33 - 8 - 10.40 - 3.50 + 8.32 + 4 + 9 = 333.42.
    """
    job = build.a_job(old_parts="keep", discount_percent="0.05", discount_reason="Club")
    charges = price(a_full_book(), "NEW", job=job).charges
    assert texts(charges.labour_total, charges.minimum, charges.parts_total) == ["208.00", "70.00", "78.00"]
    assert [(saving.key, str(saving.amount)) for saving in charges.savings] == [
        ("GIFT", "8.00"),
        ("DISCOUNT-LABOUR", "10.40"),
        ("DISCOUNT-PARTS", "3.50"),
    ]
    assert texts(charges.supplies, charges.total) == ["8.32", "333.42"]
    assert charges.packs == {"GASKET": 1, "PUMP": 1}


def test_stand_alone_work_leaves_out_bundles_discount_and_the_jobs_own_fees() -> None:
    """208 + 78 + 15 + 33 + 8.32 + 4 + 9 = 355.32: fees by operation count, the job's pickup does not."""
    job = build.a_job(old_parts="keep", discount_percent="0.05", discount_reason="Club", fees="PICKUP x 3")
    book = a_full_book()
    found = price(book, "NEW", job=job)
    alone = price_items(found.basis, items_named(found.setup, ["NEW"]), found.setup.always, alone=True)
    assert str(alone.total) == "355.32"


@pytest.mark.parametrize(("currency", "labour"), [("JPY", "5423"), ("USD", "5422.50"), ("KWD", "5422.500")])
def test_every_amount_has_the_digits_of_the_currency(currency: str, labour: str) -> None:
    """0.5 x 10845 = 5422.5: in yen rounded half up."""
    book = build.a_book(
        settings=build.settings(currency=currency),
        labour_rates=[build.a_rate(rate=10845)],
        operations=[build.an_operation("FIT", "0.5")],
    )
    charges = price(book, "FIT").charges
    assert str(charges.labour["MAIN"]) == labour


def test_nothing_costs_nothing() -> None:
    charges = price(build.a_book()).charges
    assert charges.total == 0
    assert (charges.labour, charges.parts, charges.sublet, charges.fees) == ({}, [], {}, [])
