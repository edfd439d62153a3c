"""What is said of sheets and headers that are missing, there twice, or spelled nearly right (DESIGN.md 3)."""

from __future__ import annotations

from collections.abc import Mapping

from quotekit.documents.column_letters import column_letters
from quotekit.problems import Place, Problem, error, warning
from quotekit.workbook.column import Column, SheetColumns
from quotekit.workbook.grid import Cell, Grid, Sheet
from quotekit.workbook.names import label_key, name_key, nearest

NEARLY = 0.8
"""How alike a header must be to a known name to give a warning."""


def header_keys(cells: Mapping[int, Cell]) -> dict[str, int]:
    """Column of each header of a row, by the form in which headers compare."""
    keys: dict[str, int] = {}
    for column, cell in sorted(cells.items()):
        keys.setdefault(label_key(cell.text), column)
    return keys


def missing_sheets(grid: Grid, declared: tuple[SheetColumns, ...], wanted: str) -> list[Problem]:
    """Needed sheets that are not there, and sheets whose name nearly matches one that is not."""
    keys = {name_key(name) for name in grid.sheets}
    missing = [sheet for sheet in declared if name_key(sheet.name) not in keys]
    known = {name_key(sheet.name) for sheet in declared}
    others = [name for name in grid.sheets if name_key(name) not in known]
    problems = []
    taken = set()
    for sheet in missing:
        near = nearest(sheet.name, others, NEARLY)
        if sheet.needed:
            problems.append(_missing_sheet(grid.file, sheet, near, wanted))
        elif near and near not in taken:
            problems.append(_near_sheet(grid.file, near, sheet.name))
        taken.add(near)
    return problems


def _missing_sheet(file: str, sheet: SheetColumns, near: str, wanted: str) -> Problem:
    hint = f"Rename the sheet {near} to {sheet.name}." if near else f"Add it with the columns {_headers(sheet)}."
    return error(Place(file), "missing-sheet", f"the {wanted} has no sheet {sheet.name}", hint)


def _near_sheet(file: str, name: str, known: str) -> Problem:
    return warning(
        Place(file, name),
        "near-sheet",
        f"the sheet {name} is not read",
        f"If it should be, rename it to {known}.",
        name,
    )


def empty_sheet(file: str, name: str, declared: SheetColumns) -> Problem:
    """A needed sheet with nothing in it."""
    return error(
        Place(file, name), "missing-column", "the sheet is empty", f"Give it the columns {_headers(declared)}."
    )


def _headers(declared: SheetColumns) -> str:
    return ", ".join(column.header for column in declared.required)


def missing_columns(file: str, name: str, sheet: Sheet, declared: SheetColumns) -> Problem:
    """No row holds all required columns: the row that holds most, and what it lacks."""
    known = {name_key(column.header) for column in declared.columns}
    row = max(sheet.rows, key=lambda number: (len(known & header_keys(sheet.rows[number]).keys()), -number))
    keys = header_keys(sheet.rows[row])
    absent = [column for column in declared.required if name_key(column.header) not in keys]
    unknown = [cell.text for cell in sheet.rows[row].values() if name_key(cell.text) not in known]
    hints = [_rename(column, unknown) for column in absent]
    missing = ", ".join(column.header for column in absent)
    return error(
        Place(file, name, f"{column_letters(min(sheet.rows[row]))}{row}"),
        "missing-column",
        f"no header row holds all required columns: row {row} lacks {missing}",
        " ".join(hint for hint in hints if hint) or "Put all required headers in one row, spelled so.",
        next((near for column in absent if (near := nearest(column.header, unknown, NEARLY))), ""),
    )


def _rename(column: Column, unknown: list[str]) -> str:
    near = nearest(column.header, unknown, NEARLY)
    return f"Rename the column {near} to {column.header}." if near else ""


def duplicate_column(file: str, name: str, cell: Cell, header: str) -> Problem:
    """A column whose header is there twice."""
    return error(
        Place(file, name, cell.address),
        "duplicate-column",
        f"the column {header} is there twice",
        "Keep one of them, or rename the other.",
        cell.text,
    )


def near_column(file: str, name: str, cell: Cell, header: str) -> Problem:
    """A column whose header nearly matches a known one."""
    return warning(
        Place(file, name, cell.address),
        "near-column",
        f"the column {cell.text} is not read",
        f"If it should be, rename it to {header}.",
        cell.text,
    )


def same_sheet(file: str, name: str, other: str) -> Problem:
    """Two sheets whose names are the same to the reader."""
    return error(
        Place(file, name),
        "duplicate-sheet",
        f"the sheets {other} and {name} have one name in two spellings",
        "Rename the one that should not be read.",
        name,
    )
