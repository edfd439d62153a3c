"""Three small parts with 6 % tax, rounded on the whole invoice or on every line: a cent apart.

Shop: 50.00 an hour, labour is not taxed.

Labour        0.5 x 50.00                           = 25.00
Parts         clip, pin and washer at 1.25          =  3.75
Work                                                = 28.75
By invoice    6 % of 3.75 = 0.225                   =  0.23, to pay 28.98
By line       6 % of 1.25 = 0.075, so 3 x 0.08      =  0.24, to pay 28.99
"""

from __future__ import annotations

import pytest

from tests import build
from tests.pricing.priced import first_tier, texts


@pytest.mark.parametrize(("rounding", "tax", "to_pay"), [("invoice", "0.23", "28.98"), ("line", "0.24", "28.99")])
def test_the_bill(rounding: str, tax: str, to_pay: str) -> None:
    """As added up above."""
    names = ("CLIP", "PIN", "WASHER")
    book = build.a_book(
        settings=build.settings(tax_rounding=rounding),
        labour_rates=[build.a_rate("MAIN", 50)],
        operations=[build.an_operation("FIT", "0.5", parts="CLIP; PIN; WASHER")],
        parts=[build.a_part(name, 1, fixed_price_each="1.25") for name in names],
        findings=[build.a_finding("LOOSE")],
        remedies=[build.a_remedy("TIGHT", ["LOOSE"], ["FIT"])],
        taxes=[build.a_tax("STATE", "0.06", ["parts"])],
    )
    tier = first_tier(book, build.a_finding_on("LOOSE"))
    assert texts(tier.work, tier.tax, tier.total) == ["28.75", tax, to_pay]
