"""A workbook value becomes a file: text stays text, numbers stay exact, the same value gives the same bytes.

XlsxWriter answers a bad cell with a number, not an error; here any answer but zero stops the writing.
"""

from __future__ import annotations

import os
import tempfile
from collections.abc import Iterable, Mapping
from datetime import date, datetime
from decimal import Decimal
from io import BytesIO
from pathlib import Path
from typing import Any

import xlsxwriter
from xlsxwriter.utility import xl_rowcol_to_cell

from quotekit.documents.costing import lay_out_costing
from quotekit.documents.customer_quote import lay_out_customer_quote
from quotekit.documents.sheet import Cell, Look, Page, Picture, Properties, Sheet, WorkbookValue, placed
from quotekit.model.quote import Quote
from quotekit.problems import Problem

_PAPERS = {"Letter": 1, "A4": 9}
_LINES = {"": 0, "thin": 1, "medium": 2}
_UPRIGHT = {"top": "top", "middle": "vcenter", "bottom": "bottom"}
_MOST_DIGITS = 15
_ROOM = 4


class CannotWrite(ValueError):
    """A value that a workbook cannot hold as it is: too many digits, too long a text, a cell out of range."""


def write_workbook(value: WorkbookValue, path: Path) -> None:
    """Write beside the target first, then take its place, so that no half file is ever seen."""
    data = workbook_bytes(value)
    handle, name = tempfile.mkstemp(prefix=".", suffix=".tmp", dir=path.parent)
    try:
        with os.fdopen(handle, "wb") as file:
            file.write(data)
            file.flush()
            os.fsync(file.fileno())
        os.chmod(name, 0o644)
        os.replace(name, path)
    except BaseException:
        Path(name).unlink(missing_ok=True)
        raise


def write_customer_quote(quote: Quote, path: Path, photos: Mapping[str, Picture] | None = None) -> None:
    """The customer's quote, with the pictures of its findings by file name."""
    write_workbook(lay_out_customer_quote(quote, photos), path)


def write_costing(quote: Quote, path: Path, problems: Iterable[Problem] = ()) -> None:
    """The shop's costing, with the problems of both workbooks; the engine's own where none are given."""
    write_workbook(lay_out_costing(quote, tuple(problems) or None), path)


def workbook_bytes(value: WorkbookValue) -> bytes:
    """The file of a workbook value."""
    stream = BytesIO()
    book = xlsxwriter.Workbook(stream, {"in_memory": True, "default_format_properties": _font(value.font)})
    _set_properties(book, value.properties)
    looks = _Formats(book, value)
    for sheet in value.sheets:
        _write_sheet(book, sheet, looks)
    book.close()
    return stream.getvalue()


class _Formats:
    """Cell formats of the file, one for each style and number format in use."""

    def __init__(self, book: Any, value: WorkbookValue) -> None:
        self._book, self._value = book, value
        self._made: dict[tuple[str, str], Any] = {}

    def of(self, cell: Cell) -> Any:
        """The format of a cell; text is marked as text, so that a program never reads it as something else."""
        number = cell.format or self._value.formats.get(cell.kind, "")
        if cell.kind == "text":
            number = number or "@"
        key = (cell.style, number)
        if key not in self._made:
            self._made[key] = self._book.add_format(_format(self._value.looks[cell.style], number, self._value.font))
        return self._made[key]


def _format(look: Look, number: str, font: str) -> dict[str, Any]:
    wanted: dict[str, Any] = {
        "font_name": font,
        "font_size": look.size,
        "bold": look.bold,
        "italic": look.italic,
        "font_color": look.colour,
        "bg_color": look.fill,
        "align": look.align or ("left" if look.indent else None),
        "valign": _UPRIGHT[look.upright],
        "text_wrap": look.wrap,
        "indent": look.indent,
        "num_format": number,
        "top": _LINES[look.above] or int(look.box),
        "bottom": _LINES[look.below] or int(look.box),
        "left": int(look.box),
        "right": int(look.box),
    }
    kept = {name: setting for name, setting in wanted.items() if setting}
    return kept | ({"locked": False} if look.unlocked else {})


def _font(name: str) -> dict[str, Any]:
    return {"font_name": name, "font_size": 10}


def _set_properties(book: Any, properties: Properties) -> None:
    created = datetime(properties.created.year, properties.created.month, properties.created.day)
    book.set_properties(
        {"title": properties.title, "subject": properties.subject, "author": properties.author, "created": created}
    )


def _write_sheet(book: Any, sheet: Sheet, formats: _Formats) -> None:
    page = book.add_worksheet(sheet.name)
    for column, width in enumerate(sheet.widths):
        _done(page.set_column(column, column, width), sheet, f"column {column + 1}")
    for number, row in enumerate(sheet.rows):
        if row.height is not None:
            _done(page.set_row(number, row.height), sheet, f"row {number + 1}")
        for column, cell in placed(row):
            _write_cell(book, page, sheet, number, column, cell, formats)
    _set_page(page, sheet)


def _write_cell(book: Any, page: Any, sheet: Sheet, row: int, column: int, cell: Cell, formats: _Formats) -> None:
    form = formats.of(cell)
    if cell.across > 1:
        _done(page.merge_range(row, column, row, column + cell.across - 1, "", form), sheet, (row, column))
    if isinstance(cell.content, Picture):
        _place_picture(page, sheet, row, column, cell, cell.content)
    else:
        _done(_write_content(page, sheet, row, column, cell, form), sheet, (row, column))
    if cell.name:
        absolute = xl_rowcol_to_cell(row, column, row_abs=True, col_abs=True)
        quoted = sheet.name.replace("'", "''")
        _done(book.define_name(cell.name, f"='{quoted}'!{absolute}"), sheet, (row, column))


def _write_content(page: Any, sheet: Sheet, row: int, column: int, cell: Cell, form: Any) -> Any:
    """The one right way to write a content: a text is never looked at for formulas, links or numbers."""
    content: Any = cell.content
    if isinstance(content, Decimal | int):
        content = _exact(content, sheet, row, column)
    if cell.formula:
        return page.write_formula(row, column, cell.formula, form, "" if content is None else content)
    if content is None:
        return page.write_blank(row, column, None, form)
    if isinstance(content, str):
        return page.write_string(row, column, content, form)
    if isinstance(content, date):
        moment = datetime(content.year, content.month, content.day)
        return page.write_datetime(row, column, moment, form)
    return page.write_number(row, column, content, form)


def _exact(content: Decimal | int, sheet: Sheet, row: int, column: int) -> float | int:
    value = Decimal(content)
    digits = len(value.normalize().as_tuple().digits)
    if not value.is_finite() or digits > _MOST_DIGITS:
        where = xl_rowcol_to_cell(row, column)
        raise CannotWrite(f"{sheet.name}!{where}: {content} has more than {_MOST_DIGITS} digits")
    return int(value) if value == value.to_integral_value() else float(value)


def _place_picture(page: Any, sheet: Sheet, row: int, column: int, cell: Cell, shown: Picture) -> None:
    """As large as its cell lets it be, its own shape kept, never enlarged."""
    wide = sum(int(width * 7 + 5) for width in sheet.widths[column : column + cell.across]) - 2 * _ROOM
    high = int((sheet.rows[row].height or 15.0) * 4 / 3) - 2 * _ROOM
    scale = min(wide / shown.width, high / shown.height, 1.0)
    left = wide - int(shown.width * scale) + _ROOM
    options = {
        "image_data": BytesIO(shown.data),
        "x_scale": scale,
        "y_scale": scale,
        "x_offset": left,
        "y_offset": _ROOM,
        "description": shown.alt,
        "object_position": 1,
    }
    _done(page.insert_image(row, column, f"picture.{shown.extension}", options), sheet, (row, column))


def _set_page(page: Any, sheet: Sheet) -> None:
    setup: Page = sheet.page
    page.set_paper(_PAPERS[setup.paper])
    if setup.landscape:
        page.set_landscape()
    if setup.fit_wide:
        page.fit_to_pages(setup.fit_wide, 0)
    page.set_margins(left=setup.left, right=setup.right, top=setup.top, bottom=setup.bottom)
    if setup.repeat_rows:
        page.repeat_rows(setup.repeat_from, setup.repeat_from + setup.repeat_rows - 1)
    _done(page.set_header(setup.header), sheet, "the header")
    _done(page.set_footer(setup.footer), sheet, "the footer")
    if sheet.rows:
        _done(page.print_area(0, 0, len(sheet.rows) - 1, len(sheet.widths) - 1), sheet, "the print area")
    page.set_h_pagebreaks([number for number, row in enumerate(sheet.rows) if row.break_before and number])
    page.hide_gridlines(0 if sheet.grid_lines else 2)
    if sheet.frozen_rows or sheet.frozen_columns:
        page.freeze_panes(sheet.frozen_rows, sheet.frozen_columns)


def _done(answer: Any, sheet: Sheet, where: str | tuple[int, int]) -> None:
    if answer not in (0, None):
        place = where if isinstance(where, str) else xl_rowcol_to_cell(*where)
        raise CannotWrite(f"{sheet.name}!{place}: the workbook cannot hold this (answer {answer})")
