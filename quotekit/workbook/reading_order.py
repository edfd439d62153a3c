"""Problems in the order in which a person reads the workbook: sheet by sheet, row by row, from left to right."""

from __future__ import annotations

import re
from collections.abc import Iterable

from quotekit.problems import Problem
from quotekit.workbook.column import SheetColumns
from quotekit.workbook.names import name_key

_CELL = re.compile(r"([A-Z]*)(\d*)")


def in_reading_order(problems: Iterable[Problem], declared: Iterable[SheetColumns]) -> list[Problem]:
    """Sorted by sheet, row and column; the workbook itself first, unknown sheets last, equal ones once."""
    order = {name_key(sheet.name): index for index, sheet in enumerate(declared)}
    last = len(order)

    def key(problem: Problem) -> tuple[int, int, int, str]:
        letters, row = cell_parts(problem.place.cell)
        sheet = problem.place.sheet
        at = order.get(name_key(sheet), last) if sheet else -1
        return at, row, len(letters), letters

    return sorted(dict.fromkeys(problems), key=key)


def cell_parts(cell: str) -> tuple[str, int]:
    """Letters and row of an address; the first cell of a range.

    >>> cell_parts("D14"), cell_parts(""), cell_parts("A1:B2")
    (('D', 14), ('', 0), ('A', 1))
    """
    found = _CELL.match(cell)
    letters, row = found.groups() if found else ("", "")
    return letters, int(row or 0)
