"""A day as typed on the command line."""

from __future__ import annotations

import argparse
from datetime import date


def typed_day(text: str) -> date:
    """The day of an ISO date; any other text is wrong usage.

    >>> typed_day("2026-11-25")
    datetime.date(2026, 11, 25)
    """
    try:
        return date.fromisoformat(text)
    except ValueError:
        raise argparse.ArgumentTypeError(f"{text!r} is no date like 2026-11-25") from None
