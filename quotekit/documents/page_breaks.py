"""Where a new page starts, so that no block that fits on one page is cut in two.

A block is a row with every row it is kept with. Pages are measured as Letter unless told otherwise: the shorter paper,
so that both hold them.
"""

from __future__ import annotations

from collections.abc import Iterator, Mapping, Sequence
from dataclasses import replace

from quotekit.documents.sheet import Page, Paper, Row, with_break

_HEIGHTS: dict[Paper, float] = {"Letter": 792.0, "A4": 841.8}
_ONE_LINE = 13.5
_SAFE = 0.99
_TALL = 60.0


def with_page_breaks(
    rows: Sequence[Row],
    page: Page,
    tables: Sequence[range] = (),
    paper: Paper = "Letter",
    again: Mapping[int, Row] | None = None,
) -> tuple[Row, ...]:
    """The rows with a break wherever an upright page of this paper is full."""
    return with_breaks_each((_HEIGHTS[paper] - (page.top + page.bottom) * 72) * _SAFE, rows, tables, again)


def with_breaks_each(
    whole: float, rows: Sequence[Row], tables: Sequence[range] = (), again: Mapping[int, Row] | None = None
) -> tuple[Row, ...]:
    """The rows with a break each so many points; inside a table the table's first row is said again there.

    `again` has shorter rows to say in place of a first row, by its number.
    """
    shorter = again or {}
    done: list[Row] = []
    used, number = 0.0, 0
    for block in _blocks(rows, whole - max((_height(rows[table.start]) for table in tables), default=0.0)):
        height = sum(map(_height, block))
        if done and used + height > whole:
            header = [shorter.get(at, rows[at]) for at in _headers_at(number, tables)]
            header = [replace(row, keep_with_next=True) for row in header]
            start = [*header, *block]
            done += [with_break(start[0]), *start[1:]]
            used = height + sum(map(_height, header))
        else:
            done += block
            used += height
        number += len(block)
    return tuple(done)


def pages_of(rows: Sequence[Row]) -> int:
    """How many pages rows with breaks print on."""
    return 1 + sum(row.break_before for row in rows)


def _headers_at(number: int, tables: Sequence[range]) -> list[int]:
    """First rows of the tables that a row stands in."""
    return [table.start for table in tables if table.start < number < table.stop]


def _blocks(rows: Sequence[Row], most: float) -> Iterator[list[Row]]:
    """Rows kept together; a block too tall for a page as far as its first tall row, then row by row."""
    block: list[Row] = []
    for number, row in enumerate(rows, start=1):
        block.append(row)
        if number == len(rows) or not row.keep_with_next:
            tall = sum(map(_height, block)) > most
            head = (
                next((n for n, part in enumerate(block, start=1) if _height(part) > _TALL), 2) if tall else len(block)
            )
            yield block[:head]
            yield from ([part] for part in block[head:])
            block = []


def _height(row: Row) -> float:
    return _ONE_LINE if row.height is None else row.height
