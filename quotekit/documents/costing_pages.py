"""Pages of a costing sheet: each begins with the titles of the columns it goes on with.

A sheet of one table has one head, which the program that prints repeats. On a sheet of several tables the head of the
table that a page cuts is said again in a row of its own, since a program can repeat one only.
"""

from __future__ import annotations

from collections.abc import Iterator, Sequence

from quotekit.documents.page_breaks import with_breaks_each
from quotekit.documents.sheet import Row


def in_pages(rows: Sequence[Row], points: float, repeated: int | None = None) -> tuple[Row, ...]:
    """The rows with a new page wherever so many points are full; `repeated` is the row that the program repeats."""
    if repeated is None:
        return with_breaks_each(points, rows, list(_tables(rows)))
    return with_breaks_each(points - (rows[repeated].height or 0.0), rows)


def standing_head(rows: Sequence[Row]) -> int:
    """The number of the first head."""
    return next(number for number, line in enumerate(rows) if _is_head(line))


def _tables(rows: Sequence[Row]) -> Iterator[range]:
    """Each head with its rows: up to the next head or section, sentences at the end left out."""
    start, stop = -1, 0
    for number, line in enumerate(rows):
        if _is_head(line) or _is_section(line):
            if stop:
                yield range(start, stop)
            start, stop = (number if _is_head(line) else -1), 0
        elif start >= 0 and len(line.cells) > 1:
            stop = number + 1
    if stop:
        yield range(start, stop)


def _is_head(line: Row) -> bool:
    return bool(line.cells) and all(cell.style.startswith("head") for cell in line.cells)


def _is_section(line: Row) -> bool:
    return bool(line.cells) and line.cells[0].style == "section"
