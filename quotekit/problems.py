"""What is wrong with an input, and where: a value, never an exception.

A problem names the file, the sheet and the cell, says what is wrong and what to do.
An error touches money, safety or meaning: nothing is written.
A warning is printed and put on the shop sheet.
"""

from __future__ import annotations

from collections.abc import Iterable
from typing import Literal, NamedTuple

from quotekit.record import record

Severity = Literal["error", "warning"]


class Place(NamedTuple):
    """A spot in a workbook; `cell` and `sheet` may be empty.

    >>> str(Place("prices.xlsx", "Parts", "D14"))
    'prices.xlsx:Parts!D14'
    >>> str(Place("prices.xlsx", "Parts"))
    'prices.xlsx:Parts'
    """

    file: str
    sheet: str = ""
    cell: str = ""

    def __str__(self) -> str:
        sheet = f":{self.sheet}" if self.sheet else ""
        cell = f"!{self.cell}" if self.cell else ""
        return f"{self.file}{sheet}{cell}"


@record
class Problem:
    """One thing wrong: `code` names the kind, `message` the fault, `remedy` what to do."""

    place: Place
    code: str
    severity: Severity
    message: str
    remedy: str
    text: str = ""
    """The cell's text as the owner sees it, empty where there is none."""


def error(place: Place, code: str, message: str, remedy: str, text: str = "") -> Problem:
    """A problem that stops the quote."""
    return Problem(place=place, code=code, severity="error", message=message, remedy=remedy, text=text)


def warning(place: Place, code: str, message: str, remedy: str, text: str = "") -> Problem:
    """A problem to read, that stops nothing."""
    return Problem(place=place, code=code, severity="warning", message=message, remedy=remedy, text=text)


def has_errors(problems: Iterable[Problem]) -> bool:
    """True when at least one problem is an error."""
    return any(problem.severity == "error" for problem in problems)
