"""Pages of a filled template: heights for wrapped text, no title alone, a little too much shrunk onto one page."""

from __future__ import annotations

from typing import Any

import openpyxl
import pytest
from openpyxl.styles import Alignment, Font
from openpyxl.worksheet.pagebreak import Break
from openpyxl.worksheet.properties import PageSetupProperties

from quotekit.workbook.fill_heights import height_of_row, make_room, width_of_columns
from quotekit.workbook.fill_pages import break_pages

WRAPPED = Alignment(wrap_text=True)


def a_sheet(rows: int = 0, height: float = 20, *, fit: bool = True) -> Any:
    """A sheet of rows so high, on upright Letter with margins of half an inch, its width made to fit."""
    sheet = openpyxl.Workbook().active
    sheet.column_dimensions["A"].width = 100
    for row in range(1, rows + 1):
        sheet.cell(row, 1, f"row {row}")
        sheet.row_dimensions[row].height = height
    margins = sheet.page_margins
    margins.left = margins.right = margins.top = margins.bottom = 0.5
    sheet.print_area = f"A1:A{max(rows, 1)}"
    if fit:
        sheet.sheet_properties.pageSetUpPr = PageSetupProperties(fitToPage=True)
        sheet.page_setup.fitToWidth, sheet.page_setup.fitToHeight = 1, 0
    return sheet


def breaks(sheet: Any) -> list[int]:
    return [one.id for one in sheet.row_breaks.brk]


@pytest.mark.parametrize(
    ("blocks", "expected"),
    [
        ([], []),
        ([(10, 20)], []),
        ([(30, 40)], [29]),
        ([(34, 60)], [33]),
        ([(20, 60)], []),
        ([(34, 36), (37, 38)], [33]),
    ],
)
def test_a_page_ends_before_what_would_be_cut(blocks: list[tuple[int, int]], expected: list[int]) -> None:
    """35 rows of 20 points go on a page of 720 points: a block in row 30 to 40 is kept whole, a long one may be cut."""
    sheet = a_sheet(60)
    break_pages(sheet, blocks)
    assert breaks(sheet) == expected


def test_breaks_of_the_owner_are_left_alone() -> None:
    sheet = a_sheet(60)
    sheet.row_breaks.append(Break(id=12))
    break_pages(sheet, [(30, 40)])
    assert breaks(sheet) == [12]


@pytest.mark.parametrize(("rows", "one_page"), [(35, False), (36, True), (39, True), (41, False)])
def test_a_little_more_than_a_page_goes_onto_one(rows: int, one_page: bool) -> None:
    """A line or two alone on a second page look like a mistake; a third of a page more would be too small to read."""
    sheet = a_sheet(rows)
    break_pages(sheet, [(rows, rows)])
    assert (sheet.page_setup.fitToHeight == 1) is one_page


def test_a_sheet_that_fits_no_width_is_not_shrunk() -> None:
    sheet = a_sheet(38, fit=False)
    break_pages(sheet, [(30, 38)])
    assert sheet.page_setup.fitToHeight is None
    assert breaks(sheet) == [29]


def test_a_wide_sheet_has_more_rows_to_a_page() -> None:
    sheet = a_sheet(60)
    sheet.column_dimensions["A"].width = 205
    break_pages(sheet, [(30, 40)])
    assert breaks(sheet) == []


def test_landscape_has_fewer() -> None:
    sheet = a_sheet(60)
    sheet.page_setup.orientation = "landscape"
    break_pages(sheet, [(22, 28)])
    assert breaks(sheet) == [21]


def test_a_paper_no_one_knows_is_left_to_the_program() -> None:
    sheet = a_sheet(60)
    sheet.page_setup.paperSize = 8
    break_pages(sheet, [(30, 40)])
    assert breaks(sheet) == []


def test_wrapped_text_makes_its_row_taller_and_never_lower() -> None:
    sheet = a_sheet()
    sheet.column_dimensions["A"].width = 20
    for row, text in ((1, "short"), (2, "word " * 30), (3, "word " * 30)):
        sheet.cell(row, 1, text).alignment = WRAPPED
    sheet.row_dimensions[1].height, sheet.row_dimensions[3].height = 40, 300
    make_room(sheet)
    assert sheet.row_dimensions[1].height == 40
    assert 80 < sheet.row_dimensions[2].height < 200
    assert sheet.row_dimensions[3].height == 300


def test_text_that_does_not_wrap_changes_nothing() -> None:
    sheet = a_sheet()
    sheet["A1"] = "word " * 100
    make_room(sheet)
    assert sheet.row_dimensions[1].height is None


def test_lines_a_person_broke_count() -> None:
    sheet = a_sheet()
    sheet["A1"] = "one\ntwo\nthree"
    make_room(sheet)
    assert sheet.row_dimensions[1].height > 35


def test_merged_cells_have_the_width_of_all_their_columns() -> None:
    """And the height of all their rows: only the last becomes taller."""
    sheet = a_sheet()
    sheet.column_dimensions["A"].width = sheet.column_dimensions["B"].width = 30
    sheet["A1"] = sheet["A5"] = "word " * 20
    for at in ("A1", "A5"):
        sheet[at].alignment, sheet[at].font = WRAPPED, Font(name="Arial", sz=10)
    sheet.merge_cells("A1:B1")
    sheet.merge_cells("A5:A6")
    make_room(sheet)
    assert sheet.row_dimensions[1].height < 40
    assert sheet.row_dimensions[5].height is None
    assert sheet.row_dimensions[6].height > 30


def test_no_row_is_taller_than_a_row_can_be() -> None:
    sheet = a_sheet()
    sheet["A1"], sheet["A1"].alignment = "word " * 5000, WRAPPED
    make_room(sheet)
    assert sheet.row_dimensions[1].height == 409


def test_heights_and_widths_that_are_not_said_are_the_sheets() -> None:
    sheet = a_sheet()
    assert height_of_row(sheet, 7) == 15
    sheet.sheet_format.defaultRowHeight = 13.5
    assert height_of_row(sheet, 7) == 13.5
    assert width_of_columns(sheet) == 525
    sheet.column_dimensions["A"].hidden = True
    assert width_of_columns(sheet) == 0
