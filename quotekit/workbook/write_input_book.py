"""Writes a workbook that people fill in: its sheets come from the declarations that the reader uses.

The same content gives the same bytes: no clock is read. Text is written as text, whatever it looks like.
"""

from __future__ import annotations

from collections.abc import Mapping, Sequence
from datetime import date, datetime
from decimal import Decimal
from io import BytesIO
from math import ceil
from typing import Any

import xlsxwriter
from xlsxwriter.utility import xl_col_to_name

from quotekit.workbook.column import Column, Field
from quotekit.workbook.dropdowns import FIRST_ROW, CodeList, help_on, validation
from quotekit.workbook.input_looks import FONT, Formats, column_format, height_of, letters, lines_in, width_of
from quotekit.workbook.input_sheet import InputSheet
from quotekit.workbook.typed_cells import CellValue, number_format, typed

START = "Start here"
LISTS = "Lists"
HELP_HEADER = "What to put there"
_CREATED = datetime(2026, 1, 1)
_SPARE_ROWS = 300
_FIELD_WIDTHS = (36.0, 40.0, 70.0)
_PAGE_WIDTH = 170.0
"""About as many letters as a landscape page holds across and stays readable."""

_LIST_SCALE = 70
_LIST_WIDTH = 178.0
"""About as many letters as a landscape page holds at that scale."""


def input_book_bytes(
    title: str,
    start: Sequence[str],
    sheets: Sequence[InputSheet],
    *,
    lists: Sequence[CodeList] = (),
    ranges: Mapping[str, str] | None = None,
) -> bytes:
    """The file: a first sheet of explanation, the input sheets, and the lists its drop-downs offer."""
    stream = BytesIO()
    book = xlsxwriter.Workbook(stream, {"in_memory": True, "default_format_properties": dict(FONT)})
    book.set_properties({"title": title, "created": _CREATED})
    looks = Formats(book)
    named = dict(ranges or {}) | _list_ranges(lists)
    for name, formula in named.items():
        book.define_name(name, formula)
    _write_start(book, looks, title, start)
    for sheet in sheets:
        page = book.add_worksheet(sheet.declared.name)
        widths = (_write_fields if sheet.fields else _write_table)(page, looks, sheet, named)
        _set_page(page, sheet.declared.name, widths)
    if lists:
        _write_lists(book, looks, lists)
    book.close()
    return stream.getvalue()


def _write_start(book: Any, looks: Formats, title: str, lines: Sequence[str]) -> None:
    page = book.add_worksheet(START)
    page.set_column(0, 0, 110)
    _done(page.write_string(0, 0, title, looks.title()))
    for number, line in enumerate(lines, start=2):
        _done(page.write_string(number, 0, line, looks.text()))
    page.hide_gridlines(2)
    _set_page(page, START, [110.0], repeat=False)


def _write_table(page: Any, looks: Formats, sheet: InputSheet, ranges: Mapping[str, str]) -> list[float]:
    """The line of help, the header, the rows; gives the widths of the columns."""
    _done(page.write_string(0, 0, sheet.declared.help, looks.help()))
    texts = [[row.get(column.header) or "" for row in sheet.rows] for column in sheet.columns]
    widths = [width_of(column, cells) for column, cells in zip(sheet.columns, texts, strict=True)]
    for number, column in enumerate(sheet.columns):
        page.set_column(number, number, widths[number], looks.cell(column_format(column.kind)))
        _write_header(page, looks, number, column)
        for row, text in enumerate(texts[number], start=FIRST_ROW):
            _write_cell(page, row, number, text, column, looks.cell(number_format(text, column.kind)))
        offered = validation(column, ranges)
        if offered is not None:
            last = FIRST_ROW + len(sheet.rows) + _SPARE_ROWS
            _done(page.data_validation(FIRST_ROW, number, last, number, offered))
    headers = [column.header for column in sheet.columns]
    for row, cells in enumerate([headers, *zip(*texts, strict=True)], start=FIRST_ROW - 1):
        _set_height(page, row, cells, widths)
    page.freeze_panes(FIRST_ROW, 1)
    return widths


def _write_fields(page: Any, looks: Formats, sheet: InputSheet, ranges: Mapping[str, str]) -> list[float]:
    """Names in the first column, values in the second, and beside them what to put there."""
    for number, width in enumerate(_FIELD_WIDTHS):
        page.set_column(number, number, width)
    _done(page.write_string(0, 0, sheet.declared.help, looks.help()))
    for number, column in enumerate(sheet.columns):
        _write_header(page, looks, number, column)
    _done(page.write_string(FIRST_ROW - 1, 2, HELP_HEADER, looks.header(required=False)))
    for row, field in enumerate(sheet.fields, start=FIRST_ROW):
        text, note = sheet.values.get(field.name, ""), str(help_on(field)["input_message"])
        _done(page.write_string(row, 0, field.name, looks.text(bold=field.required)))
        _write_cell(page, row, 1, text, field, looks.value(number_format(text, field.kind)))
        _done(page.write_string(row, 2, note, looks.help(wrap=True)))
        _set_height(page, row, (field.name, text, note), _FIELD_WIDTHS)
        offered = validation(field, ranges)
        if offered is not None:
            _done(page.data_validation(row, 1, row, 1, offered))
    page.freeze_panes(FIRST_ROW, 1)
    return list(_FIELD_WIDTHS)


def _set_height(page: Any, row: int, texts: Sequence[str], widths: Sequence[float]) -> None:
    """Room for every line of a row's longest cell; a row of single lines keeps the usual height."""
    lines = max(lines_in(text, width) for text, width in zip(texts, widths, strict=True))
    if lines > 1:
        page.set_row(row, height_of(lines))


def _write_header(page: Any, looks: Formats, number: int, column: Column) -> None:
    row = FIRST_ROW - 1
    _done(page.write_string(row, number, column.header, looks.header(required=column.required)))
    _done(page.data_validation(row, number, row, number, {"validate": "any", **help_on(column)}))


def _write_cell(page: Any, row: int, number: int, text: str, declared: Column | Field, form: Any) -> None:
    value: CellValue = typed(text, declared.kind)
    if value is None:
        _done(page.write_blank(row, number, None, form))
    elif isinstance(value, Decimal):
        _done(page.write_number(row, number, float(value), form))
    elif isinstance(value, date):
        _done(page.write_datetime(row, number, datetime(value.year, value.month, value.day), form))
    else:
        _done(page.write_string(row, number, value, form))


def _list_ranges(lists: Sequence[CodeList]) -> dict[str, str]:
    found, left = {}, 0
    for block in lists:
        letter = xl_col_to_name(left, col_abs=True)
        found[block.name] = f"={LISTS}!{letter}${FIRST_ROW + 1}:{letter}${FIRST_ROW + len(block.rows)}"
        left += len(block.headers) + 1
    return found


def _write_lists(book: Any, looks: Formats, lists: Sequence[CodeList]) -> None:
    """A block for each list, side by side: it can be read and printed, and the drop-downs take from it."""
    page = book.add_worksheet(LISTS)
    left, across, breaks = 0, 0.0, []
    for block in lists:
        widths = [max(10.0, *(letters(row[shift]) + 1.5 for row in block.rows)) for shift in range(len(block.headers))]
        if across and across + sum(widths) > _LIST_WIDTH:
            breaks.append(left)
            across = 0.0
        across += sum(widths)
        _write_list(page, looks, block, left, widths)
        left += len(block.headers) + 1
    page.set_v_pagebreaks(breaks)
    page.freeze_panes(FIRST_ROW, 0)
    page.set_print_scale(_LIST_SCALE)
    _set_page(page, LISTS)


def _write_list(page: Any, looks: Formats, block: CodeList, left: int, widths: Sequence[float]) -> None:
    """The title, the headers and the rows of one block, and a narrow column after it."""
    _done(page.write_string(0, left, ", ".join(block.sheets), looks.help()))
    for shift, (header, width) in enumerate(zip(block.headers, widths, strict=True)):
        page.set_column(left + shift, left + shift, width)
        _done(page.write_string(FIRST_ROW - 1, left + shift, header, looks.header(required=not shift)))
        for row, cells in enumerate(block.rows, start=FIRST_ROW):
            _done(page.write_string(row, left + shift, cells[shift], looks.text()))
    page.set_column(left + len(widths), left + len(widths), 2)


def _set_page(page: Any, name: str, widths: Sequence[float] = (), *, repeat: bool = True) -> None:
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


def _done(answer: Any) -> None:
    if answer not in (0, None):
        raise ValueError(f"the workbook cannot hold this (answer {answer})")
