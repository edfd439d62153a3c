"""What stops the writing of a workbook: XlsxWriter answers a bad value with a number, not an error."""

from __future__ import annotations

from typing import Any

from xlsxwriter.utility import xl_rowcol_to_cell

from quotekit.documents.sheet import Sheet

Where = str | tuple[int, int]
"""A cell (0-based row and column), or words for what is no cell."""


class CannotWrite(ValueError):
    """A value that a workbook cannot hold as it is: too many digits, too long a text, a cell out of range."""


def done(answer: Any, sheet: Sheet, where: Where) -> None:
    """Stop unless XlsxWriter answered that all is well."""
    if answer not in (0, None):
        raise refused(sheet, where, f"the workbook cannot hold this (answer {answer})")


def refused(sheet: Sheet, where: Where, why: str) -> CannotWrite:
    """The exception for a place of a sheet."""
    place = where if isinstance(where, str) else xl_rowcol_to_cell(*where)
    return CannotWrite(f"{sheet.name}!{place}: {why}")
