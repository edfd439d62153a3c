"""What to type instead of text that looks like a number: a suggestion, never a guess."""

from __future__ import annotations

import re
import unicodedata
from decimal import Decimal

_MIXED = re.compile(r"^(?:(\d+)\s+)?(\d+)\s*/\s*(\d+)$")
_HOURS = re.compile(r"^(\d+(?:[.,]\d+)?)\s*(?:h|hr|hrs|hour|hours|std)\.?$", re.I)
_MINUTES = re.compile(r"^(\d+(?:\.\d+)?)\s*(?:m|min|mins|minute|minutes)\.?$", re.I)
_CLOCK = re.compile(r"^(\d+):([0-5]\d)$")
_MONEY = re.compile(r"^(?:[A-Za-z]{0,3}\s*[$€£¥₹]|[A-Z]{3})?\s*(-?[\d.,\s']+?)\s*(?:[$€£¥₹]|[A-Z]{3})?$")
_PLAIN = re.compile(r"^[-+]?\d+(\.\d+)?$")
_ENGLISH = re.compile(r"^-?\d{1,3}(,\d{3})+(\.\d+)?$")
_CONTINENTAL = re.compile(r"^-?\d{1,3}(\.\d{3})+(,\d+)?$")
_COMMA = re.compile(r"^-?\d+,\d+$")


def suggest_number(text: str, what: str) -> str:
    """What to do about text in a number's cell; empty where it does not look like a number.

    >>> suggest_number("1 1/2", "hours")
    'Type 1.5 as a number.'
    >>> suggest_number("1,250", "money")
    'Type it as a number: 1250 or 1.250, whichever was meant.'
    >>> suggest_number("ask", "money")
    ''
    """
    plain = unicodedata.normalize("NFKC", text).strip()
    found = _fraction(plain) or _hours(plain, what)
    if found:
        return found
    match = _MONEY.match(plain)
    digits = re.sub(r"[\s']", "", match[1]) if match else ""
    if not any(character.isdigit() for character in digits):
        return ""
    return _money(digits)


def _fraction(text: str) -> str:
    match = _MIXED.match(text)
    if match is None or int(match[3]) == 0:
        return ""
    value = Decimal(match[1] or 0) + Decimal(match[2]) / Decimal(match[3])
    return f"Type {value.quantize(Decimal('0.0001')).normalize():f} as a number."


def _hours(text: str, what: str) -> str:
    hours, minutes, clock = _HOURS.match(text), _MINUTES.match(text), _CLOCK.match(text)
    if hours:
        return f"Type {hours[1].replace(',', '.')} as a number, without the unit."
    if minutes:
        return f"Type {_of_minutes(Decimal(minutes[1]))} as a number if it means hours."
    if clock:
        return f"Type {_of_minutes(Decimal(clock[1]) * 60 + Decimal(clock[2]))} as a number if it means hours."
    return ""


def _of_minutes(minutes: Decimal) -> str:
    return f"{(minutes / 60).quantize(Decimal('0.0001')).normalize():f}"


def _money(digits: str) -> str:
    if _PLAIN.match(digits):
        return f"Type {digits} as a number, without signs or spaces."
    if re.match(r"^-?\d{1,3}[,]\d{3}$", digits):
        return f"Type it as a number: {digits.replace(',', '')} or {digits.replace(',', '.')}, whichever was meant."
    if _ENGLISH.match(digits):
        return f"Type {digits.replace(',', '')} as a number."
    if re.match(r"^-?\d{1,3}[.]\d{3}$", digits):
        return f"Type it as a number: {digits} or {digits.replace('.', '')}, whichever was meant."
    if _CONTINENTAL.match(digits):
        return f"Type {digits.replace('.', '').replace(',', '.')} as a number."
    if _COMMA.match(digits):
        return f"Type {digits.replace(',', '.')} as a number."
    return "Type it as a plain number."
