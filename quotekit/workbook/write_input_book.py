"""Writes a workbook that people fill in: its sheets come from the declarations that the reader uses.

The same content gives the same bytes: no clock is read. Text is written as text, whatever it looks like.
"""

from __future__ import annotations

from collections.abc import Mapping, Sequence
from datetime import date, datetime
from decimal import Decimal
from io import BytesIO
from itertools import zip_longest
from typing import Any

import xlsxwriter
from xlsxwriter.utility import xl_col_to_name

from quotekit.workbook.column import Column, Field
from quotekit.workbook.dropdowns import help_on, note, validation
from quotekit.workbook.formula_value import formula_value
from quotekit.workbook.input_looks import FONT, Formats, column_format, height_of, lines_in, width_of
from quotekit.workbook.input_sheet import Guide, InputSheet
from quotekit.workbook.lists_sheet import FIRST_ROW, ListsSheet, measure_formula
from quotekit.workbook.side_lists import LiveCell
from quotekit.workbook.typed_cells import CellValue, number_format, typed
from quotekit.workbook.write_lists import done, set_page, write_lists, write_live_lists

START = "Start here"
HELP_HEADER = "What to put there"
NO_LISTS = ListsSheet(names={})
_CREATED = datetime(2026, 1, 1)
_SPARE_ROWS = 300
_GUIDED_ROWS = 40
"""Rows that a column fills in by itself, where fewer are written: a page; more would print as blank pages."""
_FIELD_WIDTHS = (36.0, 40.0, 70.0)


def input_book_bytes(
    title: str,
    start: Sequence[str],
    sheets: Sequence[InputSheet],
    *,
    lists: ListsSheet = NO_LISTS,
    live: Sequence[LiveCell] = (),
    ranges: Mapping[str, str] | None = None,
) -> bytes:
    """The file: a first sheet of explanation, the input sheets, and the lists its drop-downs offer.

    `live` are lists that are worked out in the workbook, where no others are given.
    """
    stream = BytesIO()
    book = xlsxwriter.Workbook(stream, {"in_memory": True, "default_format_properties": dict(FONT)})
    book.set_properties({"title": title, "created": _CREATED})
    looks = Formats(book)
    named = {**(ranges or {}), **lists.names}
    for name, formula in named.items():
        book.define_name(name, formula)
    _write_start(book, looks, title, start)
    for sheet in sheets:
        page = book.add_worksheet(sheet.declared.name)
        widths = (_write_fields if sheet.fields else _write_table)(page, looks, sheet, named)
        set_page(page, sheet.declared.name, widths)
    if lists.blocks:
        write_lists(book, looks, lists)
    elif live:
        write_live_lists(book, looks, live)
    book.close()
    return stream.getvalue()


def _write_start(book: Any, looks: Formats, title: str, lines: Sequence[str]) -> None:
    page = book.add_worksheet(START)
    page.set_column(0, 0, 110)
    done(page.write_string(0, 0, title, looks.title()))
    for number, line in enumerate(lines, start=2):
        done(page.write_string(number, 0, line, looks.text()))
    page.hide_gridlines(2)
    set_page(page, START, [110.0], repeat=False)


def _write_table(page: Any, looks: Formats, sheet: InputSheet, ranges: Mapping[str, str]) -> list[float]:
    """The line of help, the header, the rows; gives the widths of the columns."""
    done(page.write_string(0, 0, sheet.declared.help, looks.help()))
    last = FIRST_ROW + len(sheet.rows) + _SPARE_ROWS
    texts = [_texts(sheet, column) for column in sheet.laid_out]
    widths = [width_of(column, cells) for column, cells in zip(sheet.laid_out, texts, strict=True)]
    for number, (column, width, cells) in enumerate(zip(sheet.laid_out, widths, texts, strict=True)):
        _write_header(page, looks, number, column)
        if isinstance(column, Guide):
            page.set_column(number, number, width)
            _write_guide(page, looks, (sheet, column), number)
            rule = note(column)
        else:
            page.set_column(number, number, width, looks.cell(column_format(column.kind)))
            for row, text in enumerate(cells, start=FIRST_ROW):
                _write_cell(page, row, number, text, column, looks.cell(number_format(text, column.kind)))
        rule = (
            note(column)
            if isinstance(column, Guide)
            else validation(column, ranges, sheet.sources.get(column.header, ""))
        )
        done(page.data_validation(FIRST_ROW, number, last, number, rule))
    typed = [[] if isinstance(column, Guide) else cells for column, cells in zip(sheet.laid_out, texts, strict=True)]
    headers = [column.header for column in sheet.laid_out]
    for row, of_row in enumerate([headers, *zip_longest(*typed, fillvalue="")], start=FIRST_ROW - 1):
        _set_height(page, row, of_row, widths)
    page.freeze_panes(FIRST_ROW, 1)
    return widths


def _texts(sheet: InputSheet, column: Column | Guide) -> list[str]:
    """What stands in a column, row by row."""
    if isinstance(column, Guide):
        return [column.texts.get(row.get(column.of, "").upper(), "") for row in sheet.rows]
    return [row.get(column.header) or "" for row in sheet.rows]


def _write_guide(page: Any, looks: Formats, of: tuple[InputSheet, Guide], number: int) -> None:
    """The formulas of a column that fills itself in."""
    sheet, guide = of
    texts = _texts(sheet, guide)
    letter = xl_col_to_name([column.header for column in sheet.laid_out].index(guide.of), col_abs=True)
    for row in range(FIRST_ROW, FIRST_ROW + max(len(texts), _GUIDED_ROWS)):
        text = texts[row - FIRST_ROW] if row - FIRST_ROW < len(texts) else ""
        done(page.write_formula(row, number, measure_formula(f"{letter}{row + 1}"), looks.guide(), formula_value(text)))


def _write_fields(page: Any, looks: Formats, sheet: InputSheet, ranges: Mapping[str, str]) -> list[float]:
    """Names in the first column, values in the second, and beside them what to put there."""
    for number, width in enumerate(_FIELD_WIDTHS):
        page.set_column(number, number, width)
    done(page.write_string(0, 0, sheet.declared.help, looks.help()))
    for number, column in enumerate(sheet.columns):
        _write_header(page, looks, number, column)
    done(page.write_string(FIRST_ROW - 1, 2, HELP_HEADER, looks.header(required=False)))
    for row, field in enumerate(sheet.fields, start=FIRST_ROW):
        text, note = sheet.values.get(field.name, ""), str(help_on(field)["input_message"])
        done(page.write_string(row, 0, field.name, looks.text(bold=field.required)))
        _write_cell(page, row, 1, text, field, looks.value(number_format(text, field.kind)))
        done(page.write_string(row, 2, note, looks.help(wrap=True)))
        _set_height(page, row, (field.name, text, note), _FIELD_WIDTHS)
        done(page.data_validation(row, 1, row, 1, validation(field, ranges)))
    page.freeze_panes(FIRST_ROW, 1)
    return list(_FIELD_WIDTHS)


def _set_height(page: Any, row: int, texts: Sequence[str], widths: Sequence[float]) -> None:
    """Room for every line of a row's longest cell; a row of single lines keeps the usual height."""
    lines = max(lines_in(text, width) for text, width in zip(texts, widths, strict=True))
    if lines > 1:
        page.set_row(row, height_of(lines))


def _write_header(page: Any, looks: Formats, number: int, column: Column | Guide) -> None:
    row, required = FIRST_ROW - 1, isinstance(column, Column) and column.required
    done(page.write_string(row, number, column.header, looks.header(required=required)))
    done(page.data_validation(row, number, row, number, note(column)))


def _write_cell(page: Any, row: int, number: int, text: str, declared: Column | Field, form: Any) -> None:
    value: CellValue = typed(text, declared.kind)
    if value is None:
        done(page.write_blank(row, number, None, form))
    elif isinstance(value, Decimal):
        done(page.write_number(row, number, float(value), form))
    elif isinstance(value, date):
        done(page.write_datetime(row, number, datetime(value.year, value.month, value.day), form))
    else:
        done(page.write_string(row, number, value, form))
