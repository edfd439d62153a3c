"""A shop book whose cells hold the functions reads by the results stored in its file, as a spreadsheet stores them.

LibreOffice writes `<c t="n"><f>ORG.QUOTEKIT.SHOPFUNCTIONS.SELLINGPRICE(A1)</f><v>15</v></c>`, and for a cell that has
no figure `<c t="e">...<v>#VALUE!</v></c>` (seen in files of version 7.4).
"""

from __future__ import annotations

from decimal import Decimal
from pathlib import Path
from typing import Any

import xlsxwriter

from quotekit.model.shop_book import ShopBook
from quotekit.problems import Problem
from quotekit.workbook.read_shop_book import read_shop_book
from tests.cli.small_shop import PERCENTS, shop_book

FORMULA = "=ORG.QUOTEKIT.SHOPFUNCTIONS.{}"
Stored = dict[tuple[str, str], tuple[str, Any]]
"""Sheet and cell: the formula and its stored result."""


def read_with(path: Path, cells: Stored) -> tuple[ShopBook | None, list[Problem]]:
    """The small shop book with formulas in some cells."""
    with xlsxwriter.Workbook(str(path)) as book:
        percent = book.add_format({"num_format": "0.0%"})
        for name, rows in shop_book().items():
            page = book.add_worksheet(name)
            for at, row in enumerate(rows):
                for column, value in enumerate(row):
                    if value is not None:
                        page.write(at, column, value, percent if at and rows[0][column] in PERCENTS else None)
            for (sheet, address), (formula, result) in cells.items():
                if sheet == name:
                    page.write_formula(address, FORMULA.format(formula), None, result)
    return read_shop_book(path)


def errors(problems: list[Problem]) -> list[tuple[str, str]]:
    """Code and cell of each error."""
    return [(one.code, one.place.cell) for one in problems if one.severity == "error"]


def test_results_are_read_as_if_they_were_typed(tmp_path: Path) -> None:
    """A pack cost, net hours and a fee by a function; in columns of the owner's own, too."""
    cells: Stored = {
        ("Parts", "D3"): ("SELLINGPRICE(10)", 15),
        ("Operations", "C3"): ('SHAREDHOURS("SEALING")', 0.30000000000000004),
        ("Parts", "H2"): ("SELLINGPRICE(D2/C2)", 8.25),
    }
    book, problems = read_with(tmp_path / "book.xlsx", cells)
    assert book is not None and errors(problems) == []
    assert book.parts["BELT"].pack_cost == Decimal(15)
    assert book.operations["BELTING"].net_hours == Decimal("0.3")


def test_an_error_in_a_column_of_the_owners_own_matters_to_nobody(tmp_path: Path) -> None:
    """Nor does one below or beside a table: only what is read can be wrong."""
    cells: Stored = {
        ("Parts", "H2"): ("SELLINGPRICE(-1)", "#VALUE!"),
        ("Parts", "H9"): ("TAXON(1,2)", "#NAME?"),
        ("Markup", "G5"): ("SELLINGPRICE(A9)", "#VALUE!"),
    }
    book, problems = read_with(tmp_path / "book.xlsx", cells)
    assert book is not None and errors(problems) == []


def test_an_error_where_a_figure_is_read_is_one(tmp_path: Path) -> None:
    """It names the cell: a price is not guessed because a function had none."""
    _, problems = read_with(tmp_path / "book.xlsx", {("Parts", "D3"): ("SELLINGPRICE(-1)", "#VALUE!")})
    assert errors(problems) == [("error-cell", "D3")]
