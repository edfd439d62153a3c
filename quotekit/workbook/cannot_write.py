"""What stops the writing of a file: XlsxWriter answers a bad value with a number, not an error."""

from __future__ import annotations

from typing import Any

from xlsxwriter.utility import xl_rowcol_to_cell

from quotekit.documents.sheet import Sheet
from quotekit.problems import Problem

Where = str | tuple[int, int]
"""A cell (0-based row and column), or words for what is no cell."""


class CannotWrite(ValueError):
    """A value that a workbook cannot hold as it is: too many digits, too long a text, a cell out of range."""


class NoPdf(Exception):
    """Why there is no PDF, as a problem."""

    def __init__(self, problem: Problem) -> None:
        super().__init__(problem.message)
        self.problem = problem


def done(answer: Any, sheet: Sheet, where: Where) -> None:
    """Stop unless XlsxWriter answered that all is well."""
    if answer not in (0, None):
        raise refused(sheet, where, f"the workbook cannot hold this (answer {answer})")


def refused(sheet: Sheet, where: Where, why: str) -> CannotWrite:
    """The exception for a place of a sheet."""
    place = where if isinstance(where, str) else xl_rowcol_to_cell(*where)
    return CannotWrite(f"{sheet.name}!{place}: {why}")
