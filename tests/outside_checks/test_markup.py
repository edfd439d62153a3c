"""Outside checks 2.32 to 2.36: price from cost; markup is on cost, margin on price, and the two are never confused.

Sources: OpenStax, Contemporary Mathematics, section 6.2 (2.32, 2.33); Centennial College library guide, Markup (2.35,
formula read, numbers worked out); OpenStax, Principles of Accounting, Volume 2, section 9.4 (2.36).
"""

from __future__ import annotations

from decimal import Decimal

import pytest

from quotekit.model.quote import PricedTier
from quotekit.money import round_to
from tests.outside_checks.small_shop import price_of


def margin(tier: PricedTier) -> Decimal:
    """Margin of a tier on its price, percent to 0.01."""
    assert tier.margin is not None
    return round_to(tier.margin / tier.subtotal * 100, 2)


def markup(tier: PricedTier, cost: str) -> Decimal:
    """What was put on the cost, percent to 0.01."""
    return round_to((tier.subtotal - Decimal(cost)) / Decimal(cost) * 100, 2)


@pytest.mark.parametrize(
    ("cost", "rate", "price"), [("62.00", "0.15", "71.30"), ("750.00", "0.45", "1087.50"), ("1.30", "0.60", "2.08")]
)
def test_2_32_price_from_cost_and_markup(cost: str, rate: str, price: str) -> None:
    """2.32 (Contemporary Mathematics 6.2)."""
    assert price_of(cost, rate).subtotal == Decimal(price)


@pytest.mark.parametrize(
    ("cost", "rate", "price", "on_cost", "on_price"),
    [
        ("90.00", "0.15", "103.50", "15.00", "13.04"),
        ("5.20", "0.9038", "9.90", "90.38", "47.47"),
        ("480.00", "0.75", "840.00", "75.00", "42.86"),
    ],
)
def test_2_33_markup_and_margin_of_the_same_sale(cost: str, rate: str, price: str, on_cost: str, on_price: str) -> None:
    """2.33 (Contemporary Mathematics 6.2; margins worked out; percent to 0.01)."""
    tier = price_of(cost, rate)
    assert tier.subtotal == Decimal(price)
    assert (markup(tier, cost), margin(tier)) == (Decimal(on_cost), Decimal(on_price))


@pytest.mark.parametrize(
    ("on_price", "on_cost"), [("40.00", "66.67"), ("50.00", "100.00"), ("25.00", "33.33")], ids=["40 %", "50 %", "25 %"]
)
def test_2_35_markup_and_margin_are_inverse(on_price: str, on_cost: str) -> None:
    """2.35 (Centennial guide; percent to 0.01): markup = m / (1 - m), margin = k / (1 + k)."""
    share = Decimal(on_price) / 100
    assert round_to(share / (1 - share) * 100, 2) == Decimal(on_cost)
    assert margin(price_of("100", str(Decimal(on_cost) / 100))) == Decimal(on_price)


@pytest.mark.parametrize(("cost", "price"), [("10", "13.00"), ("12", "15.60")], ids=["variable cost", "full cost"])
def test_2_36_cost_plus(cost: str, price: str) -> None:
    """2.36 (Principles of Accounting 9.4): 30 % on variable or on full cost."""
    assert price_of(cost, "0.30").subtotal == Decimal(price)
