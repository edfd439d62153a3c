"""Where a new page starts, so that no block that fits on one page is cut in two.

A block is a row with every row it is kept with. Pages are measured as Letter, the shorter paper, so both hold them.
"""

from __future__ import annotations

from collections.abc import Iterator, Sequence

from quotekit.documents.sheet import Page, Row, with_break

_LETTER_HEIGHT = 792.0
_ONE_LINE = 13.5
_SAFE = 0.99
_TALL = 60.0


def with_page_breaks(rows: Sequence[Row], page: Page, repeat_below: int | None = None) -> tuple[Row, ...]:
    """The rows with page breaks set; below row `repeat_below` each further page loses the repeated rows' height."""
    whole = (_LETTER_HEIGHT - (page.top + page.bottom) * 72) * _SAFE
    repeated = sum(_height(row) for row in rows[page.repeat_from : page.repeat_from + page.repeat_rows])
    done: list[Row] = []
    used = 0.0
    for block in _blocks(rows, whole - repeated):
        height = sum(map(_height, block))
        if done and used + height > whole:
            block = [with_break(block[0]), *block[1:]]
            used = repeated if repeat_below is not None and len(done) > repeat_below else 0.0
        used += height
        done.extend(block)
    return tuple(done)


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
