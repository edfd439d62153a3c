"""Working days: Monday to Friday, since a shop's holidays are not in its book.

A lead of n working days from a day is there on the n-th working day after it; a lead of 0 the same day.
Units: days. Source: shop policy; a quote promises working days (DESIGN.md 5.9).

Worked example: three working days from Thursday 26 November 2026: Friday, Monday, Tuesday 1 December.
"""

from __future__ import annotations

from datetime import date, timedelta

from quotekit.model.landed import NEVER

_WEEK = 5
_SATURDAY = 5


def after_working_days(day: date, count: int) -> date:
    """The day so many working days later; for a negative number, earlier.

    >>> after_working_days(date(2026, 11, 26), 3), after_working_days(date(2026, 11, 28), 1)
    (datetime.date(2026, 12, 1), datetime.date(2026, 11, 30))
    >>> after_working_days(date(2026, 11, 30), -1)
    datetime.date(2026, 11, 27)
    """
    step = timedelta(days=1 if count >= 0 else -1)
    weeks, rest = divmod(abs(count), _WEEK)
    if weeks and day.weekday() >= _SATURDAY:
        weeks, rest = weeks - 1, rest + _WEEK
    found = day + step * 7 * weeks
    while rest:
        found += step
        rest -= found.weekday() < _SATURDAY
    return found


def arrival(day: date, lead_days: int | None) -> date:
    """When what is ordered on a day is there; a lead that is not known is later than any."""
    return NEVER if lead_days is None else after_working_days(day, lead_days)
