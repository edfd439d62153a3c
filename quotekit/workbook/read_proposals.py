"""Reads the workbook of proposed times that the owner ticked."""

from __future__ import annotations

from decimal import Decimal
from pathlib import Path

from quotekit.model.source import NOWHERE, Source
from quotekit.problems import Place, Problem, error, has_errors
from quotekit.record import record
from quotekit.workbook.grid import read_grid
from quotekit.workbook.proposal_columns import PROPOSALS
from quotekit.workbook.rows import read_rows
from quotekit.workbook.tables import find_tables


@record
class TickedTime:
    """A value the owner takes over."""

    sheet: str
    code: str
    column: str
    now: Decimal
    new: Decimal
    source: Source = NOWHERE


def read_proposals(path: Path) -> tuple[tuple[TickedTime, ...], list[Problem]]:
    """The ticked rows, and what is wrong with the workbook; one without a tick is an error."""
    grid, problems = read_grid(path)
    if grid is None:
        return (), problems
    tables, found = find_tables(grid, (PROPOSALS,), "workbook of proposals")
    problems += found
    table = tables.get(PROPOSALS.name)
    if table is None:
        return (), problems
    rows, found = read_rows(table)
    problems += found
    ticked = tuple(
        TickedTime(source=row.source, **{name: row.values[name] for name in _FIELDS})
        for row in rows
        if row.sound and row.values.get("take_over")
    )
    if not ticked and not has_errors(problems):
        remedy = "Type Yes in the column Take over of each row that is to be taken over."
        problems.append(error(Place(path.name, table.name), "nothing-ticked", "no row is ticked", remedy))
    return ticked, problems


_FIELDS = ("sheet", "code", "column", "now", "new")
