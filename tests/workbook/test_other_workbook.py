"""A workbook of the wrong kind is called what it is, whichever way round they were given."""

from __future__ import annotations

import pytest

from quotekit.problems import Problem
from quotekit.workbook.grid import Grid, Sheet
from quotekit.workbook.other_workbook import book_for_job, job_for_book

QUOTE = ["Quote", "Working"]
COSTING = ["Summary", "Reasons and warnings", "Put right", "Inputs"]
BOOK, JOB = ["Shop", "Parts"], ["Job", "Findings"]


def said(problems: list[Problem]) -> list[str]:
    assert all(problem.code == "other-workbook" for problem in problems)
    return [problem.message for problem in problems]


@pytest.mark.parametrize(
    ("sheets", "for_book", "for_job"),
    [
        (BOOK, [], ["this is a shop book, and a job is wanted here"]),
        (JOB, ["this is a job, and a shop book is wanted here"], []),
        (QUOTE, ["this is a quote, and a shop book is wanted here"], ["this is a quote, and a job is wanted here"]),
        (
            COSTING,
            ["this is a costing, and a shop book is wanted here"],
            ["this is a costing, and a job is wanted here"],
        ),
        ([*BOOK, *JOB], [], []),
        ([*COSTING, *BOOK], [], ["this is a shop book, and a job is wanted here"]),
        (["Sheet1"], [], []),
        (["Summary"], [], []),
    ],
    ids=["book", "job", "quote", "costing", "both", "a book with sheets of its own", "nothing", "a summary"],
)
def test_what_it_is_called(sheets: list[str], for_book: list[str], for_job: list[str]) -> None:
    grid = Grid(
        file="given.xlsx", sha256="", sheets={name: Sheet(file="given.xlsx", name=name, rows={}) for name in sheets}
    )
    assert (said(job_for_book(grid)), said(book_for_job(grid))) == (for_book, for_job)
