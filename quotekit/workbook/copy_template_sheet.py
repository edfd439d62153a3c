"""A second sheet of a template, for documents of several sheets: all that the first one has, but its names."""

from __future__ import annotations

from copy import copy, deepcopy
from typing import Any

from openpyxl.worksheet.cell_range import MultiCellRange
from openpyxl.worksheet.merge import MergedCellRange

from quotekit.workbook.move_rows import InOrder


def copy_template_sheet(book: Any, source: Any, title: str) -> Any:
    """A copy of a sheet right behind it and its copies; pictures are carried over when the workbook is saved."""
    made = book.copy_worksheet(source)
    made.title = title
    merged = InOrder()
    for one in source.merged_cells.sorted():
        merged.ranges.add(MergedCellRange(made, one.coord))
    made.merged_cells = merged
    for condition in source.conditional_formatting:
        for rule in condition.rules:
            made.conditional_formatting.add(str(condition.sqref), deepcopy(rule))
    for check in source.data_validations.dataValidation:
        other = deepcopy(check)
        other.sqref = MultiCellRange(str(check.sqref))
        made.add_data_validation(other)
    made.views = deepcopy(source.views)
    for view in made.views.sheetView:
        view.tabSelected = False
    made.protection = copy(source.protection)
    made._print_rows, made._print_cols = copy(source._print_rows), copy(source._print_cols)
    area = ",".join(str(one) for one in source._print_area.sorted())
    made.print_area = area or None
    made.row_breaks, made.col_breaks = deepcopy(source.row_breaks), deepcopy(source.col_breaks)
    made.auto_filter = deepcopy(source.auto_filter)
    made.sheet_state = source.sheet_state
    for name, defined in source.defined_names.items():
        made.defined_names[name] = copy(defined)
    book.move_sheet(made, offset=book.index(source) + 1 - book.index(made))
    return made
