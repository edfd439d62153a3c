"""Every cell that differs between two workbooks of one kind: settings and fields by name, rows by what they are about.

Rows that were moved or inserted are no changes, but where the order of rows says something: the tiers, the first labour
rate, and a job's lines that have no code of their own. The owner's own sheets and columns are not looked at.
"""

from __future__ import annotations

from collections.abc import Iterator, Sequence
from dataclasses import replace
from typing import Any, Literal

from quotekit.documents.costing_input_line import value_words
from quotekit.model.comparison import ChangedCell
from quotekit.model.rate import Amount
from quotekit.problems import Place
from quotekit.record import record
from quotekit.workbook.column import Column, Field, SheetColumns
from quotekit.workbook.columns import JOB_FIELDS, JOB_FINDINGS, LABOUR_RATES, ONE_OFF, SHOP_SETTINGS, TIERS
from quotekit.workbook.fields import FieldValues
from quotekit.workbook.job_findings import OTHER
from quotekit.workbook.names import code_key
from quotekit.workbook.row_names import row_name
from quotekit.workbook.row_pairs import RowPairs, in_old_order, pair_rows, same_form
from quotekit.workbook.rows import Row, field_of

Kind = Literal["value", "setting", "added", "removed", "order"]

_FREE_TEXT = frozenset({"text"})
_PERCENTS = frozenset({"percent", "markup"})


@record
class TypedChange:
    """A change with what it takes to put it back. `name` is the setting's, or the record field of the column."""

    cell: ChangedCell
    sheet: str
    kind: Kind
    name: str = ""
    old: Any = None
    new: Any = None
    old_row: Row | None = None
    new_row: Row | None = None


def the_other_way(change: TypedChange) -> TypedChange:
    """The same change from new to old."""
    kinds: dict[Kind, Kind] = {"added": "removed", "removed": "added"}
    return replace(
        change,
        kind=kinds.get(change.kind, change.kind),
        old=change.new,
        new=change.old,
        old_row=change.new_row,
        new_row=change.old_row,
    )


def changed_settings(old: FieldValues | None, new: FieldValues | None, *, of_job: bool) -> Iterator[TypedChange]:
    """Settings of a shop book, or fields of a job, that say something else."""
    sheet, declared = ("Job", JOB_FIELDS) if of_job else ("Shop", SHOP_SETTINGS)
    if old is None or new is None:
        return
    for field in declared:
        before, after = old.values.get(field.name), new.values.get(field.name)
        if _alike(field, before, after):
            continue
        cell = ChangedCell(
            what=field.name,
            old=_words(field, before),
            new=_words(field, after),
            place_old=_place_of_setting(old, field.name),
            place_new=_place_of_setting(new, field.name),
        )
        yield TypedChange(cell=cell, sheet=sheet, kind="setting", name=field.name, old=before, new=after)


def changed_rows(declared: SheetColumns, old: Sequence[Row], new: Sequence[Row]) -> Iterator[TypedChange]:
    """Cells of rows that stayed, rows that came or went, and an order that says something."""
    pairs = pair_rows(declared, old, new)
    for before, after in pairs.same:
        yield from _changed_cells(declared, before, after)
    for row in pairs.added:
        yield TypedChange(cell=_whole_row(declared, row, came=True), sheet=declared.name, kind="added", new_row=row)
    for row in pairs.removed:
        yield TypedChange(cell=_whole_row(declared, row, came=False), sheet=declared.name, kind="removed", old_row=row)
    if not _order_kept(declared, pairs, old):
        yield _order(declared, old, new)


def _changed_cells(declared: SheetColumns, old: Row, new: Row) -> Iterator[TypedChange]:
    for column in declared.columns:
        name = field_of(column)
        before, after = old.values.get(name), new.values.get(name)
        if _alike(column, before, after):
            continue
        cell = ChangedCell(
            what=f"{column.header} of {row_name(declared, new)}",
            old=_words(column, before, old),
            new=_words(column, after, new),
            place_old=_place(old, column.header),
            place_new=_place(new, column.header),
        )
        said = TypedChange(cell=cell, sheet=declared.name, kind="value", name=name, old=before, new=after)
        yield replace(said, old_row=old, new_row=new)


def _alike(column: Column | Field, before: Any, after: Any) -> bool:
    if column.kind in _FREE_TEXT or isinstance(before, bool) != isinstance(after, bool):
        return bool(before == after)
    return bool(same_form(before) == same_form(after))


def _words(column: Column | Field, value: Any, row: Row | None = None) -> str | None:
    """A cell in the owner's words; None for a blank one."""
    if isinstance(value, Amount):
        return value_words(value.value, percent=value.percent)
    percent = column.kind in _PERCENTS or (
        column.kind == "saving" and row is not None and row.values.get("saving") == "percent off parts"
    )
    return value_words(value, percent=percent) or None


def _place(row: Row, header: str) -> Place | None:
    """The cell of a column; None where the sheet has no such column."""
    return row.source.place(header) if header in row.source.columns else None


def _place_of_setting(fields: FieldValues, name: str) -> Place | None:
    source = fields.sources.get(name)
    return source.place("Value") if source is not None else None


def _whole_row(declared: SheetColumns, row: Row, *, came: bool) -> ChangedCell:
    said = ((column.header, _words(column, row.values.get(field_of(column)), row)) for column in declared.columns[1:])
    words = "; ".join(f"{header} {value}" for header, value in said if value) or "a row"
    place = row.source.place()
    return ChangedCell(
        what=f"{declared.name}: {row_name(declared, row)}",
        old=None if came else words,
        new=words if came else None,
        place_old=None if came else place,
        place_new=place if came else None,
        extent="row",
    )


def _order_kept(declared: SheetColumns, pairs: RowPairs, old: Sequence[Row]) -> bool:
    """True where rows stand as they stood, as far as their order says anything."""
    telling = pairs.same
    if declared is JOB_FINDINGS:
        telling = tuple(pair for pair in telling if code_key(pair[1].values.get("finding", "")) == code_key(OTHER))
    elif declared is LABOUR_RATES:
        codes_old = [code_key(before.values["code"]) for before in old if "code" in before.values]
        stayed = {code_key(after.values["code"]) for _, after in telling}
        first = next((code for code in codes_old if code in stayed), None)
        return not telling or first == code_key(telling[0][1].values["code"])
    elif declared not in (TIERS, ONE_OFF):
        return True
    return in_old_order(telling, old)


def _order(declared: SheetColumns, old: Sequence[Row], new: Sequence[Row]) -> TypedChange:
    names = ["; ".join(str(next(iter(row.values.values()), "")) for row in rows) for rows in (old, new)]
    places = [Place(rows[0].source.file, rows[0].source.sheet) if rows else None for rows in (old, new)]
    cell = ChangedCell(
        what=f"Order of the rows of {declared.name}",
        old=names[0],
        new=names[1],
        place_old=places[0],
        place_new=places[1],
        extent="sheet",
    )
    return TypedChange(cell=cell, sheet=declared.name, kind="order")
