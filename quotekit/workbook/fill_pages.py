"""A title of a filled template never stands alone at the end of a page, and a short table is not cut in two.

Where a block of the template (its title and its rows) would be cut by the end of a page, the page ends before it, if
it is at most a third of a page, or if no more than its title and a row would stand there. Sheets that hold breaks of
the owner's are left as they are. What is a little more than a page is shrunk onto one. Pages are measured by the paper,
the margins and the width they are made to fit.
"""

from __future__ import annotations

from collections.abc import Iterable
from typing import Any

from openpyxl.worksheet.pagebreak import Break

from quotekit.workbook.fill_heights import height_of_row, width_of_columns

_PAPERS = {"1": (612.0, 792.0), "9": (595.3, 841.8)}
_SAFE = 0.98
_SHRUNK = 1.12
"""How much more than a page is shrunk onto one, rather than leave a line or two alone on the next."""


def break_pages(sheet: Any, blocks: Iterable[tuple[int, int]]) -> None:
    """End pages before blocks that would be cut; a block is its first and its last row."""
    room = _room(sheet)
    if sheet.row_breaks.brk or room is None:
        return
    whole = sum(height_of_row(sheet, row) for row in range(1, sheet.max_row + 1))
    if room < whole <= room * _SHRUNK and _is_fit(sheet):
        sheet.page_setup.fitToHeight = 1
        return
    starts = dict(blocks)
    used, start = 0.0, 1
    for row in range(1, sheet.max_row + 1):
        if row in starts and row > start and _is_cut(sheet, row, starts[row], used, room):
            sheet.row_breaks.append(Break(id=row - 1))
            used, start = 0.0, row
        height = height_of_row(sheet, row)
        if used + height > room:
            used, start = 0.0, row
        used += height


def _is_cut(sheet: Any, top: int, bottom: int, used: float, room: float) -> bool:
    heights = [height_of_row(sheet, row) for row in range(top, bottom + 1)]
    if used + sum(heights) <= room:
        return False
    return sum(heights) <= room / 3 or used + sum(heights[:4]) > room


def _is_fit(sheet: Any) -> bool:
    """True where the page is made to fit a number of pages."""
    properties = sheet.sheet_properties.pageSetUpPr
    return bool(properties is not None and properties.fitToPage)


def _room(sheet: Any) -> float | None:
    """Points of rows that go on a page, None where the paper is not known or all is made to fit on one."""
    paper = _PAPERS.get(str(sheet.page_setup.paperSize or "1"))
    fit = _is_fit(sheet)
    if paper is None or (fit and sheet.page_setup.fitToHeight != 0):
        return None
    wide, high = reversed(paper) if sheet.page_setup.orientation == "landscape" else paper
    margins = sheet.page_margins
    width = wide - (margins.left + margins.right) * 72
    height = high - (margins.top + margins.bottom) * 72
    scale = min(1.0, width / width_of_columns(sheet)) if fit else float(sheet.page_setup.scale or 100) / 100
    return float(height / scale * _SAFE)
