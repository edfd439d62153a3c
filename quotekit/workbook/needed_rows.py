"""Rows that would go, but that a formula elsewhere speaks of: they stay, empty and hidden.

A sum that the owner put under a table, or over several tables, must not become #REF! on the day a table has no rows.
So such a row stays once, with nothing in it, where nobody sees it.

Worked example: row 5 is repeated and F6 holds `=SUM(F5:F5)`: without rows to show, row 5 stays hidden and F6 shows 0.
"""

from __future__ import annotations

from collections.abc import Iterable, Iterator
from typing import Any

from openpyxl.worksheet.formula import ArrayFormula

from quotekit.workbook.moved_formula import SheetMove, moved_formula
from quotekit.workbook.row_map import RowMap, Stretch
from quotekit.workbook.template_marks import PREFIX


def needed_rows(book: Any, sheet: str, going: Iterable[Stretch]) -> list[Stretch]:
    """Those of the stretches of a sheet of a template that formulas or names outside them speak of."""
    found = list(going)
    formulas = list(_formulas(book)) if found else []
    return [one for one in found if any(_needs(text, of, row, sheet, one) for of, row, text in formulas)]


def _formulas(book: Any) -> Iterator[tuple[str, int, str]]:
    """Sheet, row and text of every formula; the owner's names are formulas of no row."""
    for sheet in book.worksheets:
        for (row, _), cell in sheet._cells.items():
            value = cell._value
            if isinstance(value, ArrayFormula):
                yield sheet.title, row, str(value.text)
            elif cell.data_type == "f" and isinstance(value, str):
                yield sheet.title, row, value
    for names in (book.defined_names, *(sheet.defined_names for sheet in book.worksheets)):
        for key, defined in names.items():
            if not key.casefold().startswith(PREFIX):
                yield "", 0, f"={defined.attr_text}"


def _needs(text: str, of: str, row: int, sheet: str, going: Stretch) -> bool:
    if of == sheet and going.top <= row <= going.bottom:
        return False
    without = {sheet.casefold(): SheetMove(rows=RowMap([going]), title=sheet)}
    return moved_formula(text, of, without).count("#REF!") > text.count("#REF!")
