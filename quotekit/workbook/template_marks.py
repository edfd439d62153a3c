"""The marks of a template: which cell takes which value, which rows repeat, which go when they are empty.

A mark begins with `qk_` and is a name given to a cell, or that word typed in a cell. `qk_rows_LINES` is the row that
stands once for each line; its cells hold the marks of its columns as typed words. `qk_block_X` are lines that go when
the value or table X is empty. `qk_sheet_ROLE` says what the sheet is. The owner may move, format and merge all of them.
"""

from __future__ import annotations

import re
from collections.abc import Iterator, Mapping, Sequence
from dataclasses import field
from typing import Any, NamedTuple

from quotekit.problems import Place, Problem, error
from quotekit.record import record
from quotekit.workbook.addresses import address
from quotekit.workbook.defined_names import Area, area_of

PREFIX = "qk_"
ROWS, BLOCK, SHEET = "rows_", "block_", "sheet_"
MOST_REPEATED = 100
"""Rows of one line of a table."""

_TYPED = re.compile(r"\s*qk_([a-z0-9_]+)\s*", re.I)
_WHOLE_ROWS = re.compile(r"(.*!)\$?([1-9][0-9]*):\$?([1-9][0-9]*)", re.S)


class Spot(NamedTuple):
    """A cell of the template."""

    row: int
    column: int


class Lines(NamedTuple):
    """Rows of the template, from top to bottom."""

    top: int
    bottom: int

    def holds(self, row: int) -> bool:
        """True for a row among them."""
        return self.top <= row <= self.bottom


@record
class MarkedRows:
    """A row that is repeated, or a few of them together, and the cells of its columns."""

    lines: Lines
    columns: Mapping[str, Spot]


@record
class SheetMarks:
    """The marks of one sheet of a template, without their `qk_` and in small letters."""

    sheet: str
    role: str = ""
    values: Mapping[str, tuple[Spot, ...]] = field(default_factory=dict)
    tables: Mapping[str, MarkedRows] = field(default_factory=dict)
    blocks: Mapping[str, Lines] = field(default_factory=dict)


def find_marks(file: str, book: Any) -> tuple[list[SheetMarks], list[Problem]]:
    """The marks of each sheet of an open workbook that has a role, and rows that can't be repeated."""
    found: list[SheetMarks] = []
    problems: list[Problem] = []
    for sheet in book.worksheets:
        named = mark_areas(sheet, book)
        role = next((name[len(SHEET) :] for name, _ in named if name.startswith(SHEET)), "")
        if role in {one.role for one in found}:
            message = f"two sheets are marked qk_sheet_{role}"
            problems.append(error(Place(file, sheet.title), "template-sheet-twice", message, "Keep one of them."))
        elif role:
            marks = _marks_of(sheet, role, named)
            found.append(marks)
            problems += _overlaps(file, marks)
    return found, problems


def mark_names(sheet: Any, book: Any) -> Iterator[tuple[Any, str]]:
    """The collections of names that hold a sheet's marks, with each name's key there."""
    for names in (book.defined_names, sheet.defined_names):
        for key in list(names):
            if key.casefold().startswith(PREFIX):
                yield names, key


class MarkArea(NamedTuple):
    """Cells that a name stands for: their rows and first column."""

    lines: Lines
    left: int


def mark_areas(sheet: Any, book: Any) -> list[tuple[str, MarkArea]]:
    """Marks of a sheet that are names, without their `qk_`, with their areas; what points nowhere is left out."""
    found = []
    for names, key in mark_names(sheet, book):
        area = area_of(_WHOLE_ROWS.sub(r"\1$A$\2:$XFD$\3", names[key].attr_text or ""))
        if area is not None and not _too_tall(key, area) and area[0].casefold() == sheet.title.casefold():
            found.append((key.casefold()[len(PREFIX) :], MarkArea(Lines(area[1], area[3]), area[2])))
    return found


def _too_tall(key: str, area: Area) -> bool:
    """True for a repeated row that is a whole sheet: such a name was given by mistake."""
    return key.casefold().startswith(f"{PREFIX}{ROWS}") and area[3] - area[1] >= MOST_REPEATED


def _marks_of(sheet: Any, role: str, named: Sequence[tuple[str, MarkArea]]) -> SheetMarks:
    typed = typed_marks(sheet)
    tables: dict[str, MarkedRows] = {}
    for name, (lines, _) in named:
        if name.startswith(ROWS):
            columns = {mark: spot for mark, spot in typed if lines.holds(spot.row)}
            tables[name[len(ROWS) :]] = MarkedRows(lines=lines, columns=columns)
    values: dict[str, dict[Spot, None]] = {}
    for name, (lines, left) in named:
        if not name.startswith((ROWS, BLOCK, SHEET)):
            values.setdefault(name, {})[_first_of(sheet, Spot(lines.top, left))] = None
    for mark, spot in typed:
        if not any(table.lines.holds(spot.row) for table in tables.values()):
            values.setdefault(mark, {})[spot] = None
    blocks = {name[len(BLOCK) :]: lines for name, (lines, _) in named if name.startswith(BLOCK)}
    spots = {name: tuple(found) for name, found in values.items()}
    return SheetMarks(sheet=sheet.title, role=role, values=spots, tables=tables, blocks=blocks)


def _first_of(sheet: Any, spot: Spot) -> Spot:
    """The cell of a merged area that holds its text."""
    for merged in sheet.merged_cells.ranges:
        left, top, right, bottom = merged.bounds
        if top <= spot.row <= bottom and left <= spot.column <= right:
            return Spot(top, left)
    return spot


def typed_marks(sheet: Any) -> list[tuple[str, Spot]]:
    """Marks typed in cells, in order; a text with letters of several looks is a list of its pieces."""
    found = []
    for (row, column), cell in sorted(sheet._cells.items()):
        match = _TYPED.fullmatch(str(cell._value)) if isinstance(cell._value, str | list) else None
        if match:
            found.append((match[1].casefold(), Spot(row, column)))
    return found


def _overlaps(file: str, marks: SheetMarks) -> Iterator[Problem]:
    before, above = "", Lines(0, 0)
    for name, table in sorted(marks.tables.items(), key=lambda one: one[1].lines):
        if table.lines.top <= above.bottom:
            yield error(
                Place(file, marks.sheet, address(table.lines.top, 1)),
                "template-rows-overlap",
                f"the marked rows qk_rows_{before} and qk_rows_{name} share a row",
                "Give each table a row of its own, one below the other.",
            )
        before, above = name, table.lines
