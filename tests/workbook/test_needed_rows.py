"""Rows with nothing to show that a formula speaks of stay hidden, so that no #REF! comes to a customer."""

from __future__ import annotations

from typing import Any

import openpyxl
import pytest

from quotekit.workbook.needed_rows import needed_rows
from quotekit.workbook.row_map import Stretch
from tests.workbook.a_template import LINES, a_filling, filled, restyled

EMPTY = {"lines": [], "left": []}


def put(book: Any, cell: str, formula: str) -> Any:
    book["My bill"][cell] = formula
    return book


def hidden(sheet: Any) -> list[int]:
    return [row for row, height in sheet.row_dimensions.items() if height.hidden]


def test_a_sum_under_a_table_without_rows_is_still_a_sum() -> None:
    """Row 5 stays, with nothing in it, where nobody sees it; the block of `left` goes as before."""
    sheet = filled(restyled(), a_filling(tables=EMPTY))["My bill"]
    assert (sheet["D6"].value, hidden(sheet)) == ("=SUM(D5:D5)", [5])
    assert [sheet.cell(5, column).value for column in (1, 3, 4)] == [None, None, None]
    assert sheet["A7"].value == "Total"


def test_a_total_over_lines_that_went() -> None:
    """The owner's own total over several tables, one of which has nothing to show and whose block goes."""
    sheet = filled(put(restyled(), "E9", "=SUM(D5:D5)+SUM(D8:D8)+D8"))["My bill"]
    assert sheet["E11"].value == "=SUM(D5:D7)+SUM(D10:D10)+D10"
    assert hidden(sheet) == [9, 10]
    assert sheet["A10"].value is None


def test_lines_that_nobody_speaks_of_go() -> None:
    sheet = filled(restyled())["My bill"]
    assert hidden(sheet) == []
    assert sheet["A9"].value == "Total"


@pytest.mark.parametrize(
    ("where", "formula"),
    [("Terms", "='My bill'!D8"), ("Terms", "=SUM('My bill'!D8:D8)"), ("My bill", "=LEN(A7)"), ("My bill", "=SUM(7:8)")],
)
def test_formulas_of_other_sheets_count_too(where: str, formula: str) -> None:
    book = restyled()
    book[where]["F1"] = formula
    done = filled(book)
    assert hidden(done["My bill"]) == [9 - 1, 9] or hidden(done["My bill"]) == [9, 10]
    assert "#REF!" not in str(done[where]["F1"].value)


def test_an_owners_name_counts_too() -> None:
    from openpyxl.workbook.defined_name import DefinedName

    book = restyled()
    book.defined_names["left_undone"] = DefinedName("left_undone", attr_text="'My bill'!$D$8:$D$8")
    done = filled(book)
    assert done.defined_names["left_undone"].attr_text == "'My bill'!$D$10:$D$10"


@pytest.mark.parametrize(
    ("formula", "kept"),
    [
        ("=D8", True),
        ("=SUM(D5:D8)", False),
        ("=SUM(D6:D9)", False),
        ("=D9", False),
        ('="D8"', False),
        ("=#REF!+D9", False),
    ],
)
def test_what_needs_a_row(formula: str, kept: bool) -> None:
    """A range that keeps one of its rows needs none of the others."""
    book = openpyxl.Workbook()
    book.active.title = "Bill"
    book.active["A1"] = formula
    going = [Stretch(7, 8, 0)]
    assert needed_rows(book, "Bill", going) == (going if kept else [])


def test_a_formula_inside_what_goes_needs_nothing() -> None:
    book = openpyxl.Workbook()
    book.active.title = "Bill"
    book.active["B8"] = "=A8*2"
    assert needed_rows(book, "Bill", [Stretch(8, 8, 0)]) == []


def test_hidden_rows_take_no_room_on_a_page() -> None:
    from quotekit.workbook.fill_heights import height_of_row

    sheet = filled(restyled(), a_filling(tables=EMPTY))["My bill"]
    assert (height_of_row(sheet, 5), height_of_row(sheet, 6)) == (0.0, 15.0)


def test_lines_that_are_there_are_not_hidden() -> None:
    sheet = filled(restyled(), a_filling(tables={"lines": LINES[:1], "left": []}))["My bill"]
    assert (sheet["D6"].value, hidden(sheet)) == ("=SUM(D5:D5)", [])
