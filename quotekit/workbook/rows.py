"""The rows of a table as values by record field, read as the columns are declared; every bad cell is a problem."""

from __future__ import annotations

from collections.abc import Iterable, Iterator, Mapping
from dataclasses import dataclass, replace
from typing import Any

from quotekit.model.source import Source
from quotekit.problems import Place, Problem, error
from quotekit.workbook.cell_kinds import read_kind
from quotekit.workbook.cells import is_blank
from quotekit.workbook.column import AMOUNTS, Column, Kind
from quotekit.workbook.tables import Table


@dataclass(frozen=True, kw_only=True, slots=True)
class Row:
    """One row: `values` by record field, blanks left out. `sound` is False where a required cell could not be read."""

    source: Source
    values: Mapping[str, Any]
    sound: bool = True

    def with_values(self, values: Mapping[str, Any], sound: bool = True) -> Row:
        """The same row with other values."""
        return Row(source=self.source, values=values, sound=self.sound and sound)


def field_of(column: Column) -> str:
    """The record field a column fills.

    >>> field_of(Column(header="Supplier's number", help="")), field_of(Column(header="From", field="from_", help=""))
    ('suppliers_number', 'from_')
    """
    return column.field or column.header.lower().replace("'", "").replace("-", "_").replace(" ", "_")


def read_rows(table: Table) -> tuple[list[Row], list[Problem]]:
    """Every row of a table, in order, with what is wrong in its cells."""
    rows: list[Row] = []
    problems: list[Problem] = []
    columns = [(column, field_of(column), table.at[column.header]) for column in _present(table)]
    for number in table.rows:
        row, found = _read_row(table, number, columns)
        rows.append(row)
        problems += found
    return rows, problems


def _present(table: Table) -> Iterator[Column]:
    return (column for column in table.declared.columns if column.header in table.at)


def _read_row(table: Table, number: int, columns: Iterable[tuple[Column, str, int]]) -> tuple[Row, list[Problem]]:
    cells = table.sheet.rows.get(number, {})
    faulty = table.faulty
    values: dict[str, Any] = {}
    problems: list[Problem] = []
    sound = True
    for column, field, at in columns:
        cell = cells.get(at)
        if faulty and (number, at) in faulty:
            sound = sound and not column.required
            continue
        if cell is None or is_blank(cell):
            if column.required:
                sound = False
                problems.append(_blank(table, number, column))
            continue
        if column.kind == "saving":
            column = saving_column(column, values.get("saving"))
        value, problem = read_kind(cell, Place(table.file, table.name, cell.address), column)
        if problem is not None:
            problems.append(problem)
        if value is not None and value != ():
            values[field] = value
        elif column.required:
            sound = False
            if problem is None:
                problems.append(_blank(table, number, column))
    return Row(source=table.source(number), values=values, sound=sound), problems


def _blank(table: Table, number: int, column: Column) -> Problem:
    return blank_required(table.place(number, column.header), column.header, column.kind, column.if_blank)


def blank_required(place: Place, header: str, kind: Kind, what_to_do: str = "") -> Problem:
    """A required cell that is empty; a number is never taken as zero."""
    todo = what_to_do or ("Fill it in; a blank is never taken as zero." if kind in AMOUNTS else "Fill it in.")
    return error(place, "blank-required", f"{header} is blank", todo)


def saving_column(column: Column, saving: str | None) -> Column:
    """The column of a bundle's value: a percent, hours or an amount, by the row's Saving."""
    kinds: dict[str | None, Kind] = {"percent off parts": "percent", "hours off": "hours"}
    return replace(column, kind=kinds.get(saving, "money"))
