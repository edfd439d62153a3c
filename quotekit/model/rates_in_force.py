"""The labour rate in force on a day: of the rows of one code, the latest that is not after it (DESIGN.md 3).

A row without a date was always in force. A code whose rows are all later has no rate on that day.
Source: shop policy; old quotes keep their rate by their date.

Example: rows of 50 without a date and 60 from 2026-01-01 give 50 on 2025-12-31 and 60 the day after.
"""

from __future__ import annotations

from collections.abc import Iterable
from datetime import date

from quotekit.model.shop_book import LabourRate


def rates_on(rows: Iterable[LabourRate], day: date) -> dict[str, LabourRate]:
    """The row in force of each labour code, in the order of the codes."""
    found: dict[str, LabourRate] = {}
    for row in rows:
        if row.in_force_from is not None and row.in_force_from > day:
            continue
        best = found.get(row.code)
        if best is None or _later(row, best):
            found[row.code] = row
    return found


def _later(row: LabourRate, best: LabourRate) -> bool:
    """True when a row in force took force after another."""
    if row.in_force_from is None:
        return False
    return best.in_force_from is None or row.in_force_from > best.in_force_from
