"""Formulas whose rows moved: what a person who inserts rows in a spreadsheet sees happen."""

from __future__ import annotations

import pytest

from quotekit.workbook.moved_formula import SheetMove, moved_formula, quoted
from quotekit.workbook.row_map import Copy, RowMap, Stretch

LINES, NOTES = Stretch(5, 5, 3), Stretch(8, 9, 0)
MOVES = {
    "order": SheetMove(rows=RowMap([LINES, NOTES]), title="North"),
    "own sheet": SheetMove(rows=RowMap(), title="own sheet"),
}


@pytest.mark.parametrize(
    ("formula", "expected"),
    [
        ("=A4", "=A4"),
        ("=A6+$A$7", "=A8+$A$9"),
        ("=SUM(H5:H5)", "=SUM(H5:H7)"),
        ("=SUM($H$4:$H$6)", "=SUM($H$4:$H$8)"),
        ("=H5", "=H5"),
        ("=A8", "=#REF!"),
        ("=SUM(A8:A9)", "=SUM(#REF!)"),
        ("=SUM(A7:A10)", "=SUM(A9:A10)"),
        ("=A1048576", "=A1048576"),
        ("=SUM(B:B)", "=SUM(B:B)"),
        ("=SUM(4:6)", "=SUM(4:8)"),
        ("=Order!A6", "='North'!A8"),
        ("='Own sheet'!A6", "='own sheet'!A6"),
        ("='Other'!A6", "='Other'!A6"),
        ('=Total*1.2&"A6"', '=Total*1.2&"A6"'),
        ('=IF(A6>0,"yes; A6",LOG10(A6))', '=IF(A8>0,"yes; A6",LOG10(A8))'),
        ("={1,2;3,4}", "={1,2;3,4}"),
    ],
)
def test_a_formula_below_and_beside_a_table(formula: str, expected: str) -> None:
    """A text is no reference, a name stays a name, other sheets stay."""
    assert moved_formula(formula, "Order", MOVES) == expected


@pytest.mark.parametrize(("number", "expected"), [(0, "=F5*G5+$B$1+A8"), (1, "=F6*G6+$B$1+A8"), (2, "=F7*G7+$B$1+A8")])
def test_a_formula_of_a_line_speaks_of_its_own_line(number: int, expected: str) -> None:
    assert moved_formula("=F5*G5+$B$1+A6", "Order", MOVES, Copy(LINES, number)) == expected


def test_a_formula_no_one_can_read_stays() -> None:
    assert moved_formula("=SUM((A6", "Order", MOVES).startswith("=SUM((A")
    assert moved_formula('="never closed', "Order", MOVES) == '="never closed'


def test_names_of_sheets_are_quoted() -> None:
    assert quoted("Owner's list") == "'Owner''s list'"
    renamed = {"order": SheetMove(rows=RowMap(), title="Owner's list")}
    assert moved_formula("=Order!A1", "", renamed) == "='Owner''s list'!A1"
