"""The workbook of proposed times: what the reader looks for, nothing ticked, cells to type in and no others."""

from __future__ import annotations

from decimal import Decimal
from pathlib import Path

import openpyxl
import pytest

from quotekit.documents.review_proposals import HEADERS, has_cells, lay_out_proposals
from quotekit.workbook.proposal_columns import PROPOSALS
from quotekit.workbook.read_proposals import read_proposals
from quotekit.workbook.write_sheet import write_workbook
from tests.review.reviews import empty, full, season

D = Decimal


@pytest.fixture
def file(tmp_path: Path) -> Path:
    """The proposals of the full review."""
    write_workbook(lay_out_proposals(full()), tmp_path / "proposed.xlsx")
    return tmp_path / "proposed.xlsx"


def tick(file: Path, *places: int, **typed: object) -> Path:
    """Yes in the rows at these places, other cells as given."""
    book = openpyxl.load_workbook(file)
    page = book["Proposals"]
    (head,) = [line[0].row for line in page.iter_rows() if line[0].value == HEADERS[0]]
    for place in places:
        page.cell(head + 1 + place, 1).value = typed.get("tick", "Yes")
    book.save(file)
    return file


def test_the_headers_are_those_that_are_read() -> None:
    """Declared twice, held together here: a document imports no reader."""
    assert tuple(column.header for column in PROPOSALS.columns) == HEADERS


def test_a_row_for_each_cell_of_the_book(file: Path) -> None:
    """What is written and ticked comes back as it was."""
    changes = [change for one in full().proposals for change in one.changes]
    found, problems = read_proposals(tick(file, *range(len(changes))))
    assert problems == []
    assert [(one.sheet, one.code, one.column, one.now, one.new) for one in found] == [
        (change.sheet, change.code, change.column, change.in_force, change.new) for change in changes
    ]
    assert {change.sheet for change in changes} == {"Operations", "Conditions"}


def test_both_ways_to_take_them_over_are_named(file: Path) -> None:
    """A new shop book, or the ticked cells of the owner's own: the line above the rows says how."""
    rows = openpyxl.load_workbook(file)["Proposals"].iter_rows(max_col=1, max_row=4, values_only=True)
    (said,) = (str(first) for (first,) in rows if "quotekit take-over" in str(first))
    assert "writes a new shop book" in said and "With --in-place" in said


def test_only_ticked_rows_come_back(file: Path) -> None:
    """The second one alone."""
    found, _ = read_proposals(tick(file, 1))
    assert [one.column for one in found] == [full().proposals[0].changes[1].column]


@pytest.mark.parametrize("tick_text", ["No", "no", "FALSE", 0, "☐"])
def test_a_no_is_no_tick(file: Path, tick_text: object) -> None:
    """Nothing is taken over."""
    found, problems = read_proposals(tick(file, 0, tick=tick_text))
    assert (found, [problem.code for problem in problems]) == ((), ["nothing-ticked"])


@pytest.mark.parametrize("tick_text", ["yes", "TRUE", 1, "☑"])
def test_other_ways_to_tick(file: Path, tick_text: object) -> None:
    """As everywhere in the shop's workbooks."""
    assert len(read_proposals(tick(file, 0, tick=tick_text))[0]) == 1


def test_nothing_is_ticked_in_advance(file: Path) -> None:
    """An unread file changes nothing."""
    assert [problem.code for problem in read_proposals(file)[1]] == ["nothing-ticked"]


def test_what_may_be_typed() -> None:
    """The tick and the new value are open, all else is held; the tick offers Yes and No."""
    sheet = lay_out_proposals(full()).sheets[0]
    looks = lay_out_proposals(full()).looks
    lines = [line for line in sheet.rows if len(line.cells) > 6 and line.cells[0].style == "tick"]
    assert len(lines) == sum(len(one.changes) for one in full().proposals)
    for line in lines:
        open_cells = [place for place, cell in enumerate(line.cells) if looks[cell.style].unlocked]
        assert open_cells == [0, 5]
        assert line.cells[0].choices == "Yes,No"
    assert sheet.protected


def test_when_there_is_a_workbook() -> None:
    """Only where a proposal is for a cell of a shop book."""
    assert (has_cells(full()), has_cells(season()), has_cells(empty())) == (True, False, False)
