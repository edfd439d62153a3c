"""Cells in few words: `Parts!D14:E15, H3; Shop!B4`, only cells that touch are put together."""

from __future__ import annotations

from collections.abc import Iterable, Mapping
from itertools import groupby

from quotekit.documents.column_letters import column_letters
from quotekit.model.explanation import in_order
from quotekit.problems import Place

Box = tuple[int, int, int, int]
"""First column, first row, last column, last row."""


def range_words(places: Iterable[Place], files: Mapping[str, str] | None = None) -> str:
    """All cells, file by file and sheet by sheet; `files` says what stands for a file's name.

    >>> range_words(Place("b.xlsx", "Parts", cell) for cell in ("D14", "D15", "E14", "E15", "H3"))
    'b.xlsx: Parts!D14:E15, H3'
    >>> range_words([Place("j.xlsx", "Job", "B4"), Place("j.xlsx", "Findings", "A3")], {"j.xlsx": "job "})
    'job Findings!A3; job Job!B4'
    """
    short = files or {}
    by_file = groupby(in_order(places), key=lambda place: place.file)
    return "; ".join(_file(short.get(name, f"{name}: "), list(of_file)) for name, of_file in by_file)


def _file(start: str, places: list[Place]) -> str:
    sheets = groupby((place for place in places if place.sheet), key=lambda place: place.sheet)
    found = [_sheet(sheet, [place.cell for place in of_sheet if place.cell]) for sheet, of_sheet in sheets]
    if not found:
        return start.strip(": ") or places[0].file
    if start.endswith(": "):
        return f"{start}{'; '.join(found)}"
    return "; ".join(f"{start}{words}" for words in found)


def _sheet(name: str, cells: list[str]) -> str:
    if not cells:
        return name
    return f"{name}!{', '.join(_box_words(box) for box in boxes(cells))}"


def boxes(cells: Iterable[str]) -> list[Box]:
    """The fewest runs down a column, then runs of the same rows side by side.

    >>> boxes(["A1", "A2", "B1", "B2", "D1"])
    [(1, 1, 2, 2), (4, 1, 4, 1)]
    """
    rows: dict[int, list[int]] = {}
    for cell in cells:
        column, row = _parts(cell)
        rows.setdefault(column, []).append(row)
    runs = [(column, top, column, bottom) for column in sorted(rows) for top, bottom in _runs(sorted(rows[column]))]
    merged: list[Box] = []
    for box in runs:
        beside = next((i for i, one in enumerate(merged) if _touch(one, box)), None)
        if beside is None:
            merged.append(box)
        else:
            merged[beside] = (*merged[beside][:2], *box[2:])
    return merged


def _runs(rows: list[int]) -> list[tuple[int, int]]:
    found: list[tuple[int, int]] = []
    for row in rows:
        if found and found[-1][1] in (row, row - 1):
            found[-1] = (found[-1][0], row)
        else:
            found.append((row, row))
    return found


def _touch(one: Box, other: Box) -> bool:
    """The other stands right beside it, over the same rows."""
    return one[2] + 1 == other[0] and (one[1], one[3]) == (other[1], other[3])


def _parts(cell: str) -> tuple[int, int]:
    letters = cell.rstrip("0123456789")
    column = 0
    for letter in letters:
        column = column * 26 + ord(letter) - 64
    return column, int(cell[len(letters) :])


def _box_words(box: Box) -> str:
    first, last = f"{column_letters(box[0])}{box[1]}", f"{column_letters(box[2])}{box[3]}"
    return first if first == last else f"{first}:{last}"
