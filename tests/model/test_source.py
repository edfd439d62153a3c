"""Where a record came from."""

from __future__ import annotations

from quotekit.model.source import NOWHERE, Source
from quotekit.problems import Place

ROW = Source(file="book.xlsx", sheet="Parts", row=14, columns={"Code": "A", "Pack cost": "D"})


def test_a_column_gives_its_cell() -> None:
    assert ROW.place("Pack cost") == Place("book.xlsx", "Parts", "D14")


def test_an_absent_column_gives_the_first_cell_of_the_row() -> None:
    assert ROW.place("Lead days") == Place("book.xlsx", "Parts", "A14")
    assert ROW.place() == Place("book.xlsx", "Parts", "A14")


def test_no_row_gives_no_cell() -> None:
    assert Source(file="book.xlsx", sheet="Parts").place("Code") == Place("book.xlsx", "Parts")
    assert NOWHERE.place("Code") == Place("")


def test_two_rows_are_equal_whatever_their_columns() -> None:
    same = Source(file="book.xlsx", sheet="Parts", row=14)
    assert same == ROW
