"""A shop book or a job with one change put back: the new workbook with that one cell, row or order as it was.

What comes out is read like any workbook, so that a mixture which no owner could have typed is told by its problems.
"""

from __future__ import annotations

from collections.abc import Iterator, Mapping, Sequence
from dataclasses import replace

from quotekit.workbook.column import SheetColumns
from quotekit.workbook.columns import JOB, JOB_WORKBOOK, SHOP, SHOP_BOOK
from quotekit.workbook.fields import FieldValues
from quotekit.workbook.read_job import JobRows, JobSheets
from quotekit.workbook.read_shop_book import BookSheets
from quotekit.workbook.row_pairs import pair_rows
from quotekit.workbook.rows import Row
from quotekit.workbook.typed_changes import TypedChange, changed_rows, changed_settings


def changes_of_books(old: BookSheets, new: BookSheets) -> list[TypedChange]:
    """Every cell that differs between two shop books, in reading order."""
    rows = _changes(SHOP_BOOK, SHOP, old.rows, new.rows)
    return [*changed_settings(old.fields, new.fields, of_job=False), *rows]


def changes_of_jobs(old: JobSheets, new: JobSheets) -> list[TypedChange]:
    """Every cell that differs between two job workbooks, in reading order."""
    rows = _changes(JOB_WORKBOOK, JOB, old.rows.by_sheet, new.rows.by_sheet)
    return [*changed_settings(old.fields, new.fields, of_job=True), *rows]


def put_back_in_book(old: BookSheets, new: BookSheets, change: TypedChange) -> BookSheets:
    """The new shop book with one change as it was."""
    if change.kind == "setting":
        return replace(new, fields=_with_setting(old.fields, new.fields, change))
    return replace(new, rows=_with_row(SHOP_BOOK, old.rows, new.rows, change))


def put_back_in_job(old: JobSheets, new: JobSheets, change: TypedChange) -> JobSheets:
    """The new job with one change as it was."""
    if change.kind == "setting":
        return replace(new, fields=_with_setting(old.fields, new.fields, change))
    return replace(new, rows=JobRows(by_sheet=_with_row(JOB_WORKBOOK, old.rows.by_sheet, new.rows.by_sheet, change)))


def _changes(
    declared: Sequence[SheetColumns],
    fields: SheetColumns,
    old: Mapping[str, list[Row]],
    new: Mapping[str, list[Row]],
) -> Iterator[TypedChange]:
    for sheet in declared:
        if sheet is not fields:
            yield from changed_rows(sheet, old.get(sheet.name, []), new.get(sheet.name, []))


def _with_setting(old: FieldValues | None, new: FieldValues | None, change: TypedChange) -> FieldValues | None:
    if old is None or new is None:
        return new
    kept = {name: value for name, value in new.values.items() if name != change.name}
    values = kept if change.old is None else {**kept, change.name: change.old}
    sources = {**old.sources, **new.sources}
    return replace(new, values=values, sources={name: sources[name] for name in sources if _stated(name, new, values)})


def _stated(name: str, new: FieldValues, values: Mapping[str, object]) -> bool:
    return name in new.sources or name in values


def _with_row(
    declared: Sequence[SheetColumns],
    old: Mapping[str, list[Row]],
    new: Mapping[str, list[Row]],
    change: TypedChange,
) -> dict[str, list[Row]]:
    sheet = next(each for each in declared if each.name == change.sheet)
    rows = list(new.get(sheet.name, []))
    if change.kind == "value" and change.new_row is not None:
        at = change.new_row.source
        rows = [_with_value(row, change) if row.source == at else row for row in rows]
    elif change.kind == "added" and change.new_row is not None:
        rows = [row for row in rows if row.source != change.new_row.source]
    elif change.kind == "removed" and change.old_row is not None:
        rows = _with_row_again(sheet, old.get(sheet.name, []), rows, change.old_row)
    elif change.kind == "order":
        rows = _as_ordered(sheet, old.get(sheet.name, []), rows)
    others = {name: of_sheet for name, of_sheet in new.items() if name != sheet.name}
    return {**others, sheet.name: rows} if rows or sheet.needed else others


def _with_value(row: Row, change: TypedChange) -> Row:
    kept = {name: value for name, value in row.values.items() if name != change.name}
    return row.with_values(kept if change.old is None else {**kept, change.name: change.old})


def _with_row_again(sheet: SheetColumns, old: Sequence[Row], new: Sequence[Row], row: Row) -> list[Row]:
    """The new rows and one that is gone, after the row it followed."""
    now = {id(before): number for before, number in _numbered(sheet, old, new)}
    followed = [now[id(before)] for before in old[: old.index(row)] if id(before) in now]
    at = followed[-1] + 1 if followed else 0
    return [*new[:at], row, *new[at:]]


def _numbered(sheet: SheetColumns, old: Sequence[Row], new: Sequence[Row]) -> Iterator[tuple[Row, int]]:
    """Each old row that stayed, with its number among the new ones."""
    numbers = {id(row): number for number, row in enumerate(new)}
    for before, after in pair_rows(sheet, old, new).same:
        yield before, numbers[id(after)]


def _as_ordered(sheet: SheetColumns, old: Sequence[Row], new: Sequence[Row]) -> list[Row]:
    """The new rows in the order the old ones had; rows that are new come last."""
    pairs = pair_rows(sheet, old, new)
    at = {id(row): number for number, row in enumerate(old)}
    stayed = sorted(pairs.same, key=lambda pair: at[id(pair[0])])
    return [*(row for _, row in stayed), *pairs.added]
