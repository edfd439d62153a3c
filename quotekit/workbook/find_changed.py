"""Finds the cells of an earlier change again in a workbook that was saved since: rows are known by their code."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import replace

from quotekit.model.changed_file import ChangedCell, ChangedFile
from quotekit.problems import Place, Problem, error
from quotekit.workbook.find_row import FoundRow, RowFinder
from quotekit.workbook.names import code_key
from quotekit.workbook.read_shop_book import BookSheets
from quotekit.workbook.reading_order import cell_parts

_BY_HAND = "Change it by hand, or leave it as it is now."


def find_changed(sheets: BookSheets, changed: ChangedFile) -> tuple[ChangedFile, list[Problem]]:
    """The record with each cell where it stands now; a cell of no known row stays where it was."""
    cells: list[ChangedCell] = []
    finder = RowFinder(sheets)
    problems: list[Problem] = []
    for one in changed.cells:
        place, problem = _find(finder, one) if one.code else (None, None)
        problems += [problem] if problem is not None else []
        cells.append(one if place is None else replace(one, sheet=place.sheet, cell=place.cell))
    return replace(changed, cells=tuple(cells)), problems


def _find(finder: RowFinder, one: ChangedCell) -> tuple[Place | None, Problem | None]:
    """Where a changed cell stands now, or why that is not known."""
    rows = finder.rows(one.sheet, one.code)
    place = Place(finder.sheets.file, one.sheet, one.cell)
    if not rows:
        message = f"the sheet {one.sheet} has no row of {one.code} now, whose {one.column} was changed"
        return None, error(place, "row-gone", message, _BY_HAND)
    theirs = [row for row in rows if not one.supplier or code_key(row.supplier) == code_key(one.supplier)]
    if not theirs:
        message = f"{one.code} on the sheet {one.sheet} is of another supplier now, not of {one.supplier}"
        return None, error(place, "row-changed", message, _BY_HAND)
    at = [row for row in theirs if row.number == cell_parts(one.cell)[1]] or theirs
    if len(at) > 1:
        return None, _several(place, one, at)
    if at[0].column(one.column) is None:
        message = f"the sheet {one.sheet} has no column {one.column} now"
        return None, error(place, "row-changed", message, _BY_HAND)
    return at[0].place(one.column), None


def _several(place: Place, one: ChangedCell, rows: Sequence[FoundRow]) -> Problem:
    numbers = ", ".join(str(row.number) for row in rows)
    message = f"rows {numbers} of the sheet {one.sheet} are all of {one.code}"
    return error(place, "row-not-told-apart", message, _BY_HAND)
