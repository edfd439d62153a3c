"""A workbook value becomes a file: text stays text, numbers stay exact, the same value gives the same bytes.

XlsxWriter answers a bad cell with a number or a warning, not an error; here both stop the writing.
"""

from __future__ import annotations

import os
import tempfile
import warnings
from collections.abc import Iterable, Mapping
from datetime import datetime
from io import BytesIO
from pathlib import Path
from typing import Any

import xlsxwriter

from quotekit.documents.cell_links import Addresses
from quotekit.documents.costing import lay_out_costing
from quotekit.documents.costing_explained import Trees
from quotekit.documents.customer_quote import lay_out_customer_quote
from quotekit.documents.sheet import Page, Picture, Properties, Sheet, WorkbookValue, placed
from quotekit.model.quote import Quote
from quotekit.problems import Problem
from quotekit.workbook.cannot_write import CannotWrite, done
from quotekit.workbook.plain_formulas import PlainWorksheet
from quotekit.workbook.printable import printable
from quotekit.workbook.write_cells import Formats, write_cell
from quotekit.workbook.write_chart import write_chart
from quotekit.workbook.write_names import write_names

__all__ = ["CannotWrite", "workbook_bytes", "write_costing", "write_customer_quote", "write_workbook"]

_PAPERS = {"Letter": 1, "A4": 9}


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


def write_costing(
    quote: Quote,
    path: Path,
    problems: Iterable[Problem] = (),
    *,
    trees: Trees | None = None,
    addresses: Addresses | None = None,
) -> None:
    """The shop's costing, with the problems of both workbooks; the engine's own where none are given.

    `trees` are the explained figures of each tier, `addresses` those of the two workbooks (`link_addresses`).
    """
    write_workbook(lay_out_costing(quote, tuple(problems) or None, trees=trees, addresses=addresses), path)


def workbook_bytes(value: WorkbookValue) -> bytes:
    """The file of a workbook value."""
    stream = BytesIO()
    with warnings.catch_warnings(record=True) as said:
        warnings.simplefilter("ignore")
        warnings.simplefilter("always", UserWarning)
        book = xlsxwriter.Workbook(stream, {"in_memory": True, "default_format_properties": _font(value.font)})
        _fill(book, value)
        book.close()
    if said:
        raise CannotWrite(str(said[0].message))
    return stream.getvalue()


def _fill(book: Any, value: WorkbookValue) -> None:
    _set_properties(book, value.properties)
    formats = Formats(book, value)
    pages = [book.add_worksheet(sheet.name, PlainWorksheet) for sheet in value.sheets]
    for page, sheet in zip(pages, value.sheets, strict=True):
        _write_sheet(page, sheet, formats)
        for chart in sheet.charts:
            write_chart(book, page, sheet, chart, value.font)
    _hide(pages, value.sheets)
    write_names(book, value)


def _hide(pages: list[Any], sheets: tuple[Sheet, ...]) -> None:
    """Hide what is hidden and open the file at the first sheet that is not."""
    shown = [page for page, sheet in zip(pages, sheets, strict=True) if not sheet.hidden]
    if not shown:
        raise CannotWrite("a workbook needs a sheet that is not hidden")
    shown[0].activate()
    shown[0].set_first_sheet()
    for page, sheet in zip(pages, sheets, strict=True):
        if sheet.hidden:
            page.hide()


def _font(name: str) -> dict[str, Any]:
    return {"font_name": name, "font_size": 10}


def _set_properties(book: Any, properties: Properties) -> None:
    said = {
        "title": properties.title,
        "subject": properties.subject,
        "author": properties.author,
        "company": properties.author,
    }
    created = datetime(properties.created.year, properties.created.month, properties.created.day)
    book.set_properties({name: printable(words) for name, words in said.items() if words} | {"created": created})


def _write_sheet(page: Any, sheet: Sheet, formats: Formats) -> None:
    for column, width in enumerate(sheet.widths):
        done(page.set_column(column, column, width), sheet, f"column {column + 1}")
    for number, row in enumerate(sheet.rows):
        if row.height is not None:
            done(page.set_row(number, row.height), sheet, f"row {number + 1}")
        for column, cell in placed(row):
            write_cell(page, sheet, number, column, cell, formats)
    _set_page(page, sheet)
    if sheet.protected:
        page.protect("", {"format_columns": True, "format_rows": True})


def _set_page(page: Any, sheet: Sheet) -> None:
    setup: Page = sheet.page
    page.set_paper(_PAPERS[setup.paper])
    if setup.landscape:
        page.set_landscape()
    if setup.fit_wide:
        page.fit_to_pages(setup.fit_wide, setup.fit_tall)
    page.set_margins(left=setup.left, right=setup.right, top=setup.top, bottom=setup.bottom)
    if setup.repeat_rows:
        page.repeat_rows(setup.repeat_from, setup.repeat_from + setup.repeat_rows - 1)
    done(page.set_header(setup.header), sheet, "the header")
    done(page.set_footer(setup.footer), sheet, "the footer")
    if sheet.rows and not sheet.hidden:
        done(page.print_area(0, 0, len(sheet.rows) - 1, _printed_columns(sheet) - 1), sheet, "the print area")
    page.set_h_pagebreaks([number for number, row in enumerate(sheet.rows) if row.break_before and number])
    page.hide_gridlines(0 if sheet.grid_lines else 2)
    if sheet.frozen_rows or sheet.frozen_columns:
        page.freeze_panes(sheet.frozen_rows, sheet.frozen_columns)


def _printed_columns(sheet: Sheet) -> int:
    return min(sheet.printed_columns or len(sheet.widths), len(sheet.widths))
