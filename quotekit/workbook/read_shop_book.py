"""Reads the owner's shop book into records, with every problem in one pass (DESIGN.md 3)."""

from __future__ import annotations

from collections.abc import Mapping
from pathlib import Path

from quotekit.model.shop_book import ShopBook
from quotekit.problems import Place, Problem, error
from quotekit.record import record
from quotekit.workbook.book_records import build_book
from quotekit.workbook.book_rows import BookRows, read_typed_rows, resolve_book_rows
from quotekit.workbook.check_cycles import check_cycles
from quotekit.workbook.check_markup import Band, check_bands, check_part_prices, exact_bands
from quotekit.workbook.check_parts_used import check_parts_used
from quotekit.workbook.check_remedies import check_dates, check_findings, check_limits, check_tiers
from quotekit.workbook.check_taxes import check_taxes, resolve_charges, taxed_as_problems
from quotekit.workbook.check_work import check_machines, check_operations
from quotekit.workbook.columns import LABOUR_RATES, MARKUP, SHOP, SHOP_BOOK
from quotekit.workbook.fields import FieldValues, read_fields
from quotekit.workbook.follow_ups import without_follow_ups
from quotekit.workbook.grid import read_grid
from quotekit.workbook.other_workbook import job_for_book
from quotekit.workbook.read_settings import settings_of
from quotekit.workbook.reading_order import in_reading_order
from quotekit.workbook.rows import Row
from quotekit.workbook.shop_settings import SHOP_SETTINGS
from quotekit.workbook.tables import Table, find_tables, of_workbook, told_faults, unread_sheets


@record
class BookSheets:
    """A shop book as typed: its settings, and the rows of every other sheet."""

    file: str
    sha256: str
    tables: Mapping[str, Table]
    fields: FieldValues | None
    rows: Mapping[str, list[Row]]
    unread: frozenset[str]


def read_shop_book(path: Path) -> tuple[ShopBook | None, list[Problem]]:
    """The shop book, as far as it could be read, and everything wrong with it; None where the file is no shop book.

    Where a needed sheet is missing the book is not whole: it serves to check a job in the same pass, and no more.
    """
    sheets, problems = read_book_sheets(path)
    if sheets is None:
        return None, problems
    book, found = book_of_sheets(sheets)
    return book, in_reading_order(without_follow_ups(problems + found, sheets.tables.values()), SHOP_BOOK)


def read_book_sheets(path: Path) -> tuple[BookSheets | None, list[Problem]]:
    """What is typed in a shop book, cell by cell; references are not looked up yet."""
    grid, problems = read_grid(path, of_workbook(SHOP_BOOK))
    if grid is None:
        return None, problems
    mistaken = job_for_book(grid)
    if mistaken:
        return None, mistaken
    tables, found = find_tables(grid, SHOP_BOOK, "shop book")
    problems = [*told_faults(grid, tables, SHOP_BOOK), *found]
    fields = None
    if SHOP.name in tables:
        fields, found = read_fields(tables[SHOP.name], SHOP_SETTINGS)
        problems += found
    unread = frozenset(unread_sheets(grid, tables, SHOP_BOOK))
    unread |= {sheet.name for sheet in SHOP_BOOK if sheet.needed and sheet.name not in tables}
    rows, found = read_typed_rows(tables)
    problems += found + _no_rates(tables.get(LABOUR_RATES.name))
    sheets = BookSheets(file=grid.file, sha256=grid.sha256, tables=tables, fields=fields, rows=rows, unread=unread)
    return sheets, problems


def book_of_sheets(sheets: BookSheets) -> tuple[ShopBook, list[Problem]]:
    """The shop book of what was typed, and what is wrong between its cells."""
    settings, problems = settings_of(sheets.fields, sheets.tables.get(SHOP.name))
    rows, found = resolve_book_rows(sheets.rows, sheets.unread)
    problems += found
    book = build_book(rows, settings, sheets.file, sheets.sha256, sheets.unread)
    book, found = resolve_charges(book)
    return book, [*problems, *found, *check_book_records(book, bands_of(rows, book))]


def bands_of(rows: BookRows, book: ShopBook) -> list[Band] | None:
    """The bands that prices are looked up in; None where a row of Markup could not be read."""
    of_sheet = rows.by_sheet.get(MARKUP.name)
    if of_sheet is None or not all(row.sound for row in of_sheet):
        return None
    return exact_bands(book.markup)


def check_book_records(book: ShopBook, bands: list[Band] | None) -> list[Problem]:
    """What is wrong between the rows of a book."""
    return [
        *check_machines(book),
        *check_operations(book.operations.values()),
        *check_part_prices(book.parts.values(), bands),
        *check_parts_used(book),
        *check_bands(book.markup),
        *check_findings(book.findings.values()),
        *check_limits(book.fits_only_if),
        *check_dates(book),
        *check_taxes(book.taxes),
        *taxed_as_problems(book),
        *check_tiers(book.tiers),
        *check_cycles(book),
    ]


def _no_rates(table: Table | None) -> list[Problem]:
    if table is None or table.rows:
        return []
    place = Place(table.file, table.name)
    return [error(place, "no-labour-rate", "there is no labour rate", "Add a row: a code and its rate per hour.")]
