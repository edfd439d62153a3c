"""Small workbooks for tests of the readers: the good book and job with some cells set, read at once."""

from __future__ import annotations

from pathlib import Path
from typing import Any

from quotekit.model.job import Job
from quotekit.model.shop_book import ShopBook
from quotekit.problems import Problem
from quotekit.workbook.read_job import read_job
from quotekit.workbook.read_shop_book import read_shop_book
from tests.problem_catalogue.workbooks import BOOK, JOB, Rows, changed, write

Cells = dict[str, dict[str, Any]]


def change(cells: Cells | None = None, without: tuple[str, ...] = ()) -> dict[str, Any]:
    """A change as the catalogue has it."""
    return {"without": without, "rename": {}, "set": cells or {}, "merge": {}, "hide": {}}


def read_book(
    folder: Path, cells: Cells | None = None, without: tuple[str, ...] = (), rows: dict[str, Rows] = BOOK
) -> tuple[ShopBook | None, list[Problem]]:
    """The good shop book with some cells set and some sheets taken away."""
    changes = change(cells, without)
    return read_shop_book(write(folder / "prices.xlsx", changed(rows, changes), changes))


def good_book(folder: Path, cells: Cells | None = None, without: tuple[str, ...] = ()) -> ShopBook:
    """A shop book that must read without a problem."""
    book, problems = read_book(folder, cells, without)
    assert book is not None and problems == [], problems
    return book


def read_job_with(
    folder: Path, book: ShopBook | None, cells: Cells | None = None, without: tuple[str, ...] = ()
) -> tuple[Job | None, list[Problem]]:
    """The good job with some cells set and some sheets taken away."""
    changes = change(cells, without)
    return read_job(write(folder / "job.xlsx", changed(JOB, changes), changes), book)


def good_job(
    folder: Path, cells: Cells | None = None, without: tuple[str, ...] = (), book: ShopBook | None = None
) -> Job:
    """A job that must read without a problem."""
    job, problems = read_job_with(folder, book or good_book(folder), cells, without)
    assert job is not None and problems == [], problems
    return job


def codes(problems: list[Problem]) -> list[tuple[str, str, str]]:
    """Code, sheet and cell of each problem."""
    return [(problem.code, problem.place.sheet, problem.place.cell) for problem in problems]
