"""The two splits of a difference in cost, and their sign."""

from __future__ import annotations

from decimal import Decimal
from fractions import Fraction

import pytest
from hypothesis import given
from hypothesis import strategies as st

from quotekit.model.review import Variance
from quotekit.pricing.review.variances import cost_at_standard, price_variance, quantity_variance, rate_of, variance

AMOUNTS = st.fractions(min_value=0, max_value=10_000, max_denominator=1000)


@given(AMOUNTS, AMOUNTS, AMOUNTS, AMOUNTS)
def test_both_add_up_to_the_difference_in_cost(
    paid: Fraction, standard: Fraction, used: Fraction, allowed: Fraction
) -> None:
    """Price x quantity, actual less standard, is the two together: nothing is counted twice or left out."""
    split = price_variance(paid, standard, used) + quantity_variance(used, allowed, standard)
    assert split == paid * used - standard * allowed


@given(AMOUNTS, AMOUNTS)
def test_as_agreed_there_is_none(price: Fraction, quantity: Fraction) -> None:
    """The same price and quantity vary by nothing."""
    assert price_variance(price, price, quantity) == 0
    assert quantity_variance(quantity, quantity, price) == 0


@pytest.mark.parametrize(("amount", "sign"), [("-0.01", "F"), ("0.00", ""), ("0.01", "U")])
def test_the_sign(amount: str, sign: str) -> None:
    """Below zero less was spent than the standard."""
    assert Variance(amount=Decimal(amount)).sign == sign


@pytest.mark.parametrize(
    ("amount", "digits", "shown"),
    [(Fraction(1, 3), 2, "0.33"), (Fraction(-1, 200), 2, "-0.01"), (Fraction(5, 2), 0, "3")],
)
def test_rounded_once_away_from_zero(amount: Fraction, digits: int, shown: str) -> None:
    """In the digits of the currency."""
    assert f"{variance(amount, digits).amount:f}" == shown


def test_a_rate_without_hours() -> None:
    """No hours, no rate: nothing is divided by zero."""
    assert rate_of(100, 0) is None
    assert rate_of(100, Decimal("2.5")) == 40


def test_cost_at_standard() -> None:
    """Nothing costs nothing."""
    assert cost_at_standard([]) == 0
    assert cost_at_standard([(2, Decimal("1.50")), (Decimal("0.5"), 4)]) == 5
