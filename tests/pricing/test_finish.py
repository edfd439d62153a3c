"""A tier's charges laid open: lines add up, opening has its own amount, costs say when they are not known."""

from __future__ import annotations

from dataclasses import astuple
from decimal import Decimal
from typing import Any

import pytest

from quotekit.model.quote import PricedTier
from quotekit.pricing import build_quote
from tests import build
from tests.pricing.priced import texts


def the_tier(job: dict[str, Any] | None = None, **values: Any) -> PricedTier:
    """A belt of one hour behind a cover of half an hour."""
    book = build.a_book(
        **{
            "access": [build.a_step("COVER", "0.2", "0.3")],
            "operations": [build.an_operation("FIT-BELT", 1, access=["COVER"], parts="BELT")],
            "parts": [build.a_part("BELT", 10)],
            "findings": [build.a_finding("FRAYED")],
            "remedies": [build.a_remedy("NEW-BELT", ["FRAYED"], ["FIT-BELT"])],
            "tiers": [build.a_tier("good")],
        }
        | values
    )
    return build_quote(book, build.a_job(build.a_finding_on("FRAYED"), **(job or {}))).tiers[0]


EVERYTHING: dict[str, Any] = {
    "settings": build.settings(
        minimum_labour_hours=2,
        supplies_percent_of_labour=Decimal("0.05"),
        sublet_markup=Decimal("0.1"),
        freight_to_customer="this job alone",
        inspection_fee=40,
        inspection_fee_credited="when work goes ahead",
    ),
    "operations": [build.an_operation("FIT-BELT", 1, access=["COVER"], parts="BELT", sublet_cost=30)],
    "parts": [build.a_part("BELT", 10, core_charge=4)],
    "suppliers": [build.a_supplier(freight=12)],
    "fees": [build.a_fee("WASTE", 3, applies_to=["FIT-BELT"])],
    "job": {
        "old_parts": "keep",
        "discount_percent": Decimal("0.1"),
        "discount_reason": "A friend",
        "one_off": [build.a_one_off(1, "charge", 2, unit_price="7.50")],
    },
}


def test_every_charge_of_the_order_of_money() -> None:
    """Worked by hand: 150 and 50 to the minimum; 15; core 4; 30 x 1.1; a tenth of 200 and of 15; 5 % of 200; 3 + 15."""
    amounts = the_tier(**EVERYTHING).amounts
    assert texts(*astuple(amounts)) == [
        "200.00",  # labour
        "15.00",  # parts
        "4.00",  # cores
        "33.00",  # sublet
        "-21.50",  # savings
        "10.00",  # supplies
        "18.00",  # fees and charges
        "12.00",  # freight
        "40.00",  # inspection
        "-40.00",  # its credit
    ]


def test_the_amounts_add_up_to_the_subtotal() -> None:
    """And without the inspection to the work."""
    tier = the_tier(**EVERYTHING)
    assert sum(astuple(tier.amounts)) == tier.subtotal == Decimal("270.50")
    assert tier.work == tier.subtotal - tier.amounts.inspection - tier.amounts.inspection_credit


def test_the_lines_add_up_to_their_amounts() -> None:
    """No amount without a line that says what it is."""
    tier, zero = the_tier(**EVERYTHING), Decimal(0)
    amounts = tier.amounts
    assert sum((line.amount for line in tier.labour_lines), tier.minimum_amount) == amounts.labour
    assert sum((line.amount for line in tier.part_lines), zero) == amounts.parts
    assert sum((line.core_charge for line in tier.part_lines), zero) == amounts.cores
    assert sum((line.amount for line in tier.sublet_lines), zero) == amounts.sublet
    assert sum((line.amount for line in tier.saving_lines), zero) == amounts.savings
    assert sum((line.amount for line in tier.fee_lines), zero) == amounts.fees
    assert sum((line.amount for line in tier.freight_lines), zero) == amounts.freight


def test_fees_come_before_one_off_charges() -> None:
    """With their quantities."""
    lines = the_tier(**EVERYTHING).fee_lines
    assert [(line.key, str(line.quantity), str(line.amount)) for line in lines] == [
        ("WASTE", "1", "3.00"),
        ("ONEOFF-1", "2", "15.00"),
    ]


@pytest.mark.parametrize(
    ("minimum", "condition", "amount"),
    [
        (0, None, "50.00"),
        (0, "RUSTY", "51.43"),  # 1.5 h and a quarter of an hour, billed 1.8: 180 x 0.5 / 1.75
        (3, None, "100.00"),  # the minimum's 150 is shared in the same proportion: 50 + 50
    ],
)
def test_what_opening_and_closing_comes_to(minimum: int, condition: str | None, amount: str) -> None:
    """By exact hours: half an hour of access and one of work."""
    tier = the_tier(
        {"condition": condition},
        settings=build.settings(minimum_labour_hours=minimum),
        conditions=[build.a_condition()],
        operations=[build.an_operation("FIT-BELT", 1, access=["COVER"], slowed_by_rust=True)],
    )
    assert str(tier.opening_amount) == amount


def test_opening_without_access_is_nothing() -> None:
    """Also where the minimum is billed."""
    tier = the_tier(operations=[build.an_operation("FIT-BELT", 1)], settings=build.settings(minimum_labour_hours=2))
    assert (str(tier.opening_amount), str(tier.amounts.labour)) == ("0.00", "200.00")


def test_what_it_costs_the_shop() -> None:
    """1.5 h worked at 40; a belt at 10; 30 sent out; the core; freight of the order."""
    cost = the_tier(**EVERYTHING).cost
    assert texts(*astuple(cost)) == ["60.00", "10.00", "4.00", "30.00", "12.00", "116.00"]
    assert str(the_tier(**EVERYTHING).margin) == "154.50"


def test_labour_cost_counts_hours_worked() -> None:
    """1.51 h are billed as 1.6 and cost as 1.51: 60.40."""
    tier = the_tier(operations=[build.an_operation("FIT-BELT", "1.01", access=["COVER"])])
    assert texts(tier.amounts.labour, tier.cost.labour) == ["160.00", "60.40"]


def test_cost_counts_units_and_cash_counts_packs() -> None:
    """Three of a pack of eight at 10.00: 3.75 used, 10.00 to spend."""
    tier = the_tier(
        operations=[build.an_operation("FIT-BELT", 1, parts="CLIP x 3")], parts=[build.a_part("CLIP", 10, 8)]
    )
    assert texts(tier.cost.parts_used, tier.cash_for_parts) == ["3.75", "10.00"]


def test_freight_costs_the_shop_also_where_it_is_not_charged() -> None:
    """None to the customer, 12 to the supplier."""
    tier = the_tier(suppliers=[build.a_supplier(freight=12)])
    assert texts(tier.amounts.freight, tier.cost.freight) == ["0.00", "12.00"]
    assert [texts(line.amount, line.cost) for line in tier.freight_lines] == [["0.00", "12.00"]]


@pytest.mark.parametrize(
    ("values", "labour", "parts", "sublet"),
    [
        ({"labour_rates": [build.a_rate(cost=None)]}, "null", "10.00", "0.00"),
        ({"job": {"one_off": [build.a_one_off(1, "part", unit_price=9)]}}, "60.00", "null", "0.00"),
        ({"job": {"one_off": [build.a_one_off(1, "sublet", unit_price=9)]}}, "60.00", "10.00", "null"),
    ],
)
def test_an_unknown_cost_leaves_the_margin_unknown(
    values: dict[str, Any], labour: str, parts: str, sublet: str
) -> None:
    """Never taken for zero: a margin that counts a missing cost as nothing would mislead."""
    tier = the_tier(**values)
    assert texts(tier.cost.labour, tier.cost.parts_used, tier.cost.sublet) == [labour, parts, sublet]
    assert texts(tier.cost.total, tier.margin) == ["null", "null"]


def test_lives_are_as_stated() -> None:
    """Beyond the horizon too, and null where not stated: the paper must not invent years."""
    for life, stated in ((9, Decimal(9)), (None, None)):
        remedies = [build.a_remedy("NEW-BELT", ["FRAYED"], ["FIT-BELT"], life_years=life)]
        assert the_tier(remedies=remedies).lives == {"FRAYED": stated}


def test_an_hours_off_bundle_has_no_amount() -> None:
    """It is in the hours; a bundle of money is a negative line."""
    bundles = [
        build.a_bundle("HOUR", ["NEW-BELT", "WASHED"], "hours off", "0.5"),
        build.a_bundle("MONEY", ["NEW-BELT", "WASHED"], "labour amount off", 20),
    ]
    tier = the_tier(
        {"extras": [build.a_job_extra("WASHED", asked=True)]},
        operations=[build.an_operation("FIT-BELT", 1, access=["COVER"]), build.an_operation("WASH", 1)],
        extras=[build.an_extra("WASHED", ["WASH"])],
        bundles=bundles,
    )
    assert tier.bundles == (("HOUR", None), ("MONEY", Decimal(-20)))
    assert [(line.key, str(line.amount)) for line in tier.saving_lines] == [("HOUR", "0.00"), ("MONEY", "-20.00")]
    assert texts(tier.hours.off, tier.amounts.labour, tier.amounts.savings) == ["0.5", "200.00", "-20.00"]
