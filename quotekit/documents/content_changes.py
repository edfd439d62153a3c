"""What differs between a document's content and the marks it was sent with: the very cells, sheets and names."""

from __future__ import annotations

from collections.abc import Iterator, Mapping, Sequence
from typing import Literal

from quotekit.documents.canonical import formula_names_sheet
from quotekit.documents.fingerprint import Content, Position, digest, digest_of_cell, fingerprint, is_choice, marks_of
from quotekit.record import record

_MOST_COMPARED = 12
"""New sheets that may be a renamed one."""

Change = Literal["changed", "added", "missing"]


@record
class CellChange:
    """A cell that does not say what it said; row and column are 1-based, `sheet` is its name now."""

    sheet: str
    row: int
    column: int
    change: Change


@record
class Changes:
    """All that differs. Nothing in it, with `same` False, means that only the marks could tell where."""

    same: bool
    cells: tuple[CellChange, ...] = ()
    sheets_added: tuple[str, ...] = ()
    sheets_missing: tuple[str, ...] = ()
    sheets_renamed: tuple[tuple[str, str], ...] = ()
    """Name as sent and name now."""
    names: tuple[str, ...] = ()
    """Names of cells that are gone, were moved, or were put in where only the sender puts them."""


def changes_of(content: Content, marks: Sequence[str]) -> Changes:
    """What differs from what was sealed."""
    sent, names, sheets = marks_of(marks)
    if sent == fingerprint(content):
        return Changes(same=True)
    added = [sheet for sheet in content.sheets if sheet not in sheets]
    renamed = dict(_renamed(content, sheets, added))
    return Changes(
        same=False,
        cells=tuple(change for now in content.sheets for change in _of_sheet(content, sheets, renamed, now)),
        sheets_added=tuple(sheet for sheet in added if sheet not in renamed),
        sheets_missing=tuple(
            sheet for sheet in sheets if sheet not in content.sheets and sheet not in renamed.values()
        ),
        sheets_renamed=tuple((sent, now) for now, sent in renamed.items()),
        names=tuple(_names(content, names, renamed)),
    )


def _renamed(
    content: Content, sheets: Mapping[str, Mapping[Position, str]], added: Sequence[str]
) -> Iterator[tuple[str, str]]:
    """Sheets that say mostly what a missing one said: name now, name as sent."""
    free = list(added[:_MOST_COMPARED])
    for sent, marks in sheets.items():
        if sent in content.sheets or not marks:
            continue
        alike = {now: _alike(content, sent, now, marks) for now in free}
        best = max(alike, key=lambda now: alike[now], default="")
        if best and 2 * alike[best] >= len(marks):
            free.remove(best)
            yield best, sent


def _alike(content: Content, sent: str, now: str, marks: Mapping[Position, str]) -> int:
    """How many cells say what they said, if the sheet was only renamed."""
    cells = content.sheets[now]
    return sum(
        digest_of_cell(sent, *place, _named_as_sent(cells.get(place, ""), {now: sent})) == mark
        for place, mark in marks.items()
    )


def _of_sheet(
    content: Content, sheets: Mapping[str, Mapping[Position, str]], renamed: Mapping[str, str], now: str
) -> Iterator[CellChange]:
    sent = renamed.get(now, now)
    marks, cells = sheets.get(sent), content.sheets[now]
    if marks is None:
        return
    for place in sorted(marks.keys() | cells.keys()):
        change: Change = "added" if place not in marks else "missing" if place not in cells else "changed"
        if change == "changed":
            spelled = _named_as_sent(cells[place], renamed)
            if digest_of_cell(sent, *place, spelled) == marks[place]:
                continue
        yield CellChange(sheet=now, row=place[0], column=place[1], change=change)


def _named_as_sent(spelled: str, renamed: Mapping[str, str]) -> str:
    """A formula with the sheets' names as they were."""
    if spelled.startswith("="):
        for now, sent in renamed.items():
            spelled = formula_names_sheet(spelled, now, sent)
    return spelled


def _names(content: Content, marks: Mapping[str, str], renamed: Mapping[str, str]) -> Iterator[str]:
    for name in sorted(marks.keys() | {name for name in content.names if is_choice(name)}):
        sheet, _, where = content.names.get(name, "").rpartition("!")
        if name not in marks or digest(name, f"{renamed.get(sheet, sheet)}!{where}") != marks[name]:
            yield name
