"""The cells of an earlier change in a shop book that was saved since."""

from __future__ import annotations

from pathlib import Path

import pytest

from quotekit.model.changed_file import NOTHING, ChangedCell, ChangedFile, Content
from quotekit.workbook.find_changed import find_changed
from tests.cli.price_shop import parts_with_everything
from tests.cli.small_shop import Sheets
from tests.workbook.test_find_row import sheets_of


def a_cell(sheet: str, cell: str, code: str, column: str, supplier: str = "") -> ChangedCell:
    """A cell that was changed."""
    new = Content(kind="number", text="1")
    return ChangedCell(sheet=sheet, cell=cell, old=NOTHING, new=new, code=code, column=column, supplier=supplier)


def sheets() -> Sheets:
    """The small shop, with two offers of one supplier for the belt."""
    found = parts_with_everything()
    found["Parts"].insert(1, ["CAP", "Cap", 1, 2, "Northside"])
    found["Offers"] += [["BELT", "Southside", "S-9", 5, 80, None, None]]
    return found


@pytest.mark.parametrize(
    ("one", "where", "code"),
    [
        (a_cell("Parts", "D3", "BELT", "Pack cost", "Northside"), "Parts!D4", None),
        (a_cell("Parts", "D3", "belt", "Pack cost", "NORTHSIDE"), "Parts!D4", None),
        (a_cell("parts", "D3", "BELT", "Pack cost"), "Parts!D4", None),
        (a_cell("Operations", "C3", "BELTING", "Net hours"), "Operations!C3", None),
        (a_cell("Offers", "E2", "BELT", "Pack cost", "Southside"), "Offers!E2", None),
        (a_cell("Offers", "E4", "BELT", "Pack cost", "Southside"), "Offers!E4", None),
        (a_cell("Parts", "D3", "", ""), "Parts!D3", None),
        (a_cell("Offers", "E9", "BELT", "Pack cost", "Southside"), "Offers!E9", "row-not-told-apart"),
        (a_cell("Parts", "D3", "BELT", "Pack cost", "Eastside"), "Parts!D3", "row-changed"),
        (a_cell("Parts", "Q3", "BELT", "Core charge", "Northside"), "Parts!Q3", "row-changed"),
        (a_cell("Parts", "D3", "GONE", "Pack cost", "Northside"), "Parts!D3", "row-gone"),
        (a_cell("Gone", "D3", "BELT", "Pack cost", "Northside"), "Gone!D3", "row-gone"),
    ],
)
def test_where_a_cell_stands_now(one: ChangedCell, where: str, code: str | None, tmp_path: Path) -> None:
    """By the code of its row; of rows alike by where it stood; a cell of no known row stays where it was."""
    changed = ChangedFile(file="shop book.xlsx", before="", after="", kept="", cells=(one,))
    found, problems = find_changed(sheets_of(tmp_path, sheets()), changed)
    assert [f"{cell.sheet}!{cell.cell}" for cell in found.cells] == [where]
    assert [problem.code for problem in problems] == ([] if code is None else [code])
    assert all(problem.remedy.endswith(".") and problem.severity == "error" for problem in problems)


def test_the_rest_of_the_record_stays(tmp_path: Path) -> None:
    """Old and new, the copy and the digests."""
    one = a_cell("Parts", "D3", "BELT", "Pack cost", "Northside")
    changed = ChangedFile(file="shop book.xlsx", before="a", after="b", kept="c", cells=(one, one))
    found, _ = find_changed(sheets_of(tmp_path, sheets()), changed)
    assert (found.before, found.after, found.kept, found.cells[1].new) == ("a", "b", "c", one.new)
