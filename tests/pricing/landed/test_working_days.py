"""Working days over weekends, forwards and backwards, beside days counted one by one."""

from __future__ import annotations

from datetime import date, timedelta

import pytest
from hypothesis import given
from hypothesis import strategies as st

from quotekit.model.landed import NEVER
from quotekit.pricing.landed.working_days import after_working_days, arrival

CASES = [
    (date(2026, 11, 26), 0, date(2026, 11, 26)),
    (date(2026, 11, 26), 1, date(2026, 11, 27)),
    (date(2026, 11, 26), 2, date(2026, 11, 30)),
    (date(2026, 11, 26), 7, date(2026, 12, 7)),
    (date(2026, 11, 28), 0, date(2026, 11, 28)),
    (date(2026, 11, 28), 1, date(2026, 11, 30)),
    (date(2026, 11, 28), 5, date(2026, 12, 4)),
    (date(2026, 11, 29), 6, date(2026, 12, 7)),
    (date(2026, 11, 30), -1, date(2026, 11, 27)),
    (date(2026, 11, 29), -5, date(2026, 11, 23)),
]


@pytest.mark.parametrize(("day", "count", "expected"), CASES)
def test_weekends_are_passed_over(day: date, count: int, expected: date) -> None:
    """A lead of 0 is there the same day, on a weekend too; the weekend itself never counts."""
    assert after_working_days(day, count) == expected


def one_by_one(day: date, count: int) -> date:
    step = timedelta(days=1 if count > 0 else -1)
    left = abs(count)
    while left:
        day += step
        left -= day.isoweekday() < 6
    return day


@given(st.dates(date(2026, 1, 1), date(2028, 1, 1)), st.integers(-40, 40))
def test_it_is_what_counting_gives(day: date, count: int) -> None:
    assert after_working_days(day, count) == one_by_one(day, count)


def test_a_lead_that_nobody_knows_is_later_than_any() -> None:
    assert arrival(date(2026, 11, 26), None) == NEVER
    assert arrival(date(2026, 11, 26), 2) == date(2026, 11, 30)
