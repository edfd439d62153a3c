"""The sheet of inputs: a section a kind, what an input belongs to said once, and cells that lead where they stand."""

from __future__ import annotations

from dataclasses import replace

import pytest

from quotekit.documents import costing_inputs
from quotekit.documents.costing_input_line import InputLine
from quotekit.documents.costing_inputs import COLUMNS, MOST_TOGETHER, lay_out_inputs
from quotekit.documents.sheet import Row
from quotekit.model.quote import Quote
from quotekit.pricing import build_quote
from quotekit.problems import Place
from tests.pricing.explain.small import a_shop, job_of, typed


def a_quote() -> Quote:
    book = a_shop()
    return build_quote(replace(typed(book), file="book.xlsx"), replace(typed(job_of(book)), file="job.xlsx"))


def said(row: Row) -> list[str]:
    return ["" if cell.content is None else str(cell.content) for cell in row.cells]


def test_the_sections_stand_in_the_order_in_which_an_owner_looks() -> None:
    rows = [said(row) for row in lay_out_inputs(a_quote(), "Inputs", {}).rows if row.cells]
    titles = [row[0] for row in rows if len(row) == 1]
    about = "`job` before a cell means the job workbook job.xlsx; the others are in book.xlsx."
    assert titles[:2] == ["Inputs", about]
    assert [title for title in titles[2:] if title] == [
        "The job",
        "Shop settings",
        "Work",
        "Parts and suppliers",
        "Rates and rules",
    ]
    assert ["What", "Input", "Value", "Cell"] in rows and COLUMNS == 4


def test_what_an_input_belongs_to_is_said_once() -> None:
    rows = [said(row) for row in lay_out_inputs(a_quote(), "Inputs", {}).rows if row.cells]
    at = next(n for n, row in enumerate(rows) if row[0] == "Cover (COVER)")
    assert rows[at : at + 2] == [
        ["Cover (COVER)", "Hours to open", "0.2", "COVER!Hours to open 1"],
        ["", "Hours to close", "0.3", "COVER!Hours to close 1"],
    ]


def lines(count: int, place: Place | None = None) -> list[InputLine]:
    return [InputLine("Seal (SEAL)", f"Column {n}", str(n), f"Parts!A{n}", place) for n in range(count)]


def table(monkeypatch: pytest.MonkeyPatch, made: list[InputLine], addresses: dict[str, str] | None = None) -> list[Row]:
    monkeypatch.setattr(costing_inputs, "part_inputs", lambda quote: iter(made))
    rows = [row for row in lay_out_inputs(a_quote(), "Inputs", addresses or {}).rows if row.cells]
    at = next(n for n, row in enumerate(rows) if row.cells[0].content == "Parts and suppliers")
    return rows[at + 1 : at + 1 + len(made)]


@pytest.mark.parametrize(("count", "kept"), [(1, False), (2, True), (MOST_TOGETHER, True), (MOST_TOGETHER + 1, False)])
def test_inputs_of_one_thing_stay_on_one_page_unless_they_are_many(
    monkeypatch: pytest.MonkeyPatch, count: int, *, kept: bool
) -> None:
    """The last of them may end a page."""
    assert [row.keep_with_next for row in table(monkeypatch, lines(count))] == [kept] * (count - 1) + [False]


def test_a_thing_that_comes_again_later_is_said_again(monkeypatch: pytest.MonkeyPatch) -> None:
    made = [*lines(1), InputLine("Other", "Column", "1", "Parts!B1"), *lines(1)]
    assert [said(row)[0] for row in table(monkeypatch, made)] == ["Seal (SEAL)", "Other", "Seal (SEAL)"]


def test_a_cell_leads_where_its_workbook_has_an_address(monkeypatch: pytest.MonkeyPatch) -> None:
    """A default has no cell and leads nowhere."""
    place = Place("book.xlsx", "Parts", "A0")
    (linked,) = table(monkeypatch, lines(1, place), {"book.xlsx": "../book.xlsx"})
    assert linked.cells[3].link == "../book.xlsx#'Parts'!A0"
    (plain,) = table(monkeypatch, lines(1), {"book.xlsx": "../book.xlsx"})
    assert (plain.cells[3].link, plain.cells[3].style) == ("", "cell")


def test_the_sheet_stands_upright_with_its_titles_on_each_page() -> None:
    sheet = lay_out_inputs(a_quote(), "Inputs", {})
    assert (sheet.page.landscape, sheet.page.repeat_rows) == (False, 1)
    assert MOST_TOGETHER == 20
