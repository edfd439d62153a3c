"""One cell to one value, or the problem with it: nothing is guessed about money, hours or dates.

Each reader takes a cell that is not blank and its place, and gives (value, None), (None, error), or for a text date
that can be read one way only (value, warning). Text that looks like a number is an error with a suggestion.
"""

from __future__ import annotations

import datetime as dt
import re
from collections.abc import Sequence
from decimal import Decimal
from fractions import Fraction

from quotekit.money import round_to
from quotekit.problems import Place, Problem, error, warning
from quotekit.workbook.grid import Cell
from quotekit.workbook.names import did_you_mean, name_key, or_list
from quotekit.workbook.number_text import plain_characters, suggest_number

Read = tuple[Decimal | None, Problem | None]

_TRUE = frozenset({"yes", "true", "1", "☑"})
_FALSE = frozenset({"no", "false", "0", "☐"})
_TIMES = re.compile(r"(.*\S)\s*(?:\s[xX]|[×*])\s*(\S+)", re.S)
_ISO = re.compile(r"([0-9]{4})([-/.])([0-9]{1,2})\2([0-9]{1,2})")
_DMY = re.compile(r"([0-9]{1,2})([-/.])([0-9]{1,2})\2([0-9]{4})")
_PERCENT = re.compile(r"(-?(?:[0-9]{1,9}(?:\.[0-9]{1,9})?|\.[0-9]{1,9}))\s*%")
_ODD_PERCENT = re.compile(r"([0-9]{0,9}[.,]?[0-9]{1,9})\s*(?:%|percent|per cent|pct\.?)", re.I)
_QUANTITY = re.compile(r"[0-9]{1,9}(?:\.[0-9]{1,6})?|\.[0-9]{1,6}")
_INVISIBLE = {0x00A0: " ", 0x202F: " ", 0x2007: " ", 0x200B: None, 0x2060: None, 0xFEFF: None}
_SPLITS = {ord("；"): ";"}


def clean(text: str) -> str:
    """Text without spaces at its ends, of any kind; spaces that do not break become plain ones.

    >>> clean("\u00a0SEAL\u00a019 \u200b")
    'SEAL 19'
    """
    return (text if text.isascii() else text.translate(_INVISIBLE)).strip()


def is_blank(cell: Cell) -> bool:
    """True for a cell that holds nothing but spaces."""
    value = cell.value
    return isinstance(value, str) and not (value.strip() if value.isascii() else clean(value))


def read_text(cell: Cell, place: Place) -> tuple[str | None, Problem | None]:
    """Text as the owner sees it, spaces at the ends left out."""
    return clean(cell.text), None


def read_code(cell: Cell, place: Place) -> tuple[str | None, Problem | None]:
    """A code: text, or the digits of a whole number."""
    if isinstance(cell.value, bool | dt.date | dt.time | dt.timedelta):
        message = f"a code is wanted, and the cell holds {cell.text}, which the spreadsheet took for something else"
        return None, error(place, "not-a-code", message, "Format the cell as text and type the code again.", cell.text)
    code = " ".join(clean(cell.text).split())
    if ";" in code or "@" in code:
        return None, error(place, "not-a-code", "a code holds no ; and no @", "Give one code without them.", cell.text)
    return code, None


def read_list(cell: Cell, place: Place) -> tuple[list[str] | None, Problem | None]:
    """Entries separated by `;`, blanks between left out."""
    entries = (" ".join(entry.split()) for entry in clean(cell.text).translate(_SPLITS).split(";"))
    return [entry for entry in entries if entry], None


def read_quantities(
    cell: Cell, place: Place, *, allow_zero: bool = False
) -> tuple[list[tuple[str, Decimal]] | None, Problem | None]:
    """A quantity list such as `SEAL-19 x 2; GASKET`: codes with how many, one where none is said."""
    found = []
    for entry in read_list(cell, place)[0] or []:
        match = _TIMES.fullmatch(entry) if len(entry) < 200 else None
        code, many = (match[1], match[2]) if match else (entry, "1")
        quantity = Decimal(many) if _QUANTITY.fullmatch(many) else None
        if quantity is None or quantity < 0 or (quantity == 0 and not allow_zero):
            return None, error(
                place,
                "bad-quantity-list",
                f"`{entry[:60]}` does not say a code and how many",
                "Write it like SEAL-19 x 2; GASKET, with a number above zero.",
                cell.text,
            )
        found.append((code, quantity))
    return found, None


def read_number(
    cell: Cell,
    place: Place,
    *,
    minimum: Decimal | None = None,
    maximum: Decimal | None = None,
    whole: bool = False,
    what: str = "number",
) -> Read:
    """A number typed as a number, within its bounds."""
    value = cell.value
    if isinstance(value, Decimal):
        return _within(value, cell, place, minimum, maximum, whole, what)
    if isinstance(value, dt.time | dt.timedelta):
        return None, _time_not_hours(cell, place, what)
    if isinstance(value, str):
        suggestion = suggest_number(clean(value), what)
        if suggestion:
            message = f"{what} is wanted, and the cell holds text that looks like a number"
            return None, error(place, "text-number", message, suggestion, cell.text)
    kind = "a date" if isinstance(value, dt.date) else "yes or no" if isinstance(value, bool) else "text"
    message = f"{what} is wanted, and the cell holds {kind}"
    return None, error(place, "not-a-number", message, "Type a plain number.", cell.text)


def read_percent(cell: Cell, place: Place, *, maximum: Decimal) -> Read:
    """A fraction from a cell formatted as percent, from text such as `45%`, or from a number up to 1."""
    if isinstance(cell.value, Decimal):
        return _fraction(cell.value, cell.percent, cell, place, maximum)
    if not isinstance(cell.value, str):
        message = "a percentage is wanted, and the cell holds something else"
        return None, error(place, "not-a-number", message, "Type it like 45%.", cell.text)
    typed = clean(cell.value)
    match = _PERCENT.fullmatch(typed)
    if match:
        return _fraction(Decimal(match[1]).scaleb(-2), True, cell, place, maximum)
    suggestion = _suggest_percent(typed)
    code = "text-number" if suggestion else "not-a-number"
    advice = suggestion or "Type a number and format the cell as percent, for example 45%."
    return None, error(place, code, "a percentage is wanted, and the cell holds text", advice, cell.text)


def read_yes_no(cell: Cell, place: Place) -> tuple[bool | None, Problem | None]:
    """Yes or No, in the forms spreadsheets save a tick."""
    if isinstance(cell.value, bool):
        return cell.value, None
    word = clean(cell.text).casefold()
    if word in _TRUE or word in _FALSE:
        return word in _TRUE, None
    return None, error(place, "not-yes-no", "Yes or No is wanted", "Type Yes or No.", cell.text)


def read_word(cell: Cell, place: Place, choices: Sequence[str]) -> tuple[str | None, Problem | None]:
    """One of the words of a column, whatever its case and spelling of labour."""
    by_key = {name_key(choice): choice for choice in choices}
    typed = clean(cell.text)
    found = by_key.get(name_key(typed))
    if found is not None:
        return found, None
    advice = f"{did_you_mean(typed, choices)}Type {or_list(choices)}."
    return None, error(place, "not-a-word", f"`{typed[:60]}` is none of the words of this column", advice, cell.text)


def read_date(cell: Cell, place: Place) -> tuple[dt.date | None, Problem | None]:
    """A date cell, or a text that can be read as a date one way only, with a warning."""
    value = cell.value
    if isinstance(value, dt.datetime):
        return value.date(), None
    if isinstance(value, dt.date):
        return value, None
    readings = _readings_of_date(clean(value)) if isinstance(value, str) else []
    if len(readings) == 1:
        message = f"the date is text; it was read as {readings[0].isoformat()}"
        return readings[0], warning(place, "text-date", message, "Type it as a date.", cell.text)
    if readings:
        both = or_list([reading.isoformat() for reading in readings])
        message = f"the date is text and can be read as {both}"
        return None, error(place, "ambiguous-date", message, f"Type it as a date, or as text {both}.", cell.text)
    advice = "Type it as a date, for example 2026-11-25."
    return None, error(place, "not-a-date", "a date is wanted, and the cell holds something else", advice, cell.text)


def _fraction(value: Decimal, shown: bool, cell: Cell, place: Place, maximum: Decimal) -> Read:
    """A fraction within its bounds; `shown` where the cell itself says that it is a percentage."""
    if value < 0:
        return None, error(place, "negative", "a percentage is not negative", "Type it without the minus.", cell.text)
    if value > 1 and not shown:
        as_it_is, as_shown = _plain(value), _plain(value * 100)
        message = f"{as_it_is} is not formatted as percent: is it {as_it_is} % or {as_shown} %?"
        advice = f"Format the cell as percent, then type {as_it_is}% or {as_shown}%."
        return None, error(place, "percent-unclear", message, advice, cell.text)
    if value > maximum:
        message = f"{_plain(value * 100)} % is more than {_plain(maximum * 100)} %"
        return None, error(place, "percent-too-big", message, "Check the percentage.", cell.text)
    return value, None


def _suggest_percent(text: str) -> str:
    if _QUANTITY.fullmatch(text):
        return f"Type {text}%, or format the cell as percent first."
    match = _ODD_PERCENT.fullmatch(plain_characters(text))
    return f"Type {match[1].replace(',', '.')}%." if match else suggest_number(text, "percent")


def _plain(value: Decimal) -> str:
    """A number without zeros at its end, as a power of ten where it is far too long to read."""
    return f"{value.normalize():f}" if abs(value.adjusted()) < 20 else f"{value:.3e}"


def _within(
    value: Decimal,
    cell: Cell,
    place: Place,
    minimum: Decimal | None,
    maximum: Decimal | None,
    whole: bool,
    what: str,
) -> Read:
    if minimum is not None and value < minimum:
        negative = value < 0
        message = f"{what} cannot be {'negative' if negative else f'below {minimum:f}'}"
        code = "negative" if negative else "too-small"
        return None, error(place, code, message, "Check the number.", cell.text)
    if maximum is not None and value > maximum:
        return None, error(place, "too-big", f"{what} cannot be above {maximum:f}", "Check the number.", cell.text)
    if whole and value != value.to_integral_value():
        return None, error(place, "not-whole", f"{what} is a whole number", "Type a whole number.", cell.text)
    return value, None


def _time_not_hours(cell: Cell, place: Place, what: str) -> Problem:
    seconds = _seconds(cell.value)
    advice = "Type hours as a plain number, for example 1.5."
    if seconds is not None:
        hours = _plain(round_to(Fraction(seconds, 3600), 4))
        advice = f"If it means hours, format the cell as a number and type {hours}."
    return error(place, "time-not-hours", f"{what} is wanted, and the cell holds a time", advice, cell.text)


def _seconds(value: object) -> int | None:
    if isinstance(value, dt.time):
        return value.hour * 3600 + value.minute * 60 + value.second
    return value.days * 86400 + value.seconds if isinstance(value, dt.timedelta) else None


def _readings_of_date(text: str) -> list[dt.date]:
    """Every date a text can mean, day first and month first."""
    iso, parts = _ISO.fullmatch(text), _DMY.fullmatch(text)
    if iso:
        orders = [(int(iso[1]), int(iso[3]), int(iso[4]))]
    elif parts:
        first, second, year = int(parts[1]), int(parts[3]), int(parts[4])
        orders = [(year, second, first), (year, first, second)]
    else:
        return []
    found = []
    for year, month, day in orders:
        try:
            date = dt.date(year, month, day)
        except ValueError:
            continue
        if date not in found:
            found.append(date)
    return found
