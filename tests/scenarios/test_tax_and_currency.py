"""Tax by date, both roundings, an exempt customer, and currencies without cents or with three digits."""

from __future__ import annotations

from datetime import date
from typing import Any

import pytest

from quotekit.model.shop_book import ShopBook
from tests import build
from tests.scenarios.hill_road import bill_for, hill_road, money


@pytest.mark.parametrize(
    ("day", "tax", "total"),
    [(date(2026, 6, 30), "7.68", "135.68"), (date(2026, 7, 1), "8.00", "136.00"), (date(2025, 12, 31), None, "128.00")],
)
def test_a_tax_that_changes_on_the_first_of_july(day: date, tax: str | None, total: str) -> None:
    """6 % from 1 January 2026, 6.25 % from 1 July 2026, on 96.00 + 32.00.

    128.00 x 6 % = 7.68; x 6.25 % = 8.00; before 2026 no row is in force. Source: the owner's dated data.
    """
    rows = [
        build.a_tax("STATE", "0.06", in_force_from=date(2026, 1, 1), in_force_to=date(2026, 6, 30)),
        build.a_tax("STATE", "0.0625", in_force_from=date(2026, 7, 1)),
    ]
    tier = bill_for(hill_road(taxes=rows), "FRAYED-BELT", quote_date=day)
    assert (money(tier).get("tax"), str(tier.total)) == (tax, total)


def three_small_parts(rounding: Any) -> ShopBook:
    """Three parts at 1.05, 1.25 and 2.45, half an hour."""
    prices = {"CLIP": "1.05", "PIN": "1.25", "CAP": "2.45"}
    return hill_road(
        settings=build.settings(tax_rounding=rounding),
        operations=[build.an_operation("FIT", "0.5", parts="; ".join(prices))],
        parts=[build.a_part(code, fixed_price_each=price) for code, price in prices.items()],
        findings=[build.a_finding("LOOSE")],
        remedies=[build.a_remedy("FITTED", ["LOOSE"], ["FIT"])],
        taxes=[build.a_tax("STATE", "0.06", ["parts"])],
    )


@pytest.mark.parametrize(("rounding", "tax", "total"), [("invoice", "0.29", "53.04"), ("line", "0.29", "53.04")])
def test_both_ways_to_round_where_they_agree(rounding: str, tax: str, total: str) -> None:
    """6 % of 4.75 is 0.285, half up 0.29. By line 0.063, 0.075 and 0.147: 0.06 + 0.08 + 0.15 = 0.29.

    Source: Streamlined Sales and Use Tax Agreement, section 324 (to the third decimal, half up).
    """
    tier = bill_for(three_small_parts(rounding), "LOOSE")
    assert (str(tier.tax), str(tier.total)) == (tax, total)


@pytest.mark.parametrize(("rounding", "tax"), [("invoice", "0.14"), ("line", "0.15")])
def test_both_ways_to_round_where_they_differ(rounding: Any, tax: str) -> None:
    """Three parts at 0.60 and 7.5 %: on the invoice 1.80 x 7.5 % = 0.135, so 0.14; by line 0.045, so 0.05 three times.

    Source: Streamlined Sales and Use Tax Agreement, section 324, which leaves the choice to the seller.
    """
    book = hill_road(
        settings=build.settings(tax_rounding=rounding),
        operations=[build.an_operation("FIT", "0.5", parts="A; B; C")],
        parts=[build.a_part(code, fixed_price_each="0.60") for code in "ABC"],
        findings=[build.a_finding("LOOSE")],
        remedies=[build.a_remedy("FITTED", ["LOOSE"], ["FIT"])],
        taxes=[build.a_tax("STATE", "0.075", ["parts"])],
    )
    assert str(bill_for(book, "LOOSE").tax) == tax


def test_an_exempt_customer() -> None:
    """A town with a certificate: no tax on 128.00. Source: the owner's dated data."""
    book = hill_road(taxes=[build.a_tax("STATE", "0.06")])
    town = bill_for(book, "FRAYED-BELT", customer_class="exempt", exemption_certificate="T-104")
    assert (town.taxes, str(town.total)) == ((), "128.00")
    assert str(bill_for(book, "FRAYED-BELT").total) == "135.68"


def test_a_farm_pays_tax_on_parts_only() -> None:
    """Households on everything, farms on parts: 32.00 x 6 % = 1.92. Source: the owner's dated data."""
    book = hill_road(
        taxes=[
            build.a_tax("STATE", "0.06", customer_class="household"),
            build.a_tax("STATE", "0.06", ["parts"], customer_class="farm"),
        ]
    )
    assert str(bill_for(book, "FRAYED-BELT", customer_class="farm").total) == "129.92"


def abroad(currency: str, rate: str, part: str) -> ShopBook:
    """The belt job in another currency, tax 10 % on all, 5 % supplies."""
    return hill_road(
        settings=build.settings(currency=currency, supplies_percent_of_labour="0.05"),
        labour_rates=[build.a_rate("BENCH", rate)],
        operations=[build.an_operation("BELT", "0.55", parts="BELT")],
        parts=[build.a_part("BELT", part)],
        markup=[build.a_band(markup="0.6")],
        taxes=[build.a_tax("VAT", "0.1")],
    )


def test_yen_has_no_cents() -> None:
    """0.55, billed 0.6 x 7,775 = 4,665. Belt 2,333 x 1.6 = 3,732.8: 3,733. Supplies 233.25: 233. Tax 863.1: 863.

    4,665 + 3,733 + 233 = 8,631, and 863: 9,494. Source: ISO 4217, minor unit 0.
    """
    tier = bill_for(abroad("JPY", "7775", "2333"), "FRAYED-BELT")
    assert money(tier) == {"labour": "4665", "parts": "3733", "supplies": "233", "tax": "863", "total": "9494"}


def test_a_dinar_has_three_digits() -> None:
    """0.6 x 12.345 = 7.407. Belt 3.333 x 1.6 = 5.3328: 5.333. Supplies 0.37035: 0.370. Tax 1.3110: 1.311.

    7.407 + 5.333 + 0.370 = 13.110, and 1.311: 14.421. Source: ISO 4217, minor unit 3.
    """
    tier = bill_for(abroad("KWD", "12.345", "3.333"), "FRAYED-BELT")
    assert money(tier) == {"labour": "7.407", "parts": "5.333", "supplies": "0.370", "tax": "1.311", "total": "14.421"}
