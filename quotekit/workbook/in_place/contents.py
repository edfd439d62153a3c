"""What a cell holds, as a workbook stores it: a kind and a text, exact, with no float on the way.

A number is the shortest exact decimal text of at most 15 digits, as many as a spreadsheet keeps. A date is a day number
in the workbook's own date system. Text may carry the XML of its runs, so that it can be put back as it looked.
"""

from __future__ import annotations

import re
from datetime import date, datetime
from decimal import ROUND_HALF_EVEN, Context, Decimal
from xml.sax.saxutils import escape

from quotekit.model.changed_file import NOTHING as NOTHING
from quotekit.model.changed_file import CellKind as CellKind
from quotekit.model.changed_file import Content as Content

NewValue = None | bool | int | Decimal | str | date | datetime
"""What may be put into a cell; None empties it."""

MOST_DIGITS = 15
MOST_TEXT = 32_767
"""Letters of a cell, as UTF-16 counts them."""

_LONGEST_PLAIN = 21
_FARTHEST = 307
"""Places of the first digit before or behind the point: a cell keeps 1E-307 to 9.99999999999999E+307."""

_UNSTORED = re.compile("[\ud800-\udfff\ufffe\uffff]")
_CONTROL = re.compile("[\x00-\x08\x0b-\x1f\ud800-\udfff\ufffe\uffff]")
_LOOKS_ESCAPED = re.compile(r"_(?=x[0-9A-Fa-f]{4}_)")
_ESCAPED = re.compile(r"_x([0-9A-Fa-f]{4})_")
_WIDE = Context(prec=40)
_FIFTEEN = Context(prec=MOST_DIGITS, rounding=ROUND_HALF_EVEN)


class CannotStore(ValueError):
    """A value that no cell can hold: why, in words."""


def content_of(value: NewValue, *, date_1904: bool = False) -> Content:
    """A new value as a cell stores it. Raises CannotStore.

    >>> content_of(Decimal("21.50")).text, content_of(True).kind, content_of(date(2026, 11, 28)).text
    ('21.5', 'boolean', '46354')
    """
    if value is None:
        return NOTHING
    if isinstance(value, bool):
        return Content(kind="boolean", text=str(int(value)))
    if isinstance(value, (int, Decimal)):
        return Content(kind="number", text=number_text(Decimal(value)))
    if isinstance(value, date):
        return Content(kind="number", text=day_text(value, date_1904=date_1904))
    if isinstance(value, str):
        return Content(kind="text", text=_checked(value))
    raise TypeError(f"no cell holds a {type(value).__name__}")


def number_text(number: Decimal) -> str:
    """The shortest exact decimal text of a number. Raises CannotStore.

    >>> number_text(Decimal("0.10")), number_text(Decimal("-0")), number_text(Decimal("1E+30"))
    ('0.1', '0', '1E+30')
    """
    if not number.is_finite():
        raise CannotStore("this is no number that a cell can hold")
    if not number:
        return "0"
    if abs(number.adjusted()) > _FARTHEST:
        raise CannotStore("the number is larger or smaller than a cell can hold")
    plain = number.normalize(Context(prec=1000))
    if len(plain.as_tuple().digits) > MOST_DIGITS:
        raise CannotStore(f"{number:f} has more than {MOST_DIGITS} digits, which no cell keeps")
    text = f"{plain:f}"
    return text if len(text) <= _LONGEST_PLAIN else f"{plain:E}"


def day_text(day: date, *, date_1904: bool) -> str:
    """A date, or a date with a time, as the number of its day. Raises CannotStore.

    >>> day_text(date(1900, 2, 28), date_1904=False), day_text(date(1900, 3, 1), date_1904=False)
    ('59', '61')
    >>> day_text(datetime(2026, 11, 28, 6), date_1904=False)
    '46354.25'
    """
    whole = day.date() if isinstance(day, datetime) else day
    first = date(1904, 1, 1) if date_1904 else date(1899, 12, 30) if whole >= date(1900, 3, 1) else date(1899, 12, 31)
    days = (whole - first).days
    if days < (0 if date_1904 else 1):
        raise CannotStore(f"{whole.isoformat()} is before the first day of the workbook's calendar")
    if not isinstance(day, datetime):
        return str(days)
    if day.tzinfo is not None:
        raise CannotStore("a cell keeps no time zone")
    micro = ((day.hour * 60 + day.minute) * 60 + day.second) * 1_000_000 + day.microsecond
    part = _WIDE.divide(Decimal(micro), Decimal(86_400_000_000))
    return number_text(_FIFTEEN.plus(_WIDE.add(Decimal(days), part)))


def same_content(one: Content, other: Content) -> bool:
    """True where two cells say the same, however the number is written: stored numbers agree in 15 digits."""
    if one.kind != other.kind:
        return False
    if one.kind == "number":
        return fifteen(one.text) == fifteen(other.text)
    return one.text == other.text


def fifteen(text: str) -> Decimal | str:
    """A stored number in the 15 digits that count; the text itself where it is no number.

    >>> fifteen("19.989999999999998")
    Decimal('19.99')
    """
    try:
        return _FIFTEEN.create_decimal(text.strip()).normalize(_FIFTEEN)
    except ArithmeticError:
        return text


def text_xml(text: str, prefix: str = "") -> str:
    """The element `t` of a text.

    >>> text_xml("a & b", "x:")
    '<x:t xml:space="preserve">a &amp; b</x:t>'
    """
    return f'<{prefix}t xml:space="preserve">{stored_text(text)}</{prefix}t>'


def stored_text(text: str) -> str:
    """A text as XML holds it: what XML can't say is `_x0007_`, and what looks like that is told apart.

    >>> stored_text("a\\x07<b> _x0041_")
    'a_x0007_&lt;b&gt; _x005F_x0041_'
    """
    marked = _LOOKS_ESCAPED.sub("_x005F_", text)
    return escape(_CONTROL.sub(lambda match: f"_x{ord(match[0]):04X}_", marked))


def meant_text(text: str) -> str:
    """A text as it was meant, from what XML holds.

    >>> meant_text("a_x0007_ _x005F_x0041_")
    'a\\x07 _x0041_'
    """
    if "_x" not in text:
        return text
    read = _ESCAPED.sub(lambda match: chr(int(match[1], 16)), text)
    return read.encode("utf-16-le", "surrogatepass").decode("utf-16-le", "surrogatepass")  # two halves of a letter


def _checked(text: str) -> str:
    if _UNSTORED.search(text):
        raise CannotStore("the text holds half a letter, which no workbook can hold")
    if len(text.encode("utf-16-le")) > 2 * MOST_TEXT:
        raise CannotStore(f"the text is longer than the {MOST_TEXT:,} letters of a cell")
    return text
