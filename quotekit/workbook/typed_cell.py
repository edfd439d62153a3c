"""One cell of a shop book or a job as a person points at it: what belongs in it, what is read, and who refers to it."""

from __future__ import annotations

from collections.abc import Iterator, Mapping
from pathlib import Path
from typing import Any, Literal

from quotekit.problems import Place, Problem
from quotekit.record import record
from quotekit.workbook.addresses import column_number
from quotekit.workbook.cell_kinds import read_kind
from quotekit.workbook.cells import clean, is_blank, read_list, read_quantities
from quotekit.workbook.column import Column, Field, SheetColumns
from quotekit.workbook.columns import JOB_WORKBOOK, SHOP_BOOK
from quotekit.workbook.grid import Cell, read_grid
from quotekit.workbook.input_sheet import FIELDS
from quotekit.workbook.names import code_key, label_key, name_key
from quotekit.workbook.reading_order import cell_parts
from quotekit.workbook.rows import saving_column
from quotekit.workbook.tables import Table, find_tables

Where = Literal["cell", "name", "header", "above", "own column", "own name", "own sheet"]
"""What is pointed at: a cell of a known column or field, the name of a setting, a header, what stands above the table,
or what is the owner's own."""

Tables = Mapping[str, Table]


@record
class TypedCell:
    """The cell, with what is declared for it. `code` and `name` are those of its row, where it has them."""

    where: Where
    place: Place
    sheet: SheetColumns | None = None
    declared: Column | Field | None = None
    code: str = ""
    name: str = ""
    text: str = ""
    value: Any = None
    percent: bool = False
    calculated: bool = False


@record
class Reference:
    """A cell that names a code: where it is, the header over it, and what its row is of."""

    place: Place
    sheet: str
    header: str
    of: str


def read_tables(path: Path, kind: Literal["shop book", "job"]) -> tuple[Tables, list[Problem]]:
    """The tables of a workbook by declared name; problems where it can't be read at all."""
    grid, problems = read_grid(path)
    if grid is None:
        return {}, problems
    return find_tables(grid, SHOP_BOOK if kind == "shop book" else JOB_WORKBOOK, kind)[0], []


def typed_cell(tables: Tables, place: Place) -> TypedCell:
    """What stands at a place."""
    table = next((one for one in tables.values() if name_key(one.name) == name_key(place.sheet)), None)
    if table is None:
        return TypedCell(where="own sheet", place=place)
    letters, row = cell_parts(place.cell)
    at = column_number(letters)
    header = next((known for known, column in table.at.items() if column == at), "")
    text = _text(table.sheet.rows.get(row, {}).get(at))
    if row < table.header_row:
        return TypedCell(where="above", place=place, sheet=table.declared, text=text)
    if not header:
        return TypedCell(where="own column", place=place, sheet=table.declared, text=text)
    column = next(one for one in table.declared.columns if one.header == header)
    if row == table.header_row:
        return TypedCell(where="header", place=place, sheet=table.declared, declared=column, text=text)
    if table.declared.name in FIELDS:
        return _field_cell(table, row, header, place)
    return _column_cell(table, row, column, place)


def references(tables: Tables, sheet: str, code: str) -> Iterator[Reference]:
    """Every cell whose column lists codes of a sheet and that names this one."""
    for table in tables.values():
        for declared, row, header in _listing(table, sheet):
            cell = table.cell(row, header)
            if cell is not None and any(code_key(one) == code_key(code) for one in _codes(cell)):
                yield Reference(
                    place=table.place(row, header), sheet=table.declared.name, header=declared, of=_row_name(table, row)
                )


def _listing(table: Table, sheet: str) -> Iterator[tuple[str, int, str]]:
    """Header or name of the field, row and column of every cell of a table that may hold codes of a sheet."""
    fields = FIELDS.get(table.declared.name)
    if fields is None:
        for column in table.declared.columns:
            if sheet in column.refers_to and column.header in table.at:
                yield from ((column.header, row, column.header) for row in table.rows)
        return
    known = {name_key(one.name): one.name for one in fields if sheet in one.refers_to}
    word = table.declared.columns[0].header
    for row in table.rows:
        name = table.cell(row, word)
        if name is not None and label_key(name.text) in known:
            yield known[label_key(name.text)], row, "Value"


def _codes(cell: Cell) -> list[str]:
    quantities = read_quantities(cell, Place(""), allow_zero=True)[0]
    listed = [code for code, _many in quantities or ()]
    return [*listed, *(read_list(cell, Place(""))[0] or [])]


def _column_cell(table: Table, row: int, column: Column, place: Place) -> TypedCell:
    cell = table.cell(row, column.header)
    shown = column
    if column.kind == "saving":
        saving = table.cell(row, "Saving")
        shown = saving_column(column, clean(saving.text).lower() if saving is not None else None)
    code, name = _code_and_name(table, row)
    return _read(cell, TypedCell(where="cell", place=place, sheet=table.declared, declared=shown, code=code, name=name))


def _field_cell(table: Table, row: int, header: str, place: Place) -> TypedCell:
    word = table.declared.columns[0].header
    named = table.cell(row, word)
    fields = {name_key(one.name): one for one in FIELDS[table.declared.name]}
    field = fields.get(label_key(named.text)) if named is not None else None
    if field is None:
        return TypedCell(where="own name", place=place, sheet=table.declared, text=_text(named))
    found = TypedCell(where="cell" if header == "Value" else "name", place=place, sheet=table.declared, declared=field)
    return _read(table.cell(row, "Value"), found)


def _read(cell: Cell | None, found: TypedCell) -> TypedCell:
    """With what is read in the cell, as far as it can be."""
    if cell is None or is_blank(cell) or found.declared is None:
        return found
    from dataclasses import replace

    value = read_kind(cell, found.place, found.declared)[0]
    percent = cell.percent or ("%" in cell.text)
    return replace(found, text=cell.text, value=value, percent=percent, calculated=cell.calculated)


def _code_and_name(table: Table, row: int) -> tuple[str, str]:
    """The row's code, and the first required text beside it."""
    code, name = "", ""
    for column in table.declared.columns:
        cell = table.cell(row, column.header)
        if cell is None or is_blank(cell):
            continue
        if column.kind == "code" and not code and not column.refers_to:
            code = clean(cell.text)
        elif column.kind == "text" and column.required and not name:
            name = clean(cell.text)
    return code, name


def _row_name(table: Table, row: int) -> str:
    """What a row is of: its code and name, else its first cell."""
    if table.declared.name in FIELDS:
        return ""
    code, name = _code_and_name(table, row)
    first = next((table.cell(row, one.header) for one in table.declared.columns if table.cell(row, one.header)), None)
    return " ".join(word for word in (code, name) if word) or _text(first)


def _text(cell: Cell | None) -> str:
    return clean(cell.text) if cell is not None else ""
