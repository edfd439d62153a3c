"""What a formula reads: cells, ranges, whole rows and columns, other sheets, stretches of sheets, names, table columns.

Only what is surely understood is told as an area. A range whose ends are worked out, a function that may read anything,
a reference of an unknown kind: then the formula is taken to read everything, which is never wrong, only wide.
Grammar: ECMA-376 part 1, 18.17, and structured references as spreadsheets write them, both from memory.
Plain references were tried against LibreOffice over random chains.
"""

from __future__ import annotations

import re
from dataclasses import dataclass, field
from typing import NamedTuple

from quotekit.workbook.addresses import MOST_COLUMNS, MOST_ROWS, column_number
from quotekit.workbook.in_place.function_names import CLOCK, SIZED, plain_name, reads_its_arguments
from quotekit.workbook.in_place.spans import Rectangle

_NAME = r"[^\W\d][\w.\\?]*|\\[\w.\\?]*"
_TOKEN = re.compile(
    r"(?P<text>\"(?:[^\"]|\"\")*\")"
    r"|(?P<sheet>'(?:[^']|'')+'!|(?:\[\d+\])?[^\W\d][\w.]*(?::[^\W\d][\w.]*)?!|\[\d+\]!)?(?:"
    r"(?P<area>(?P<c1>\$?)(?P<left>[A-Za-z]{1,3})(?P<r1>\$?)(?P<top>[1-9]\d{0,6})"
    r"(?::(?P<c2>\$?)(?P<right>[A-Za-z]{1,3})(?P<r2>\$?)(?P<bottom>[1-9]\d{0,6}))?(?![\w.(!\[\\?]))"
    r"|(?P<columns>(?P<f1>\$?)(?P<from>[A-Za-z]{1,3}):(?P<f2>\$?)(?P<to>[A-Za-z]{1,3})(?![\w.(!\[$\\?]))"
    r"|(?P<rows>(?P<l1>\$?)(?P<first>[1-9]\d{0,6}):(?P<l2>\$?)(?P<last>[1-9]\d{0,6})(?![\w.(!]))"
    rf"|(?P<function>{_NAME})\("
    rf"|(?P<table>{_NAME})\["
    rf"|(?P<name>{_NAME})"
    r"|(?P<error>\#(?:REF!|N/A|NAME\?|NULL!|NUM!|VALUE!|DIV/0!|SPILL!|CALC!|FIELD!|BLOCKED!|GETTING_DATA))"
    r")|(?P<number>\d+\.?\d*(?:[eE][+-]?\d+)?|\.\d+(?:[eE][+-]?\d+)?)"
    r"|(?P<sign>[-+*/^&=<>%(),;{}@\s]+|\|)"
)


class Reference(NamedTuple):
    """An area as written: its sheets by number, its ends, and which of them move when the formula is copied."""

    first_sheet: int
    last_sheet: int
    area: Rectangle
    moves: tuple[bool, bool, bool, bool] = (False, False, False, False)
    """Top, left, bottom, right."""


class TableReference(NamedTuple):
    """A table's name and what stands in its brackets."""

    table: str
    inside: str


class NameUsed(NamedTuple):
    """A name, and the sheet it is said to be of; None where it is not said."""

    sheet: int | None
    name: str


@dataclass(kw_only=True)
class Reads:
    """All that a formula reads."""

    areas: list[Reference] = field(default_factory=list)
    tables: list[TableReference] = field(default_factory=list)
    names: list[NameUsed] = field(default_factory=list)
    sized: list[SizedCall] = field(default_factory=list)
    """Calls that may read beyond the last area they name."""
    anything: bool = False
    clock: bool = False


class SizedCall(NamedTuple):
    """A call that reads as many cells from the start of one argument as another argument has."""

    function: str
    sizing: Reads
    reached: Reads


def reads_of(formula: str, sheet: int, sheets: dict[str, int]) -> Reads:
    """What a formula of a sheet reads; `sheets` are the numbers of the sheets by name in small letters.

    >>> found = reads_of("SUM($B$2:B9)*Rate+'My Sheet'!C:C", 0, {"my sheet": 1})
    >>> [(one.first_sheet, *one.area) for one in found.areas], [one.name for one in found.names]
    ([(0, 2, 2, 9, 2), (1, 1, 3, 1048576, 3)], ['Rate'])
    >>> reads_of("OFFSET(A1,1,0)", 0, {}).anything, reads_of("A1:INDEX(B:B,3)", 0, {}).anything
    (True, True)
    """
    found, at, calls = Reads(), 0, _Calls()
    while at < len(formula):
        match = _TOKEN.match(formula, at)
        if match is None:
            found.anything = True
            return found
        at = match.end()
        if match["table"]:
            end = _closing(formula, at)
            if end < 0:
                found.anything = True
                return found
            inside, at = formula[at:end], end + 1
        else:
            inside = ""
        calls.follow(found, match)
        if not (match["text"] or match["number"] or match["sign"]):
            _take(found, match, inside, _sheets(match["sheet"], sheet, sheets))
    return found


class _Calls:
    """The brackets that are open, and where the references of each argument begin."""

    def __init__(self) -> None:
        self.open: list[tuple[str, list[tuple[int, int, int]]]] = []

    def follow(self, found: Reads, match: re.Match[str]) -> None:
        """One more piece of the formula."""
        here = len(found.areas), len(found.tables), len(found.names)
        if match["function"]:
            self.open.append((plain_name(match["function"])[0], [here]))
        for sign in match["sign"] or "":
            if sign in "({":
                self.open.append(("", [here]))
            elif sign == "," and self.open:
                self.open[-1][1].append(here)
            elif sign in ")}" and self.open:
                name, begins = self.open.pop()
                if name in SIZED and len(begins) > SIZED[name][1]:
                    sizing, reached = (_between(found, *[*begins, here][place : place + 2]) for place in SIZED[name])
                    found.sized.append(SizedCall(name, sizing, reached))


def _between(found: Reads, start: tuple[int, int, int], end: tuple[int, int, int]) -> Reads:
    areas, tables, names = (slice(*ends) for ends in zip(start, end, strict=True))
    return Reads(areas=found.areas[areas], tables=found.tables[tables], names=found.names[names])


def moved(reference: Reference, rows: int, columns: int) -> Reference | None:
    """A reference as it reads so many rows down and columns to the right; None outside the sheet.

    >>> one = Reference(0, 0, Rectangle(1, 1, 1, 1), (True, False, True, False))
    >>> moved(one, 2, 5).area
    Rectangle(top=3, left=1, bottom=3, right=1)
    """
    top, left, bottom, right = (
        end + (by if moves else 0)
        for end, moves, by in zip(reference.area, reference.moves, (rows, columns) * 2, strict=True)
    )
    if min(top, left, bottom, right) < 1 or max(top, bottom) > MOST_ROWS or max(left, right) > MOST_COLUMNS:
        return None
    return reference._replace(area=_ordered(top, left, bottom, right))


def _closing(formula: str, at: int) -> int:
    """Where the bracket that opened just before `at` closes; an apostrophe takes the sense from the next sign."""
    depth = 1
    while at < len(formula):
        sign = formula[at]
        if sign == "'":
            at += 1
        elif sign == "[":
            depth += 1
        elif sign == "]":
            depth -= 1
            if not depth:
                return at
        at += 1
    return -1


def _sheets(prefix: str | None, sheet: int, sheets: dict[str, int]) -> tuple[int, int] | str | None:
    """First and last sheet a prefix means; `outside` for another workbook, None for what is not known."""
    if prefix is None:
        return sheet, sheet
    text = prefix[:-1]
    text = text[1:-1].replace("''", "'") if text.startswith("'") else text
    if "]" in text:
        book, _, text = text.rpartition("]")
        if book.rpartition("[")[2] != "0":
            return "outside"
        if not text:
            return 0, -1
    ends = [sheets.get(one.casefold()) for one in text.split(":")]
    if len(ends) > 2 or ends[0] is None or ends[-1] is None:
        return None
    return min(ends[0], ends[-1]), max(ends[0], ends[-1])


def _take(found: Reads, match: re.Match[str], inside: str, of: tuple[int, int] | str | None) -> None:
    """Put what one piece of a formula reads with the rest."""
    if match["function"]:
        _call(found, match["function"])
    if of == "outside" or match["error"]:
        return
    if not isinstance(of, tuple):
        found.anything = True
    elif match["table"]:
        found.tables.append(TableReference(match["table"], inside))
    elif match["name"]:
        _name(found, match["name"], of if match["sheet"] else None)
    elif not match["function"]:
        reference = _area(match, of)
        if reference is not None:
            found.areas.append(reference)
        else:
            outside = match["area"] and ":" not in match["area"]
            if outside and not match["sheet"]:
                _name(found, match["area"], None)
            else:
                found.anything = True


def _call(found: Reads, name: str) -> None:
    plain, _ = plain_name(name)
    if plain in CLOCK:
        found.clock = True
    elif plain.startswith("_XLPM."):
        return
    elif not reads_its_arguments(name):
        found.anything = True


def _name(found: Reads, name: str, of: tuple[int, int] | None) -> None:
    if of is not None and of[0] > of[1]:
        of = None
    if name.upper() in ("TRUE", "FALSE") or name.upper().startswith("_XLPM."):
        return
    if of is not None and of[0] != of[1]:
        found.anything = True
    found.names.append(NameUsed(of[0] if of else None, name))


def _area(match: re.Match[str], of: tuple[int, int]) -> Reference | None:
    """The area of a match; None where it lies outside a sheet."""
    one = match.groupdict()
    if one["area"]:
        rows = int(one["top"]), int(one["bottom"] or one["top"])
        columns = column_number(one["left"].upper()), column_number((one["right"] or one["left"]).upper())
        again = one["bottom"] is None
        moves = (not one["r1"], not one["c1"], not (one["r1"] if again else one["r2"]))
        moves_all = (*moves, not (one["c1"] if again else one["c2"]))
    elif one["columns"]:
        rows, columns = (1, MOST_ROWS), (column_number(one["from"].upper()), column_number(one["to"].upper()))
        moves_all = (False, not one["f1"], False, not one["f2"])
    else:
        rows, columns = (int(one["first"]), int(one["last"])), (1, MOST_COLUMNS)
        moves_all = (not one["l1"], False, not one["l2"], False)
    if max(rows) > MOST_ROWS or max(columns) > MOST_COLUMNS or of[0] > of[1]:
        return None
    return Reference(*of, Rectangle(rows[0], columns[0], rows[1], columns[1]), moves_all)


def _ordered(top: int, left: int, bottom: int, right: int) -> Rectangle:
    return Rectangle(min(top, bottom), min(left, right), max(top, bottom), max(left, right))


def ordered(reference: Reference) -> Reference:
    """A reference whose area begins at its top left."""
    return reference._replace(area=_ordered(*reference.area))
