"""A job given for a shop book, or a shop book, quote or costing for a job: said in a sentence, not sheet by sheet."""

from __future__ import annotations

from quotekit.problems import Place, Problem, error
from quotekit.workbook.columns import JOB, SHOP
from quotekit.workbook.grid import Grid
from quotekit.workbook.names import name_key

_REMEDY = "Give the shop book first, then the job."
_OURS = {"quote": frozenset({"quote", "working"}), "costing": frozenset({"summary", "inputs", "reasonsandwarnings"})}
"""Sheets by which a document that quotekit wrote shows itself."""


def job_for_book(grid: Grid) -> list[Problem]:
    """The one problem of a job given for a shop book, else none."""
    return _mistaken(grid, has=JOB.name, lacks=SHOP.name, wanted="shop book")


def book_for_job(grid: Grid) -> list[Problem]:
    """The one problem of a shop book given for a job, else none."""
    return _mistaken(grid, has=SHOP.name, lacks=JOB.name, wanted="job")


def _mistaken(grid: Grid, *, has: str, lacks: str, wanted: str) -> list[Problem]:
    names = {name_key(name) for name in grid.sheets}
    if name_key(lacks) in names:
        return []
    this = "job" if has == JOB.name else "shop book"
    if name_key(has) not in names:
        this = next((kind for kind, sheets in _OURS.items() if sheets <= names), "")
    message = f"this is a {this}, and a {wanted} is wanted here"
    return [error(Place(grid.file), "other-workbook", message, _REMEDY)] if this else []
