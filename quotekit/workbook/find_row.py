"""Finds rows of the shop book again after the owner worked on it: by the code, and by the supplier where it has one."""

from __future__ import annotations

from collections.abc import Iterable
from datetime import date
from decimal import Decimal

from quotekit.model.proposed_prices import CellValue
from quotekit.problems import Place
from quotekit.record import record
from quotekit.workbook.cells import is_blank
from quotekit.workbook.column import Column
from quotekit.workbook.names import code_key, name_key
from quotekit.workbook.read_shop_book import BookSheets
from quotekit.workbook.rows import Row, field_of
from quotekit.workbook.tables import Table

_CODE_FIELDS = {"Offers": "part"}
"""The field that names a row, where it is not `code`."""


@record
class FoundRow:
    """A row of a sheet with its table."""

    table: Table
    row: Row

    @property
    def number(self) -> int:
        """Of the row in the sheet."""
        return self.row.source.row

    @property
    def supplier(self) -> str:
        """As the row says it; empty where the sheet has none."""
        return str(self.row.values.get("supplier", ""))

    def column(self, header: str) -> Column | None:
        """A declared column that the sheet has."""
        if header not in self.table.at:
            return None
        return next(one for one in self.table.declared.columns if one.header == header)

    def place(self, header: str) -> Place:
        """The cell of a column."""
        return self.table.place(self.number, header)

    def value(self, header: str) -> CellValue:
        """What the cell of a column says; None for a blank one and for one that can't be read."""
        column = self.column(header)
        value: CellValue = None if column is None else self.row.values.get(field_of(column))
        return value

    def shown(self, header: str) -> str:
        """What stands in the cell of a column, in words."""
        cell = self.table.cell(self.number, header)
        return "nothing" if cell is None or is_blank(cell) else cell.text or "what can't be read"

    def is_text(self, header: str) -> bool:
        """True where a text stands in the cell of a column."""
        cell = self.table.cell(self.number, header)
        return cell is not None and isinstance(cell.value, str)

    def says(self, header: str, value: CellValue) -> bool:
        """True where the cell of a column says this; one that can't be read says nothing at all."""
        if value is None:
            return self.shown(header) == "nothing"
        return not self.table.is_faulty(self.number, header) and same_value(self.value(header), value)


def table_of(sheets: BookSheets, sheet: str) -> Table | None:
    """The table of a sheet, by the name on its tab or the name that it is known by."""
    return next((one for one in sheets.tables.values() if name_key(sheet) == name_key(one.declared.name)), None)


class RowFinder:
    """The rows of a shop book by sheet and code; each sheet is gone through once."""

    def __init__(self, sheets: BookSheets) -> None:
        self.sheets = sheets
        self._rows: dict[str, dict[str, list[FoundRow]]] = {}

    def rows(self, sheet: str, code: str) -> list[FoundRow]:
        """The rows of a sheet with a code, in their order; codes compare without case."""
        table = table_of(self.sheets, sheet)
        if table is None:
            return []
        name = table.declared.name
        if name not in self._rows:
            self._rows[name] = _by_code(table, self.sheets.rows.get(name, []))
        return self._rows[name].get(code_key(code), [])


def _by_code(table: Table, rows: Iterable[Row]) -> dict[str, list[FoundRow]]:
    field = _CODE_FIELDS.get(table.declared.name, "code")
    found: dict[str, list[FoundRow]] = {}
    for row in rows:
        found.setdefault(code_key(str(row.values.get(field, ""))), []).append(FoundRow(table=table, row=row))
    return found


def same_value(one: CellValue, other: CellValue) -> bool:
    """True where two values of cells say the same: texts without outer spaces, a number is never a text.

    >>> same_value(Decimal("21.50"), Decimal("21.5")), same_value("00123", Decimal(123)), same_value("a ", "a")
    (True, False, True)
    """
    if isinstance(one, str) and isinstance(other, str):
        return one.strip() == other.strip()
    numbers = (int, Decimal)
    if isinstance(one, numbers) and isinstance(other, numbers):
        return Decimal(one) == Decimal(other)
    return type(one) is type(other) and one == other and isinstance(one, (date, type(None)))
