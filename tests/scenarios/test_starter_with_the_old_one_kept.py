"""A starter motor that was superseded, with gaskets and a core charge; the customer keeps the old parts.

Shop: 90.00 an hour; parts up to 5.00 + 100 %, over + 40 %; 5 % tax on parts.

Labour   starter 0.8, belt 0.4 = 1.2 x 90.00                                      = 108.00
Parts    STARTER stands for OLD-STARTER: 75.00 + 40 %                             = 105.00
         2 gaskets it also needs: 1.20 + 100 % = 2.40                             =   4.80
         belt: the customer brought it                                            =   0.00
Core     kept, so charged                                                         =  25.00
Work                                                                              = 242.80
Tax      5 % of 109.80                                                            =   5.49
To pay                                                                            = 248.29
"""

from __future__ import annotations

from typing import Any

from quotekit.model.quote import PricedTier
from tests import build
from tests.pricing.priced import first_tier
from tests.scenarios.bill import bill, parts_bill


def quoted(**job: Any) -> PricedTier:
    """The only option."""
    book = build.a_book(
        labour_rates=[build.a_rate("MAIN", 90)],
        operations=[
            build.an_operation("FIT-STARTER", "0.8", parts="OLD-STARTER"),
            build.an_operation("FIT-BELT", "0.4", parts="BELT"),
        ],
        parts=[
            build.a_part("OLD-STARTER", 70, replaced_by="STARTER"),
            build.a_part("STARTER", 75, core_charge=25, also_needs="GASKET x 2"),
            build.a_part("GASKET", "1.20"),
            build.a_part("BELT", 12),
        ],
        markup=[build.a_band(0, 5, 1), build.a_band(5, None, "0.4")],
        findings=[build.a_finding("NO-START"), build.a_finding("FRAYED")],
        remedies=[
            build.a_remedy("NEW-STARTER", ["NO-START"], ["FIT-STARTER"]),
            build.a_remedy("NEW-BELT", ["FRAYED"], ["FIT-BELT"]),
        ],
        taxes=[build.a_tax("STATE", "0.05", ["parts"])],
    )
    return first_tier(book, build.a_finding_on("NO-START"), build.a_finding_on("FRAYED"), **job)


def test_the_bill() -> None:
    """As added up above; a core charge is not a part for the tax."""
    tier = quoted(old_parts="keep", own_parts=["BELT"])
    assert bill(tier) == {
        "labour": "108.00",
        "parts": "109.80",
        "cores": "25.00",
        "subtotal": "242.80",
        "tax": "5.49",
        "total": "248.29",
    }
    assert parts_bill(tier) == {"BELT": "0.00", "GASKET": "4.80", "STARTER": "105.00"}


def test_old_parts_left_with_the_shop_cost_no_core() -> None:
    """Belt bought here, 12.00 + 40 % = 16.80: 108.00 + 126.60 = 234.60, tax 6.33, 240.93."""
    tier = quoted(old_parts="dispose")
    assert bill(tier) == {
        "labour": "108.00",
        "parts": "126.60",
        "subtotal": "234.60",
        "tax": "6.33",
        "total": "240.93",
    }


def test_a_starter_the_customer_brought_under_its_old_number() -> None:
    """Nothing for it and no core; its gaskets are still bought: 108.00 + 4.80 + 16.80 = 129.60, tax 1.08."""
    tier = quoted(old_parts="keep", own_parts=["OLD-STARTER"])
    assert parts_bill(tier) == {"BELT": "16.80", "GASKET": "4.80", "STARTER": "0.00"}
    assert bill(tier) == {
        "labour": "108.00",
        "parts": "21.60",
        "subtotal": "129.60",
        "tax": "1.08",
        "total": "130.68",
    }
