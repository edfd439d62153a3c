"""Rows as the records of the shop book. A row that lacks a required value is left out, and so is what needs it.

The book that goes on always holds together: every reference in it leads to a record. What was left out is remembered,
so that a job which names it gets no second problem.
"""

from __future__ import annotations

from collections.abc import Callable, Iterable, Mapping
from dataclasses import field
from typing import Any, TypeVar

from quotekit.model import shop_book as model
from quotekit.model.rate import RateLine
from quotekit.model.shop_book import DEFAULT_TIERS, Quantity, Settings, ShopBook
from quotekit.record import record
from quotekit.workbook import columns as sheets
from quotekit.workbook.book_rows import ALWAYS, FREE_WHEN_MISSING, BookRows
from quotekit.workbook.column import Column, SheetColumns
from quotekit.workbook.names import code_key
from quotekit.workbook.positions import side_word
from quotekit.workbook.rows import Row, field_of

Record = TypeVar("Record")


@record
class PartialShopBook(ShopBook):
    """A book that is not whole: codes of rows with errors by sheet name, and sheets that could not be read."""

    left_out: Mapping[str, frozenset[str]] = field(default_factory=dict)
    unread: frozenset[str] = frozenset()


def build_book(
    rows: BookRows, settings: Settings, file: str, sha256: str, unread: frozenset[str] = frozenset()
) -> ShopBook:
    """The book of all rows that can stand; sheets in `unread` are missing or could not be read."""
    kept, left_out = _keep_whole(rows)
    rows = BookRows(by_sheet=kept, codes=rows.codes)
    found: dict[str, Any] = {
        "settings": settings,
        "labour_rates": _listed(rows, sheets.LABOUR_RATES, model.LabourRate),
        "conditions": _by_code(rows, sheets.CONDITIONS, _condition),
        "access": _by_code(rows, sheets.ACCESS, model.AccessStep),
        "operations": _by_code(rows, sheets.OPERATIONS, model.Operation),
        "parts": _by_code(rows, sheets.PARTS, build_part),
        "parts_used": _listed(rows, sheets.PARTS_USED, _part_used),
        "offers": _listed(rows, sheets.OFFERS, model.Offer),
        "markup": _listed(rows, sheets.MARKUP, _band),
        "findings": _by_code(rows, sheets.FINDINGS, model.Finding),
        "remedies": _by_code(rows, sheets.REMEDIES, model.Remedy),
        "fits_only_if": _listed(rows, sheets.FITS_ONLY_IF, model.FitsOnlyIf),
        "extras": _by_code(rows, sheets.EXTRAS, model.Extra),
        "bundles": _by_code(rows, sheets.BUNDLES, model.Bundle),
        "fees": _by_code(rows, sheets.FEES, _fee),
        "taxes": _listed(rows, sheets.TAXES, model.Tax),
        "tiers": _listed(rows, sheets.TIERS, _tier) if sheets.TIERS.name in kept else DEFAULT_TIERS,
        "cautions": _by_code(rows, sheets.CAUTIONS, model.Caution),
        "rate_builder": _listed(rows, sheets.RATE_BUILDER, RateLine),
        "file": file,
        "sha256": sha256,
    }
    for sheet, name, make in (
        (sheets.MACHINES, "machines", _machine_class),
        (sheets.SUPPLIERS, "suppliers", model.Supplier),
    ):
        found[name] = _by_code(rows, sheet, make) if sheet.name in kept else None
    if left_out is None and not unread:
        return ShopBook(**found)
    return PartialShopBook(**found, left_out=left_out or {}, unread=unread)


def build_part(**values: Any) -> model.Part:
    """A part; `Taxed as` is kept in lower case, and blank stands for parts."""
    taxed_as = values.pop("taxed_as", "").strip().lower()
    return model.Part(**values, taxed_as=taxed_as if taxed_as not in ("", "parts") else None)


def left_out_of(book: ShopBook, sheet: str) -> frozenset[str]:
    """Codes of a sheet whose rows had errors, in the form in which codes compare."""
    return book.left_out.get(sheet, frozenset()) if isinstance(book, PartialShopBook) else frozenset()


def is_unread(book: ShopBook, sheet: str) -> bool:
    """True for a sheet that is missing or could not be read though it is needed: its codes are not known."""
    return isinstance(book, PartialShopBook) and sheet in book.unread


def _condition(**values: Any) -> model.Condition:
    return model.Condition(**{"name": values["code"], **values})


def _machine_class(**values: Any) -> model.MachineClass:
    return model.MachineClass(**values)


def _band(**values: Any) -> model.MarkupBand:
    return model.MarkupBand(**{"cost_up_to": None, **values})


def _part_used(**values: Any) -> model.PartUsed:
    sides = tuple(side_word(entry) for entry in values.pop("sides", ()))
    return model.PartUsed(**values, sides=sides)


def _fee(**values: Any) -> model.Fee:
    applies_to = values.pop("applies_to", ())
    codes = tuple(code for code in applies_to if code != ALWAYS)
    return model.Fee(**values, applies_to=codes, always=ALWAYS in applies_to)


def _tier(**values: Any) -> model.Tier:
    return model.Tier(**{**values, "covers": frozenset(values["covers"])})


def _listed(rows: BookRows, sheet: SheetColumns, make: Callable[..., Record]) -> tuple[Record, ...]:
    return tuple(make(**row.values, source=row.source) for row in rows.of(sheet))


def _by_code(rows: BookRows, sheet: SheetColumns, make: Callable[..., Record]) -> dict[str, Record]:
    found: dict[str, Record] = {}
    for row in rows.of(sheet):
        found.setdefault(row.values["code"], make(**row.values, source=row.source))
    return found


def _keep_whole(rows: BookRows) -> tuple[dict[str, list[Row]], dict[str, frozenset[str]] | None]:
    """Rows whose required values are there and lead to rows that are kept, and the codes of the others, if any."""
    kept = {name: [row for row in of_sheet if row.sound] for name, of_sheet in rows.by_sheet.items()}
    if all(len(kept[name]) == len(of_sheet) for name, of_sheet in rows.by_sheet.items()):
        return kept, None
    while True:
        known = {name: _codes(of_sheet) for name, of_sheet in kept.items()}
        smaller = {name: _still_whole(name, of_sheet, known) for name, of_sheet in kept.items()}
        same = all(len(smaller[name]) == len(kept[name]) for name in kept)
        kept = smaller
        if same:
            break
    lost = {name: _codes(of_sheet) - _codes(kept[name]) for name, of_sheet in rows.by_sheet.items()}
    return kept, {name: frozenset(codes) for name, codes in lost.items() if codes}


def _codes(rows: Iterable[Row]) -> set[str]:
    return {code_key(row.values["code"]) for row in rows if "code" in row.values}


def _still_whole(name: str, rows: list[Row], known: Mapping[str, set[str]]) -> list[Row]:
    declared = next(sheet for sheet in sheets.SHOP_BOOK if sheet.name == name)
    columns = [column for column in declared.columns if column.refers_to]
    pruned = (_without_lost(row, columns, known) for row in rows)
    return [row for row in pruned if row.sound]


def _without_lost(row: Row, columns: Iterable[Column], known: Mapping[str, set[str]]) -> Row:
    values = dict(row.values)
    sound = True
    for column in columns:
        name = field_of(column)
        if name not in values:
            continue
        value = _prune(values[name], column, known)
        if value is None or value == ():
            del values[name]
            sound = sound and not column.required
        else:
            values[name] = value
    return row.with_values(values, sound)


def _prune(value: Any, column: Column, known: Mapping[str, set[str]]) -> Any:
    if any(sheet in FREE_WHEN_MISSING and sheet not in known for sheet in column.refers_to):
        return value
    there = set().union(*(known.get(sheet, set()) for sheet in column.refers_to)) | {ALWAYS}
    if isinstance(value, str):
        return value if code_key(value) in there else None
    return tuple(entry for entry in value if code_key(entry.code if isinstance(entry, Quantity) else entry) in there)
