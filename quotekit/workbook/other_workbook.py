"""A job given for a shop book, or a shop book for a job: said in one sentence, not as a list of missing sheets."""

from __future__ import annotations

from quotekit.problems import Place, Problem, error
from quotekit.workbook.columns import JOB, SHOP
from quotekit.workbook.grid import Grid
from quotekit.workbook.names import name_key

_REMEDY = "Give the shop book first, then the job."


def job_for_book(grid: Grid) -> list[Problem]:
    """The one problem of a job given for a shop book, else none."""
    return _mistaken(grid, has=JOB.name, lacks=SHOP.name, message="this is a job, and a shop book is wanted here")


def book_for_job(grid: Grid) -> list[Problem]:
    """The one problem of a shop book given for a job, else none."""
    return _mistaken(grid, has=SHOP.name, lacks=JOB.name, message="this is a shop book, and a job is wanted here")


def _mistaken(grid: Grid, *, has: str, lacks: str, message: str) -> list[Problem]:
    names = {name_key(name) for name in grid.sheets}
    if name_key(has) in names and name_key(lacks) not in names:
        return [error(Place(grid.file), "other-workbook", message, _REMEDY)]
    return []
