"""What was changed in the owner's own shop book, as lines on a screen and as JSON: old and new, cell by cell."""

from __future__ import annotations

import re
from collections.abc import Iterable, Iterator
from datetime import date, timedelta
from typing import Any

from quotekit.model.changed_file import CalculatedCell, Changed, ChangedCell, ChangedFile, Content
from quotekit.model.entries import Entry

_DAYS = ("Cost date", "Dated")
"""Columns whose numbers are days."""

_ADDRESS = re.compile(r"([A-Z]+)([0-9]+)")


def lay_out_change(changed: ChangedFile) -> Iterator[str]:
    """A line for each changed cell, the results that were worked out again or taken away, and the copy's name."""
    for one in changed.cells:
        old, new = (shown(content, one, changed) for content in (one.old, one.new))
        yield f"{one.sheet}!{one.cell}{_of(one)}: {old} -> {new}"
    worked = [one for one in changed.calculated if not one.emptied]
    for result in worked[:_MOST]:
        yield f"{result.sheet}!{result.cell}, worked out again: {result.old} -> {result.new}"
    if len(worked) > _MOST:
        yield f"and {len(worked) - _MOST} more results worked out again: {', '.join(areas(worked[_MOST:]))}"
    emptied = [one for one in changed.calculated if one.emptied]
    if emptied:
        yield f"{len(emptied)} results that hang on it were taken away: {', '.join(areas(emptied))}"
        yield "Open the workbook in your spreadsheet and save it once before you price with it."
    if changed.kept:
        yield f"The old file is kept as {changed.kept}."


_MOST = 12
"""Results that are told one by one."""


def changed_json(entry: Entry | None) -> dict[str, Any]:
    """The same as JSON, every result named; without a change, everything is empty."""
    body = None if entry is None else entry.told(Changed)
    changed = ChangedFile(file="", before="", after="", kept="") if body is None else body.file
    return {
        "change": None if entry is None else entry.number,
        "entry": None if entry is None else entry.seq,
        "undoes": None if body is None else body.undoes,
        "changed": [
            {
                "sheet": one.sheet,
                "cell": one.cell,
                "code": one.code,
                "supplier": one.supplier,
                "column": one.column,
                "was": _json(one.old, one, changed),
                "is": _json(one.new, one, changed),
            }
            for one in changed.cells
        ],
        "worked_out": [
            {"sheet": one.sheet, "cell": one.cell, "was": _plain(one.old), "is": _plain(one.new)}
            for one in changed.calculated
            if not one.emptied
        ],
        "taken_away": [f"{one.sheet}!{one.cell}" for one in changed.calculated if one.emptied],
        "kept": changed.kept or None,
    }


def shown(content: Content, one: ChangedCell, changed: ChangedFile) -> str:
    """What a cell holds, in words: a day as a date where its column holds days."""
    day = _day(content, one, changed)
    return str(content) if day is None else day.isoformat()


def areas(cells: Iterable[CalculatedCell]) -> list[str]:
    """Cells as areas, those below one another together.

    >>> from quotekit.model.changed_file import NOTHING
    >>> cells = ["B2", "C9", "B3", "B4", "B6"]
    >>> areas([CalculatedCell(sheet="Parts", cell=one, old=NOTHING, new=NOTHING) for one in cells])
    ['Parts!B2:B4', 'Parts!B6', 'Parts!C9']
    """
    rows: dict[tuple[str, int, str], list[int]] = {}
    for one in cells:
        found = _ADDRESS.fullmatch(one.cell)
        letters, row = (found[1], int(found[2])) if found else (one.cell, 0)
        rows.setdefault((one.sheet, len(letters), letters), []).append(row)
    return [text for (sheet, _, letters), of in sorted(rows.items()) for text in _runs(sheet, letters, sorted(of))]


def _runs(sheet: str, letters: str, rows: list[int]) -> Iterator[str]:
    first = last = rows[0]
    for row in [*rows[1:], 0]:
        if row == last + 1:
            last = row
            continue
        yield f"{sheet}!{letters}{first}" + (f":{letters}{last}" if last > first else "")
        first = last = row


def _of(one: ChangedCell) -> str:
    told = ", ".join(filter(None, (one.code, one.column)))
    return f" ({told})" if told else ""


def _json(content: Content, one: ChangedCell, changed: ChangedFile) -> str | None:
    return None if content.kind == "none" else shown(content, one, changed)


def _plain(content: Content) -> str | None:
    return None if content.kind == "none" else str(content)


def _day(content: Content, one: ChangedCell, changed: ChangedFile) -> date | None:
    """The date that a number of a column of days stands for."""
    whole = content.text.partition(".")[0]
    if one.column not in _DAYS or content.kind != "number" or not (whole.isdecimal() and len(whole) < 7):
        return None
    number = int(whole)
    if changed.date_1904:
        return date(1904, 1, 1) + timedelta(days=number)
    return date(1899, 12, 30 if number >= _MARCH_1900 else 31) + timedelta(days=number)


_MARCH_1900 = 61
