"""A two-stage snow thrower with worn auger bushings on both sides, rusted.

Shop: 92.00 an hour (costs it 40.00), steps of 0.1 h, supplies 5 % of labour, 6 % tax on parts and supplies.

Hours    cover off and on, once                 0.2 + 0.2 = 0.4
         auger side out and in, left and right  0.7 + 0.7 = 1.4
         bushings left 0.6, right 0.45 (the hand is in)   = 1.05
         rust 25 % of 1.05 (below its 0.5 h)              = 0.2625
         together 3.1125, billed 3.2 x 92.00              = 294.40
Parts    4 bushings: a pack of 6 costs 21.00, 3.50 each, + 100 % = 7.00   4 x 7.00 = 28.00
         2 pins, one each time a side is opened: 4.00 for 10, + 100 %     2 x 0.80 =  1.60
Supplies 5 % of 294.40                          = 14.72
Work     294.40 + 29.60 + 14.72                 = 338.72
Tax      6 % of 29.60 + 14.72 = 44.32           =   2.66  (2.6592)
To pay                                          = 341.38
"""

from __future__ import annotations

from quotekit.model.quote import PricedTier
from quotekit.model.shop_book import ShopBook
from tests import build
from tests.pricing.priced import first_tier, texts
from tests.scenarios.bill import bill, parts_bill


def shop() -> ShopBook:
    """The shop above."""
    return build.a_book(
        settings=build.settings(supplies_percent_of_labour="0.05"),
        labour_rates=[build.a_rate("MAIN", 92, 40)],
        conditions=[build.a_condition("RUSTY", "0.25", at_most_hours="0.5")],
        access=[
            build.a_step("COVER", "0.2", "0.2"),
            build.a_step("AUGER", "0.3", "0.4", needs=["COVER"], each_side=True, parts="PIN"),
        ],
        operations=[
            build.an_operation(
                "FIT-BUSHINGS",
                "0.6",
                second_side_hours="0.45",
                each_side=True,
                slowed_by_rust=True,
                access=["AUGER"],
                parts="BUSHING x 2",
            )
        ],
        parts=[build.a_part("BUSHING", 21, 6), build.a_part("PIN", 4, 10)],
        markup=[build.a_band(0, 5, 1), build.a_band(5, None, "0.6")],
        findings=[build.a_finding("WORN")],
        remedies=[build.a_remedy("NEW-BUSHINGS", ["WORN"], ["FIT-BUSHINGS"])],
        taxes=[build.a_tax("STATE", "0.06", ["parts", "supplies"])],
    )


def quoted() -> PricedTier:
    """The first option."""
    findings = [build.a_finding_on("WORN", side) for side in ("left", "right")]
    return first_tier(shop(), *findings, condition="RUSTY")


def test_the_bill() -> None:
    """As added up above."""
    tier = quoted()
    assert bill(tier) == {
        "labour": "294.40",
        "parts": "29.60",
        "supplies": "14.72",
        "subtotal": "338.72",
        "tax": "2.66",
        "total": "341.38",
    }
    assert parts_bill(tier) == {"BUSHING": "28.00", "PIN": "1.60"}


def test_each_side_pays_its_own_and_half_the_cover() -> None:
    """Left 0.2 + 0.7 + 0.6 + 0.15 = 1.65 h, right 0.2 + 0.7 + 0.45 + 0.1125 = 1.4625 h of 3.1125.

    294.40 x 1.65 / 3.1125 = 156.07 (156.0675); the rest is 138.33. Parts 14.80 each.
    """
    left, right = quoted().shares
    assert (left.item, right.item) == ("NEW-BUSHINGS@left", "NEW-BUSHINGS@right")
    assert texts(left.hours, left.labour, left.parts, left.amount) == ["1.6500", "156.07", "14.80", "170.87"]
    assert texts(right.hours, right.labour, right.parts, right.amount) == ["1.4625", "138.33", "14.80", "153.13"]


def test_what_the_shop_has_in_it() -> None:
    """Hours worked 3.1125 x 40.00 = 124.50; parts used 4 x 3.50 + 2 x 0.40 = 14.80; whole packs 21.00 + 4.00.

    338.72 - 124.50 - 14.80 = 199.42 before tax.
    """
    tier = quoted()
    assert texts(tier.cost.labour, tier.cost.parts_used, tier.cost.total) == ["124.50", "14.80", "139.30"]
    assert texts(tier.cash_for_parts, tier.margin) == ["25.00", "199.42"]


def test_the_right_side_alone() -> None:
    """0.4 + 0.7 + 0.6 + 0.15 = 1.85 h, billed 1.9 x 92.00 = 174.80: the first side done takes the first side's hours.

    Parts 2 x 7.00 + 0.80 = 14.80; supplies 8.74; tax 6 % of 23.54 = 1.41 (1.4124); 198.34 + 1.41 = 199.75.
    """
    assert bill(first_tier(shop(), build.a_finding_on("WORN", "right"), condition="RUSTY")) == {
        "labour": "174.80",
        "parts": "14.80",
        "supplies": "8.74",
        "subtotal": "198.34",
        "tax": "1.41",
        "total": "199.75",
    }
