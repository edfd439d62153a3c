"""Whatever is typed into a cell, reading ends in records or problems, and a book without errors can be priced."""

from __future__ import annotations

from datetime import date, time
from pathlib import Path
from typing import Any

from hypothesis import given, settings
from hypothesis import strategies as st

from quotekit.pricing import build_quote, check_book
from quotekit.problems import has_errors
from quotekit.workbook.read_job import read_job
from quotekit.workbook.read_shop_book import read_shop_book
from tests.problem_catalogue.workbooks import BOOK, JOB, Rows, write

CODES = sorted({str(row[0]) for rows in BOOK.values() for row in rows[1:]})
SLIPS: list[Any] = [
    "", "  ", 0, -1, 0.5, 45, True, date(2026, 1, 1), time(6), {"percent": 0.3}, "1 1/2", "12h", ";", "both", "left",
    "left rear", "all", "OTHER", "always", "safety; needed", "BELT x 0", "in", "03/04/2026", "=1+1",
    "percent off parts",
]  # fmt: skip
Slip = tuple[int, int, int, Any]

slips = st.lists(
    st.tuples(st.integers(0, 99), st.integers(0, 9), st.integers(0, 15), st.sampled_from([*SLIPS, *CODES])),
    min_size=1,
    max_size=3,
)


def with_slips(sheets: dict[str, Rows], made: list[Slip]) -> dict[str, Rows]:
    """The sheets with some cells overtyped."""
    typed = {name: [list(row) for row in rows] for name, rows in sheets.items()}
    for sheet, row, column, value in made:
        rows = list(typed.values())[sheet % len(typed)]
        cells = rows[row % len(rows)]
        cells[column % len(cells)] = value
    return typed


@given(slips, slips)
@settings(max_examples=40)
def test_no_slip_ends_in_a_traceback(tmp_path_factory: Any, in_book: list[Slip], in_job: list[Slip]) -> None:
    folder: Path = tmp_path_factory.mktemp("slips")
    no_change: dict[str, dict[str, list[str]]] = {"merge": {}, "hide": {}}
    book, problems = read_shop_book(write(folder / "prices.xlsx", with_slips(BOOK, in_book), no_change))
    job, found = read_job(write(folder / "job.xlsx", with_slips(JOB, in_job), no_change), book)
    assert all(problem.place.file and problem.remedy for problem in (*problems, *found))
    if book is not None and job is not None and not has_errors([*problems, *found]):
        check_book(book)
        assert build_quote(book, job).problems is not None
    else:
        assert has_errors([*problems, *found])
