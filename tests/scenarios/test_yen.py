"""A pulley in a shop that counts in yen: no decimals anywhere, half a yen goes up.

Shop: 6500 an hour, supplies 3 % of labour, parts + 50 %, 10 % tax on all.

Labour   1.3 x 6500                                              =  8450
Parts    1000 for a pack of 3: 333.33... each + 50 % = 500, x 2  =  1000
Supplies 3 % of 8450 = 253.5                                     =   254
Work                                                             =  9704
Tax      10 % of 9704 = 970.4                                    =   970
To pay                                                           = 10674
"""

from __future__ import annotations

from tests import build
from tests.pricing.priced import first_tier, texts
from tests.scenarios.bill import bill


def test_the_bill() -> None:
    """As added up above: the unit cost stays a third until the price is rounded, and is no whole yen itself."""
    book = build.a_book(
        settings=build.settings(currency="JPY", supplies_percent_of_labour="0.03"),
        labour_rates=[build.a_rate("MAIN", 6500, 3000)],
        operations=[build.an_operation("FIT-PULLEY", "1.3", parts="PULLEY x 2")],
        parts=[build.a_part("PULLEY", 1000, 3)],
        findings=[build.a_finding("CRACKED")],
        remedies=[build.a_remedy("NEW-PULLEY", ["CRACKED"], ["FIT-PULLEY"])],
        taxes=[build.a_tax("TAX", "0.1")],
    )
    tier = first_tier(book, build.a_finding_on("CRACKED"))
    assert bill(tier) == {
        "labour": "8450",
        "parts": "1000",
        "supplies": "254",
        "subtotal": "9704",
        "tax": "970",
        "total": "10674",
    }
    assert texts(tier.cost.labour, tier.cost.parts_used, tier.cash_for_parts) == ["3900", "667", "1000"]
