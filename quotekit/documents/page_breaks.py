"""Where a new page starts, so that no block that fits on one page is cut in two.

A block is a row with every row it is kept with. Pages are measured as Letter, the shorter paper, so both hold them.
"""

from __future__ import annotations

from collections.abc import Iterator, Sequence

from quotekit.documents.sheet import Page, Row, with_break

_LETTER_HEIGHT = 792.0
_ONE_LINE = 13.5
_SAFE = 0.97


def with_page_breaks(rows: Sequence[Row], page: Page, repeat_below: int | None = None) -> tuple[Row, ...]:
    """The rows with page breaks set; below row `repeat_below` each further page loses the repeated rows' height."""
    whole = (_LETTER_HEIGHT - (page.top + page.bottom) * 72) * _SAFE
    repeated = sum(_height(row) for row in rows[page.repeat_from : page.repeat_from + page.repeat_rows])
    done: list[Row] = []
    used = 0.0
    for block in _blocks(rows):
        height = sum(map(_height, block))
        later = repeat_below is not None and len(done) > repeat_below
        room = whole - (repeated if later else 0)
        if done and used + height > whole and (height <= room or used > whole * 0.8):
            block = [with_break(block[0]), *block[1:]]
            used = repeated if later else 0.0
        for row in block:
            used = used + _height(row) if used + _height(row) <= whole else _height(row) + (repeated if later else 0.0)
        done.extend(block)
    return tuple(done)


def _blocks(rows: Sequence[Row]) -> Iterator[list[Row]]:
    block: list[Row] = []
    for row in rows:
        block.append(row)
        if not row.keep_with_next:
            yield block
            block = []
    if block:
        yield block


def _height(row: Row) -> float:
    return _ONE_LINE if row.height is None else row.height
