"""How far a total may rise: percent, amount, greater or lesser, basis, zero."""

from __future__ import annotations

from decimal import Decimal
from fractions import Fraction
from math import floor

import pytest
from hypothesis import given
from hypothesis import strategies as st

from quotekit.pricing.consent.threshold import amount_on, threshold_of
from tests.pricing.consent.made import D, a_rule, an_agreed


@pytest.mark.parametrize(
    ("percent", "amount", "over", "authorised", "expected"),
    [
        ("0.10", "50", "the greater", "300.00", "50.00"),
        ("0.10", "50", "the greater", "600.00", "60.00"),
        ("0.10", "50", "the greater", "500.00", "50.00"),
        ("0.10", "50", "the lesser", "300.00", "30.00"),
        ("0.10", "50", "the lesser", "600.00", "50.00"),
        ("0", "0", "the lesser", "300.00", "0.00"),
        ("0", "0", "the greater", "300.00", "0.00"),
        ("0.10", "0", "the lesser", "300.00", "0.00"),
        ("0", "25", "the lesser", "300.00", "0.00"),
        ("0.10", "0", "the greater", "300.00", "30.00"),
        ("0", "25", "the greater", "300.00", "25.00"),
        ("0.10", "0", "the greater", "0.00", "0.00"),
        ("0.10", "0", "the greater", "123.45", "12.34"),
        ("0.10", "0", "the greater", "123.49", "12.34"),
        ("0.125", "0", "the greater", "99.99", "12.49"),
        ("1", "0", "the greater", "80.00", "80.00"),
    ],
)
def test_the_rule(percent: str, amount: str, over: str, authorised: str, expected: str) -> None:
    """The lesser of anything and nothing is nothing; a percentage that ends below a cent lets no cent more pass."""
    assert str(threshold_of(a_rule(percent, amount, over), D(authorised), 2)) == expected


@pytest.mark.parametrize(
    ("percent", "amount", "over", "at_most", "authorised", "expected"),
    [
        ("0.10", "10", "the greater", "50", "80.00", "10.00"),
        ("0.10", "10", "the greater", "50", "499.99", "49.99"),
        ("0.10", "10", "the greater", "50", "500.10", "50.00"),
        ("0.10", "10", "the greater", "50", "9000.00", "50.00"),
        ("0.10", "100", "the greater", "50", "80.00", "50.00"),
        ("0.10", "20", "the lesser", "50", "9000.00", "20.00"),
        ("0.10", "0", "the lesser", "50", "9000.00", "0.00"),
        ("0.10", "10", "the greater", "0", "80.00", "0.00"),
    ],
)
def test_a_ceiling(percent: str, amount: str, over: str, at_most: str, authorised: str, expected: str) -> None:
    """Fla. Stat. 559.909 (READ): the greater of $10 or 10 %, but never more than $50. It only ever takes room away."""
    rule = a_rule(percent, amount, over, at_most=at_most)
    assert str(threshold_of(rule, D(authorised), 2)) == expected


@pytest.mark.parametrize(("digits", "expected"), [(0, "123"), (2, "123.45"), (3, "123.456")])
def test_in_the_digits_of_the_currency(digits: int, expected: str) -> None:
    assert str(threshold_of(a_rule("0.1", "0", "the greater"), D("1234.567"), digits)) == expected


def test_an_amount_below_zero_lets_nothing_pass() -> None:
    """Credits may bring a subtotal below zero: a percentage of it is no room to rise."""
    assert threshold_of(a_rule("0.1", "0", "the greater"), D("-40.00"), 2) == 0
    assert threshold_of(a_rule("0.1", "5", "the lesser"), D("-40.00"), 2) == 0


@pytest.mark.parametrize(("basis", "expected"), [("before tax", "100.00"), ("with tax", "107.00")])
def test_the_amount_that_is_compared(basis: str, expected: str) -> None:
    assert amount_on(basis, an_agreed("100.00", "7.00")) == D(expected)  # type: ignore[arg-type]


CENTS = st.integers(0, 10_000_000).map(lambda cents: Decimal(cents).scaleb(-2))
PERCENT = st.integers(0, 10_000).map(lambda part: Decimal(part).scaleb(-4))


@given(PERCENT, CENTS, CENTS, CENTS)
def test_rounded_down_it_decides_as_the_exact_percentage_does(
    percent: Decimal, amount: Decimal, authorised: Decimal, rise: Decimal
) -> None:
    """What may pass is exactly what the rule in fractions lets pass, for amounts in whole cents."""
    shares = (Fraction(percent) * Fraction(authorised), Fraction(amount))
    for over, counts in (("the greater", max(shares)), ("the lesser", min(shares))):
        threshold = threshold_of(a_rule(str(percent), str(amount), over), authorised, 2)
        assert (rise <= threshold) is (Fraction(rise) <= counts)
        assert threshold == Decimal(floor(counts * 100)).scaleb(-2)


@given(PERCENT, CENTS, CENTS)
def test_the_greater_is_never_less_than_the_lesser(percent: Decimal, amount: Decimal, authorised: Decimal) -> None:
    greater, lesser = (
        threshold_of(a_rule(str(percent), str(amount), over), authorised, 2) for over in ("the greater", "the lesser")
    )
    assert greater >= lesser >= 0
