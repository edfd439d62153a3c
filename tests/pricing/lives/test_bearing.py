"""Basic rating life of bearings: by hand, its power law, and what it refuses (ratio of 8: outside check 6.07)."""

from __future__ import annotations

from decimal import Decimal

import pytest
from hypothesis import given
from hypothesis import strategies as st

from quotekit.pricing.lives.bearing import BearingKind, bearing_life, hours_of, rating_life

forces = st.decimals(min_value="0.1", max_value=100, places=2)


@pytest.mark.parametrize(
    ("rating", "load", "kind", "expected"),
    [
        ("10", "10", "ball", "1"),
        ("20", "10", "ball", "8"),
        ("5", "10", "ball", "0.125"),
        ("80", "10", "roller", "1024"),
        ("10", "10", "roller", "1"),
    ],
)
def test_the_power_of_the_load(rating: str, load: str, kind: BearingKind, expected: str) -> None:
    """Cubed for balls; 8 ** (10 / 3) = 1024 for rollers. A load of the whole rating is a million turns."""
    assert round(rating_life(Decimal(rating), Decimal(load), kind), 20) == Decimal(expected)


def test_turns_hours_and_years() -> None:
    """(19.5 / 2.1) ** 3 = 800.656 million turns; at 900 a minute 14,827 hours; at 60 hours a year 247.1 years."""
    life = bearing_life(Decimal("19.5"), Decimal("2.1"), Decimal(900), Decimal(60))
    assert round(life.million_revolutions, 3) == Decimal("800.656")
    assert (round(life.hours), round(life.years, 1)) == (14827, Decimal("247.1"))
    assert hours_of(Decimal("0.0006"), Decimal(10)) == 1


@pytest.mark.parametrize(("load", "heavy"), [("5", False), ("5.01", True), ("12", True)])
def test_a_load_above_half_the_rating_is_said(load: str, heavy: bool) -> None:
    assert bearing_life(Decimal(10), Decimal(load), Decimal(100), Decimal(100)).heavy is heavy


@given(forces, forces, st.integers(2, 9))
def test_only_the_ratio_of_the_forces_counts(rating: Decimal, load: Decimal, times: int) -> None:
    """So the unit of force does not matter as long as both have the same."""
    one, other = rating_life(rating, load), rating_life(rating * times, load * times)
    assert abs(one - other) <= one * Decimal("1E-40")


@given(forces, forces)
def test_rollers_gain_more_by_a_light_load(rating: Decimal, load: Decimal) -> None:
    ball, roller = rating_life(rating, load, "ball"), rating_life(rating, load, "roller")
    assert (roller > ball) == (rating > load) or rating == load


@pytest.mark.parametrize(
    ("rating", "load", "speed", "hours", "said"),
    [
        ("0", "1", "1", "1", "the load rating must be above zero, not 0"),
        ("1", "-2", "1", "1", "the load must be above zero, not -2"),
        ("1", "1", "0", "1", "the speed must be above zero, not 0"),
        ("1", "1", "1", "0", "hours a year must be above zero, not 0"),
        ("1", "1", "1", "9000", "a year has at most 8,784 hours, not 9000"),
        ("1", "1", "1", "8784.01", "a year has at most 8,784 hours, not 8784.01"),
        ("NaN", "1", "1", "1", "the load rating must be above zero, not NaN"),
        ("1", "Infinity", "1", "1", "the load must be above zero, not Infinity"),
    ],
)
def test_what_is_out_of_the_domain(rating: str, load: str, speed: str, hours: str, said: str) -> None:
    with pytest.raises(ValueError, match=said):
        bearing_life(Decimal(rating), Decimal(load), Decimal(speed), Decimal(hours))


def test_a_machine_may_run_all_the_hours_of_a_leap_year() -> None:
    """366 days of 24 hours: 1,000,000 million turns at 1,000 a minute are 16,666,667 hours, so 1,897 years."""
    life = bearing_life(Decimal(100), Decimal(1), Decimal(1000), Decimal(8784))
    assert round(life.years) == 1897
