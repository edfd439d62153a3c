"""Rows of a filled template are made tall enough for their wrapped text: merged cells never grow by themselves."""

from __future__ import annotations

from typing import Any

from quotekit.documents.sheet import Look
from quotekit.documents.text_fit import height_of, lines_of, width_of

_DEFAULT_WIDTH = 8.43
_MARGIN = 0.71
"""What a stored width holds beside its characters."""
_POINTS = 5.25
"""A character of a column."""
_DEFAULT_HEIGHT = 15.0
_MOST = 409.0


def make_room(sheet: Any) -> None:
    """Raise the rows of a sheet whose wrapped text does not fit."""
    widths = _widths(sheet)
    merged = {(one.min_row, one.min_col): one.bounds for one in sheet.merged_cells.sorted()}
    for (row, column), cell in sorted(sheet._cells.items()):
        content = str(cell.value) if isinstance(cell.value, str) and cell.data_type == "s" else ""
        if content and (cell.alignment.wrap_text or "\n" in content):
            left, top, right, bottom = merged.get((row, column), (column, row, column, row))
            characters = sum(widths.get(one, _default(sheet)) - _MARGIN for one in range(left, right + 1))
            look = Look(size=float(cell.font.sz or 11), bold=bool(cell.font.b))
            room = width_of(max(characters, 1.0), right - left + 1) - 7 * int(cell.alignment.indent or 0)
            lines = len(lines_of(content, max(room, width_of(1)), look))
            if lines > 1 or (top, left) in merged:
                _raise(sheet, top, bottom, height_of(lines, look))


def _raise(sheet: Any, top: int, bottom: int, wanted: float) -> None:
    """Make the last of some rows taller, so that together they are as tall as is wanted."""
    last = sheet.row_dimensions[bottom]
    above = sum(height_of_row(sheet, row) for row in range(top, bottom))
    if wanted - above > height_of_row(sheet, bottom):
        last.height = min(wanted - above, _MOST)


def height_of_row(sheet: Any, row: int) -> float:
    """Points of a row; none where it is hidden."""
    if row in sheet.row_dimensions and sheet.row_dimensions[row].hidden:
        return 0.0
    given = sheet.row_dimensions[row].height if row in sheet.row_dimensions else None
    return float(given or sheet.sheet_format.defaultRowHeight or _DEFAULT_HEIGHT)


def width_of_columns(sheet: Any) -> float:
    """Points of all columns that are printed."""
    widths, last = _widths(sheet), sheet.max_column
    if sheet._print_area.ranges:
        last = max(one.max_col for one in sheet._print_area.sorted())
    return float(sum(widths.get(one, _default(sheet)) for one in range(1, last + 1))) * _POINTS


def _default(sheet: Any) -> float:
    return float(sheet.sheet_format.defaultColWidth or _DEFAULT_WIDTH + _MARGIN)


def _widths(sheet: Any) -> dict[int, float]:
    """Stored widths of columns by number."""
    found: dict[int, float] = {}
    for letter, column in sheet.column_dimensions.items():
        if column.width:
            column.index = letter
            column.reindex()
            for one in range(column.min, column.max + 1):
                found[one] = 0.0 if column.hidden else float(column.width)
    return found
