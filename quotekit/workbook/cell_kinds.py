"""Reads a cell by the kind its column or field declares."""

from __future__ import annotations

import re
from collections.abc import Callable
from decimal import Decimal
from typing import Any

from quotekit.model.rate import Amount
from quotekit.model.shop_book import Quantity
from quotekit.problems import Place, Problem, error, warning
from quotekit.workbook import cells
from quotekit.workbook.column import Column, Field, Kind
from quotekit.workbook.grid import Cell
from quotekit.workbook.names import did_you_mean, name_key, or_list

Declared = Column | Field
Read = tuple[Any, Problem | None]
Reader = Callable[[Cell, Place, Declared], Read]

_WITH_UNIT = re.compile(r"^\s*(-?\d+(?:\.\d+)?)\s*([A-Za-zµ°\"″′'][^\d;]*?)\s*$")
"""A measurement typed as people say it: `0.742 in`."""

_SAYS_PERCENT = re.compile(r"%|\bper ?cent\b|\bpct\b", re.I)
_MOST_PERCENT = Decimal(1)
_MOST_MARKUP = Decimal(10)
_MOST_AMOUNT = Decimal(2)
"""An efficiency may be above 100 %; what else a row's Kind allows is asked when its rows are understood."""
_MOST_DAYS = Decimal(36500)
"""A hundred years: more is a slip, and no calendar holds much more."""

_MOST_YEARS = Decimal(100)
_LEAST_LIFE = Decimal("0.01")
"""Some four days: a shorter life is a slip, and its repeats over the years would be counted for minutes."""

_MOST_DECIMALS = 4
"""A sum or difference in a spreadsheet may leave a rest: 100.1 - 100 gives 0.0999999999999943."""

_ZERO = Decimal(0)


def read_kind(cell: Cell, place: Place, declared: Declared) -> Read:
    """The value of a cell that is not blank, or the problem with it."""
    return _READERS[declared.kind](cell, place, declared)


def _name(declared: Declared) -> str:
    return declared.header if isinstance(declared, Column) else declared.name


def _text(cell: Cell, place: Place, declared: Declared) -> Read:
    return cells.read_text(cell, place)


def _code(cell: Cell, place: Place, declared: Declared) -> Read:
    return cells.read_code(cell, place)


def _listed(cell: Cell, place: Place, declared: Declared) -> Read:
    entries, problem = cells.read_list(cell, place)
    return (None if entries is None else tuple(dict.fromkeys(entries))), problem


def _quantities(cell: Cell, place: Place, declared: Declared) -> Read:
    found, problem = cells.read_quantities(cell, place, allow_zero=declared.refers_to == ("Fees",))
    if found is None:
        return None, problem
    return tuple(Quantity(code=code, quantity=quantity) for code, quantity in found), problem


def _number(cell: Cell, place: Place, declared: Declared) -> Read:
    match = _WITH_UNIT.match(cell.value) if isinstance(cell.value, str) else None
    if match is None:
        return cells.read_number(cell, place, what=_name(declared))
    return None, error(
        place,
        "text-number",
        f"{_name(declared)} is wanted, and the cell holds a number with its unit",
        f"Type {match[1]} here as a number; {match[2]} goes in the column Unit.",
        cell.text,
    )


def _not_negative(cell: Cell, place: Place, declared: Declared) -> Read:
    return cells.read_number(cell, place, minimum=_ZERO, what=_name(declared))


def _money(cell: Cell, place: Place, declared: Declared) -> Read:
    value, problem = _not_negative(cell, place, declared)
    if value is None or not cell.calculated or _decimals(value) <= _MOST_DECIMALS:
        return value, problem
    return value, warning(
        place,
        "long-calculated",
        f"{_name(declared)} is calculated and has more than {_MOST_DECIMALS} decimals",
        "Round it in the formula, for example =ROUND(...,2), if no more are meant.",
        cell.text,
    )


def _decimals(value: Decimal) -> int:
    exponent = value.normalize().as_tuple().exponent
    return -exponent if isinstance(exponent, int) else 0


def _whole(cell: Cell, place: Place, declared: Declared) -> Read:
    value, problem = cells.read_number(cell, place, minimum=_ZERO, maximum=_MOST_DAYS, whole=True, what=_name(declared))
    return (None if value is None else int(value)), problem


def _years(cell: Cell, place: Place, declared: Declared) -> Read:
    _value, problem = cells.read_number(cell, place, maximum=_MOST_YEARS, what=_name(declared))
    return (None, problem) if problem is not None else _above_zero(cell, place, declared)


def _life(cell: Cell, place: Place, declared: Declared) -> Read:
    value, problem = _years(cell, place, declared)
    if problem is not None or value is None or value >= _LEAST_LIFE:
        return value, problem
    message = f"{_name(declared)} is below {_LEAST_LIFE}, less than four days"
    remedy = f"Type years: half a year is 0.5. What lasts so short a time is typed as {_LEAST_LIFE}."
    return None, error(place, "life-too-short", message, remedy, cell.text)


def _above_zero(cell: Cell, place: Place, declared: Declared) -> Read:
    value, problem = _not_negative(cell, place, declared)
    if value != 0:
        return value, problem
    return None, error(place, "zero", f"{_name(declared)} is zero", "Type a number above zero.", cell.text)


def _percent(cell: Cell, place: Place, declared: Declared) -> Read:
    return cells.read_percent(cell, place, maximum=_MOST_PERCENT)


def _markup(cell: Cell, place: Place, declared: Declared) -> Read:
    return cells.read_percent(cell, place, maximum=_MOST_MARKUP)


def _date(cell: Cell, place: Place, declared: Declared) -> Read:
    return cells.read_date(cell, place)


def _yes_no(cell: Cell, place: Place, declared: Declared) -> Read:
    return cells.read_yes_no(cell, place)


def _word(cell: Cell, place: Place, declared: Declared) -> Read:
    return cells.read_word(cell, place, declared.words)


def _words(cell: Cell, place: Place, declared: Declared) -> Read:
    by_key = {name_key(word): word for word in declared.words}
    entries, problem = cells.read_list(cell, place)
    strange = [entry for entry in entries or () if name_key(entry) not in by_key]
    if problem is not None or not strange:
        return tuple(dict.fromkeys(by_key[name_key(entry)] for entry in entries or ())), problem
    advice = f"{did_you_mean(strange[0], declared.words)}Use {or_list(declared.words)}, separated by semicolons."
    return None, error(place, "not-a-word", f"`{strange[0]}` is none of the words of this column", advice, cell.text)


def _credit(cell: Cell, place: Place, declared: Declared) -> Read:
    if isinstance(cell.value, Decimal):
        return _money(cell, place, declared)
    word, problem = cells.read_word(cell, place, declared.words)
    if problem is None:
        return word, None
    number, about_number = _not_negative(cell, place, declared)
    return number, about_number if about_number and about_number.code == "text-number" else problem


def _amount(cell: Cell, place: Place, declared: Declared) -> Read:
    """A number, and whether the cell says that it is a percentage; what it must be hangs on the row's Kind."""
    says_percent = _SAYS_PERCENT.search(cell.value) if isinstance(cell.value, str) else cell.percent
    if says_percent:
        value, problem = cells.read_percent(cell, place, maximum=_MOST_AMOUNT)
    else:
        value, problem = _not_negative(cell, place, declared)
    return (None if value is None else Amount(value=value, percent=bool(says_percent))), problem


_READERS: dict[Kind, Reader] = {
    "text": _text,
    "code": _code,
    "codes": _listed,
    "quantities": _quantities,
    "number": _number,
    "quantity": _above_zero,
    "hours": _not_negative,
    "money": _money,
    "whole": _whole,
    "years": _years,
    "life": _life,
    "percent": _percent,
    "markup": _markup,
    "date": _date,
    "yes/no": _yes_no,
    "word": _word,
    "words": _words,
    "sides": _listed,
    "saving": _number,
    "credit": _credit,
    "amount": _amount,
}
