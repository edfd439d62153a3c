"""Rows of a template's sheet are repeated, left out and moved, with everything that hangs on them.

What moves: cells with looks and comments, heights, merged cells, conditional formats, checks of what is typed, links,
page breaks, print area, rows at the top of each page, frozen panes, filters, tables. Pictures: `keep_drawings`.
"""

from __future__ import annotations

from collections.abc import Iterator
from copy import copy
from typing import Any

from openpyxl.cell.cell import Cell, MergedCell
from openpyxl.formatting.formatting import ConditionalFormattingList
from openpyxl.worksheet.cell_range import CellRange, MultiCellRange
from openpyxl.worksheet.dimensions import DimensionHolder
from openpyxl.worksheet.formula import ArrayFormula
from openpyxl.worksheet.merge import MergedCellRange
from openpyxl.worksheet.pagebreak import Break, RowBreak
from openpyxl.worksheet.worksheet import Worksheet

from quotekit.workbook.addresses import address
from quotekit.workbook.moved_formula import Moves, moved_formula, moved_reference
from quotekit.workbook.row_map import Copy, RowMap


class InOrder(MultiCellRange):  # type: ignore[misc]
    """Ranges that come in order, so that the same sheet is written in the same bytes."""

    def __iter__(self) -> Iterator[Any]:
        return iter(self.sorted())


def move_rows(sheet: Worksheet, was: str, moves: Moves) -> None:
    """Move the rows of a sheet that was called `was`; formulas follow the moves of every sheet."""
    rows = moves[was.casefold()].rows
    _move_cells(sheet, was, rows, moves)
    _move_heights(sheet, rows)
    _move_merged(sheet, rows)
    _move_conditions(sheet, was, rows, moves)
    _move_validations(sheet, was, rows, moves)
    _move_page(sheet, rows)
    _move_lists(sheet, rows)


def moved_ranges(ranges: str, rows: RowMap) -> str:
    """Ranges of a sheet, separated by blanks, each where it is now: one in a repeated stretch once for each copy.

    >>> from quotekit.workbook.row_map import Stretch
    >>> moved_ranges("A5:B5 A6", RowMap([Stretch(5, 5, 2)]))
    'A5:B6 A7'
    """
    found = []
    for one in MultiCellRange(ranges).sorted():
        left, top, right, bottom = one.bounds
        span = rows.span(top, bottom)
        if span is not None:
            found.append(CellRange(min_col=left, min_row=span[0], max_col=right, max_row=span[1]).coord)
    return " ".join(found)


def _move_cells(sheet: Any, was: str, rows: RowMap, moves: Moves) -> None:
    cells: dict[tuple[int, int], Any] = {}
    for (row, column), cell in sorted(sheet._cells.items()):
        for place, inside in _places(rows, row):
            moved = cell if place == rows.place(row) else _copied(sheet, cell, place)
            moved.row = place
            _follow(moved, cell, was, moves, inside)
            cells[place, column] = moved
    sheet._cells = cells


def _places(rows: RowMap, row: int) -> Iterator[tuple[int, Copy | None]]:
    """New places of a row, the last first, so that the cell itself can become its first copy."""
    stretch = rows.stretch_at(row)
    copies = rows.copies(stretch) if stretch else [None]
    yield from ((rows.place(row, one), one) for one in reversed(copies))


def _copied(sheet: Any, cell: Any, row: int) -> Any:
    made: Any
    if isinstance(cell, MergedCell):
        made = MergedCell(sheet, row=row, column=cell.column)
    else:
        made = Cell(sheet, row=row, column=cell.column)
        made._value, made.data_type = copy(cell._value), cell.data_type
        made._hyperlink = copy(cell._hyperlink)
    made._style = copy(cell._style)
    return made


def _follow(cell: Any, of: Any, was: str, moves: Moves, inside: Copy | None) -> None:
    """The references of a cell: its formula, the place of its link."""
    if cell.hyperlink is not None:
        cell.hyperlink.ref = cell.coordinate
    if isinstance(of._value, ArrayFormula):
        text = moved_formula(of._value.text, was, moves, inside)
        cell._value = ArrayFormula(moved_reference(of._value.ref, was, moves, inside), text)
    elif cell.data_type == "f" and isinstance(of._value, str):
        cell._value = moved_formula(of._value, was, moves, inside)


def _move_heights(sheet: Any, rows: RowMap) -> None:
    old = dict(sheet.row_dimensions.items())
    moved = DimensionHolder(worksheet=sheet, reference="index", default_factory=sheet.row_dimensions.default_factory)
    for row, height in sorted(old.items()):
        for place in rows.places(row):
            one = copy(height)
            one.index = place
            moved[place] = one
    sheet.row_dimensions = moved


def _move_merged(sheet: Any, rows: RowMap) -> None:
    kept = InOrder()
    for one in sheet.merged_cells.sorted():
        left, top, right, bottom = one.bounds
        for first, last in rows.pieces(top, bottom):
            kept.ranges.add(MergedCellRange(sheet, f"{address(first, left)}:{address(last, right)}"))
    sheet.merged_cells = kept


def _move_conditions(sheet: Any, was: str, rows: RowMap, moves: Moves) -> None:
    kept = ConditionalFormattingList()
    for condition in list(sheet.conditional_formatting):
        ranges = moved_ranges(str(condition.sqref), rows)
        for rule in condition.rules if ranges else ():
            rule.formula = [_moved_rule(text, was, rows, moves, str(condition.sqref)) for text in rule.formula]
            kept.add(ranges, rule)
    sheet.conditional_formatting = kept


def _move_validations(sheet: Any, was: str, rows: RowMap, moves: Moves) -> None:
    kept = []
    for check in sheet.data_validations.dataValidation:
        ranges = moved_ranges(str(check.sqref), rows)
        if ranges:
            for name in ("formula1", "formula2"):
                text = getattr(check, name)
                setattr(check, name, text and _moved_rule(text, was, rows, moves, str(check.sqref)))
            check.sqref = MultiCellRange(ranges)
            kept.append(check)
    sheet.data_validations.dataValidation = kept


def _moved_rule(text: str, was: str, rows: RowMap, moves: Moves, ranges: str) -> str:
    """A rule speaks of its first cell: in a repeated row it stays in that row's first copy."""
    top = min(one.min_row for one in MultiCellRange(ranges).sorted())
    stretch = rows.stretch_at(top)
    copies = rows.copies(stretch) if stretch else []
    return moved_formula(f"={text}", was, moves, copies[0] if copies else None)[1:]


def _move_page(sheet: Any, rows: RowMap) -> None:
    area = " ".join(str(one) for one in sheet._print_area.sorted())
    if area:
        sheet.print_area = moved_ranges(area, rows).replace(" ", ",")
    if sheet._print_rows is not None:
        span = rows.span(sheet._print_rows.min_row, sheet._print_rows.max_row)
        sheet._print_rows = None
        sheet.print_title_rows = f"{span[0]}:{span[1]}" if span else None
    breaks = RowBreak()
    for one in sheet.row_breaks.brk:
        place = rows.span(1, one.id)
        if place is not None:
            breaks.append(Break(id=place[1], min=one.min, max=one.max, man=one.man))
    sheet.row_breaks = breaks


def _move_lists(sheet: Any, rows: RowMap) -> None:
    """Filters and tables, and what stays on the screen."""
    if sheet.auto_filter.ref:
        sheet.auto_filter.ref = moved_ranges(sheet.auto_filter.ref, rows) or None
    for table in sheet.tables.values():
        table.ref = moved_ranges(table.ref, rows) or table.ref
        if table.autoFilter is not None and table.autoFilter.ref:
            table.autoFilter.ref = moved_ranges(table.autoFilter.ref, rows) or table.ref
    for view in sheet.views.sheetView:
        pane = view.pane
        if pane is not None and pane.ySplit and str(pane.state or "").startswith("frozen"):
            top = int(pane.ySplit) + 1
            moved = rows.from_row(top)
            pane.ySplit = moved - 1
            if pane.topLeftCell:
                pane.topLeftCell = pane.topLeftCell.rstrip("0123456789") + str(moved)
