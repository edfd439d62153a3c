"""Codes and what refers to them: compared without case, spelled as in the row that defines them (DESIGN.md 3)."""

from __future__ import annotations

from collections.abc import Iterable, Mapping, Sequence
from dataclasses import field
from decimal import Decimal
from functools import cached_property
from itertools import islice
from typing import Any

from quotekit.model.shop_book import Quantity
from quotekit.model.source import Source
from quotekit.problems import Place, Problem, error
from quotekit.record import record
from quotekit.workbook.column import Column
from quotekit.workbook.names import code_key, nearest, or_list
from quotekit.workbook.rows import Row, field_of

_SUGGESTED_FROM = 1000
"""Codes looked through for a suggestion; beyond it only those that begin alike."""

_MOST_SUGGESTIONS = 100
"""A sheet full of unknown codes has one cause: later ones get no suggestion, which would take minutes."""


@record
class Codes:
    """The codes of one sheet. Where the sheet is missing and free text may stand, `free` learns each spelling.

    `lost` are codes whose rows had errors, and `unread` a sheet that could not be read: naming such a code is no second
    problem.
    """

    sheet: str
    spelled: dict[str, str] = field(default_factory=dict)
    free: bool = False
    lost: frozenset[str] = frozenset()
    unread: bool = False
    suggested: dict[str, str] = field(default_factory=dict, compare=False)

    def find(self, code: str) -> str | None:
        """The defining row's spelling, or None."""
        if self.free:
            return self.spelled.setdefault(code_key(code), code)
        return self.spelled.get(code_key(code))

    def nearest(self, code: str) -> str:
        """The code most like this one, or empty."""
        if code not in self.suggested and len(self.suggested) < _MOST_SUGGESTIONS:
            self.suggested[code] = self._nearest(code)
        return self.suggested.get(code, "")

    def _nearest(self, code: str) -> str:
        names: Iterable[str] = self.spelled.values()
        if len(self.spelled) > _SUGGESTED_FROM:
            start = code_key(code)[:2]
            alike = (name for key, name in self.spelled.items() if key.startswith(start))
            names = islice(alike, _SUGGESTED_FROM)
        return nearest(code, names)

    def with_zeros(self, code: str) -> str:
        """The code this would be with leading zeros it may have lost, or empty."""
        key = code_key(code)
        return self._without_zeros.get(key.lstrip("0"), "") if key.isdigit() else ""

    @cached_property
    def _without_zeros(self) -> dict[str, str]:
        return {key.lstrip("0"): name for key, name in self.spelled.items() if key.isdigit()}


def codes_of(sheet: str, codes: Iterable[str], free: bool = False, lost: frozenset[str] = frozenset()) -> Codes:
    """The codes a sheet defines, first spelling first."""
    spelled: dict[str, str] = {}
    for code in codes:
        spelled.setdefault(code_key(code), code)
    return Codes(sheet=sheet, spelled=spelled, free=free, lost=lost)


def codes_in(sheet: str, rows: Iterable[Row]) -> Codes:
    """The codes of a sheet's rows, those of faulty rows too: their fault is already told."""
    return codes_of(sheet, (row.values["code"] for row in rows if "code" in row.values))


def resolve(code: str, among: Sequence[Codes], place: Place) -> tuple[str | None, Problem | None]:
    """The defining spelling of a code that must be in exactly one of these sheets; nothing at all for a lost one."""
    found = [(codes.sheet, spelled) for codes in among if (spelled := codes.find(code)) is not None]
    if len(found) == 1:
        return found[0][1], None
    if found:
        return None, ambiguous(code, [sheet for sheet, _ in found], place)
    if any(codes.unread or code_key(code) in codes.lost for codes in among):
        return None, None
    return None, unknown(code, among, place)


def unknown(code: str, among: Sequence[Codes], place: Place) -> Problem:
    """A code that no row defines, with the nearest one, or the one it was before it lost its zeros."""
    sheets = or_list(codes.sheet for codes in among)
    for codes in among:
        full = codes.with_zeros(code)
        if full:
            return error(
                place,
                "lost-leading-zeros",
                f"{code} is not a code of {sheets}, but {full} is: leading zeros differ",
                f"Format the cell as text and type {full}.",
                code,
            )
    return error(place, "unknown-code", f"{code} is not a code of {sheets}", _remedy(code, among, sheets), code)


def _remedy(code: str, among: Sequence[Codes], sheets: str) -> str:
    parts = code.split(",")
    if len(parts) > 1 and all(any(codes.find(part.strip()) for codes in among) for part in parts):
        return "Put a semicolon between codes, not a comma."
    near = next((name for codes in among if (name := codes.nearest(code))), "")
    return f"Did you mean {near}?" if near else f"Use a code of {sheets}, or add it there."


def ambiguous(code: str, sheets: Sequence[str], place: Place) -> Problem:
    """A code that more than one sheet defines where either could be meant."""
    listed = " and ".join(sheets)
    return error(
        place,
        "ambiguous-code",
        f"{code} is a code of {listed}, so it is not clear which is meant",
        "Give one of them another code.",
        code,
    )


def resolve_row(
    row: Row, columns: Iterable[Column], known: Mapping[str, Codes], words: frozenset[str] = frozenset()
) -> tuple[Row, list[Problem]]:
    """A row with each reference spelled as the row that defines it; an unknown one is left out, `words` stay."""
    values: dict[str, Any] | None = None
    problems: list[Problem] = []
    sound = True
    for column in columns:
        name = field_of(column)
        if name not in row.values:
            continue
        value, found = _resolve_value(row, column, row.values[name], known, words)
        problems += found
        if value == row.values[name]:
            continue
        values = dict(row.values) if values is None else values
        values[name] = value
        if value is None or value == ():
            del values[name]
            sound = sound and not column.required
    return (row if values is None else row.with_values(values, sound)), problems


def _resolve_value(
    row: Row, column: Column, value: Any, known: Mapping[str, Codes], words: frozenset[str]
) -> tuple[Any, list[Problem]]:
    among = [known[sheet] for sheet in column.refers_to]
    if isinstance(value, str):
        spelled, problem = _resolve_in(row.source, column, value, among)
        return spelled, [problem] if problem else []
    resolved: list[str | Quantity] = []
    problems = []
    for entry in value:
        if isinstance(entry, Quantity):
            entry = _one_of(entry, among)
        code = entry.code if isinstance(entry, Quantity) else entry
        if words and code_key(code) in words:
            resolved.append(code_key(code))
            continue
        spelled, problem = _resolve_in(row.source, column, code, among)
        if problem is not None:
            problems.append(problem)
        if spelled is not None:
            resolved.append(Quantity(code=spelled, quantity=entry.quantity) if isinstance(entry, Quantity) else spelled)
    return tuple(resolved), problems


def _one_of(entry: Quantity, among: Sequence[Codes]) -> Quantity:
    """One of a code that itself ends like a quantity, such as `BOLT M8 x 30`, where no shorter code is meant."""
    whole = f"{entry.code} x {entry.quantity:f}"
    known = any(codes.find(whole) for codes in among) and not any(codes.find(entry.code) for codes in among)
    return Quantity(code=whole, quantity=Decimal(1)) if known else entry


def _resolve_in(source: Source, column: Column, code: str, among: Sequence[Codes]) -> tuple[str | None, Problem | None]:
    if len(among) == 1 and (spelled := among[0].find(code)) is not None:
        return spelled, None
    return resolve(code, among, source.place(column.header))


def duplicates(rows: Iterable[Row], field: str = "code", header: str = "Code") -> list[Problem]:
    """A code that two rows of one sheet define."""
    first: dict[str, Source] = {}
    problems = []
    for row in rows:
        code = row.values.get(field)
        if code is None:
            continue
        before = first.setdefault(code_key(code), row.source)
        if before is not row.source:
            problems.append(duplicate(row.source.place(header), code, before.row))
    return problems


def duplicate(place: Place, code: str, first_row: int) -> Problem:
    """The second row of a code."""
    return error(
        place,
        "duplicate-code",
        f"{code} is already defined in row {first_row}",
        "Keep one of the two rows, or give one another code.",
        code,
    )
