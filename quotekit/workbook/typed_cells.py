"""Text of a declared kind becomes the value and the number format a workbook cell holds.

The reading side is `cell_kinds.py`; what is written here reads back as the same value.
"""

from __future__ import annotations

from datetime import date
from decimal import Decimal

from quotekit.workbook.column import EITHER, NUMBERS, Kind

CellValue = str | Decimal | date | None

TEXT = "@"
FORMATS: dict[Kind, str] = {
    "number": "0.0###",
    "quantity": "General",
    "hours": "0.0##",
    "money": "#,##0.00",
    "whole": "0",
    "years": "0.##",
    "life": "0.##",
    "percent": "0.00%",
    "markup": "0%",
    "date": "yyyy-mm-dd",
    "saving": "General",
    "credit": "General",
    "amount": "General",
}
"""Number formats by kind; every other kind is text, so that a code keeps its leading zeros."""


def typed(text: str, kind: Kind) -> CellValue:
    """The value of a cell, None where the text is blank.

    >>> typed("1,899.00", "money"), typed("45%", "markup"), typed("007", "code"), typed("", "money")
    (Decimal('1899.00'), Decimal('0.45'), '007', None)
    >>> typed("2026-11-10", "date"), typed("never", "credit"), typed("0.1", "saving")
    (datetime.date(2026, 11, 10), 'never', Decimal('0.1'))
    """
    if not text:
        return None
    if kind == "date":
        return date.fromisoformat(text)
    if text.endswith("%") and (kind in EITHER or kind in ("percent", "markup")):
        return Decimal(text[:-1]) / 100
    if kind in NUMBERS or (kind in EITHER and _is_number(text)):
        return Decimal(text.replace(",", ""))
    return text


def number_format(text: str, kind: Kind) -> str:
    """The number format of a cell of a kind that holds this text.

    >>> number_format("10%", "saving"), number_format("0.1", "saving"), number_format("MAIN", "code")
    ('0.00%', 'General', '@')
    """
    if kind in EITHER and text.endswith("%"):
        return FORMATS["percent"]
    return FORMATS.get(kind, TEXT)


def _is_number(text: str) -> bool:
    return text.replace(",", "").replace(".", "", 1).isdigit()
