"""Marks in the wrong place are named before anything is written: doubled, shared, cut, among words, on other sheets."""

from __future__ import annotations

from collections.abc import Callable
from typing import Any

import pytest
from openpyxl.workbook.defined_name import DefinedName

from quotekit.documents.filling import SheetFilling
from tests.workbook.a_template import LINES, a_filling, fill, filled, restyled
from tests.workbook.test_template_check import named, typed

Change = Callable[[Any], object]


def merged(area: str) -> Change:
    return lambda book: book["My bill"].merge_cells(area)


def both(*changes: Change) -> Change:
    return lambda book: [change(book) for change in changes]


def of_the_sheet(name: str, area: str) -> Change:
    """A name of the sheet alone, beside that of the workbook."""
    return lambda book: book["My bill"].defined_names.__setitem__(
        name, DefinedName(name, attr_text=f"'My bill'!{area}")
    )


CASES = [
    (typed("E5", "qk_text"), "E5", "template-mark-twice", "qk_text is there twice, in A5 too"),
    (of_the_sheet("qk_rows_lines", "$A$11:$E$11"), "A11", "template-mark-twice", "qk_rows_lines is there twice"),
    (of_the_sheet("qk_block_left", "$A$11"), "A11", "template-mark-twice", "qk_block_left is there twice"),
    (typed("E9", "Job qk_job_number"), "E9", "template-mark-astray", "qk_job_number stands among other words"),
    (typed("E9", "qk_total qk_note"), "E9", "template-mark-astray", "qk_total stands among other words"),
    (both(typed("A10", None), named("qk_note", "$D$9")), "D9", "template-rows-overlap", "share a cell"),
    (named("qk_job_number", "$A$5"), "A5", "template-rows-overlap", "marks qk_text and qk_job_number share a cell"),
    (named("qk_block_left", "$A$4:$E$5"), "A4", "template-block-holds", "hold qk_rows_lines"),
    (
        both(named("qk_rows_lines", "$A$5:$E$6"), named("qk_block_left", "$A$6:$E$8")),
        "A6",
        "template-rows-overlap",
        "qk_block_left cut the marked rows qk_rows_lines in two",
    ),
    (merged("E5:E6"), "E5", "template-rows-overlap", "merged cells E5:E6 reach out of the marked rows qk_rows_lines"),
    (merged("E4:E5"), "E4", "template-rows-overlap", "merged cells E4:E5 reach out of the marked rows qk_rows_lines"),
    (merged("F4:F6"), "F4", "template-rows-overlap", "merged cells F4:F6 reach out of the marked rows qk_rows_lines"),
]


@pytest.mark.parametrize(("change", "cell", "code", "message"), CASES)
def test_a_mark_in_the_wrong_place_is_named(change: Change, cell: str, code: str, message: str) -> None:
    """Each of these was printed as it is, written over or lost before it was told."""
    book = restyled()
    change(book)
    data, problems = fill(book)
    assert data is None
    found = [one for one in problems if one.code == code and message in one.message]
    assert [str(one.place) for one in found] == [f"bill.xlsx:My bill!{cell}"], [one.message for one in problems]
    assert all(one.remedy for one in problems)


def test_a_cell_to_fill_in_by_hand_is_there_once() -> None:
    """Of two cells only one is read back; a value that is only shown may stand in as many as the owner likes."""
    book = restyled()
    book["My bill"]["E10"], book["My bill"]["E9"] = "qk_note", "qk_total"
    values = {**a_filling().values, "note": None}
    _, problems = fill(book, a_filling(values=values))
    assert [(one.code, str(one.place)) for one in problems] == [("template-mark-twice", "bill.xlsx:My bill!E10")]
    book = restyled()
    book["My bill"]["E10"], book["My bill"]["E9"] = "qk_note", "qk_total"
    assert fill(book)[1] == []


@pytest.mark.parametrize("area", ["$B$2", "$C$2", "$D$2", "$B$2:$D$2"])
def test_any_cell_of_a_merged_area_may_bear_the_name(area: str) -> None:
    """The name box of a spreadsheet gives the whole area or its first cell; a file made otherwise gives any."""
    book = restyled()
    named("qk_job_number", area)(book)
    assert filled(book)["My bill"]["B2"].value == "2611-01"


def test_merged_cells_beside_the_marked_rows_are_no_fault() -> None:
    book = restyled()
    for area in ("F5:G5", "F9:F10", "F2:F4"):
        merged(area)(book)
    sheet = filled(book)["My bill"]
    assert {str(one) for one in sheet.merged_cells.ranges} >= {"F5:G5", "F6:G6", "F7:G7", "F9:F10", "F2:F4"}


def test_marks_that_are_names_of_the_workbook_serve_formulas_on_every_sheet() -> None:
    """The owner's page of terms may say `=qk_total`: it must not become #NAME?."""
    book = restyled()
    named("qk_total", "$D$9")(book)
    book["Terms"]["B2"] = "=qk_total"
    done = filled(book)
    assert done["Terms"]["B2"].value == "=qk_total"
    assert done.defined_names["qk_total"].attr_text == "'My bill'!$D$9"
    assert "qk_rows_lines" not in done.defined_names


def test_a_mark_inside_a_formula_is_the_spreadsheets_own() -> None:
    book = restyled()
    book["My bill"]["E9"] = '="Job "&qk_job_number'
    assert filled(book)["My bill"]["E9"].value == '="Job "&qk_job_number'


@pytest.mark.parametrize("lines", [[], LINES])
def test_a_template_with_nothing_wrong_has_no_fault(lines: list[Any]) -> None:
    assert (
        fill(restyled(), SheetFilling(role="bill", values=a_filling().values, tables={"lines": lines, "left": []}))[1]
        == []
    )
