"""Marks that stand where they can't be filled: twice in a row, in one cell, on a wrong sheet, among other words.

A mark that nobody fills would be printed as it is, one of two that share a cell would be lost, and a merged area that
reaches out of a repeated row would lie over the lines that come. All of that is refused, each with its cell; a mark on
a sheet of the owner's own is told.
"""

from __future__ import annotations

import re
from collections.abc import Iterator, Sequence
from typing import Any

from quotekit.problems import Place, Problem, error, warning
from quotekit.workbook.addresses import address
from quotekit.workbook.template_marks import (
    BLOCK,
    PREFIX,
    ROWS,
    Lines,
    SheetMarks,
    Spot,
    mark_areas,
    typed_marks,
)

_AMONG = re.compile(r"(?<![A-Za-z0-9_])qk_[a-z0-9_]+", re.I)


def mark_faults(file: str, book: Any, marks: Sequence[SheetMarks]) -> Iterator[Problem]:
    """What is wrong with the marks of an open template, whatever is to be filled in."""
    by_sheet = {one.sheet: one for one in marks}
    for sheet in book.worksheets:
        place = Place(file, sheet.title)
        of_sheet = by_sheet.get(sheet.title)
        yield from _among_words(place, sheet)
        if of_sheet is None:
            yield from _astray(place, book, sheet)
        else:
            yield from _twice(place, book, sheet, of_sheet)
            yield from _shared(place, of_sheet)
            yield from _cut(place, sheet, of_sheet)


def _among_words(place: Place, sheet: Any) -> Iterator[Problem]:
    whole = {spot for _, spot in typed_marks(sheet)}
    for (row, column), cell in sorted(sheet._cells.items()):
        text = str(cell._value) if isinstance(cell._value, str | list) and cell.data_type != "f" else ""
        found = _AMONG.search(text)
        if found and Spot(row, column) not in whole:
            message = f"the mark {found[0]} stands among other words, and nothing fills it there"
            remedy = "Give the mark a cell of its own, and put the words in the cell beside it."
            yield error(place._replace(cell=address(row, column)), "template-mark-astray", message, remedy)


def _astray(place: Place, book: Any, sheet: Any) -> Iterator[Problem]:
    """A word about the first mark of a sheet of the owner's own: somebody may explain it there to a colleague."""
    named = [(name, Spot(area.lines.top, area.left)) for name, area in mark_areas(sheet, book)]
    for mark, spot in (*typed_marks(sheet), *named)[:1]:
        message = f"the mark {PREFIX}{mark} stands on a sheet that is no document, and nothing fills it there"
        remedy = "Move it to the sheet of the document; a formula such as ='Bill'!F12 can show it here."
        yield warning(place._replace(cell=address(*spot)), "template-mark-astray", message, remedy)


def _twice(place: Place, book: Any, sheet: Any, marks: SheetMarks) -> Iterator[Problem]:
    """A column's mark twice in its row; a name of rows that means two places."""
    first: dict[str, Lines] = {}
    for name, area in mark_areas(sheet, book):
        if name.startswith((ROWS, BLOCK)) and first.setdefault(name, area.lines) != area.lines:
            at = place._replace(cell=address(area.lines.top, area.left))
            yield _double(at, name, address(first[name].top, 1))
    for table in marks.tables.values():
        seen: dict[str, Spot] = {}
        for mark, spot in typed_marks(sheet):
            if table.lines.holds(spot.row) and seen.setdefault(mark, spot) != spot:
                yield _double(place._replace(cell=address(*spot)), mark, address(*seen[mark]))


def _double(place: Place, mark: str, before: str) -> Problem:
    message = f"the mark {PREFIX}{mark} is there twice, in {before} too"
    return error(place, "template-mark-twice", message, "Keep one of them.")


def entered_twice(place: Place, name: str, spots: Sequence[Spot]) -> Iterator[Problem]:
    """A cell to be filled in by hand that is there twice: only one of them would be read back."""
    if len(spots) > 1:
        yield _double(place._replace(cell=address(*spots[1])), name, address(*spots[0]))


def _shared(place: Place, marks: SheetMarks) -> Iterator[Problem]:
    """Two marks in one cell: one would write over the other."""
    taken = {spot: column for table in marks.tables.values() for column, spot in table.columns.items()}
    for name, spots in marks.values.items():
        for spot in spots:
            other = taken.setdefault(spot, name)
            if other != name:
                message = f"the marks {PREFIX}{other} and {PREFIX}{name} share a cell"
                at = place._replace(cell=address(*spot))
                yield error(at, "template-rows-overlap", message, "Give each a cell of its own.")


def _cut(place: Place, sheet: Any, marks: SheetMarks) -> Iterator[Problem]:
    """Rows that repeat, cut by lines that go or by a merged area."""
    for name, table in marks.tables.items():
        for block, lines in marks.blocks.items():
            if _cuts(lines, table.lines):
                message = f"the lines {PREFIX}{BLOCK}{block} cut the marked rows {PREFIX}{ROWS}{name} in two"
                at = place._replace(cell=address(lines.top, 1))
                yield error(at, "template-rows-overlap", message, "Let the block hold all of the rows, or none.")
        for merged in sheet.merged_cells.sorted():
            left, top, _, bottom = merged.bounds
            if table.lines.holds(top) != table.lines.holds(bottom) or top < table.lines.top <= bottom:
                message = f"the merged cells {merged.coord} reach out of the marked rows {PREFIX}{ROWS}{name}"
                at = place._replace(cell=address(top, left))
                yield error(at, "template-rows-overlap", message, "Part them, or merge inside the marked rows alone.")


def _cuts(one: Lines, other: Lines) -> bool:
    """True where two stretches share rows and neither lies in the other."""
    share = one.top <= other.bottom and other.top <= one.bottom
    inside = one.top >= other.top and one.bottom <= other.bottom
    around = one.top <= other.top and one.bottom >= other.bottom
    return share and not inside and not around
