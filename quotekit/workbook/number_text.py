"""What to type instead of text that looks like a number: a suggestion, never a guess."""

from __future__ import annotations

import re
import unicodedata
from fractions import Fraction

from quotekit.money import round_to

_LONGEST = 24
"""Characters of a text that may be a number; more is prose."""

# Patterns as texts, made ready at first use: most workbooks have no such cell, and making them ready takes 4 ms.
_MIXED = r"(?:(\d+)[\s-]+)?(\d+)\s*/\s*(\d+)"
_HOURS = r"(?i)(\d+(?:[.,]\d+)?|[.,]\d+)\s*(?:h|hr|hrs|hour|hours|std)\.?"
_HOURS_AND_MINUTES = r"(?i)(\d+)\s*(?:h|hrs?|hours?)\.?\s*(?:and\s*)?([0-5]?\d)\s*(?:m|mins?|minutes?)?\.?"
_MINUTES = r"(?i)(\d+(?:\.\d+)?)\s*(?:m|min|mins|minute|minutes)\.?"
_CLOCK = r"(?i)(\d+):([0-5]\d)(?::00)?\s*(?:h|hrs?)?"
_SIGN = r"(?:[a-z]{0,3}\s*[$€£¥₹¢]|[a-z]{3})"
_MONEY = rf"(?i){_SIGN}?\s*([-+]?)\s*{_SIGN}?\s*([\d.,\s']*\d[\d.,\s']*?)\s*{_SIGN}?"
_GROUPED = r"\d{1,3}(?:[\s']\d{3})+(?:[.,]\d+)?"
_PLAIN = r"\d*\.?\d+|\d+\."
_ENGLISH = r"[1-9]\d{0,2}(?:,\d{3})+(?:\.\d+)?"
_CONTINENTAL = r"[1-9]\d{0,2}(?:\.\d{3})+(?:,\d+)?"
_EITHER = r"([1-9]\d{0,2})([.,])(\d{3})"
_COMMA = r"\d*,\d+"
_FULL_WIDTH = {code: code - 0xFEE0 for code in range(0xFF01, 0xFF5F)}
_SAME: dict[int, int | str] = {
    **_FULL_WIDTH,
    0x2212: "-",
    0x2044: "/",
    0x066B: ".",
    0x2019: "'",
    0x00A0: " ",
    0x202F: " ",
    0x2009: " ",
}
_FRACTIONS = {
    ord(sign): f" {number}"
    for sign, number in zip("½¼¾⅓⅔⅛⅜⅝⅞", "1/2 1/4 3/4 1/3 2/3 1/8 3/8 5/8 7/8".split(), strict=True)
}


def plain_characters(text: str) -> str:
    """Full-width and other digits, signs and fractions as those of a plain keyboard.

    >>> plain_characters("１２．５"), plain_characters("1½"), plain_characters("−3")
    ('12.5', '1 1/2', '-3')
    """
    shown = text.translate(_FRACTIONS).translate(_SAME).strip()
    return "".join(str(unicodedata.decimal(character, character)) for character in shown)


def suggest_number(text: str, what: str) -> str:
    """What to do about text in a number's cell; empty where it does not look like a number.

    >>> suggest_number("1 1/2", "hours")
    'Type 1.5 as a number.'
    >>> suggest_number("1,250", "money")
    'Type it as a number: 1250 or 1.250, whichever was meant.'
    >>> suggest_number("ask", "money")
    ''
    """
    if len(text) > _LONGEST:
        return ""
    plain = plain_characters(text)[: _LONGEST + 8]
    found = _fraction(plain) or _hours(plain)
    if found:
        return found
    match = re.fullmatch(_MONEY, plain)
    if match is None:
        return ""
    return _money("-" if match[1] == "-" else "", match[2].strip())


def _fraction(text: str) -> str:
    match = re.fullmatch(_MIXED, text)
    if match is None or int(match[3]) == 0:
        return ""
    return f"Type {_short(int(match[1] or 0) + Fraction(int(match[2]), int(match[3])))} as a number."


def _hours(text: str) -> str:
    hours, minutes = re.fullmatch(_HOURS, text), re.fullmatch(_MINUTES, text)
    both = re.fullmatch(_HOURS_AND_MINUTES, text) or re.fullmatch(_CLOCK, text)
    if hours:
        return f"Type {_with_point(hours[1])} as a number, without the unit."
    if minutes:
        return f"Type {_short(Fraction(minutes[1]) / 60)} as a number if it means hours."
    if both:
        return f"Type {_short(Fraction(int(both[1]) * 60 + int(both[2]), 60))} as a number if it means hours."
    return ""


def _money(sign: str, digits: str) -> str:
    """Advice on digits with points, commas and spaces between them."""
    either = re.fullmatch(_EITHER, digits)
    if either:
        whole, parted = f"{sign}{either[1]}{either[3]}", f"{sign}{either[1]}.{either[3]}"
        readings = (whole, parted) if either[2] == "," else (parted, whole)
        return f"Type it as a number: {' or '.join(readings)}, whichever was meant."
    if re.fullmatch(_GROUPED, digits):
        digits = re.sub(r"[\s']", "", digits)
    if re.fullmatch(_PLAIN, digits):
        return f"Type {sign}{_with_point(digits)} as a number, without signs or spaces."
    if re.fullmatch(_ENGLISH, digits):
        return f"Type {sign}{digits.replace(',', '')} as a number."
    if re.fullmatch(_CONTINENTAL, digits) or re.fullmatch(_COMMA, digits):
        return f"Type {sign}{_with_point(digits.replace('.', ''))} as a number."
    return "Type it as a plain number."


def _with_point(digits: str) -> str:
    """A number with a decimal point and a digit before it."""
    digits = digits.replace(",", ".").removesuffix(".")
    return f"0{digits}" if digits.startswith(".") else digits


def _short(value: Fraction) -> str:
    return f"{round_to(value, 4).normalize():f}"
