"""Savings, supplies, fees, freight, inspection and deposit: the order of money, checked with a pencil."""

from __future__ import annotations

from decimal import Decimal
from typing import Any

import pytest

from quotekit.model.shop_book import ShopBook
from tests import build
from tests.scenarios.hill_road import bill_for, hill_road, money, quote_for, with_settings

BOTH = ("WORN-BUSH@left", "FRAYED-BELT")
"""0.7 + 0.6 + 0.3 = 1.6 hours, 153.60; bushings 12.00 and a belt 32.00: 197.60."""


@pytest.mark.parametrize(
    ("saving", "value", "savings", "total"),
    [
        ("hours off", "0.2", None, "178.40"),
        ("labour amount off", 15, "-15.00", "182.60"),
        ("parts amount off", 5, "-5.00", "192.60"),
        ("percent off parts", "0.1", "-4.40", "193.20"),
    ],
)
def test_a_bundle_of_each_kind(saving: Any, value: Any, savings: str | None, total: str) -> None:
    """Belt and bushing together.

    Without: 197.60. 0.2 hours off: 1.4 x 96.00 = 134.40 + 44.00 = 178.40. 15.00 off labour. 5.00 off parts.
    10 % off the parts of 44.00 is 4.40.
    Common practice, no source.
    """
    book = hill_road(bundles=[build.a_bundle("TOGETHER", ["NEW-BUSH", "NEW-BELT"], saving, value)])
    tier = bill_for(book, *BOTH)
    assert money(tier).get("savings") == savings
    assert str(tier.total) == total
    assert money(bill_for(book, "FRAYED-BELT")) == {"labour": "96.00", "parts": "32.00", "total": "128.00"}


def test_a_discount_comes_after_the_savings() -> None:
    """A neighbour gets 10 % off what a bundle of 15.00 off labour leaves.

    Labour 153.60 - 15.00 = 138.60, 10 % is 13.86. Parts 44.00, 10 % is 4.40. 197.60 - 15.00 - 13.86 - 4.40 = 164.34.
    Common practice, no source.
    """
    book = hill_road(bundles=[build.a_bundle("TOGETHER", ["NEW-BUSH", "NEW-BELT"], "labour amount off", 15)])
    tier = bill_for(book, *BOTH, discount_percent="0.1", discount_reason="Neighbour")
    assert money(tier) == {"labour": "153.60", "parts": "44.00", "savings": "-33.26", "total": "164.34"}


@pytest.mark.parametrize(
    ("cap", "supplies", "total"), [(None, "7.68", "205.28"), (6, "6.00", "203.60"), (8, "7.68", "205.28")]
)
def test_supplies_are_capped(cap: int | None, supplies: str, total: str) -> None:
    """5 % of labour 153.60 is 7.68, at most the cap. Common practice, no source."""
    tier = bill_for(with_settings(supplies_percent_of_labour="0.05", supplies_cap=cap), *BOTH)
    assert (money(tier)["supplies"], money(tier)["total"]) == (supplies, total)


def a_shop_with_fees() -> ShopBook:
    """Oil disposal with the seal, a shop fee always, pickup by the mile."""
    return hill_road(
        fees=[
            build.a_fee("OIL", "3.50", applies_to=["SEAL"]),
            build.a_fee("SHOP", 2, always=True),
            build.a_fee("PICKUP", "1.60", unit="mile"),
        ]
    )


@pytest.mark.parametrize(
    ("faults", "given", "fees"),
    [
        (["LEAKING-SEAL"], "", "5.50"),
        (["FRAYED-BELT"], "", "2.00"),
        (["FRAYED-BELT"], "PICKUP x 12", "21.20"),
        (["LEAKING-SEAL"], "OIL x 0", "2.00"),
        (["LEAKING-SEAL"], "OIL x 0; SHOP x 0", None),
        (["LEAKING-SEAL"], "OIL x 2", "9.00"),
    ],
)
def test_fees_by_operation_always_by_the_job_and_waived(faults: list[str], given: str, fees: str | None) -> None:
    """Oil 3.50 with the seal, 2.00 always, 12 miles x 1.60 = 19.20; `x 0` waives, `x 2` doubles.

    Common practice, no source.
    """
    assert money(bill_for(a_shop_with_fees(), *faults, fees=given)).get("fees") == fees


def a_shop_with_freight(**part: Any) -> ShopBook:
    """The belt comes from a supplier with freight 9.50, free from 60.00; under 25.00 there is a fee of 4.00."""
    plain = hill_road()
    far = build.a_supplier("NORTH", freight="9.50", free_freight_from=60, minimum_order=25, small_order_fee=4)
    return hill_road(
        settings=build.settings(freight_to_customer="this job alone"),
        suppliers=[far, build.a_supplier("SHELF", shelf=True)],
        parts=[*plain.parts.values(), build.a_part("BELT", **({"pack_cost": 20} | part))],
    )


@pytest.mark.parametrize(
    ("part", "freight", "total"),
    [
        ({"pack_cost": 20}, "13.50", "141.50"),
        ({"pack_cost": 25}, "9.50", "145.50"),
        ({"pack_cost": 60}, None, "177.00"),
        ({"pack_cost": 60, "extra_freight": 7}, "7.00", "184.00"),
        ({"supplier": "SHELF"}, None, "128.00"),
    ],
)
def test_freight_thresholds_and_the_shelf(part: dict[str, Any], freight: str | None, total: str) -> None:
    """The belt alone, 96.00 of labour.

    At 20.00: below the minimum, 9.50 + 4.00; sold 32.00. At 25.00: 9.50; sold 40.00. At 60.00: free; sold 81.00.
    A long parcel costs 7.00 extra even then. From the shop's own shelf nothing. Common practice, no source.
    """
    tier = bill_for(a_shop_with_freight(**part), "FRAYED-BELT")
    assert (money(tier).get("freight"), str(tier.total)) == (freight, total)


@pytest.mark.parametrize(
    ("rule", "expected"),
    [
        ("never", {"labour": "96.00", "parts": "32.00", "inspection": "45.00", "total": "173.00"}),
        (
            "when work goes ahead",
            {
                "labour": "96.00",
                "parts": "32.00",
                "inspection": "45.00",
                "inspection_credit": "-45.00",
                "total": "128.00",
            },
        ),
        (Decimal(150), {"labour": "96.00", "parts": "32.00", "inspection": "45.00", "total": "173.00"}),
        (
            Decimal(128),
            {
                "labour": "96.00",
                "parts": "32.00",
                "inspection": "45.00",
                "inspection_credit": "-45.00",
                "total": "128.00",
            },
        ),
    ],
)
def test_the_inspection_fee_and_its_credit(rule: Any, expected: dict[str, str]) -> None:
    """45.00 for looking; the belt work comes to 128.00.

    Credited never; always; from 150.00, which is not reached; from 128.00, which is just reached.
    Common practice, no source.
    """
    book = with_settings(inspection_fee=45, inspection_fee_credited=rule)
    assert money(bill_for(book, "FRAYED-BELT")) == expected


def test_a_deposit_with_parts_that_cannot_be_returned() -> None:
    """Half of ordered parts, all of what cannot go back, nothing on shelf stock; before the discount and before tax.

    Belt ordered 32.00 x 50 % = 16.00; an electric starter cord, not returnable, 18.00 x 1.6 = 28.80: 44.80.
    The shoes are of the shelf. Labour 0.7 + 0.3 + 0.2 + 0.4 = 1.6 x 96.00 = 153.60, parts 32.00 + 28.80 + 30.00;
    10 % off, tax 5 %:
    153.60 + 90.80 - 15.36 - 9.08 = 219.96, tax 11.00 (10.998): 230.96, less 50.00 paid. Common practice, no source.
    """
    plain = hill_road()
    book = hill_road(
        settings=build.settings(deposit_on_ordered_parts="0.5", deposit_on_non_returnable_parts=1),
        operations=[*plain.operations.values(), build.an_operation("CORD", "0.4", parts="CORD")],
        parts=[
            *plain.parts.values(),
            build.a_part("CORD", 18, returnable=False),
            build.a_part("SHOE", 15, 2, supplier="SHELF"),
        ],
        findings=[*plain.findings.values(), build.a_finding("NO-START")],
        remedies=[*plain.remedies.values(), build.a_remedy("NEW-CORD", ["NO-START"], ["CORD"])],
        taxes=[build.a_tax(rate="0.05")],
    )
    tier = bill_for(
        book,
        "FRAYED-BELT",
        "NO-START",
        "WORN-SHOES",
        discount_percent="0.1",
        discount_reason="Neighbour",
        paid_so_far=50,
    )
    assert (str(tier.deposit), str(tier.total), str(tier.due)) == ("44.80", "230.96", "180.96")


def test_what_a_no_costs() -> None:
    """Inspection 45.00 and putting it back together 0.7 hours x 96.00 = 67.20; labour is taxed 6 %, inspection is not.

    45.00 + 67.20 + 4.03 (4.032) = 116.23. Common practice, no source.
    """
    book = hill_road(settings=build.settings(inspection_fee=45), taxes=[build.a_tax("STATE", "0.06", ["labour"])])
    no = quote_for(book, "FRAYED-BELT", reassembly_hours="0.7").declined
    assert [str(value) for value in (no.inspection, no.reassembly, no.tax, no.total)] == [
        "45.00",
        "67.20",
        "4.03",
        "116.23",
    ]


def test_one_off_lines_of_every_kind() -> None:
    """Nothing of this is in the book; sublet markup 15 %, a charge as it is.

    Straighten 1.5 hours behind the housing: (0.7 + 1.5) x 96.00 = 211.20. A bracket at 8.00 doubled 16.00, two: 32.00.
    Grinding sent out, 40.00 x 1.15 = 46.00. Long-distance call-out 25.00. 211.20 + 32.00 + 46.00 + 25.00 = 314.20.
    Common practice, no source.
    """
    lines = [
        build.a_one_off(1, "labour", "1.5", access=["HOUSING"]),
        build.a_one_off(2, "part", 2, unit_cost=8),
        build.a_one_off(3, "sublet", 1, unit_cost=40),
        build.a_one_off(4, "charge", 1, unit_price=25),
    ]
    tier = bill_for(with_settings(sublet_markup="0.15"), one_off=lines)
    assert money(tier) == {
        "labour": "211.20",
        "parts": "32.00",
        "sublet": "46.00",
        "fees": "25.00",
        "total": "314.20",
    }
