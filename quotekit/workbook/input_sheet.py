"""An input sheet as a value: which declared sheet, which of its columns, its rows as typed text."""

from __future__ import annotations

from collections.abc import Iterable, Mapping
from dataclasses import field

from quotekit.record import record
from quotekit.workbook.column import Column, Field, SheetColumns
from quotekit.workbook.columns import JOB, JOB_FIELDS, JOB_WORKBOOK, SHOP, SHOP_BOOK, SHOP_SETTINGS
from quotekit.workbook.read_example import Rows

FIELDS: Mapping[str, tuple[Field, ...]] = {SHOP.name: SHOP_SETTINGS, JOB.name: JOB_FIELDS}
"""The sheets of one name and one value a row, with the names they may hold."""


@record
class Guide:
    """A column that fills itself in beside a typed one and is not read: what stands there for each code."""

    header: str
    help: str
    before: str
    """Header of the column it stands before."""
    of: str
    """Header of the column that holds the code."""
    texts: Mapping[str, str]
    """By the code in capitals."""


@record
class InputSheet:
    """One sheet to write; `fields` are the rows of a sheet of names and values, `rows` those of any other."""

    declared: SheetColumns
    columns: tuple[Column, ...]
    rows: Rows = ()
    fields: tuple[Field, ...] = ()
    values: Mapping[str, str]
    """What stands beside each field, by its name."""
    guides: tuple[Guide, ...] = ()
    sources: Mapping[str, str | list[str]] = field(default_factory=dict)
    """By header: what a column offers in place of its declared list; a formula, or the words."""

    @property
    def laid_out(self) -> tuple[Column | Guide, ...]:
        """Its columns as they stand, each guide where it belongs."""
        found: list[Column | Guide] = []
        for column in self.columns:
            found += [guide for guide in self.guides if guide.before == column.header]
            found.append(column)
        return tuple(found)


def table_sheet(declared: SheetColumns, rows: Rows = (), *, only_used: bool = False) -> InputSheet:
    """A sheet with all its columns, or with the required ones and those its rows use."""
    used = {header for row in rows for header in row}
    columns = tuple(each for each in declared.columns if not only_used or each.required or each.header in used)
    return InputSheet(declared=declared, columns=columns, rows=rows, values={})


def field_sheet(declared: SheetColumns, values: Mapping[str, str], *, only_used: bool = False) -> InputSheet:
    """A sheet of names and values, with every name or just the used ones."""
    fields = tuple(each for each in FIELDS[declared.name] if not only_used or each.name in values)
    return InputSheet(declared=declared, columns=declared.columns, fields=fields, values=values)


def shop_book_sheets(
    rows: Mapping[str, Rows], *, all_sheets: bool = False, only_used: bool = False
) -> list[InputSheet]:
    """The sheets of a shop book: those that have rows, or all."""
    return _sheets(SHOP_BOOK, rows, all_sheets, only_used)


def job_sheets(rows: Mapping[str, Rows], *, only_used: bool = False) -> list[InputSheet]:
    """The sheets of a job workbook: all six, or those that have rows."""
    return _sheets(JOB_WORKBOOK, rows, not only_used, only_used)


def _sheets(
    declared: Iterable[SheetColumns], rows: Mapping[str, Rows], all_sheets: bool, only_used: bool
) -> list[InputSheet]:
    return [
        _sheet(sheet, rows.get(sheet.name, ()), only_used) for sheet in declared if all_sheets or sheet.name in rows
    ]


def _sheet(declared: SheetColumns, rows: Rows, only_used: bool) -> InputSheet:
    if declared.name not in FIELDS:
        return table_sheet(declared, rows, only_used=only_used)
    name, value = (column.header for column in declared.columns)
    return field_sheet(declared, {row[name]: row[value] for row in rows}, only_used=only_used)
