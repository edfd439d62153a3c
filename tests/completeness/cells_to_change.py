"""Cells of two workbooks, read once, and the same workbooks with one cell changed."""

from __future__ import annotations

from collections.abc import Iterator
from dataclasses import dataclass, replace
from pathlib import Path
from typing import Any
from unittest import mock

from quotekit.model.job import Job
from quotekit.model.shop_book import ShopBook
from quotekit.problems import Place, has_errors
from quotekit.workbook import read_job as job_reader
from quotekit.workbook import read_shop_book as book_reader
from quotekit.workbook.column import Column, Field, SheetColumns
from quotekit.workbook.columns import JOB_FIELDS, JOB_WORKBOOK, SHOP_BOOK, SHOP_SETTINGS
from quotekit.workbook.grid import Cell, Grid, read_grid, shown
from quotekit.workbook.names import label_key, name_key
from quotekit.workbook.tables import Table, find_tables

BOOK, JOB_FILE = "book", "job"


@dataclass(frozen=True)
class Spot:
    """One cell of a table, blank or not, and what may stand in it."""

    file: str
    sheet: str
    header: str
    place: Place
    row: int
    column: int
    declared: Column | Field | None
    """None for the name of a setting or a field."""
    held: Cell | None
    saving: str = ""
    """What the row's bundle takes off, where the cell is its value."""


@dataclass(frozen=True)
class Workbooks:
    """A shop book and a job as grids."""

    book: Grid
    job: Grid

    @staticmethod
    def read(book: Path, job: Path) -> Workbooks:
        """Two files that can be read."""
        grids = [read_grid(path)[0] for path in (book, job)]
        assert grids[0] is not None and grids[1] is not None
        return Workbooks(grids[0], grids[1])

    def records(self) -> tuple[ShopBook, Job] | None:
        """The book and the job; None where either has an error."""
        with mock.patch.object(book_reader, "read_grid", lambda path, wanted=None: (self.book, [])):
            book, problems = book_reader.read_shop_book(Path(self.book.file))
        with mock.patch.object(job_reader, "read_grid", lambda path, wanted=None: (self.job, [])):
            job, more = job_reader.read_job(Path(self.job.file), book)
        if book is None or job is None or has_errors([*problems, *more]):
            return None
        return book, job

    def tables(self, file: str) -> dict[str, Table]:
        """The tables of one of the files."""
        grid, declared = (self.book, SHOP_BOOK) if file == BOOK else (self.job, JOB_WORKBOOK)
        return find_tables(grid, declared)[0]

    def spots(self) -> list[Spot]:
        """Every cell of every known column in the rows of every table."""
        return [
            spot for file in (BOOK, JOB_FILE) for table in self.tables(file).values() for spot in _spots(file, table)
        ]

    def with_cell(self, spot: Spot, value: Any, percent: bool = False) -> Workbooks:
        """The same but for one cell; None empties it."""
        grid = self.book if spot.file == BOOK else self.job
        sheet = grid.sheets[spot.sheet]
        cells = {column: cell for column, cell in sheet.rows[spot.row].items() if column != spot.column}
        if value is not None:
            text = shown(value, percent=percent)
            cells[spot.column] = Cell(spot.place.cell, value, text, percent, spot.row, spot.column)
        rows = {**sheet.rows, spot.row: dict(sorted(cells.items()))}
        changed = replace(grid, sheets={**grid.sheets, spot.sheet: replace(sheet, rows=rows)})
        return Workbooks(changed, self.job) if spot.file == BOOK else Workbooks(self.book, changed)


def _spots(file: str, table: Table) -> Iterator[Spot]:
    for row in table.rows:
        for column in table.declared.columns:
            if column.header in table.at:
                yield Spot(
                    file=file,
                    sheet=table.name,
                    header=column.header,
                    place=table.place(row, column.header),
                    row=row,
                    column=table.at[column.header],
                    declared=_declared(table, row, column),
                    held=table.cell(row, column.header),
                    saving=_text(table, row, "Saving") if column.kind == "saving" else "",
                )


def _declared(table: Table, row: int, column: Column) -> Column | Field | None:
    if not is_fields(table.declared):
        return column
    if column.header != "Value":
        return None
    fields = SHOP_SETTINGS if table.declared.name == "Shop" else JOB_FIELDS
    name = label_key(_text(table, row, table.declared.columns[0].header))
    return next((field for field in fields if name_key(field.name) == name), None)


def is_fields(declared: SheetColumns) -> bool:
    """True for a sheet of names and values."""
    return declared.name in ("Shop", "Job")


def _text(table: Table, row: int, header: str) -> str:
    cell = table.cell(row, header)
    return cell.text if cell is not None else ""
