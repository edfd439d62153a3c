"""Writes the Lists sheet of an input workbook, and sets up the pages of all its sheets."""

from __future__ import annotations

from collections.abc import Sequence
from math import ceil
from typing import Any

from quotekit.workbook.formula_value import formula_value
from quotekit.workbook.input_looks import Formats, letters
from quotekit.workbook.lists_sheet import FIRST_ROW, LISTS, Block, ListsSheet
from quotekit.workbook.side_lists import LiveCell

LIVE_HELP = (
    "The sides of each machine class, worked out from the sheet Machines for the drop-downs. Nothing to type here."
)
_PAGE_WIDTH = 170.0
"""About as many letters as a landscape page holds across and stays readable."""

_LIST_SCALE = 70
_LIST_WIDTH = 178.0
"""About as many letters as a landscape page holds at that scale."""


def write_lists(book: Any, looks: Formats, lists: ListsSheet) -> None:
    """A block for each list, side by side: it can be read and printed, and the drop-downs take from it."""
    page = book.add_worksheet(LISTS)
    across, breaks = 0.0, []
    for number, block in enumerate(lists.blocks):
        widths = _widths(block)
        if number < lists.printed:
            if across and across + sum(widths) > _LIST_WIDTH:
                breaks.append(block.left)
                across = 0.0
            across += sum(widths)
        _write_block(page, looks, block, widths)
    page.set_v_pagebreaks(breaks)
    page.freeze_panes(FIRST_ROW, 0)
    page.set_print_scale(_LIST_SCALE)
    if len(lists.blocks) > lists.printed:
        printed = lists.blocks[: lists.printed]
        last = FIRST_ROW + max(len(block.rows) for block in printed) - 1
        done(page.print_area(0, 0, last, printed[-1].after - 2))
    set_page(page, LISTS)


def _widths(block: Block) -> list[float]:
    """Enough for each column's longest entry."""
    return [
        max(10.0, *(letters(str(row[shift])) + 1.5 for row in block.rows)) if block.rows else 10.0
        for shift in range(len(block.headers))
    ]


def _write_block(page: Any, looks: Formats, block: Block, widths: Sequence[float]) -> None:
    """The title, the headers and the rows of one block, and a narrow column after it."""
    done(page.write_string(0, block.left, block.title, looks.help()))
    for shift, (header, width) in enumerate(zip(block.headers, widths, strict=True)):
        column = block.left + shift
        page.set_column(column, column, width)
        done(page.write_string(FIRST_ROW - 1, column, header, looks.header(required=not shift)))
        for row, cells in enumerate(block.rows, start=FIRST_ROW):
            entry = cells[shift]
            if isinstance(entry, int):
                done(page.write_number(row, column, entry, looks.count()))
            else:
                done(page.write_string(row, column, entry, looks.text()))
    page.set_column(block.after - 1, block.after - 1, 2)


def write_live_lists(book: Any, looks: Formats, cells: Sequence[LiveCell]) -> None:
    """Lists that the workbook works out by itself; each formula with its value."""
    page = book.add_worksheet(LISTS)
    done(page.write_string(0, 0, LIVE_HELP, looks.help()))
    for cell in cells:
        if cell.formula:
            done(page.write_formula(cell.row, cell.column, cell.formula, looks.help(), formula_value(cell.value)))
        elif isinstance(cell.value, int):
            done(page.write_number(cell.row, cell.column, cell.value, looks.count()))
        else:
            done(page.write_string(cell.row, cell.column, cell.value, looks.help()))
    page.set_column(0, max(cell.column for cell in cells), 14)
    page.freeze_panes(FIRST_ROW, 0)
    set_page(page, LISTS)
    page.fit_to_pages(1, 1)


def set_page(page: Any, name: str, widths: Sequence[float] = (), *, repeat: bool = True) -> None:
    """Landscape, as many pages wide as stay readable, the header and the first column on each."""
    page.set_landscape()
    page.set_margins(left=0.4, right=0.4, top=0.5, bottom=0.7)
    if widths:
        page.fit_to_pages(ceil(sum(widths) / _PAGE_WIDTH), 0)
    page.set_footer(f"&L{name}&R&P / &N")
    if repeat:
        page.repeat_rows(FIRST_ROW - 1)
    if widths[1:]:
        page.repeat_columns(0)


def done(answer: Any) -> None:
    """Hold the writing library to its word. Raises ValueError where it refused."""
    if answer not in (0, None):
        raise ValueError(f"the workbook cannot hold this (answer {answer})")
