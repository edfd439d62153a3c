"""Where a table is found in a sheet, and what is said when it is not."""

from __future__ import annotations

from pathlib import Path
from typing import Any

import pytest

from quotekit.problems import Problem
from quotekit.workbook.columns import MARKUP, SHOP_BOOK
from quotekit.workbook.grid import read_grid
from quotekit.workbook.tables import Table, find_tables
from tests.problem_catalogue.workbooks import Rows, write

HEADER = ["Cost over", "Cost up to", "Markup"]


def markup(folder: Path, rows: Rows, **layout: Any) -> tuple[Table | None, list[Problem]]:
    """The Markup table of a workbook that has only that sheet."""
    path = write(folder / "book.xlsx", {"Markup": rows}, {"merge": {}, "hide": {}, **layout})
    grid, _ = read_grid(path)
    assert grid is not None
    tables, problems = find_tables(grid, (MARKUP,))
    return tables.get("Markup"), problems


@pytest.mark.parametrize(
    ("rows", "header_row"),
    [
        ([HEADER, [0, "", "50%"]], 1),
        ([["Our markup"], [], HEADER, [0, "", "50%"]], 3),
        ([["MARK UP", " cost  OVER "], ["50%", 0]], 1),
        ([["Markup *", "Cost over*"], ["50%", 0]], 1),
        ([["Markup:", "Cost over :"], ["50%", 0]], 1),
        ([["Cost over", "by hand"], ["Notes", "", ""], HEADER, [0, "", "50%"]], 3),
    ],
)
def test_the_header_is_the_first_row_with_all_required_columns(tmp_path: Path, rows: Rows, header_row: int) -> None:
    table, problems = markup(tmp_path, rows)
    assert table is not None and problems == []
    assert (table.header_row, len(table.rows)) == (header_row, 1)


def test_without_a_header_row_the_best_row_is_named(tmp_path: Path) -> None:
    table, problems = markup(tmp_path, [["Shop"], ["Cost over", "Cost upto"], [0, 5]])
    assert table is None
    assert [str(problem.place) for problem in problems] == ["book.xlsx:Markup!A2"]
    assert "row 2 lacks Markup" in problems[0].message


@pytest.mark.parametrize(
    ("header", "told"), [("Cost upp to", True), ("Cost up to (USD)", True), ("Shelf", False), ("(Cost up to)", True)]
)
def test_a_header_like_a_known_one_is_told(tmp_path: Path, header: str, told: bool) -> None:
    _, problems = markup(tmp_path, [["Cost over", header, "Markup"], [0, "", "50%"]])
    assert [(problem.code, problem.severity) for problem in problems] == [("near-column", "warning")] * told


@pytest.mark.parametrize(("merge", "told"), [("A1:C1", False), ("E3:F4", False), ("B4:B5", True), ("A6:C9", False)])
def test_only_merges_inside_the_table_matter(tmp_path: Path, merge: str, told: bool) -> None:
    rows: Rows = [["Our markup"], [], [*HEADER, "", ""], [0, 5, "50%"], [5, "", "40%"]]
    _, problems = markup(tmp_path, rows, merge={"Markup": [merge]})
    assert [problem.code for problem in problems] == (["merged-cells"] if told else [])


def test_a_hidden_blank_row_is_no_matter(tmp_path: Path) -> None:
    rows: Rows = [HEADER, [], [0, "", "50%"]]
    assert markup(tmp_path, rows, hide={"Markup": [2]})[1] == []
    assert [problem.code for problem in markup(tmp_path, rows, hide={"Markup": [3]})[1]] == ["hidden-row"]


@pytest.mark.parametrize("name", ["shop", "SHOP ", " Labor Rates", "fits Only If"])
def test_a_sheet_is_found_whatever_its_case_and_spaces(tmp_path: Path, name: str) -> None:
    path = write(tmp_path / "book.xlsx", {name: [["x"]]}, {"merge": {}, "hide": {}})
    grid, _ = read_grid(path)
    assert grid is not None
    _, problems = find_tables(grid, SHOP_BOOK)
    missing = [problem for problem in problems if problem.code in ("missing-sheet", "near-sheet")]
    assert len(missing) == (6 if name != "fits Only If" else 7)
