"""Every number of the costing: a row a figure, its cells side by side, on trees made by hand."""

from __future__ import annotations

from typing import Any

import pytest
from hypothesis import given
from hypothesis import strategies as st

from quotekit.documents.costing_explained import MOST_TOGETHER, SIDE_BY_SIDE, lay_out_explained, shown
from quotekit.documents.sheet import Row
from quotekit.model.explanation import Explanation
from quotekit.pricing import build_quote
from quotekit.problems import Place
from tests.pricing.explain.small import a_shop, job_of

QUOTE = build_quote(BOOK := a_shop(), job_of(BOOK))


def place(number: int, sheet: str = "Parts", file: str = "") -> Place:
    return Place(file, sheet, f"D{number}")


def tree(figure: str, *inputs: Explanation, cells: tuple[Place, ...] = (), value: Any = "1.00") -> Explanation:
    return Explanation(figure=figure, value=value, rule=f"Rule of {figure} (rules 5.5).", inputs=inputs, cells=cells)


def rows(*trees: Explanation, addresses: dict[str, str] | None = None) -> list[Row]:
    """The rows below the option's name."""
    sheet = lay_out_explained(QUOTE, {"good": trees}, "Every number", addresses or {})
    found = [row for row in sheet.rows if row.cells]
    at = next(n for n, row in enumerate(found) if row.cells[0].content == "Good")
    return found[at + 1 :]


def said(row: Row) -> list[str]:
    return ["" if cell.content is None else str(cell.content) for cell in row.cells]


@pytest.mark.parametrize(
    ("figure", "row"),
    [
        ("total", True), ("work", True), ("subtotal", True), ("tax", True), ("due", True), ("deposit", True),
        ("ready_days", True), ("hours.billed.MAIN", True), ("parts.SEAL.amount", True), ("amounts.labour", True),
        ("bundles.BOTH.amount", True), ("taxes.VAT.base", True), ("taxes.VAT.amount", True),
        ("parts.SEAL.part", False), ("parts.SEAL.packs", False), ("parts.SEAL.quantity", False),
        ("parts.SEAL.unit_price", False), ("bundles.BOTH.bundle", False), ("taxes.VAT.tax", False),
        ("cost.total", False), ("margin", False), ("shares.NEW.labour", False), ("extras.OIL.price", False),
        ("why.figures.work", False), ("totals", False), ("horizon_cost", False),
    ],
)  # fmt: skip
def test_which_figures_have_a_row(figure: str, *, row: bool) -> None:
    """What the customer pays and what that is made of; a part has one row, with the cells of its price."""
    assert shown(figure) is row


def test_a_row_has_the_figure_its_value_its_rule_and_its_cells() -> None:
    """The section of the rules is left out: the owner has no such paper beside the costing."""
    (row,) = rows(tree("total", cells=(place(3), place(4))))
    assert said(row) == ["total", "1.00", "Rule of total.", "Parts!D3", "Parts!D4", "", ""]


def test_cells_go_down_to_the_next_figure_with_a_row_of_its_own() -> None:
    """The rate and the step between are the total's; what stands behind `work` is told in its own row."""
    rate, seal = tree("rate", cells=(place(2),)), tree("price", cells=(place(9),))
    work = tree("work", seal, cells=(place(8),))
    total = tree("total", work, tree("between", rate, cells=(place(1),)))
    first, second = rows(total, work)
    assert said(first)[3:] == ["Parts!D1", "Parts!D2", "", ""]
    assert said(second)[3:] == ["Parts!D8", "Parts!D9", "", ""]


def test_a_cell_is_named_once_and_in_reading_order() -> None:
    shared = tree("shared", cells=(place(5), place(1)))
    (row,) = rows(tree("total", tree("a", shared), tree("b", shared), cells=(place(10), place(5))))
    assert said(row)[3:] == ["Parts!D1", "Parts!D5", "Parts!D10", ""]


def test_a_place_without_a_cell_is_no_cell() -> None:
    (row,) = rows(tree("total", cells=(Place("", "Parts"), place(2))))
    assert said(row)[3:] == ["Parts!D2", "", "", ""]


def test_a_list_of_words_has_no_row() -> None:
    assert [said(row)[0] for row in rows(tree("taxes", value=()), tree("total"))] == ["total"]


@given(st.integers(0, MOST_TOGETHER + SIDE_BY_SIDE + 1))
def test_many_cells_go_on_in_further_rows(count: int) -> None:
    """Four beside each other; each once and in order; the name stands in the first row alone."""
    made = rows(tree("total", cells=tuple(place(n) for n in range(1, count + 1))))
    assert len(made) == max(1, -(-count // SIDE_BY_SIDE))
    named = [cell for row in made for cell in said(row)[3:] if cell]
    assert named == [f"Parts!D{n}" for n in range(1, count + 1)]
    assert [said(row)[0] for row in made] == ["total", *[""] * (len(made) - 1)]
    kept = [row.keep_with_next for row in made]
    assert kept == ([True] * (len(made) - 1) + [False] if count <= MOST_TOGETHER else [False] * len(made))


def test_a_short_row_is_one_line_and_a_long_one_is_measured() -> None:
    short, long = rows(tree("total"), tree("taxes.A levy with a name as long as this.amount"))
    assert short.height == 12.0
    assert long.height is not None and long.height > 12.0


def test_cells_lead_where_the_workbook_has_an_address() -> None:
    cells = (place(3, file="book.xlsx"), place(4, file="other.xlsx"))
    (row,) = rows(tree("total", cells=cells), addresses={"book.xlsx": "../book.xlsx"})
    assert [cell.link for cell in row.cells[3:5]] == ["../book.xlsx#'Parts'!D3", ""]


@pytest.mark.parametrize(
    ("addresses", "words"), [({}, "The cells are named;"), ({"b": "b"}, "A click on a cell opens it;")]
)
def test_what_a_click_does(addresses: dict[str, str], words: str) -> None:
    sheet = lay_out_explained(QUOTE, {}, "Every number", addresses)
    assert any(str(row.cells[0].content).startswith(words) for row in sheet.rows if row.cells)


def test_an_option_without_trees_has_no_section() -> None:
    sheet = lay_out_explained(QUOTE, {"other": (tree("total"),)}, "Every number", {})
    assert not [row for row in sheet.rows if row.cells and row.cells[0].content in ("Good", "total")]


def test_the_titles_of_the_columns_are_repeated_on_each_page() -> None:
    sheet = lay_out_explained(QUOTE, {"good": (tree("total"),)}, "Every number", {})
    head = next(row for row in sheet.rows if row.cells and row.cells[0].content == "Figure")
    assert said(head) == ["Figure", "Value", "Rule", "Cells"]
    assert [cell.across for cell in head.cells] == [1, 1, 1, SIDE_BY_SIDE]
    assert MOST_TOGETHER == 24
    assert sheet.page.repeat_rows == 1
