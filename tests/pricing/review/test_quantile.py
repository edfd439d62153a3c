"""How far an interval reaches so that several hold together."""

from __future__ import annotations

from decimal import Decimal
from fractions import Fraction

import pytest

from quotekit.pricing.review.quantile import standard_errors, within
from quotekit.pricing.review.roots import decimal_of, square_root


def test_more_intervals_reach_farther() -> None:
    """Each must hold more surely for all to hold together."""
    reaches = [standard_errors(count, 12) for count in (1, 2, 5, 20, 60)]
    assert reaches == sorted(set(reaches))


def test_more_jobs_reach_less_far() -> None:
    """A standard error of few jobs is itself not well known; past 200 degrees nothing changes."""
    reaches = [standard_errors(5, degrees) for degrees in (2, 4, 6, 20, 100, 200)]
    assert reaches == sorted(set(reaches), reverse=True)
    assert standard_errors(5, 5000) == standard_errors(5, 200)


@pytest.mark.parametrize("degrees", [3, 11, 57])
def test_an_odd_number_counts_as_the_even_one_below(degrees: int) -> None:
    """Which reaches a little farther."""
    assert standard_errors(3, degrees) == standard_errors(3, degrees - 1)


@pytest.mark.parametrize(("count", "degrees"), [(1, 2), (3, 14), (20, 200)])
def test_it_is_the_first_that_reaches(count: int, degrees: int) -> None:
    """The probability of all is reached at it, and not a step of 0.0001 nearer."""
    wanted = 1 - (1 - Decimal("0.95")) / count
    reach = standard_errors(count, degrees)
    assert within(reach, degrees) >= wanted > within(reach - Decimal("0.0001"), degrees)


def test_none_is_as_one() -> None:
    """No interval at all is no reason to divide by zero."""
    assert standard_errors(0, 10) == standard_errors(1, 10)


@pytest.mark.parametrize("reach", ["0.3", "1", "4.2"])
def test_two_degrees_have_a_short_formula(reach: str) -> None:
    """P(-t .. t) = t / root of (2 + t ** 2)."""
    far = Decimal(reach)
    assert abs(within(far, 2) - far / (2 + far * far).sqrt()) < Decimal("1e-25")


@pytest.mark.parametrize(("square", "root"), [("0", "0"), ("9/4", "1.5"), ("1/100", "0.1")])
def test_roots_of_squares(square: str, root: str) -> None:
    """Exact where they end."""
    assert square_root(Fraction(square)) == Decimal(root)


def test_a_root_that_does_not_end() -> None:
    """Its square is the number to 48 digits."""
    root = Fraction(square_root(Fraction(2)))
    assert abs(root * root - 2) < Fraction(1, 10**48)
    assert decimal_of(Fraction(1, 3)) == Decimal("0." + "3" * 50)
