"""Problems that only follow from a cell that could not be read: the cell's own problem is told, they are not.

A cell that holds `10 in` where a number belongs counts as blank from then on, and a blank there may be a fault of its
own: a limit that does not say when it fails, a band without end. The person who corrects the cell corrects both.
"""

from __future__ import annotations

from collections.abc import Iterable, Mapping, Sequence

from quotekit.problems import Problem
from quotekit.workbook.names import name_key
from quotekit.workbook.reading_order import cell_parts
from quotekit.workbook.tables import Table

_SAME_ROW: Mapping[str, tuple[str, ...]] = {
    "fails-when-missing": ("Fails when",),
    "other-incomplete": ("Severity",),
    "one-off-without-price": ("Unit cost", "Unit price"),
    "zero-cost": ("Fixed price each",),
    "no-markup-band": ("Fixed price each",),
    "open-limit": ("From", "To"),
}
"""Columns of the same row, by the code of the problem that may follow from them."""

_ANY_ROW: Mapping[str, tuple[str, ...]] = {
    "band-gap": ("Cost over", "Cost up to", "Markup"),
    "band-overlap": ("Cost over", "Cost up to", "Markup"),
    "duplicate-code": ("In force from",),
    "taxed-twice": ("Machine", "Customer class", "In force from", "In force to"),
}
"""Columns of the whole sheet, where rows are held against each other."""


def without_follow_ups(problems: Sequence[Problem], tables: Iterable[Table]) -> list[Problem]:
    """The problems but those that follow from another cell's error."""
    by_name = {name_key(table.name): table for table in tables}
    errors = {
        (name_key(problem.place.sheet), problem.place.cell)
        for problem in problems
        if problem.severity == "error" and problem.code not in _SAME_ROW and problem.code not in _ANY_ROW
    }
    return [problem for problem in problems if not _follows(problem, by_name, errors)]


def _follows(problem: Problem, tables: Mapping[str, Table], errors: set[tuple[str, str]]) -> bool:
    sheet = name_key(problem.place.sheet)
    table = tables.get(sheet)
    if table is None or not errors:
        return False
    _letters, row = cell_parts(problem.place.cell)
    here = [(header, row) for header in _SAME_ROW.get(problem.code, ())]
    here += [(header, each) for header in _ANY_ROW.get(problem.code, ()) for each in table.rows]
    return any((sheet, f"{table.letters[header]}{each}") in errors for header, each in here if header in table.letters)
