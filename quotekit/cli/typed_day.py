"""A day as typed on the command line."""

from __future__ import annotations

import argparse
from datetime import date

FIRST_YEAR, LAST_YEAR = 2000, 2199
"""A day of another year is a slip of the hand, and days are counted on from it."""


def typed_day(text: str) -> date:
    """The day of an ISO date; any other text, or a day no shop of today has anything to do with, is wrong usage.

    >>> typed_day("2026-11-25")
    datetime.date(2026, 11, 25)
    """
    try:
        day = date.fromisoformat(text)
    except ValueError:
        raise argparse.ArgumentTypeError(f"{text!r} is no date like 2026-11-25") from None
    if not FIRST_YEAR <= day.year <= LAST_YEAR:
        raise argparse.ArgumentTypeError(f"the year of {text!r} is not one from {FIRST_YEAR} to {LAST_YEAR}")
    return day
