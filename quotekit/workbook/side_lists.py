"""The Lists sheet of a shop book: the sides of each machine class, worked out from Machines as it is filled in.

The sheet Parts used offers the sides of the class its row names. The owner adds classes later, so the lists are
formulas over Machines, each stored with its value: one column a class (its code, its positions one below the other,
`both` where there are just two, `all`). Where Machine is blank, names several classes or one that is not there, the
first column is offered: every side of the classes that were there when the book was written, as plain words. Nothing
reads the sheet but the drop-down. Why OFFSET: see `lists_sheet`.
"""

from __future__ import annotations

from collections.abc import Iterator, Sequence
from dataclasses import replace
from typing import NamedTuple

from xlsxwriter.utility import xl_col_to_name

from quotekit.workbook.columns import MACHINES, PARTS_USED
from quotekit.workbook.input_sheet import InputSheet
from quotekit.workbook.lists_sheet import FIRST_ROW, LISTS
from quotekit.workbook.positions import DEFAULT_POSITIONS
from quotekit.workbook.read_example import Rows

MOST_ROWS = 2000
SPARE_CLASSES = 25
MOST_POSITIONS = 12
SIDE_NAMES = ("side_first", "side_codes", "side_counts")
_BOTH_AND_ALL = ("both", "all")
_ANY = 0
"""Column of every side; after it one for each class."""
_CODE, _POSITIONS, _COUNT, _TYPED, _SIDES = 1, 2, 3, 4, 5
"""Rows: the class's code, how many positions, how many sides, its positions as typed, and from here on the sides."""
_LAST = _SIDES + MOST_POSITIONS + 1


class LiveCell(NamedTuple):
    """A formula with its value, or without a formula a value."""

    row: int
    column: int
    formula: str
    value: str | int


class _Class(NamedTuple):
    code: str
    typed: str
    positions: int
    sides: tuple[str, ...]


def side_lists(sheets: Sequence[InputSheet]) -> list[LiveCell]:
    """The cells of the Lists sheet; none where no row of the book can name both a side and a machine class."""
    machines = _sheet(sheets, MACHINES.name)
    if machines is None or _sheet(sheets, PARTS_USED.name) is None:
        return []
    headers = [column.header for column in machines.columns]
    code, positions = (
        _column(xl_col_to_name(headers.index(name), col_abs=True)) if name in headers else '""'
        for name in ("Code", "Positions")
    )
    classes = _classes(machines.rows)
    count = len(classes) + SPARE_CLASSES
    cells: list[LiveCell] = []
    for number in range(count):
        row = FIRST_ROW + number + 1
        known = classes[number] if number < len(classes) else _Class("", "", 0, ())
        cells += _class_cells(_ANY + 1 + number, (code.format(row=row), positions.format(row=row)), known)
    return [*_any_class([each.sides for each in classes]), *cells]


def _column(letter: str) -> str:
    """A cell of a column of Machines by its row: a row that is deleted leaves no broken address behind."""
    return f"INDEX({MACHINES.name}!{letter}$1:{letter}${MOST_ROWS},{{row}})"


def side_names(count: int) -> dict[str, str]:
    """The names that the drop-down takes from, for so many classes."""
    first, last = (xl_col_to_name(number, col_abs=True) for number in (_ANY, _ANY + count))
    codes = xl_col_to_name(_ANY + 1, col_abs=True)
    places = (
        f"{first}${_SIDES + 1}",
        f"{codes}${_CODE + 1}:{last}${_CODE + 1}",
        f"{first}${_COUNT + 1}:{last}${_COUNT + 1}",
    )
    return {name: f"={LISTS}!{place}" for name, place in zip(SIDE_NAMES, places, strict=True)}


def classes_in(cells: Sequence[LiveCell]) -> int:
    """How many classes the cells have room for."""
    return max((cell.column for cell in cells), default=_ANY) - _ANY


def with_sides(sheet: InputSheet, *, live: bool) -> InputSheet:
    """The sheet with what its Side column offers; without live lists left and right, whatever the machine."""
    if sheet.declared is not PARTS_USED:
        return sheet
    return replace(sheet, sources={"Side": _source(sheet) if live else [*DEFAULT_POSITIONS, *_BOTH_AND_ALL]})


def _source(sheet: InputSheet) -> str:
    """The list by the machine of a row, told for the first row of the table."""
    headers = [column.header for column in sheet.columns]
    if "Machine" not in headers:
        return "=OFFSET(side_first,0,0,INDEX(side_counts,1,1),1)"
    machine = f"${xl_col_to_name(headers.index('Machine'))}{FIRST_ROW + 1}"
    found = f'IF({machine}="",0,IFERROR(MATCH({machine}&"",side_codes,0),0))'
    return f"=OFFSET(side_first,0,{found},INDEX(side_counts,1,1+{found}),1)"


def _sheet(sheets: Sequence[InputSheet], name: str) -> InputSheet | None:
    return next((sheet for sheet in sheets if sheet.declared.name == name), None)


def _classes(rows: Rows) -> list[_Class]:
    """What the book says of each class when it is written."""
    found = []
    for row in rows:
        typed = " ".join(row.get("Positions", "").split()) or "; ".join(DEFAULT_POSITIONS)
        positions = [entry.strip() for entry in typed.split(";")]
        both = ["both"] if len(positions) == 2 else []
        found.append(_Class(row["Code"], typed, len(positions), (*positions, *both, "all")))
    return found


def _class_cells(column: int, at: tuple[str, str], known: _Class) -> Iterator[LiveCell]:
    """The column of one class. `at` are the formulas of its code and of its positions."""
    letter, sides = xl_col_to_name(column), known.sides
    head, typed, positions, count = (f"{letter}${row + 1}" for row in (_CODE, _TYPED, _POSITIONS, _COUNT))
    yield LiveCell(_CODE, column, f'={at[0]}&""', known.code)
    written = f'IF(TRIM({at[1]})="","left; right",TRIM({at[1]}))'
    yield LiveCell(_TYPED, column, f'=IF({head}="","",{written})', known.typed)
    many = f'MIN({MOST_POSITIONS},LEN({typed})-LEN(SUBSTITUTE({typed},";",""))+1)'
    yield LiveCell(_POSITIONS, column, f'=IF({head}="",0,{many})', known.positions)
    yield LiveCell(_COUNT, column, f"=IF({positions}=0,1,{positions}+1+({positions}=2))", max(1, len(sides)))
    for row in range(_SIDES, _LAST + 1):
        number = row - _SIDES + 1
        part = f'TRIM(MID(SUBSTITUTE({typed},";",REPT(" ",200)),{200 * (number - 1) + 1},200))'
        both = f'IF(AND({positions}=2,{number}=3),"both",IF({number}={count},"all",""))'
        value = sides[number - 1] if number <= len(sides) else ""
        yield LiveCell(row, column, f'=IF({positions}=0,"",IF({number}<={positions},{part},{both}))', value)


def _any_class(of_classes: Sequence[tuple[str, ...]]) -> Iterator[LiveCell]:
    """Every side of the classes there are when the book is written, then `both` and `all`: plain words."""
    positions = dict.fromkeys(side for sides in of_classes for side in sides if side not in _BOTH_AND_ALL)
    listed = [*(positions or DEFAULT_POSITIONS), *_BOTH_AND_ALL]
    yield LiveCell(_CODE, _ANY, "", "Any class")
    yield LiveCell(_COUNT, _ANY, "", len(listed))
    for row, side in enumerate(listed, start=_SIDES):
        yield LiveCell(row, _ANY, "", side)
