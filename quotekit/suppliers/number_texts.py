"""Numbers as suppliers write them, read exactly: decimal mark, grouping, currency, minus and percent.

A text is read under one style for a whole list (decimal mark and grouping mark), never by what it looks like alone:
1.234 is one and a bit in one list and more than a thousand in another. Groups are of three digits (or of two before
the last three, as in India); what fits the style in no way is no number, and is told, never guessed.
What may stand around the digits: a currency sign or code before or after, a minus before or after, brackets for a
minus, a percent sign, spaces of any width. Full-width digits count as digits. `12.-` and `12,--` are whole amounts.

>>> from quotekit.suppliers.number_texts import NumberStyle, read_number
>>> style = NumberStyle(decimal_mark=",", grouping_mark=".")
>>> read_number("1.234,50 €", style)
NumberText(value=Decimal('1234.50'), currency='€', percent=False)
>>> read_number("1,234.50", style)
'it does not fit a decimal mark of , and . between thousands'
"""

from __future__ import annotations

import re
from collections.abc import Iterable
from decimal import Decimal
from functools import cache
from typing import Literal

from quotekit.record import record
from quotekit.workbook.currencies import CURRENCIES
from quotekit.workbook.number_text import plain_characters

DecimalMark = Literal[".", ","]
GroupingMark = Literal["", ",", ".", " ", "'"]

WHOLE_DIGITS, DECIMALS = 12, 6
"""What an amount may have before and after the mark; more is reported, never rounded."""

MARK_NAMES = {"": "nothing", " ": "a space"}

SIGNS: dict[str, tuple[str, ...]] = {
    "€": ("EUR",),
    "£": ("GBP", "EGP", "GIP", "FKP", "SHP", "LBP", "SYP"),
    "$": ("USD", "CAD", "AUD", "NZD", "SGD", "HKD", "MXN", "ARS", "CLP", "COP", "TWD", "BRL"),
    "US$": ("USD",),
    "C$": ("CAD",),
    "CA$": ("CAD",),
    "A$": ("AUD",),
    "NZ$": ("NZD",),
    "R$": ("BRL",),
    "¥": ("JPY", "CNY"),
    "₹": ("INR",),
    "₽": ("RUB",),
    "₺": ("TRY",),
    "¢": (),
    "kr": ("SEK", "DKK", "NOK", "ISK"),
    "Fr": ("CHF",),
    "SFr": ("CHF",),
    "zł": ("PLN",),
    "Kč": ("CZK",),
    "Ft": ("HUF",),
}
"""Currencies that a sign may stand for (common practice, no source)."""


@record
class NumberStyle:
    """How a list writes its numbers."""

    decimal_mark: DecimalMark = "."
    grouping_mark: GroupingMark = ""

    @property
    def shown(self) -> str:
        """The style in words.

        >>> NumberStyle(decimal_mark=",", grouping_mark=" ").shown
        'a decimal mark of , and a space between thousands'
        """
        grouping = MARK_NAMES.get(self.grouping_mark, self.grouping_mark)
        return f"a decimal mark of {self.decimal_mark} and {grouping} between thousands"


@record
class NumberText:
    """A number that was read, with the currency's sign or code and whether it is a percentage."""

    value: Decimal
    currency: str = ""
    percent: bool = False


def read_number(text: str, style: NumberStyle) -> NumberText | str:
    """The number a text says, or why it is none.

    >>> read_number("(US$ 1,200.00)", NumberStyle(grouping_mark=",")).value
    Decimal('-1200.00')
    >>> read_number("1,234,567.5-", NumberStyle(grouping_mark=",")).value
    Decimal('-1234567.5')
    >>> read_number("12.-", NumberStyle()).value, read_number("25 %", NumberStyle()).value
    (Decimal('12'), Decimal('0.25'))
    """
    match = _pattern().fullmatch(plain_characters(text[:80])) if len(text) <= 80 else None
    if match is None:
        return "it is no number"
    if len(match["before"] + match["between"] + match["after"]) > 1 or (match["open"] is None) != (
        match["close"] is None
    ):
        return "it has more than one sign"
    digits = re.sub(r"[.,]-{1,2}$", "", match["digits"])
    value = _exact(digits.strip(), style)
    if isinstance(value, str):
        return value
    currency = (match["code"] or match["code_after"] or "").rstrip(".")
    if match["code"] and match["code_after"]:
        return "it names two currencies"
    if match["open"] or "-" in match["before"] + match["between"] + match["after"]:
        value = value.copy_negate()
    percent = match["percent"] is not None
    return NumberText(value=value.scaleb(-2) if percent else value, currency=currency, percent=percent)


@cache
def _pattern() -> re.Pattern[str]:
    codes = "|".join(sorted((re.escape(sign) for sign in SIGNS), key=len, reverse=True))
    currency = rf"(?:{codes})\.?|{'|'.join(sorted(CURRENCIES))}"
    return re.compile(
        rf"(?P<open>\()?\s*(?P<before>[-+]?)\s*(?P<code>{currency})?\s*(?P<between>[-+]?)\s*"
        rf"(?P<digits>(?:[0-9][0-9.,' ]*|[.,][0-9]+)(?:(?<=[.,])-{{1,2}})?)\s*(?P<percent>%)?\s*"
        rf"(?P<code_after>{currency})?\s*(?P<after>[-+]?)\s*(?P<close>\))?"
    )


def _exact(digits: str, style: NumberStyle) -> Decimal | str:
    """The value of digits with marks, where they fit the style."""
    parts = _parts(digits, style)
    if parts is None:
        return f"it does not fit {style.shown}"
    whole, decimals = parts
    if len(whole.lstrip("0")) > WHOLE_DIGITS or len(decimals.rstrip("0")) > DECIMALS:
        return f"it has more than {WHOLE_DIGITS} digits before or {DECIMALS} after the mark"
    return Decimal(f"{whole or '0'}.{decimals}" if decimals else whole or "0")


def _parts(digits: str, style: NumberStyle) -> tuple[str, str] | None:
    """The digits before and after the decimal mark, without marks; None where they do not fit the style."""
    whole, mark, decimals = digits.rpartition(style.decimal_mark)
    if not mark:
        whole, decimals = digits, ""
    if not re.fullmatch("[0-9]*", decimals):
        return None
    if style.grouping_mark and style.grouping_mark in whole:
        grouping = re.escape(style.grouping_mark)
        if not re.fullmatch(
            rf"[0-9]{{1,3}}(?:{grouping}[0-9]{{3}})+|[0-9]{{1,2}}(?:{grouping}[0-9]{{2}})+{grouping}[0-9]{{3}}", whole
        ):
            return None
        whole = whole.replace(style.grouping_mark, "")
    return (whole, decimals) if re.fullmatch("[0-9]*", whole) else None


def is_currency(said: str, code: str) -> bool:
    """Whether a sign or code may stand for a currency.

    >>> is_currency("$", "CAD"), is_currency("CAD", "CAD"), is_currency("€", "USD")
    (True, True, False)
    """
    return said == code or code in SIGNS.get(said, ())


@record
class DecidedStyle:
    """A style, why, and whether another could be meant."""

    style: NumberStyle
    reason: str
    sure: bool = True


def decide_style(texts: Iterable[str]) -> DecidedStyle:
    """The style in which a list's amounts are written, from many of them.

    A text with both marks says which is which; so does a mark twice, or one that not exactly three digits follow.
    What is no number in any style (1.2.3), and the point of a sign (Fr.), say nothing.

    >>> decide_style(["1.234,50", "12,00"]).style
    NumberStyle(decimal_mark=',', grouping_mark='.')
    >>> decide_style(["1.234", "2.500"]).sure
    False
    """
    votes: dict[str, list[str]] = {".": [], ",": []}
    doubtful: list[str] = []
    grouping: dict[str, list[str]] = {}
    for text in texts:
        match = _pattern().fullmatch(plain_characters(text[:80]))
        digits = match["digits"].rstrip("- ") if match else ""
        mark, group = _says(digits)
        if (mark or group) and _parts(digits, NumberStyle(decimal_mark=mark or ".", grouping_mark=group)) is None:  # type: ignore[arg-type]
            continue
        if mark:
            votes[mark].append(text)
        if group:
            grouping.setdefault(group, []).append(text)
        if not mark and not group and re.fullmatch(r"[1-9][0-9]{0,2}[.,][0-9]{3}", digits):
            doubtful.append(text)
    return _decided(votes, grouping, doubtful)


def _says(digits: str) -> tuple[str, str]:
    """What the marks of one number say for certain: its decimal mark and its grouping mark."""
    marks = re.findall("[.,]", digits)
    group = next((mark for mark in "' " if re.search(rf"[0-9]{mark}[0-9]{{3}}", digits)), "")
    if not marks:
        return "", group
    if len(set(marks)) == 2:
        return marks[-1], marks[0]
    if len(marks) > 1:
        return _other(marks[0]), marks[0]
    before, _, after = digits.partition(marks[0])
    if group or len(after) != 3 or before in ("", "0") or len(before) > 3:
        return marks[0], group
    return "", ""


def _other(mark: str) -> str:
    return "," if mark == "." else "."


def _decided(votes: dict[str, list[str]], grouping: dict[str, list[str]], doubtful: list[str]) -> DecidedStyle:
    point, comma = len(votes["."]), len(votes[","])
    mark: DecimalMark = "," if comma > point else "."
    against = votes[_other(mark)]
    marks: tuple[GroupingMark, ...] = (",", ".", " ", "'")
    group: GroupingMark = max(marks, key=lambda each: len(grouping.get(each, ())) if each != mark else 0)
    group = group if group != mark and group in grouping else ""
    if not point and not comma:
        if doubtful:
            shown = f"“{doubtful[0]}” could be a thousand or one and a bit, and no amount says which"
            return DecidedStyle(style=NumberStyle(), reason=shown, sure=False)
        if not grouping:
            return DecidedStyle(style=NumberStyle(), reason="no amount has a mark")
    if against:
        reason = f"{votes[mark][0]} has a decimal mark of {mark}, but {against[0]} ({len(against)} such) has the other"
        return DecidedStyle(style=NumberStyle(decimal_mark=mark, grouping_mark=group), reason=reason, sure=False)
    if not group and doubtful:
        group = next((each for each in marks[:2] if each != mark and any(each in text for text in doubtful)), "")
    shown = (votes[mark] or [text for texts in grouping.values() for text in texts])[0]
    return DecidedStyle(style=NumberStyle(decimal_mark=mark, grouping_mark=group), reason=f"as in “{shown.strip()}”")
