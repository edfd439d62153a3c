"""The cells of a filled template, found by their names wherever the sheet was changed since."""

from __future__ import annotations

from collections.abc import Callable, Iterator, Mapping
from decimal import Decimal
from pathlib import Path
from typing import TypeVar

from quotekit.problems import Place, Problem, error, warning
from quotekit.workbook.addresses import address
from quotekit.workbook.cells import is_blank, read_text
from quotekit.workbook.defined_names import Area
from quotekit.workbook.grid import Cell, Grid, read_grid
from quotekit.workbook.sheet_names import read_sheet_names
from quotekit.workbook.template_marks import PREFIX, ROWS, SHEET

Kind = TypeVar("Kind")
_WHAT = {"key": "code", "part": "part code", "person": "name"}
_BESIDE = "Write it in a line of the table, with what it is of; hours of all the work among those of the whole job."
Read = Callable[[Cell, Place], tuple[Kind | None, Problem | None]]


class FilledCells:
    """A filled template as it came back; what is wrong is gathered as it is read."""

    def __init__(self, grid: Grid, names: Mapping[str, Area]) -> None:
        self._grid, self._names = grid, names
        self._sheets = {name.casefold(): name for name in grid.sheets}
        self.problems: list[Problem] = []

    @property
    def place(self) -> Place:
        """The file, and the sheet of its first name."""
        sheet = next((area[0] for area in self._names.values()), "")
        return Place(self._grid.file, sheet)

    def has(self, name: str) -> bool:
        """True where cells of this name are there: those a template may leave out."""
        return name in self._names

    def value(self, name: str, read: Read[Kind]) -> Kind | None:
        """What a named cell holds; None where it is blank."""
        area = self._names.get(name)
        if area is None:
            self._no_name(name)
            return None
        return self.read_at(area[0], area[1], area[2], read)

    def rows(self, table: str, columns: tuple[str, ...], added: tuple[str, str] | None = None) -> Iterator[FilledRow]:
        """The rows of a table; none where it has no rows, or where the name of a column is lost.

        A row that was put in below the last is outside of the table's name: it counts where both columns of `added`, a
        code or name and a number, are filled in. A number alone there is told, since it is not read.
        """
        rows = self._names.get(f"{ROWS}{table}")
        if rows is None:
            return
        lost = [column for column in columns if f"{table}_{column}" not in self._names]
        for column in lost:
            self._no_name(f"{table}_{column}")
        if not lost:
            at = {column: self._names[f"{table}_{column}"][2] for column in columns}
            last = self._last(rows, at, added) if added is not None else rows[3]
            for row in range(rows[1], last + 1):
                yield FilledRow(self, rows[0], row, at)

    def _last(self, rows: Area, at: Mapping[str, int], added: tuple[str, str]) -> int:
        """The last row of a table, with those that were put in below it; one put in above it is refused."""
        sheet, top, _, last, _ = rows
        code, number = (at[column] for column in added)
        if self._is_typed(sheet, top - 1, number) and self._cell(sheet, top - 1, code):
            message = "the line stands above the first of its table, and is not read"
            self.problems.append(error(self.place_of(sheet, top - 1, number), "not-read", message, _BESIDE))
        while self._is_typed(sheet, last + 1, number):
            if not self._cell(sheet, last + 1, code):
                message = (
                    f"what stands here is below the lines of its table; without a {_WHAT[added[0]]} it is not read"
                )
                self.problems.append(warning(self.place_of(sheet, last + 1, number), "not-read", message, _BESIDE))
                break
            last += 1
        return last

    def _is_typed(self, sheet: str, row: int, column: int) -> bool:
        """True for a number that was typed in a cell that has no other meaning."""
        cell = self._cell(sheet, row, column)
        named = any(
            area[0].casefold() == sheet.casefold() and area[1] <= row <= area[3] and area[2] <= column <= area[4]
            for area in self._names.values()
        )
        return cell is not None and isinstance(cell.value, Decimal) and not cell.calculated and not named

    def _cell(self, sheet: str, row: int, column: int) -> Cell | None:
        cells = self._grid.sheets.get(self._sheets.get(sheet.casefold(), sheet))
        return cells.rows.get(row, {}).get(column) if cells is not None else None

    def place_of_value(self, name: str) -> Place | None:
        """The address of a named cell; None where it is not there."""
        area = self._names.get(name)
        return self.place_of(*area[:3]) if area is not None else None

    def place_of(self, sheet: str, row: int, column: int) -> Place:
        """The address of a cell."""
        return Place(self._grid.file, sheet, address(row, column))

    def read_at(self, sheet: str, row: int, column: int, read: Read[Kind]) -> Kind | None:
        """What a cell holds; None where it is blank or wrong."""
        name = self._sheets.get(sheet.casefold(), sheet)
        cells = self._grid.sheets.get(name)
        cell = cells.rows.get(row, {}).get(column) if cells is not None else None
        place = self.place_of(name, row, column)
        if cells is not None and (row, column) in cells.faulty:
            self.problems += [one for one in self._grid.problems_of.get(name, ()) if one.place.cell == place.cell]
            return None
        if cell is None or is_blank(cell):
            return None
        value, problem = read(cell, place)
        self.problems += [problem] if problem is not None else []
        return value

    def _no_name(self, name: str) -> None:
        message = f"the cells named {PREFIX}{name} are no longer there"
        remedy = "Write the work order again and copy what was filled in."
        problem = error(self.place, "filled-name-missing", message, remedy)
        if problem not in self.problems:
            self.problems.append(problem)


class FilledRow:
    """One row of a table."""

    def __init__(self, cells: FilledCells, sheet: str, row: int, at: Mapping[str, int]) -> None:
        self._cells, self._sheet, self._row, self._at = cells, sheet, row, at

    def read(self, column: str, read: Read[Kind]) -> Kind | None:
        """What a column holds in this row; None where it is blank or wrong, which is then said."""
        return self._cells.read_at(self._sheet, self._row, self._at[column], read)

    def text(self, column: str) -> str:
        """The text of a column, without needless blanks."""
        return " ".join((self.read(column, read_text) or "").split())

    def place(self, column: str) -> Place:
        """The address of a column's cell."""
        return self._cells.place_of(self._sheet, self._row, self._at[column])

    def lacks(self, code: str, column: str, message: str, remedy: str) -> None:
        """Say that a cell of this row should not be blank."""
        self._cells.problems.append(error(self.place(column), code, message, remedy))

    def notes(self, code: str, column: str, message: str, remedy: str) -> None:
        """Say what somebody should see about a cell of this row."""
        self._cells.problems.append(warning(self.place(column), code, message, remedy))


def read_filled(path: Path, what: str) -> tuple[FilledCells | None, list[Problem]]:
    """The named cells of a filled template, or why it is none."""
    role = f"{SHEET}{what.replace(' ', '_')}"
    grid, problems = read_grid(path)
    if grid is None:
        return None, problems
    names, problems = read_sheet_names(path, PREFIX, role)
    if problems:
        return None, problems
    if role not in names and (not names or any(name.startswith(SHEET) for name in names)):
        message = f"this workbook is no {what}: none of its sheets has the name of one"
        remedy = f"Give the {what} that was written, filled in; save it as .xlsx."
        return None, [error(Place(grid.file), "not-filled", message, remedy)]
    return FilledCells(grid, names), []
