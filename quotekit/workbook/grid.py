"""A workbook as grids of cells, read by python-calamine behind the guard.

A number becomes Decimal(format(x, ".15g")): spreadsheets store 17 digits, of which 15 can be trusted.
"""

from __future__ import annotations

import datetime as dt
import io
from collections.abc import Callable, Mapping, Sequence
from dataclasses import field
from decimal import Decimal
from pathlib import Path
from typing import TYPE_CHECKING, NamedTuple

from quotekit.documents.column_letters import column_letters
from quotekit.problems import Place, Problem, error
from quotekit.record import record
from quotekit.workbook.addresses import Position
from quotekit.workbook.guard import GuardedWorkbook, check_package
from quotekit.workbook.package import Package
from quotekit.workbook.sheet_facts import SheetFacts

if TYPE_CHECKING:
    from python_calamine import CalamineSheet

Value = Decimal | str | bool | dt.date | dt.time | dt.timedelta


class Cell(NamedTuple):
    """One cell that is not blank; row and column are 1-based."""

    address: str
    value: Value
    text: str
    percent: bool
    row: int
    column: int
    calculated: bool = False


@record
class Sheet:
    """One sheet: cells by row and column. `faulty` cells were reported already and are in no row."""

    file: str
    name: str
    rows: Mapping[int, Mapping[int, Cell]]
    hidden_rows: frozenset[int] = frozenset()
    hidden_columns: frozenset[int] = frozenset()
    merged: tuple[str, ...] = ()
    faulty: frozenset[Position] = frozenset()


@record
class Grid:
    """A whole workbook; `problems_of` gives the faults of single cells by sheet."""

    file: str
    sha256: str
    sheets: Mapping[str, Sheet]
    problems_of: Mapping[str, tuple[Problem, ...]] = field(default_factory=dict)


def read_grid(
    path: Path | str | Package, wanted: Callable[[str], bool] | None = None
) -> tuple[Grid | None, list[Problem]]:
    """Every sheet of a workbook, or why it is refused. Faults of single cells come with the grid.

    Sheets that are not `wanted`, by their names, are there without cells: the owner's own, and our lists to pick from.
    """
    guarded, problems = check_package(Path(path) if isinstance(path, str) else path, wanted)
    if guarded is None:
        return None, problems
    faults = {name: tuple(facts.faults.values()) for name, facts in guarded.facts.items()}
    of_cells = [problem for of_sheet in faults.values() for problem in of_sheet]
    try:
        sheets = _read_sheets(guarded)
    except (KeyboardInterrupt, SystemExit, MemoryError):
        raise
    except BaseException as fault:  # a panic of the library is no Exception
        message = f"the workbook cannot be read ({type(fault).__name__})"
        remedy = "Open it in the spreadsheet and save it again."
        return None, [*of_cells, error(Place(guarded.file), "broken-workbook", message, remedy)]
    return Grid(file=guarded.file, sha256=guarded.sha256, sheets=sheets, problems_of=faults), of_cells


def _read_sheets(guarded: GuardedWorkbook) -> dict[str, Sheet]:
    from python_calamine import CalamineWorkbook

    with CalamineWorkbook.from_filelike(io.BytesIO(guarded.readable)) as workbook:
        return {
            name: Sheet(file=guarded.file, name=name, rows={})
            if name in guarded.left_alone
            else _sheet(guarded.file, name, facts, workbook.get_sheet_by_name(name))
            for name, facts in guarded.facts.items()
        }


def _sheet(file: str, name: str, facts: SheetFacts, sheet: CalamineSheet) -> Sheet:
    before = sheet.start[1] if sheet.start else 0
    letters = [column_letters(column) for column in range(before + 1, before + sheet.width + 1)]
    rows: dict[int, dict[int, Cell]] = {}
    values = 0
    for row, raw in enumerate(sheet.iter_rows(), start=1):
        cells = _read_row(raw, row, before, letters, facts)
        if cells:
            rows[row] = cells
            values += sum(not isinstance(cell.value, str) for cell in cells.values())
    if values != facts.values:
        raise ValueError(f"{facts.values} values stored, {values} read")
    for row, _ in facts.faults:
        rows.setdefault(row, {})
    return Sheet(
        file=file,
        name=name,
        rows={row: rows[row] for row in sorted(rows)},
        hidden_rows=frozenset(facts.hidden_rows),
        hidden_columns=frozenset(facts.hidden_columns),
        merged=tuple(facts.merged),
        faulty=frozenset(facts.faults),
    )


def _read_row(
    values: Sequence[object], row: int, before: int, letters: Sequence[str], facts: SheetFacts
) -> dict[int, Cell]:
    cells: dict[int, Cell] = {}
    percents, calculated = facts.percent.columns_of(row), facts.calculated.columns_of(row)
    for column, (letter, raw) in enumerate(zip(letters, values, strict=True), start=before + 1):
        percent = bool(percents >> column & 1)
        if not isinstance(raw, str):
            value = _value(raw)
            text = shown(value, percent=percent)
        elif raw and not raw.isspace():
            value = text = raw
        else:
            continue
        cells[column] = Cell(f"{letter}{row}", value, text, percent, row, column, bool(calculated >> column & 1))
    return cells


def _value(raw: object) -> Value:
    """A library's value that is no text, as the engine's."""
    if isinstance(raw, bool):
        return raw
    if isinstance(raw, int | float):
        return Decimal(int(raw)) if raw == int(raw) and abs(raw) < 2**53 else Decimal(format(raw, ".15g"))
    if isinstance(raw, dt.datetime) and raw.time() == dt.time(0):
        return raw.date()
    if isinstance(raw, dt.date | dt.time | dt.timedelta):
        return raw
    raise TypeError(type(raw).__name__)


def shown(value: Value, *, percent: bool = False) -> str:
    """A value as the owner sees it.

    >>> shown(Decimal("0.45"), percent=True), shown(Decimal("1E+2")), shown(True)
    ('45%', '100', 'TRUE')
    >>> shown(dt.time(1, 30)), shown(dt.timedelta(hours=30)), shown(dt.date(2026, 3, 14))
    ('1:30', '30:00', '2026-03-14')
    """
    if isinstance(value, Decimal):
        return f"{(value * 100).normalize():f}%" if percent else f"{value:f}"
    if isinstance(value, bool):
        return "TRUE" if value else "FALSE"
    if isinstance(value, dt.time):
        value = dt.timedelta(hours=value.hour, minutes=value.minute, seconds=value.second)
    if isinstance(value, dt.timedelta):
        return _clock(value)
    return value.isoformat(sep=" ") if isinstance(value, dt.datetime) else str(value)


def _clock(value: dt.timedelta) -> str:
    minutes, seconds = divmod(round(value.total_seconds()), 60)
    hours, minutes = divmod(minutes, 60)
    return f"{hours}:{minutes:02d}" + (f":{seconds:02d}" if seconds else "")
