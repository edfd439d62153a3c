"""The Lists sheet of a shop book: the sides of each machine class, worked out from Machines as it is filled in.

The sheet Parts used offers the sides of the class its row names; all sides of all classes where Machine is blank, names
several classes or one that is not there. The owner adds classes later, so the lists are formulas over Machines, each
stored with its value: one column a class (its code, its positions one below the other, `both` where there are just two,
`all`), and first a column of every side once. Nothing reads them but the drop-down. Why OFFSET: see `lists_sheet`.
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
MOST_POSITIONS, MOST_SIDES = 12, 30
SIDE_NAMES = ("side_first", "side_codes", "side_counts")
_BOTH_AND_ALL = ("both", "all")
_ANY = 1
"""Column of every side once; before it a column of where each was found, after it one for each class."""
_CODE, _POSITIONS, _COUNT, _TYPED, _SIDES = 1, 2, 3, 4, 5
"""Rows: the class's code, how many positions, how many sides, its positions as typed, and from here on the sides."""
_LAST = _SIDES + MOST_POSITIONS + 1


class LiveCell(NamedTuple):
    """A formula with its value; `over` where it looks at many cells at once."""

    row: int
    column: int
    formula: str
    value: str | int
    over: bool = False


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
        sides = classes[number] if number < len(classes) else ("", ())
        cells += _class_cells(_ANY + 1 + number, (code.format(row=row), positions.format(row=row)), sides)
    return [*_any_class(count, [sides for _, sides in classes]), *cells]


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


def _classes(rows: Rows) -> list[tuple[str, tuple[str, ...]]]:
    """Code and sides of each class."""
    found = []
    for row in rows:
        typed = [" ".join(entry.split()) for entry in row.get("Positions", "").split(";")]
        positions = [entry for entry in typed if entry] or list(DEFAULT_POSITIONS)
        found.append((row["Code"], (*positions, *(["both"] if len(positions) == 2 else []), "all")))
    return found


def _class_cells(column: int, at: tuple[str, str], known: tuple[str, tuple[str, ...]]) -> Iterator[LiveCell]:
    """The column of one class. `at` are the formulas of its code and of its positions."""
    letter, (code, sides) = xl_col_to_name(column), known
    head, typed, positions, count = (f"{letter}${row + 1}" for row in (_CODE, _TYPED, _POSITIONS, _COUNT))
    found = sum(side not in _BOTH_AND_ALL for side in sides)
    yield LiveCell(_CODE, column, f'={at[0]}&""', code)
    written = f'IF(TRIM({at[1]})="","left; right",TRIM({at[1]}))'
    yield LiveCell(_TYPED, column, f'=IF({head}="","",{written})', "; ".join(sides[:found]))
    many = f'MIN({MOST_POSITIONS},LEN({typed})-LEN(SUBSTITUTE({typed},";",""))+1)'
    yield LiveCell(_POSITIONS, column, f'=IF({head}="",0,{many})', found)
    yield LiveCell(_COUNT, column, f"=IF({positions}=0,1,{positions}+1+({positions}=2))", max(1, len(sides)))
    for row in range(_SIDES, _LAST + 1):
        number = row - _SIDES + 1
        part = f'TRIM(MID(SUBSTITUTE({typed},";",REPT(" ",200)),{200 * (number - 1) + 1},200))'
        both = f'IF(AND({positions}=2,{number}=3),"both",IF({number}={count},"all",""))'
        value = sides[number - 1] if number <= len(sides) else ""
        yield LiveCell(row, column, f'=IF({positions}=0,"",IF({number}<={positions},{part},{both}))', value)


def _any_class(count: int, of_classes: Sequence[tuple[str, ...]]) -> Iterator[LiveCell]:
    """Every side of any class once, in the order of the classes, then `both` and `all`."""
    first, last = xl_col_to_name(_ANY + 1), xl_col_to_name(_ANY + count)
    grid = f"${first}${_SIDES + 1}:${last}${_LAST + 1}"
    at, name = xl_col_to_name(_ANY - 1), xl_col_to_name(_ANY)
    places: dict[str, int] = {}
    for shift, sides in enumerate(of_classes):
        for number, side in enumerate(sides, start=1):
            if side not in _BOTH_AND_ALL:
                places.setdefault(side, 100 * (shift + 1) + number)
    listed = [*(places or DEFAULT_POSITIONS), *_BOTH_AND_ALL]
    found, total = f"{name}${_POSITIONS + 1}", len(places)
    bottom = _SIDES + MOST_SIDES
    yield LiveCell(_CODE, _ANY, '="Any class"', "Any class")
    yield LiveCell(_POSITIONS, _ANY, f'=COUNTIF(${at}${_SIDES + 1}:${at}${bottom},">0")', total)
    yield LiveCell(_COUNT, _ANY, f"=IF({found}=0,4,{found}+2)", len(listed))
    for row in range(_SIDES, bottom):
        number = row - _SIDES + 1
        new = f'({grid}<>"")*({grid}<>"both")*({grid}<>"all")*(COUNTIF({name}${_TYPED + 1}:{name}{row},{grid})=0)'
        place = f"MIN(IF({new},100*(COLUMN({grid})-{_ANY + 1})+ROW({grid})-{_SIDES}))"
        value = list(places.values())[number - 1] if number <= total else 0
        yield LiveCell(row, _ANY - 1, f"={place}", value, over=True)
        own = f"{at}{row + 1}"
        default = f'CHOOSE(MIN(5,{number}),"left","right","both","all","")'
        both_or_all = f'IF({at}{row}>0,"both",IF({at}{row - 1}>0,"all",""))'
        words = f"IF({at}${_SIDES + 1}=0,{default},{both_or_all})"
        side = f"INDEX({grid},MOD({own},100),INT({own}/100))"
        text = listed[number - 1] if number <= len(listed) else ""
        yield LiveCell(row, _ANY, f"=IF({own}>0,{side},{words})", text)
