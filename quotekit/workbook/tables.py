"""A sheet as a table: found by its name, its columns by their headers, its rows one by one (DESIGN.md 3).

The header is the first row that holds all required columns. Extra columns are the owner's own; one that nearly matches
a known name gives a warning. Blank rows are skipped. Merged cells inside a table are an error, and a hidden row with
data gives a warning.
"""

from __future__ import annotations

from collections.abc import Callable, Iterable, Mapping

from quotekit.documents.column_letters import column_letters
from quotekit.model.source import Source
from quotekit.problems import Place, Problem, error, warning
from quotekit.record import record
from quotekit.workbook.addresses import column_number
from quotekit.workbook.cells import is_blank
from quotekit.workbook.column import SheetColumns
from quotekit.workbook.grid import Cell, Grid, Sheet
from quotekit.workbook.header_faults import (
    NEARLY,
    duplicate_column,
    empty_sheet,
    header_keys,
    missing_columns,
    missing_sheets,
    near_column,
    same_sheet,
)
from quotekit.workbook.names import before_bracket, label_key, name_key, nearest
from quotekit.workbook.reading_order import cell_parts


@record
class Table:
    """One sheet whose header row was found. `at` gives the column number of each known header, `letters` its letter."""

    file: str
    sheet: Sheet
    name: str
    declared: SheetColumns
    header_row: int
    at: Mapping[str, int]
    letters: Mapping[str, str]
    rows: tuple[int, ...]
    faulty: frozenset[tuple[int, int]]
    """Cells that have already been reported: those of the guard, and those that a merge covers."""

    def cell(self, row: int, header: str) -> Cell | None:
        """The cell of a column in a row; None where it is blank or the column is absent."""
        return self.sheet.rows.get(row, {}).get(self.at.get(header, 0))

    def is_faulty(self, row: int, header: str) -> bool:
        """True where the cell has already been reported."""
        return (row, self.at.get(header, 0)) in self.faulty

    def source(self, row: int) -> Source:
        """Where a row came from."""
        return Source(file=self.file, sheet=self.name, row=row, columns=self.letters)

    def place(self, row: int, header: str) -> Place:
        """The address of a column's cell in a row."""
        letter = self.letters.get(header, "")
        return Place(self.file, self.name, f"{letter}{row}" if letter else "")


def of_workbook(declared: Iterable[SheetColumns]) -> Callable[[str], bool]:
    """Whether a sheet of this name is one of a workbook's tables."""
    known = frozenset(name_key(sheet.name) for sheet in declared)
    return lambda name: name_key(name) in known


def find_tables(
    grid: Grid, declared: tuple[SheetColumns, ...], wanted: str = "workbook"
) -> tuple[dict[str, Table], list[Problem]]:
    """The tables of a workbook by declared name, and what is wrong with its sheets and headers."""
    tables: dict[str, Table] = {}
    problems: list[Problem] = []
    known = {name_key(sheet.name): sheet for sheet in declared}
    for name, sheet in grid.sheets.items():
        match = known.get(name_key(name))
        if match is not None and match.name in tables:
            problems.append(same_sheet(grid.file, name, tables[match.name].name))
        elif match is not None:
            table, found = read_table(grid.file, name, sheet, match)
            problems += found
            if table is not None:
                tables[match.name] = table
    return tables, problems + missing_sheets(grid, declared, wanted)


def read_table(file: str, name: str, sheet: Sheet, declared: SheetColumns) -> tuple[Table | None, list[Problem]]:
    """One sheet as a table; None when no row holds all required columns."""
    if not sheet.rows:
        return None, [empty_sheet(file, name, declared)] if declared.needed else []
    header_row = _find_header(sheet, declared)
    if header_row is None:
        return None, [missing_columns(file, name, sheet, declared)]
    at, problems = _read_header(file, name, sheet, header_row, declared)
    columns = frozenset(at.values())
    rows = _data_rows(sheet, header_row, columns)
    table = Table(
        file=file,
        sheet=sheet,
        name=name,
        declared=declared,
        header_row=header_row,
        at=at,
        letters={header: column_letters(column) for header, column in at.items()},
        rows=tuple(rows),
        faulty=sheet.faulty | _covered(sheet, rows, columns),
    )
    return table, problems + _merged(table, columns) + _hidden(table)


def _find_header(sheet: Sheet, declared: SheetColumns) -> int | None:
    required = {name_key(column.header) for column in declared.required}
    least = len(required)
    for row, cells in sorted(sheet.rows.items()):
        if len(cells) >= least and required <= header_keys(cells).keys():
            return row
    return None


def _read_header(
    file: str, name: str, sheet: Sheet, row: int, declared: SheetColumns
) -> tuple[dict[str, int], list[Problem]]:
    by_key = {name_key(column.header): column.header for column in declared.columns}
    found: dict[str, int] = {}
    unknown: list[Cell] = []
    problems: list[Problem] = []
    for column, cell in sorted(sheet.rows[row].items()):
        header = by_key.get(label_key(cell.text))
        if header is None:
            unknown.append(cell)
        elif header in found:
            problems.append(duplicate_column(file, name, cell, header))
        else:
            found[header] = column
    absent = [header for header in by_key.values() if header not in found]
    near = ((cell, nearest(before_bracket(cell.text), absent, NEARLY)) for cell in unknown)
    problems += [near_column(file, name, cell, header) for cell, header in near if header]
    at = {header: found[header] for header in by_key.values() if header in found}
    return at, problems


def _data_rows(sheet: Sheet, header_row: int, columns: frozenset[int]) -> list[int]:
    faulty = {row for row, column in sheet.faulty if row > header_row and column in columns}
    filled = {
        row
        for row, cells in sheet.rows.items()
        if row > header_row and any(not is_blank(cell) for column, cell in cells.items() if column in columns)
    }
    return sorted(filled | faulty)


def _corners(merged: str) -> tuple[int, int, int, int]:
    """Top, left, bottom and right of a merged range."""
    (left, top), (right, bottom) = (cell_parts(corner) for corner in (merged.split(":") * 2)[:2])
    return top, column_number(left), bottom, column_number(right)


def _covered(sheet: Sheet, rows: Iterable[int], columns: Iterable[int]) -> frozenset[tuple[int, int]]:
    """Cells of the table that a merge covers, but for the one that shows its value."""
    ranges = [_corners(merged) for merged in sheet.merged]
    return frozenset(
        (row, column)
        for row in (rows if ranges else ())
        for column in columns
        for top, left, bottom, right in ranges
        if top <= row <= bottom and left <= column <= right and (row, column) != (top, left)
    )


def _merged(table: Table, columns: frozenset[int]) -> list[Problem]:
    last = max(table.rows, default=table.header_row)
    problems = []
    for merged in table.sheet.merged:
        top, left, bottom, right = _corners(merged)
        if bottom < table.header_row or top > last or columns.isdisjoint(range(left, right + 1)):
            continue
        problems.append(
            error(
                Place(table.file, table.name, f"{column_letters(left)}{top}"),
                "merged-cells",
                f"the cells {merged} are merged inside the table",
                "Unmerge them and give each row its own value.",
            )
        )
    return problems


def unread_sheets(grid: Grid, tables: Mapping[str, Table], known: Iterable[SheetColumns]) -> list[str]:
    """Sheets that hold something but no header row: what they define is not known."""
    filled = {name_key(name) for name, sheet in grid.sheets.items() if sheet.rows}
    return [sheet.name for sheet in known if sheet.name not in tables and name_key(sheet.name) in filled]


def told_faults(grid: Grid, tables: Mapping[str, Table], known: Iterable[SheetColumns]) -> list[Problem]:
    """Faults of single cells that the workbook's tables hold; other sheets and columns are the owner's own."""
    by_name = {table.name: table for table in tables.values()}
    keys = {name_key(sheet.name) for sheet in known}
    return [
        problem
        for name, of_sheet in grid.problems_of.items()
        if name_key(name) in keys
        for problem in of_sheet
        if name not in by_name or _holds(by_name[name], problem.place.cell)
    ]


def _holds(table: Table, cell: str) -> bool:
    letters, row = cell_parts(cell)
    return row == table.header_row or (row > table.header_row and letters in table.letters.values())


def _hidden(table: Table) -> list[Problem]:
    return [
        warning(
            Place(table.file, table.name, f"{column_letters(min(table.at.values()))}{row}"),
            "hidden-row",
            f"row {row} is hidden but holds data, and it counts",
            "Show the row, or delete it if it should not count.",
        )
        for row in table.rows
        if row in table.sheet.hidden_rows
    ]
