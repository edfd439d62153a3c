"""A belt, and a spring service the customer asked for: a bundle, a discount, and two taxes on different things.

Shop: 80.00 an hour, supplies 6 % of labour, at most 7.00; parts + 50 %.
Taxes: STATE 6 % on parts and supplies, LOCAL 2 % on labour. Discount 10 %, a neighbour.

Labour    belt 0.9, sharpening 0.4, greasing 0.3 = 1.6 x 80.00          = 128.00
Parts     belt 24.00 + 50 % = 36.00, grease 3.00 + 50 % = 4.50          =  40.50
Bundle    sharpening and greasing together, off labour                  = -15.00
Discount  10 % of labour left, 113.00                                   = -11.30
          10 % of parts 40.50                                           =  -4.05
Supplies  6 % of 128.00 = 7.68 (labour before savings), at most         =   7.00
Work                                                                    = 145.15
STATE     parts 40.50 - 4.05 = 36.45, supplies 7.00: 6 % of 43.45       =   2.61  (2.607)
LOCAL     128.00 - 15.00 - 11.30 = 101.70: 2 %                          =   2.03  (2.034)
To pay                                                                  = 149.79
"""

from __future__ import annotations

from typing import Any

from quotekit.model.quote import PricedTier
from tests import build
from tests.pricing.priced import first_tier
from tests.scenarios.bill import bill


def quoted(**job: Any) -> PricedTier:
    """The first option with the service asked for."""
    book = build.a_book(
        settings=build.settings(supplies_percent_of_labour="0.06", supplies_cap=7),
        labour_rates=[build.a_rate("MAIN", 80)],
        operations=[
            build.an_operation("FIT-BELT", "0.9", parts="BELT"),
            build.an_operation("SHARPEN", "0.4"),
            build.an_operation("GREASE", "0.3", parts="GREASE"),
        ],
        parts=[build.a_part("BELT", 24), build.a_part("GREASE", 3)],
        findings=[build.a_finding("FRAYED")],
        remedies=[build.a_remedy("NEW-BELT", ["FRAYED"], ["FIT-BELT"])],
        extras=[build.an_extra("SHARPENING", ["SHARPEN"]), build.an_extra("GREASING", ["GREASE"])],
        bundles=[build.a_bundle("SPRING", ["SHARPENING", "GREASING"], "labour amount off", 15)],
        taxes=[build.a_tax("STATE", "0.06", ["parts", "supplies"]), build.a_tax("LOCAL", "0.02", ["labour"])],
    )
    asked = [build.a_job_extra(code, asked=True) for code in ("SHARPENING", "GREASING")]
    return first_tier(book, build.a_finding_on("FRAYED"), extras=asked, **job)


def test_the_bill() -> None:
    """As added up above."""
    tier = quoted(discount_percent="0.1", discount_reason="a neighbour")
    assert bill(tier) == {
        "labour": "128.00",
        "parts": "40.50",
        "savings": "-30.35",
        "supplies": "7.00",
        "subtotal": "145.15",
        "tax": "4.64",
        "total": "149.79",
    }
    assert [(line.tax, str(line.base), str(line.amount)) for line in tier.taxes] == [
        ("STATE", "43.45", "2.61"),
        ("LOCAL", "101.70", "2.03"),
    ]


def test_each_saving_is_a_line() -> None:
    """The bundle first, then the discount on what it leaves of labour, and on parts."""
    tier = quoted(discount_percent="0.1")
    assert [(line.key, str(line.amount)) for line in tier.saving_lines] == [
        ("SPRING", "-15.00"),
        ("DISCOUNT-LABOUR", "-11.30"),
        ("DISCOUNT-PARTS", "-4.05"),
    ]


def test_without_discount_and_exempt() -> None:
    """128.00 + 40.50 - 15.00 + 7.00 = 160.50, and no tax with a certificate."""
    tier = quoted(customer_class="exempt", exemption_certificate="E-1")
    assert (str(tier.subtotal), str(tier.tax), str(tier.total)) == ("160.50", "0.00", "160.50")
