"""Request `function`: numbers as cells send them, which errors of a book stop which function, and what is kept."""

from __future__ import annotations

from datetime import date
from decimal import Decimal
from pathlib import Path
from typing import Any

import pytest

from quotekit.cli.answers import functions
from quotekit.cli.answers.functions import figure_of
from quotekit.cli.answers.kinds import answer_of
from quotekit.cli.answers.shop_books import ShopBooks
from tests.cli.small_shop import Sheets, shop_book, write_book

TODAY = date(2026, 3, 2)


@pytest.fixture
def book(tmp_path: Path) -> Path:
    return write_book(tmp_path / "shop book.xlsx", shop_book())


def ask(document: Path, name: str, *arguments: Any, books: ShopBooks | None = None, **more: Any) -> str:
    """An answer as text, figure or reason."""
    words = {"name": name, "arguments": list(arguments), "document": str(document), **more}
    return str(figure_of(words, books or ShopBooks(), TODAY))


def test_a_request_as_the_office_sends_it(book: Path) -> None:
    """The figure is text, so that no digit is lost on the way; the reading tells when it may be kept."""
    answer = answer_of("function")
    assert answer is not None
    words = {"name": "SELLING_PRICE", "arguments": [5.5], "document": str(book), "book": None}
    done = answer(words)
    assert done["value"] == "8.25" and str(date.today()) in done["reading"]
    refused = answer({**words, "arguments": [-1.0]})
    assert refused == {"reason": "The cost is negative. Check the number.", "reading": done["reading"]}


def test_a_number_has_the_digits_of_its_cell(book: Path) -> None:
    """0.1 + 0.2 is 0.3 in a cell; the double behind it is not."""
    assert ask(book, "TAX_ON", 0.1 + 0.2, "parts") == ask(book, "TAX_ON", 0.3, "parts")
    assert ask(book, "SELLING_PRICE", 1.1500000000000001) == "1.73"


@pytest.mark.parametrize(
    ("name", "arguments", "expected"),
    [
        ("SELLING_PRICE", [0.0], "The cost is 0, or its cell is blank. It must be above 0."),
        ("SELLING_PRICE", [5.5, 0.0], "8.25"),
        ("SELLING_PRICE", [5.5, ""], "8.25"),
        ("SELLING_PRICE", [5.5, 8], "8.00"),
        ("SELLING_PRICE", [], "The cost is blank. A blank is not zero: fill it in."),
        ("SELLING_PRICE", [float("nan")], "An argument is not a number. Check the cell."),
        ("SELLING_PRICE", [float("inf")], "An argument is not a number. Check the cell."),
        ("SELLING_PRICE", [1e300], "The cost has more than 15 digits. Check the number."),
        ("SHARED_HOURS", [0.0], "No operation is named. Give a cell or a range with codes of Operations."),
        ("SHARED_HOURS", [[["BELTING", ""], ["SEALING", ""]], 0.0, 0.0, 0.0], "0.7"),
        ("SHARED_HOURS", ["BUSH", "left", "Snow thrower"], "0.6"),
        ("TAX_ON", [0.0, "parts"], "0.00"),
        ("TAX_ON", [100.0, "parts", 46083.5], "7.00"),
        ("TAX_ON", [100.0, "parts", 0.0, 0.0, 0.0], "7.00"),
        ("TAX_ON", [100.0, "parts", 9e14], "900000000000000 is not a date that can be read one way only. "
         "Use a cell formatted as a date, or a text like 2026-03-31."),
        ("REMEDY_PRICE", ["NEWBELT", 0.0, "Snow thrower", 1.0], "121.30"),
        ("REMEDY_PRICE", ["NEWBUSH@left", "", "Snow thrower"], "98.25"),
    ],
)  # fmt: skip
def test_what_cells_send(book: Path, name: str, arguments: list[Any], expected: str) -> None:
    """A blank cell comes as 0: left out where that may be, refused where a number is needed."""
    assert ask(book, name, *arguments) == expected


def test_days_count_from_the_documents_first_day(tmp_path: Path) -> None:
    """A workbook that counts from 1904 means another day by the same number."""
    sheets = shop_book()
    sheets["Taxes"] = [["Tax", "Rate", "Charge", "In force from"], ["State", 0.07, "parts", date(2026, 3, 2)]]
    path = write_book(tmp_path / "shop book.xlsx", sheets)
    assert ask(path, "TAX_ON", 100.0, "parts", 46083.0) == "7.00"
    assert ask(path, "TAX_ON", 100.0, "parts", 46082.0) == "0.00"
    assert ask(path, "TAX_ON", 100.0, "parts", 44620.0, day_zero="1904-01-01") == "0.00"
    assert ask(path, "TAX_ON", 100.0, "parts", 44621.0, day_zero="1904-01-01") == "7.00"
    assert (date(2026, 3, 2) - date(1899, 12, 30)).days == 46083


def with_error(sheet: str, row: int, column: int, value: object) -> Sheets:
    sheets = shop_book()
    sheets[sheet][row][column] = value
    return sheets


@pytest.mark.parametrize(
    ("sheet", "row", "column", "value", "stopped"),
    [
        ("Parts", 1, 3, "=oops", {"SHARED_HOURS", "REMEDY_PRICE"}),
        ("Markup", 1, 2, "much", {"SELLING_PRICE", "REMEDY_PRICE"}),
        ("Remedies", 1, 4, "NO-SUCH", {"REMEDY_PRICE"}),
        ("Findings", 1, 2, "awful", set()),
        ("Taxes", 1, 2, "labr", {"TAX_ON", "REMEDY_PRICE"}),
        ("Shop", 3, 1, -1, {"SELLING_PRICE", "SHARED_HOURS", "TAX_ON", "REMEDY_PRICE"}),
    ],
)
def test_an_error_stops_what_depends_on_it(
    tmp_path: Path, sheet: str, row: int, column: int, value: object, stopped: set[str]
) -> None:
    """A pack cost worked out by SELLING_PRICE must not stop SELLING_PRICE while it is not there yet."""
    path = write_book(tmp_path / "shop book.xlsx", with_error(sheet, row, column, value))
    calls: dict[str, list[Any]] = {
        "SELLING_PRICE": [5.5],
        "SHARED_HOURS": ["BELTING"],
        "TAX_ON": [10.0, "parts"],
        "REMEDY_PRICE": ["NEWBELT", None, "Snow thrower"],
    }
    said = {name: ask(path, name, *arguments) for name, arguments in calls.items()}
    assert {name for name, text in said.items() if text.startswith("The shop book has an error: ")} == stopped
    for name in stopped:
        assert f"shop book.xlsx:{sheet}!" in said[name]


def test_more_errors_are_counted(tmp_path: Path) -> None:
    sheets = with_error("Markup", 1, 2, "much")
    sheets["Markup"][2][2] = "more"
    path = write_book(tmp_path / "shop book.xlsx", sheets)
    assert ask(path, "SELLING_PRICE", 5.5).endswith(" 1 more: check the shop book.")


def test_a_function_of_another_version(book: Path) -> None:
    assert ask(book, "PRICE_OF_ALL", 1.0).startswith("PRICE_OF_ALL is no function of this version.")


def test_thousands_of_cells_read_the_book_once(book: Path) -> None:
    books = ShopBooks(clock=iter(range(10**6)).__next__)  # every cell a second later: the disk is looked at again
    for cost in range(1, 300):
        ask(book, "SELLING_PRICE", float(cost), books=books)
    assert books.reads == 1


def test_figures_are_plain_decimals(book: Path) -> None:
    """No exponent and no sign of zero that a spreadsheet would read otherwise."""
    assert functions.answer({"name": "TAX_ON", "arguments": [1e-9, "parts"], "document": str(book)})["value"] == "0.00"
    found = figure_of({"name": "SELLING_PRICE", "arguments": [99999.0], "document": str(book)}, ShopBooks(), TODAY)
    assert found == Decimal("134998.65")
