"""A workbook as grids of cells, read by python-calamine behind the guard.

A number becomes Decimal(format(x, ".15g")): spreadsheets store 17 digits, of which 15 can be trusted.
"""

from __future__ import annotations

import datetime as dt
import io
from collections.abc import Mapping, Sequence
from dataclasses import dataclass, field
from decimal import Decimal
from pathlib import Path

from quotekit.problems import Place, Problem, error
from quotekit.workbook.guard import GuardedWorkbook, guard
from quotekit.workbook.sheet_scan import Position, SheetFacts, address

Value = Decimal | str | bool | dt.date | dt.time | dt.timedelta


@dataclass(frozen=True, slots=True)
class Cell:
    """One cell that is not blank; row and column are 1-based."""

    address: str
    value: Value
    text: str
    percent: bool
    row: int
    column: int
    calculated: bool = False


@dataclass(frozen=True, kw_only=True)
class Sheet:
    """One sheet: cells by row and column. `faulty` cells were reported already and are in no row."""

    file: str
    name: str
    rows: Mapping[int, Mapping[int, Cell]]
    hidden_rows: frozenset[int] = frozenset()
    hidden_columns: frozenset[int] = frozenset()
    merged: tuple[str, ...] = ()
    faulty: frozenset[Position] = frozenset()


@dataclass(frozen=True, kw_only=True)
class Grid:
    """A whole workbook; `problems_of` gives the faults of single cells by sheet."""

    file: str
    sha256: str
    sheets: Mapping[str, Sheet]
    problems_of: Mapping[str, tuple[Problem, ...]] = field(default_factory=dict)


def read_grid(path: Path | str) -> tuple[Grid | None, list[Problem]]:
    """Every sheet of a workbook, or why it is refused. Faults of single cells come with the grid."""
    guarded, problems = guard(Path(path))
    if guarded is None:
        return None, problems
    try:
        sheets = _read_sheets(guarded)
    except Exception as fault:
        place = Place(guarded.package.file)
        message = f"the workbook cannot be read ({type(fault).__name__})"
        return None, [error(place, "broken-workbook", message, "Open it in the spreadsheet and save it again.")]
    faults = {name: tuple(facts.faults.values()) for name, facts in guarded.facts.items()}
    grid = Grid(file=guarded.package.file, sha256=guarded.package.sha256, sheets=sheets, problems_of=faults)
    return grid, [problem for of_sheet in faults.values() for problem in of_sheet]


def _read_sheets(guarded: GuardedWorkbook) -> dict[str, Sheet]:
    from python_calamine import CalamineWorkbook

    found: dict[str, Sheet] = {}
    with CalamineWorkbook.from_filelike(io.BytesIO(guarded.package.data)) as workbook:
        for part in guarded.parts.sheets:
            sheet = workbook.get_sheet_by_name(part.name)
            facts = guarded.facts[part.name]
            before = sheet.start[1] if sheet.start else 0
            rows: dict[int, dict[int, Cell]] = {}
            for row, values in enumerate(sheet.iter_rows(), start=1):
                cells = _read_row(values, row, before, facts)
                if cells:
                    rows[row] = cells
            for row, _ in facts.faults:
                rows.setdefault(row, {})
            found[part.name] = Sheet(
                file=guarded.package.file,
                name=part.name,
                rows={row: rows[row] for row in sorted(rows)},
                hidden_rows=frozenset(facts.hidden_rows),
                hidden_columns=frozenset(facts.hidden_columns),
                merged=tuple(facts.merged),
                faulty=frozenset(facts.faults),
            )
    return found


def _read_row(values: Sequence[object], row: int, before: int, facts: SheetFacts) -> dict[int, Cell]:
    cells: dict[int, Cell] = {}
    for offset, raw in enumerate(values):
        if raw == "" or raw is None:
            continue
        column = before + offset + 1
        at = (row, column)
        if at in facts.faults:
            continue
        value = _value(raw)
        percent = at in facts.percent
        cells[column] = Cell(
            address(row, column), value, shown(value, percent=percent), percent, row, column, at in facts.calculated
        )
    return cells


def _value(raw: object) -> Value:
    """A library's value as the engine's."""
    if isinstance(raw, bool | str):
        return raw
    if isinstance(raw, int | float):
        whole = int(raw)
        return Decimal(whole) if whole == raw and abs(whole) < 2**53 else Decimal(format(raw, ".15g"))
    if isinstance(raw, dt.datetime) and raw.time() == dt.time(0):
        return raw.date()
    if isinstance(raw, dt.date | dt.time | dt.timedelta):
        return raw
    return str(raw)


def shown(value: Value, *, percent: bool = False) -> str:
    """A value as the owner sees it.

    >>> shown(Decimal("0.45"), percent=True), shown(Decimal("1E+2")), shown(True)
    ('45%', '100', 'TRUE')
    """
    if isinstance(value, bool):
        return "TRUE" if value else "FALSE"
    if isinstance(value, Decimal):
        return f"{(value * 100).normalize():f}%" if percent else f"{value:f}"
    if isinstance(value, dt.date | dt.time):
        return value.isoformat()
    return str(value)
