"""How one supplier's lists are read: a small file that a person can read and change (TOML).

`quotekit prices map LIST` writes it from a list, with the reason of each guess beside it; `quotekit prices read` reads
it. It names the columns by their headers, so that it goes on working when the supplier adds a column or moves one.
"""

from __future__ import annotations

import tomllib
from collections.abc import Mapping as Named
from dataclasses import field
from pathlib import Path
from typing import Any, Literal

from quotekit.problems import Place, Problem, error
from quotekit.record import record
from quotekit.suppliers.date_texts import DATE_ORDERS
from quotekit.suppliers.encodings import known_encoding
from quotekit.suppliers.fixed_width import Cut
from quotekit.suppliers.number_texts import NumberStyle
from quotekit.workbook.currencies import CURRENCIES
from quotekit.workbook.names import did_you_mean

Kind = Literal["delimited", "fixed width", "xlsx", "ods"]
KINDS: tuple[Kind, ...] = ("delimited", "fixed width", "xlsx", "ods")
COST_IS_FOR = ("each", "pack")
_MOST_UNITS = 1_000_000
ENDING = " price list.toml"
_LONGEST_LINE = 100_000
"""Characters of a line of a list of fixed width."""

FIELDS = {
    "number": "the supplier's number, as text",
    "cost": "what the shop pays, before tax",
    "list_price": "the list or retail price of one",
    "pack": "how many are in a pack",
    "price_for": "how many the cost and the list price are for (1, 100, C)",
    "unit": "the unit, as text",
    "currency": "the currency of the row",
    "dated": "the day from which the row counts",
    "until": "the last day on which it counts",
    "lead_days": "working days until it is there",
    "superseded_by": "the number that replaces this one",
    "description": "what it is",
}
"""What a mapping may name, and what each means."""

_GROUPING = {"": "", "none": "", "space": " ", "apostrophe": "'", "comma": ",", "point": "."}
_SEPARATORS = {"tab": "\t", "comma": ",", "semicolon": ";", "bar": "|"}
_TABLES = {
    "": ("supplier",),
    "file": ("kind", "encoding", "separator", "quotes", "sheet", "member", "header_row"),
    "amounts": ("decimal_mark", "grouping_mark", "currency", "cost_is_for", "list_is_for", "date_order"),
    "columns": tuple(FIELDS),
    "places": tuple(FIELDS),
}


@record
class PriceMapping:
    """How the lists of one supplier are read. `header_row` 0: there is none, and columns go by their place."""

    supplier: str
    kind: Kind
    columns: Named[str, str]
    """Field to header; without a header row to `column 3`."""

    encoding: str = "utf-8"
    separator: str = ","
    quotes: bool = True
    sheet: str = ""
    member: str = ""
    header_row: int = 1
    style: NumberStyle = field(default_factory=NumberStyle)
    currency: str = ""
    cost_is_for: str = "each"
    """`each`, `pack`, or how many: `100`. Where a row says it itself (`price_for`), that counts for both prices."""

    list_is_for: str = "each"
    date_order: str = ""
    places: Named[str, Cut] = field(default_factory=dict)
    """Field to the characters of a line, in lists of fixed width."""


class _Wrong(Exception):
    """A line of a mapping that can't be read: what is wrong, what to do."""

    def __init__(self, where: str, message: str, remedy: str) -> None:
        super().__init__(message)
        self.where, self.remedy = where, remedy


def mapping_path(folder: Path, supplier: str) -> Path:
    """Where a supplier's mapping is kept."""
    cleaned = "".join("-" if letter in '<>:"/\\|?*' or ord(letter) < 32 else letter for letter in supplier)
    return folder / f"{cleaned.strip(' .') or 'supplier'}{ENDING}"


def read_mapping(path: Path) -> tuple[PriceMapping | None, list[Problem]]:
    """A mapping, or what is wrong with it."""
    place = Place(path.name)
    try:
        text = path.read_text(encoding="utf-8-sig")
    except FileNotFoundError:
        message = f"there is no mapping {path.name}, which says how the list is read"
        return None, [error(place, "no-price-mapping", message, "Make one: quotekit prices map LIST --supplier NAME.")]
    except OSError as fault:
        return None, [_unreadable(place, fault.strerror or "it is no file", "Check the file.")]
    except UnicodeDecodeError:
        return None, [_unreadable(place, "it is not saved as UTF-8", "Save it as plain text in UTF-8.")]
    try:
        return mapping_of(tomllib.loads(text)), []
    except RecursionError:
        return None, [_unreadable(place, "it is nested too deeply", "Make the mapping anew with --replace.")]
    except tomllib.TOMLDecodeError as fault:
        return None, [_unreadable(place, str(fault), "Mend that line, or make the mapping anew with --replace.")]
    except _Wrong as fault:
        return None, [_unreadable(place._replace(sheet=fault.where), str(fault), fault.remedy)]


def _unreadable(place: Place, message: str, remedy: str) -> Problem:
    return error(place, "bad-price-mapping", f"the mapping can't be read: {message}", remedy)


def mapping_of(told: Named[str, Any]) -> PriceMapping:
    """The mapping that a file tells. Raises _Wrong."""
    _check_names(told)
    file, amounts = told.get("file", {}), told.get("amounts", {})
    kind = _one_of(file, "file", "kind", KINDS, "delimited")
    mark = _one_of(amounts, "amounts", "decimal_mark", (".", ","), ".")
    grouping = _text(amounts, "amounts", "grouping_mark")
    grouping = _GROUPING.get(grouping, grouping)
    if grouping not in ("", ",", ".", " ", "'") or grouping == mark:
        raise _Wrong("amounts", f"grouping_mark = {grouping!r} is none", 'Write "", ",", ".", "space" or "apostrophe".')
    places = {name: _cut(name, value) for name, value in told.get("places", {}).items()}
    columns = {name: _text(told["columns"], "columns", name) for name in told.get("columns", {})}
    columns = {name: header for name, header in columns.items() if header}
    cost_is_for = _is_for(amounts, "cost_is_for", COST_IS_FOR)
    _check_columns(kind, columns, places, cost_is_for)
    return PriceMapping(
        supplier=_text(told, "", "supplier"),
        kind=kind,  # type: ignore[arg-type]
        columns=columns,
        encoding=_encoding(_text(file, "file", "encoding") or "utf-8"),
        separator=_separator(_text(file, "file", "separator") or "comma"),
        quotes=_flag(file, "quotes"),
        sheet=_text(file, "file", "sheet"),
        member=_text(file, "file", "member"),
        header_row=_whole(file, "header_row"),
        style=NumberStyle(decimal_mark=mark, grouping_mark=grouping),  # type: ignore[arg-type]
        currency=_currency(_text(amounts, "amounts", "currency")),
        cost_is_for=cost_is_for,
        list_is_for=_is_for(amounts, "list_is_for", COST_IS_FOR[:1]),
        date_order=_one_of(amounts, "amounts", "date_order", ("", *DATE_ORDERS), ""),
        places=places,
    )


def _check_names(told: Named[str, Any]) -> None:
    for name, value in told.items():
        if not isinstance(value, dict):
            if name and name in _TABLES:
                raise _Wrong(name, f"{name} is no table", f"Write [{name}] on a line of its own, its lines below it.")
            if name not in _TABLES[""]:
                raise _Wrong("", f"{name} is not known", did_you_mean(name, (*_TABLES[""], *_TABLES)) or "Take it out.")
            continue
        if name not in _TABLES:
            raise _Wrong(name, f"[{name}] is not known", did_you_mean(name, _TABLES) or "Take it out.")
        for key in value:
            if key not in _TABLES[name]:
                raise _Wrong(name, f"{key} is not known", did_you_mean(key, _TABLES[name]) or "Take it out.")


def _check_columns(kind: str, columns: Named[str, str], places: Named[str, Cut], cost_is_for: str) -> None:
    named = places if kind == "fixed width" else columns
    table = "places" if kind == "fixed width" else "columns"
    if "number" not in named:
        raise _Wrong(table, "no column is named for number", f"Name the supplier's number under [{table}].")
    if not {"cost", "list_price"} & set(named):
        raise _Wrong(table, "neither cost nor list_price is named", f"Name one of them under [{table}].")
    if cost_is_for == "pack" and "pack" not in named:
        raise _Wrong(table, "the cost is for a pack, and no column is named for pack", f"Name it under [{table}].")


def _text(table: Named[str, Any], where: str, name: str) -> str:
    value = table.get(name, "")
    if not isinstance(value, str):
        raise _Wrong(where, f"{name} = {value!r} is no text", "Put it between quotes.")
    return value


def _one_of(table: Named[str, Any], where: str, name: str, allowed: tuple[str, ...], default: str) -> str:
    value = _text(table, where, name) or default
    if value not in allowed:
        named = " or ".join(f'"{each}"' for each in allowed if each)
        raise _Wrong(where, f"{name} = {value!r} is not known", f"Write {named}.")
    return value


def _is_for(amounts: Named[str, Any], name: str, words: tuple[str, ...]) -> str:
    """What a price is for: one of the words, or a whole number of units, with or without quotes."""
    value = amounts.get(name, "each")
    told = str(value) if isinstance(value, (str, int)) and not isinstance(value, bool) else ""
    units = int(told) if told.isascii() and told.isdigit() and len(told) <= 7 else 0
    if told not in words and not 1 <= units <= _MOST_UNITS:
        named = " or ".join(f'"{word}"' for word in words)
        raise _Wrong("amounts", f"{name} = {value!r} is not known", f'Write {named}, or how many it is for: "100".')
    return told if told in words else str(units) if units > 1 else "each"


def units_of(is_for: str) -> int:
    """How many units a price is for where the mapping says so, else one.

    >>> units_of("100"), units_of("each"), units_of("pack")
    (100, 1, 1)
    """
    return int(is_for) if is_for.isdigit() else 1


def _encoding(name: str) -> str:
    found = known_encoding(name)
    if not found:
        raise _Wrong("file", f"encoding = {name!r} is not known", 'Write one such as "utf-8", "cp1252" or "cp850".')
    return found


def _separator(name: str) -> str:
    found = _SEPARATORS.get(name, name)
    if len(found) != 1 or not found.isascii() or found.isalnum() or found in "\"'\r\n. -":
        raise _Wrong("file", f"separator = {name!r} can't be one", 'Write "comma", "semicolon", "tab" or "bar".')
    return found


def _currency(code: str) -> str:
    if code and code.upper() not in CURRENCIES:
        raise _Wrong("amounts", f"currency = {code!r} is not known", "Write three letters, such as USD.")
    return code.upper()


def _flag(table: Named[str, Any], name: str) -> bool:
    value = table.get(name, True)
    if not isinstance(value, bool):
        raise _Wrong("file", f"{name} = {value!r} is neither true nor false", "Write true or false.")
    return value


def _whole(table: Named[str, Any], name: str) -> int:
    value = table.get(name, 1)
    if isinstance(value, bool) or not isinstance(value, int) or not 0 <= value <= 1000:
        raise _Wrong("file", f"{name} = {value!r} is no row", "Write the row's number, 0 where there is no header.")
    return value


def _cut(name: str, value: Any) -> Cut:
    sound = isinstance(value, list) and len(value) == 2
    sound = sound and all(type(each) is int and 0 <= each <= _LONGEST_LINE for each in value)
    if not sound or value[0] < 1 or 0 < value[1] < value[0]:
        raise _Wrong("places", f"{name} = {value!r} is no place", "Write first and last character, such as [1, 12].")
    return Cut(start=value[0], end=value[1])
