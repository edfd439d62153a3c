"""Which row of the new workbook is which row of the old one: by what the row is about, never by its number.

A row goes by its code. Where a sheet has no codes it goes by the columns that say what it is about, all of them first,
then fewer of them, so that a row whose side or first day was changed is still the same row.
"""

from __future__ import annotations

from collections.abc import Mapping, Sequence
from typing import Any

from quotekit.model.shop_book import Quantity
from quotekit.record import record
from quotekit.workbook.column import SheetColumns
from quotekit.workbook.columns import JOB_WORKBOOK
from quotekit.workbook.names import code_key
from quotekit.workbook.rows import Row, field_of

Identity = tuple[str, ...]

_ABOUT: Mapping[str, tuple[Identity, ...]] = {
    "Labour rates": (("code", "in_force_from"), ("code",)),
    "Parts used": (("used_by", "part", "sides", "machines"), ("used_by", "part", "sides"), ("used_by", "part")),
    "Offers": (("part", "supplier", "suppliers_number"), ("part", "supplier")),
    "Markup": (("cost_over",), ("cost_up_to",), ("markup",)),
    "Fits only if": (("remedy", "finding", "from_", "to"), ("remedy", "finding")),
    "Taxes": (
        ("tax", "charges", "machines", "customer_class", "in_force_from"),
        ("tax", "machines", "customer_class", "in_force_from"),
        ("tax", "charges"),
        ("tax",),
    ),
    "job Findings": (("finding", "side", "note"), ("finding", "side"), ("finding",)),
    "job Extras": (("extra", "side"), ("extra",)),
    "One-off": (("line", "kind"), ("line",), ("kind", "quantity")),
    "Plan": (("tier", "item", "side"), ("tier", "item")),
}
"""By sheet, those of the job with `job ` before where the book has one of that name."""


@record
class RowPairs:
    """Rows that are the same one, in the new order; rows that are new; rows that are gone."""

    same: tuple[tuple[Row, Row], ...]
    added: tuple[Row, ...]
    removed: tuple[Row, ...]


def pair_rows(declared: SheetColumns, old: Sequence[Row], new: Sequence[Row]) -> RowPairs:
    """Each row beside the one it was; alike rows in their order."""
    left: list[Row] = list(old)
    found: dict[int, Row] = {}
    for about in identities(declared):
        by_key: dict[tuple[Any, ...], list[Row]] = {}
        for row in left:
            by_key.setdefault(_key(row, about), []).append(row)
        for at, row in enumerate(new):
            same = by_key.get(_key(row, about)) if at not in found else None
            if same:
                found[at] = same.pop(0)
        taken = {id(row) for row in found.values()}
        left = [row for row in left if id(row) not in taken]
    return RowPairs(
        same=tuple((found[at], row) for at, row in enumerate(new) if at in found),
        added=tuple(row for at, row in enumerate(new) if at not in found),
        removed=tuple(left),
    )


def identities(declared: SheetColumns) -> tuple[Identity, ...]:
    """The columns that say what a row is about, all of them, then fewer."""
    name = f"job {declared.name}" if declared in JOB_WORKBOOK and f"job {declared.name}" in _ABOUT else declared.name
    return _ABOUT.get(name, ((field_of(declared.columns[0]),),))


def _key(row: Row, about: Identity) -> tuple[Any, ...]:
    return tuple(same_form(row.values.get(name)) for name in about)


def same_form(value: Any) -> Any:
    """The form in which typed values compare: codes and words without case.

    >>> same_form("Seal-19") == same_form("SEAL-19"), same_form(("A", "b")), same_form(None)
    (True, ('a', 'b'), None)
    """
    if isinstance(value, str):
        return code_key(value)
    if isinstance(value, Quantity):
        return (code_key(value.code), value.quantity)
    if isinstance(value, tuple | list):
        return tuple(same_form(entry) for entry in value)
    return value


def in_old_order(same: Sequence[tuple[Row, Row]], old: Sequence[Row]) -> bool:
    """True where the rows that stayed stand in the order they had."""
    at = {id(row): number for number, row in enumerate(old)}
    places = [at[id(before)] for before, _ in same]
    return places == sorted(places)
