"""What makes a cell's stored value unfit to be read: code, message and what to do."""

from __future__ import annotations

import math
import re
from datetime import datetime

Fault = tuple[str, str, str]

MOST_DIGITS = 15
_NUMBER = re.compile(r"[+-]?(?:[0-9]+\.?[0-9]*|\.[0-9]+)(?:[eE][+-]?[0-9]{1,4})?")
_LAST_DAY, _LAST_DAY_1904 = 2_958_466, 2_957_004
"""The day after the last one a spreadsheet knows, 9999-12-31."""

_TYPE_AGAIN = "Type the cell again."
_BOOLEANS = frozenset({"0", "1", "true", "false"})
_TEXTS = frozenset({"str", "inlineStr"})
_ISO_DATE = re.compile(r"[0-9]{4}-[0-9]{2}-[0-9]{2}(?:T[0-9]{2}:[0-9]{2}:[0-9]{2}(?:\.[0-9]{1,3})?)?")


def value_fault(kind: str, raw: str, strings: int, *, calculated: bool, date: bool, date_1904: bool) -> Fault | None:
    """The fault of a value stored as this kind, None where it may be read.

    >>> value_fault("s", "7", 3, calculated=False, date=False, date_1904=False)[1]
    'the cell points to a text that is not there'
    """
    if kind == "n":
        return number_fault(raw, calculated=calculated, date=date, date_1904=date_1904)
    if kind == "e":
        return "error-cell", f"the cell shows the error {raw[:20]}", "Mend the formula, or type the value."
    if kind == "s" and not (raw.isascii() and raw.isdecimal() and int(raw[:12]) < strings):
        return "broken-workbook", "the cell points to a text that is not there", _TYPE_AGAIN
    if kind == "b" and raw not in _BOOLEANS:
        return "broken-workbook", "the cell holds neither yes nor no", _TYPE_AGAIN
    if kind == "d" and not _is_date(raw):
        return "not-a-date", "the cell holds a date that cannot be read", "Type the date again."
    if kind not in _TEXTS and kind not in ("s", "b", "d"):
        return "broken-workbook", f"the cell has an unknown type {kind[:12]}", _TYPE_AGAIN
    return None


def number_fault(raw: str, *, calculated: bool, date: bool, date_1904: bool) -> Fault | None:
    """The fault of a stored number; a number that a formula left may have more digits than can be typed.

    >>> number_fault("19.989999999999998", calculated=False, date=False, date_1904=False)
    >>> number_fault("1234567890123456", calculated=False, date=False, date_1904=False)[0]
    'too-many-digits'
    """
    if not _NUMBER.fullmatch(raw):
        return "broken-workbook", "the cell holds a number that cannot be read", _TYPE_AGAIN
    if len(raw) <= MOST_DIGITS and not date and "e" not in raw and "E" not in raw:
        return None
    number = float(raw)
    if date:
        return _date_fault(number, date_1904)
    if not math.isfinite(number) or abs(number) > 1e300 or (not calculated and _has_more_digits(number)):
        message = "the number has more than 15 digits, more than a spreadsheet keeps"
        return "too-many-digits", message, "Type a code as text, or a number with fewer digits."
    return None


def _date_fault(number: float, date_1904: bool) -> Fault | None:
    if not 0 <= number < (_LAST_DAY_1904 if date_1904 else _LAST_DAY):
        return "not-a-date", "the number is no date or time a spreadsheet knows", "Type the date or the number again."
    if 60 <= number < 61 and not date_1904:
        return "not-a-date", "the cell holds 29 February 1900, a day that never was", "Type the date again."
    return None


def _is_date(raw: str) -> bool:
    try:
        return bool(_ISO_DATE.fullmatch(raw) and datetime.fromisoformat(raw))
    except ValueError:
        return False


def _has_more_digits(number: float) -> bool:
    """True when digits past the fifteenth were typed; the noise of a sum such as 0.1 * 3 is no digit."""
    if abs(number) > 1e15:
        return True
    return _digits(repr(number)) > MOST_DIGITS and _digits(format(number, ".15g")) == MOST_DIGITS


def _digits(text: str) -> int:
    return len(text.lower().partition("e")[0].lstrip("+-").replace(".", "").lstrip("0"))
