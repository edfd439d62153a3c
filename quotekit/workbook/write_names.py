"""Names of cells and ranges, for formulas and for other programs. A workbook holds each name once, in any case."""

from __future__ import annotations

from collections.abc import Iterator
from typing import Any

from xlsxwriter.utility import xl_range_abs

from quotekit.documents.sheet import NamedRange, WorkbookValue, placed
from quotekit.workbook.cannot_write import CannotWrite


def write_names(book: Any, value: WorkbookValue) -> None:
    """Every name of the workbook."""
    sheets = {sheet.name for sheet in value.sheets}
    seen: set[str] = set()
    for named in (*_named_cells(value), *value.names):
        if named.sheet not in sheets:
            raise CannotWrite(f"{named.name}: there is no sheet {named.sheet}")
        if named.name.casefold() in seen:
            raise CannotWrite(f"{named.sheet}: the name {named.name} stands twice")
        seen.add(named.name.casefold())
        if book.define_name(named.name, f"={address_of(named)}") != 0:
            raise CannotWrite(f"{named.sheet}: a workbook cannot hold the name {named.name!r}")


def address_of(named: NamedRange) -> str:
    """The range with its sheet, quoted.

    >>> address_of(NamedRange(
    ...     name="offered", sheet="Joe's", first_row=1, first_column=0, last_row=2, last_column=1))
    "'Joe''s'!$A$2:$B$3"
    """
    quoted = named.sheet.replace("'", "''")
    cells = xl_range_abs(named.first_row, named.first_column, named.last_row, named.last_column)
    return f"'{quoted}'!{cells}"


def _named_cells(value: WorkbookValue) -> Iterator[NamedRange]:
    for sheet in value.sheets:
        for number, row in enumerate(sheet.rows):
            for column, cell in placed(row):
                if cell.name:
                    yield NamedRange(
                        name=cell.name,
                        sheet=sheet.name,
                        first_row=number,
                        first_column=column,
                        last_row=number,
                        last_column=column,
                    )
