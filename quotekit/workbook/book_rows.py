"""All rows of the shop book: read, their codes gathered, their references resolved (DESIGN.md 3)."""

from __future__ import annotations

from collections.abc import Collection, Iterable, Mapping
from dataclasses import replace

from quotekit.problems import Problem
from quotekit.record import record
from quotekit.workbook.codes import Codes, codes_in, duplicate, duplicates, resolve_row
from quotekit.workbook.column import SheetColumns
from quotekit.workbook.columns import FEES, LABOUR_RATES, SHOP, SHOP_BOOK
from quotekit.workbook.names import code_key
from quotekit.workbook.rows import Row, read_rows
from quotekit.workbook.tables import Table

FREE_WHEN_MISSING = ("Machines", "Suppliers")
"""Sheets whose codes are free text while the sheet is missing or has no row."""

ALWAYS = "always"


@record
class BookRows:
    """Rows by sheet name, and the codes each sheet defines."""

    by_sheet: Mapping[str, list[Row]]
    codes: Mapping[str, Codes]

    def of(self, sheet: SheetColumns) -> list[Row]:
        """The rows of one sheet, none where it is missing."""
        return self.by_sheet.get(sheet.name, [])


def read_typed_rows(tables: Mapping[str, Table]) -> tuple[dict[str, list[Row]], list[Problem]]:
    """Every sheet but Shop that has rows, as typed: references are not looked up yet."""
    problems: list[Problem] = []
    raw: dict[str, list[Row]] = {}
    for declared in SHOP_BOOK:
        table = tables.get(declared.name)
        if table is not None and declared is not SHOP and (table.rows or declared.needed):
            raw[declared.name], found = read_rows(table)
            problems += found
    return raw, problems


def resolve_book_rows(typed: Mapping[str, list[Row]], unread: Collection[str] = ()) -> tuple[BookRows, list[Problem]]:
    """Rows as typed, with references spelled as the rows that define them."""
    problems: list[Problem] = []
    raw = dict(typed)
    codes = {
        sheet.name: _codes(sheet, raw.get(sheet.name, []), sheet.name in raw, unread)
        for sheet in SHOP_BOOK
        if _coded(sheet)
    }
    resolved: dict[str, list[Row]] = {}
    for declared in SHOP_BOOK:
        if declared.name in raw:
            rows = raw.pop(declared.name)
            problems += duplicate_rows(declared, rows)
            if declared is LABOUR_RATES:
                rows = [_spelled_as_first(row, codes[declared.name]) for row in rows]
            resolved[declared.name], found = resolve_rows(declared, rows, codes)
            problems += found
    return BookRows(by_sheet=resolved, codes=codes), problems


def _spelled_as_first(row: Row, codes: Codes) -> Row:
    """A dated row of a rate, with the code as its first row has it."""
    return row.with_values({**row.values, "code": codes.find(row.values["code"])}) if "code" in row.values else row


def resolve_rows(
    declared: SheetColumns, rows: Iterable[Row], codes: Mapping[str, Codes]
) -> tuple[list[Row], list[Problem]]:
    """Rows of one sheet with their references resolved."""
    columns = [column for column in declared.columns if column.refers_to]
    resolved: list[Row] = []
    problems: list[Problem] = []
    for row in rows:
        done, found = resolve_row(row, columns, codes, _words_of(declared))
        resolved.append(done)
        problems += found
    return resolved, problems


def duplicate_rows(declared: SheetColumns, rows: Iterable[Row]) -> list[Problem]:
    """Codes defined twice; labour rates may repeat a code with another date."""
    if declared is not LABOUR_RATES:
        return duplicates(rows) if _coded(declared) else []
    first: dict[object, int] = {}
    problems = []
    for row in rows:
        if "code" not in row.values:
            continue
        key = (code_key(row.values["code"]), row.values.get("in_force_from"))
        before = first.setdefault(key, row.source.row)
        if before != row.source.row:
            problems.append(duplicate(row.source.place("Code"), row.values["code"], before))
    return problems


def _words_of(declared: SheetColumns) -> frozenset[str]:
    """Words that may stand among the codes of a sheet."""
    return frozenset({ALWAYS}) if declared is FEES else frozenset()


def _coded(declared: SheetColumns) -> bool:
    return declared.columns[0].header == "Code"


def _codes(declared: SheetColumns, rows: list[Row], present: bool, unread: Collection[str]) -> Codes:
    if not present and declared.name in FREE_WHEN_MISSING and declared.name not in unread:
        return Codes(sheet=declared.name, free=True)
    found = codes_in(declared.name, rows)
    return replace(found, unread=not present and (declared.needed or declared.name in unread))
