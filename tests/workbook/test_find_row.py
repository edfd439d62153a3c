"""Rows of a shop book are known by their code and supplier, wherever they stand."""

from __future__ import annotations

from datetime import date
from decimal import Decimal
from pathlib import Path

import pytest

from quotekit.model.proposed_prices import CellValue
from quotekit.workbook.find_row import FoundRow, RowFinder, same_value, table_of
from quotekit.workbook.read_shop_book import BookSheets, read_book_sheets
from tests.cli.price_shop import parts_with_everything
from tests.cli.small_shop import Sheets, write_book

D = Decimal


def sheets_of(folder: Path, sheets: Sheets) -> BookSheets:
    """A shop book as typed."""
    found, problems = read_book_sheets(write_book(folder / "shop book.xlsx", sheets))
    assert found is not None, problems
    return found


@pytest.fixture(scope="module")
def book(tmp_path_factory: pytest.TempPathFactory) -> BookSheets:
    """The small shop with every column, one cell wrongly typed."""
    sheets = parts_with_everything()
    sheets["Parts"][3][5] = "dear"
    sheets["Offers"].append(["belt", "Eastside", "E-1", 1, 17, None, None])
    return sheets_of(tmp_path_factory.mktemp("book"), sheets)


def belt(book: BookSheets) -> FoundRow:
    """The row of the belt."""
    (row,) = RowFinder(book).rows("Parts", "BELT")
    return row


@pytest.mark.parametrize(
    ("sheet", "code", "rows"),
    [
        ("Parts", "BELT", [3]),
        ("parts", " belt ", [3]),
        ("Parts", "GONE", []),
        ("Offers", "BELT", [2, 4]),
        ("Operations", "BELTING", [3]),
        ("Conditions", "RUST", []),
        ("No such sheet", "BELT", []),
    ],
)
def test_rows_of_a_code(sheet: str, code: str, rows: list[int], book: BookSheets) -> None:
    """Codes compare without case, sheets by their known name."""
    assert [one.number for one in RowFinder(book).rows(sheet, code)] == rows


def test_a_table_by_its_tab(book: BookSheets) -> None:
    table = table_of(book, "PARTS")
    assert table is not None and table.name == "Parts"
    assert table_of(book, "Fees") is None


def test_what_a_row_says(book: BookSheets) -> None:
    row = belt(book)
    assert (row.supplier, row.value("Pack cost"), row.value("Lead days")) == ("Northside", D("19.5"), None)
    assert (row.place("Pack cost").cell, row.shown("Pack cost"), row.shown("Lead days")) == ("D3", "19.5", "nothing")
    assert row.column("Core charge") is None and row.value("Core charge") is None
    assert row.is_text("Supplier's number") and not row.is_text("Pack cost") and not row.is_text("Lead days")


@pytest.mark.parametrize(
    ("code", "header", "value", "says"),
    [
        ("BELT", "Pack cost", D("19.50"), True),
        ("BELT", "Pack cost", D("19.51"), False),
        ("BELT", "Pack cost", None, False),
        ("BELT", "Lead days", None, True),
        ("BELT", "Lead days", D(0), False),
        ("SEAL", "Lead days", D(0), True),
        ("BUSHING", "Lead days", D(4), True),
        ("BUSHING", "Supplier's number", "00123", True),
        ("BUSHING", "Supplier's number", "123", False),
        ("BUSHING", "Cost date", date(2026, 1, 5), True),
        ("BUSHING", "Cost date", date(2026, 1, 6), False),
        ("SEAL", "List price each", D(2), False),
        ("SEAL", "List price each", None, False),
    ],
)
def test_whether_a_cell_says_it(code: str, header: str, value: CellValue, says: bool, book: BookSheets) -> None:
    """A blank is no zero; a cell that can't be read says nothing, not even a blank."""
    (row,) = RowFinder(book).rows("Parts", code)
    assert row.says(header, value) is says


@pytest.mark.parametrize(
    ("one", "other", "same"),
    [
        (D("1.50"), D("1.5"), True),
        (D(4), 4, True),
        ("a", "a ", True),
        ("a", "A", False),
        ("1", D(1), False),
        (None, None, True),
        (None, "", False),
        (date(2026, 1, 5), date(2026, 1, 5), True),
        (date(2026, 1, 5), "2026-01-05", False),
        (True, D(1), True),
    ],
)
def test_same_values(one: CellValue, other: CellValue, same: bool) -> None:
    """Numbers by value, texts without outer spaces."""
    assert same_value(one, other) is same and same_value(other, one) is same
