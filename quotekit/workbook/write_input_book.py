"""Writes a workbook that people fill in: its sheets come from the declarations that the reader uses.

The same content gives the same bytes: no clock is read. Text is written as text, whatever it looks like.
"""

from __future__ import annotations

from collections.abc import Mapping, Sequence
from datetime import date, datetime
from decimal import Decimal
from io import BytesIO
from pathlib import Path
from typing import Any

import xlsxwriter
from xlsxwriter.utility import xl_col_to_name

from quotekit.workbook.column import Column, Field
from quotekit.workbook.dropdowns import FIRST_ROW, CodeList, help_on, validation
from quotekit.workbook.input_looks import FONT, Formats, column_format, width_of
from quotekit.workbook.input_sheet import InputSheet
from quotekit.workbook.typed_cells import CellValue, number_format, typed

START = "Start here"
LISTS = "Lists"
HELP_HEADER = "What to put there"
_CREATED = datetime(2026, 1, 1)
_SPARE_ROWS = 300


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
    book = xlsxwriter.Workbook(stream, {"in_memory": True, "default_format_properties": FONT})
    book.set_properties({"title": title, "created": _CREATED})
    looks = Formats(book)
    named = dict(ranges or {}) | _list_ranges(lists)
    for name, formula in named.items():
        book.define_name(name, formula)
    _write_start(book, looks, title, start)
    for sheet in sheets:
        page = book.add_worksheet(sheet.declared.name)
        (_write_fields if sheet.fields else _write_table)(page, looks, sheet, named)
        _set_page(page, sheet.declared.name)
    if lists:
        _write_lists(book, looks, lists)
    book.close()
    return stream.getvalue()


def write_new_file(path: Path, data: bytes) -> None:
    """Write a file that is not there yet; one that exists is never touched, even if it appears meanwhile."""
    with path.open("xb") as file:
        file.write(data)


def _write_start(book: Any, looks: Formats, title: str, lines: Sequence[str]) -> None:
    page = book.add_worksheet(START)
    page.set_column(0, 0, 96)
    _done(page.write_string(0, 0, title, looks.title()))
    for number, line in enumerate(lines, start=2):
        _done(page.write_string(number, 0, line, looks.text()))
    page.hide_gridlines(2)
    _set_page(page, START, repeat=False)


def _write_table(page: Any, looks: Formats, sheet: InputSheet, ranges: Mapping[str, str]) -> None:
    _done(page.write_string(0, 0, sheet.declared.help, looks.help()))
    for number, column in enumerate(sheet.columns):
        texts = [row.get(column.header) or "" for row in sheet.rows]
        page.set_column(number, number, width_of(column, texts), looks.cell(column_format(column.kind)))
        _write_header(page, looks, number, column)
        for row, text in enumerate(texts, start=FIRST_ROW):
            _write_cell(page, looks, row, number, text, column)
        offered = validation(column, ranges)
        if offered is not None:
            last = FIRST_ROW + len(texts) + _SPARE_ROWS
            _done(page.data_validation(FIRST_ROW, number, last, number, offered))
    page.freeze_panes(FIRST_ROW, 1)


def _write_fields(page: Any, looks: Formats, sheet: InputSheet, ranges: Mapping[str, str]) -> None:
    """Names in the first column, values in the second, and beside them what to put there."""
    name, value = sheet.columns
    page.set_column(0, 0, 36)
    page.set_column(1, 1, 40)
    page.set_column(2, 2, 70)
    _done(page.write_string(0, 0, sheet.declared.help, looks.help()))
    for number, column in enumerate((name, value)):
        _write_header(page, looks, number, column)
    _done(page.write_string(FIRST_ROW - 1, 2, HELP_HEADER, looks.header(required=False)))
    for row, field in enumerate(sheet.fields, start=FIRST_ROW):
        _done(page.write_string(row, 0, field.name, looks.text(bold=field.required)))
        _write_cell(page, looks, row, 1, sheet.values.get(field.name, ""), field)
        note = help_on(field)
        _done(page.write_string(row, 2, str(note["input_message"]), looks.help(wrap=True)))
        offered = validation(field, ranges)
        if offered is not None:
            _done(page.data_validation(row, 1, row, 1, offered))
    page.freeze_panes(FIRST_ROW, 1)


def _write_header(page: Any, looks: Formats, number: int, column: Column) -> None:
    row = FIRST_ROW - 1
    _done(page.write_string(row, number, column.header, looks.header(required=column.required)))
    _done(page.data_validation(row, number, row, number, {"validate": "any", **help_on(column)}))


def _write_cell(page: Any, looks: Formats, row: int, number: int, text: str, declared: Column | Field) -> None:
    form = looks.cell(number_format(text, declared.kind))
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
    left = 0
    for block in lists:
        _done(page.write_string(0, left, ", ".join(block.sheets), looks.help()))
        for shift, header in enumerate(block.headers):
            texts = [row[shift] for row in block.rows]
            page.set_column(left + shift, left + shift, min(46, max(10, *(len(text) + 1 for text in texts))))
            _done(page.write_string(FIRST_ROW - 1, left + shift, header, looks.header(required=not shift)))
            for row, text in enumerate(texts, start=FIRST_ROW):
                _done(page.write_string(row, left + shift, text, looks.text()))
        left += len(block.headers)
        page.set_column(left, left, 2)
        left += 1
    page.freeze_panes(FIRST_ROW, 0)
    _set_page(page, LISTS)


def _set_page(page: Any, name: str, *, repeat: bool = True) -> None:
    page.set_landscape()
    page.fit_to_pages(1, 0)
    page.set_footer(f"&L{name}&R&P / &N")
    if repeat:
        page.repeat_rows(FIRST_ROW - 1)


def _done(answer: Any) -> None:
    if answer not in (0, None):
        raise ValueError(f"the workbook cannot hold this (answer {answer})")
