"""A work order filled in as a technician would, in a spreadsheet."""

from __future__ import annotations

from collections.abc import Mapping
from pathlib import Path
from typing import Any

import openpyxl
from openpyxl.workbook import Workbook

_KEYS = {"steps": "key", "items": "key", "measurements": "key", "parts": "part"}


def fill_in(path: Path, typed: Mapping[str, object], out: Path) -> Path:
    """Write the sheet again with cells filled in, and give the new file.

    `technician` is a named cell, `steps_hours/BELT` the cell of a column in the first row of a code, `whole_hours/2` in
    the second row. A text that begins with `#` becomes an error.
    """
    book: Workbook = openpyxl.load_workbook(path)
    for where, value in typed.items():
        cell = cell_at(book, where)
        cell.value = value
        if isinstance(value, str) and value.startswith("#"):
            cell.data_type = "e"
    book.save(out)
    return out


def cell_at(book: Workbook, where: str) -> Any:
    """The cell that is meant."""
    name, _, row = where.partition("/")
    cells = cells_of(book, name)
    if not row:
        return cells[0]
    if row.isdigit():
        return cells[int(row) - 1]
    table = name.partition("_")[0]
    keys = [cell.value for cell in cells_of(book, f"{table}_{_KEYS[table]}")]
    return cells[keys.index(row)]


def cells_of(book: Workbook, name: str) -> list[Any]:
    """The cells of a name, in order."""
    sheet = next(one for one in book.worksheets if f"qk_{name}" in one.defined_names)
    area = sheet.defined_names[f"qk_{name}"].attr_text.rpartition("!")[2].replace("$", "")
    found = sheet[area]
    return [cell for row in found for cell in row] if isinstance(found, tuple) else [found]


def values_of(path: Path, name: str) -> list[Any]:
    """What the cells of a name hold."""
    return [cell.value for cell in cells_of(openpyxl.load_workbook(path), name)]
