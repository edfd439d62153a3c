"""Powers and gamma functions: known values to 30 digits, and recurrences."""

from __future__ import annotations

from decimal import Decimal, localcontext
from fractions import Fraction

import pytest
from hypothesis import given
from hypothesis import strategies as st

from quotekit.money import EXACT
from quotekit.pricing.lives.precise import PRECISE, exponential, gamma, lower_gamma, power

PI = Decimal("3.14159265358979323846264338327950288419716939937511")
CLOSE = Decimal("1E-30")

numbers = st.decimals(min_value="0.05", max_value=12, places=3)


def close(one: Decimal, other: Decimal) -> bool:
    """Equal in 30 digits."""
    with localcontext(PRECISE):
        return abs(one - other) <= CLOSE * max(abs(one), abs(other))


@pytest.mark.parametrize("n", range(1, 12))
def test_gamma_of_whole_numbers_is_a_factorial(n: int) -> None:
    factorial = 1
    for k in range(2, n):
        factorial *= k
    assert close(gamma(Decimal(n)), Decimal(factorial))


def test_gamma_of_a_half_is_the_root_of_pi() -> None:
    """pi to 50 digits, from memory; 3/2, 5/2 and 7/2 follow by a Gamma(a)."""
    with localcontext(PRECISE):
        root = PI.sqrt()
        expected = [root, root / 2, root * 3 / 4, root * 15 / 8]
    for place, value in enumerate(expected):
        assert close(gamma(Decimal("0.5") + place), value)


@given(numbers)
def test_gamma_grows_by_its_argument(a: Decimal) -> None:
    with localcontext(PRECISE):
        assert close(gamma(a + 1), a * gamma(a))


@pytest.mark.parametrize("a", ["0", "-1", "-0.5"])
def test_gamma_needs_a_number_above_zero(a: str) -> None:
    with pytest.raises(ValueError, match="above zero"):
        gamma(Decimal(a))


@given(numbers, st.decimals(min_value=0, max_value=60, places=2))
def test_the_incomplete_gamma_keeps_its_recurrence(a: Decimal, x: Decimal) -> None:
    """g(a + 1, x) = a g(a, x) - x ** a e ** -x, within 25 digits as the difference cancels."""
    with localcontext(PRECISE):
        right = a * lower_gamma(a, x) - x**a * (-x).exp()
        assert abs(lower_gamma(a + 1, x) - right) <= Decimal("1E-25") * (1 + abs(right))


@given(st.decimals(min_value=0, max_value=60, places=2))
def test_the_incomplete_gamma_of_one_is_closed(x: Decimal) -> None:
    """g(1, x) = 1 - e ** -x."""
    with localcontext(PRECISE):
        assert abs(lower_gamma(Decimal(1), x) - (1 - (-x).exp())) <= CLOSE


def test_powers() -> None:
    """8 ** (10 / 3) = 1024, and a whole power that ends is exact."""
    assert close(power(Decimal(8), Fraction(10, 3)), Decimal(1024))
    assert power(Decimal("1.5"), Fraction(3)) == Decimal("3.375")
    assert power(Decimal(0), Decimal("0.5")) == 0


def test_the_callers_context_is_left_alone() -> None:
    """A caller that traps every lost digit gets its answer, and still traps."""
    with localcontext(EXACT) as context:
        assert str(exponential(Decimal(1)))[:12] == "2.7182818284"
        assert gamma(Decimal("1.4")) > 0
        assert context.prec == 60
