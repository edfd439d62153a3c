"""The answer to what a cell is: a title, a text for a person, and cells to go to from there."""

from __future__ import annotations

from collections.abc import Iterable, Sequence
from typing import Any

from quotekit.cli.answers.request import Document
from quotekit.problems import Place
from quotekit.record import record

MOST_PLACES = 300
"""Cells in the list: more are counted."""


@record
class Spot:
    """A cell to go to, with what it is."""

    place: Place
    words: str = ""


@record
class ToldCell:
    """What is told of a cell."""

    title: str
    paragraphs: tuple[str, ...]
    spots: tuple[Spot, ...] = ()


def told_cell(told: ToldCell, workbooks: Iterable[Document], job: Document | None = None) -> dict[str, Any]:
    """As the spreadsheet shows it; `file` and `path` of a cell say which workbook it is in, `job` before it too."""
    by_name = {one.copy.name: one for one in workbooks}
    job_name = job.copy.name if job is not None else ""
    listed = told.spots[:MOST_PLACES]
    more = len(told.spots) - len(listed)
    paragraphs = [*told.paragraphs, *([f"{more} more cells are not listed."] if more else [])]
    return {
        "title": told.title,
        "text": "\n\n".join(paragraph for paragraph in paragraphs if paragraph),
        "places": [_place(spot, by_name.get(spot.place.file), job_name) for spot in listed],
    }


def _place(spot: Spot, document: Document | None, job: str) -> dict[str, Any]:
    place = spot.place
    at = f"{'job ' if job and place.file == job else ''}{'!'.join(word for word in (place.sheet, place.cell) if word)}"
    return {
        "words": f"{at}: {spot.words}" if spot.words else at,
        "file": place.file,
        "path": str(document.path) if document is not None and document.path is not None else None,
        "sheet": place.sheet,
        "cell": place.cell,
    }


def bullets(lines: Sequence[str], most: int = 12) -> str:
    """Lines under each other, the first so many.

    >>> bullets(["a", "b", "c"], 2)
    '  a\\n  b\\n  and 1 more'
    """
    more = [f"and {len(lines) - most} more"] if len(lines) > most else []
    return "\n".join(f"  {line}" for line in [*lines[:most], *more])
