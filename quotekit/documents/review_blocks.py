"""Sheets of the review: tables with charts below them, one block after the other, none cut where a page can hold it."""

from __future__ import annotations

from collections.abc import Callable, Iterable, Sequence
from dataclasses import replace
from typing import Literal

from quotekit.documents.column_letters import column_letters
from quotekit.documents.costing_style import PAGE_POINTS, WIDEST, fit
from quotekit.documents.sheet import Chart, Page, Row, Series, Sheet, blank, row, with_break
from quotekit.documents.shop_page import shop_page
from quotekit.model.review import Review
from quotekit.record import record

ROW_POINTS = 12.75
CHART_POINTS = 165.0
_BEGINNING = 14 * ROW_POINTS
"""What a list that flows on needs of a page to begin there."""
_PIXELS_A_POINT = 4 / 3
_PIXELS_A_LETTER = 7.0

Bars = Literal["", "upright", "lying"]


@record
class Block:
    """Rows that belong together; each chart is made once it is known in which row (0-based) the block begins."""

    rows: tuple[Row, ...]
    charts: tuple[Callable[[int], Chart], ...] = ()


@record
class Drawing:
    """A chart of a table: titles in one row, names in the first column, values below their titles."""

    title: str
    head: int
    """Row of the titles within the block."""
    count: int
    """Rows of values."""
    names: int = 0
    """Column of the names."""
    values: tuple[int, ...]
    """Columns of the values."""
    bars: Bars = "upright"
    number_format: str = ""
    below_zero: bool = False
    alt: str = ""
    shown: bool = True
    """False where there is nothing to draw."""


def block(rows: Iterable[Row], widths: Sequence[float], drawings: Sequence[Drawing] = (), *, sheet: str = "") -> Block:
    """Rows tall enough for their texts, with a space below for charts side by side.

    A table with charts has rows of one line: their places are counted before they are made tall.
    """
    fitted = [piece for line in rows for piece in fit(line, widths)]
    drawings = [drawing for drawing in drawings if drawing.shown]
    if not drawings:
        return Block(rows=tuple(fitted))
    space = len(fitted)
    fitted.append(row(blank(across=len(widths)), height=CHART_POINTS))
    wide = sum(widths) * _PIXELS_A_LETTER / len(drawings)
    made = tuple(
        _maker(drawing, sheet, space, _column_at(widths, place, len(drawings)), int(wide) - 12)
        for place, drawing in enumerate(drawings)
    )
    return Block(rows=tuple(fitted), charts=made)


def lay_out_blocks(
    review: Review, name: str, widths: Sequence[float], blocks: Iterable[Block], *, head: int = 0
) -> Sheet:
    """A sheet of blocks; `head` counts the rows before the titles of the last block, which every page of it repeats.

    A last block of that kind flows on to further pages, so it begins where some of its rows find room.
    """
    blocks = tuple(blocks)
    rows: list[Row] = []
    charts: list[Chart] = []
    used = 0.0
    last = 0
    for place, each in enumerate(blocks, start=1):
        tall = sum(_points(line) for line in each.rows)
        wanted = min(tall, _BEGINNING) if head and place == len(blocks) else tall
        fresh = bool(rows) and used + wanted > PAGE_POINTS and used > 0
        last = len(rows)
        charts += [make(last) for make in each.charts]
        rows += (with_break(each.rows[0]), *each.rows[1:]) if fresh else each.rows
        used = (tall if fresh else used + tall) % PAGE_POINTS
    setup = page_of(review, name)
    if head:
        setup = replace(setup, repeat_rows=1, repeat_from=last + head)
    return Sheet(name=name, rows=tuple(rows), widths=tuple(widths), page=setup, charts=tuple(charts))


def page_of(review: Review, name: str) -> Page:
    """On its side, one page wide, for the shop only."""
    days = f"{review.span.first.isoformat()} to {review.span.last.isoformat()}"
    return shop_page(name, f"review {days}", shop_name=review.shop_name, language=review.language)


def equal(columns: int) -> tuple[float, ...]:
    """Columns of one width over the whole page."""
    return (WIDEST / columns,) * columns


def cells(sheet: str, column: int, first: int, last: int) -> str:
    """Cells of a column, rows 0-based, as a chart names them.

    >>> cells("Quotes", 1, 4, 4), cells("Quotes", 0, 5, 9)
    ("='Quotes'!$B$5", "='Quotes'!$A$6:$A$10")
    """
    letter = column_letters(column + 1)
    ends = ":".join(f"${letter}${line + 1}" for line in dict.fromkeys((first, last)))
    return f"='{sheet}'!{ends}"


def _maker(drawing: Drawing, sheet: str, space: int, column: int, width: int) -> Callable[[int], Chart]:
    def make(start: int) -> Chart:
        head, first, last = start + drawing.head, start + drawing.head + 1, start + drawing.head + drawing.count
        return Chart(
            row=start + space,
            column=column,
            width=width,
            height=int(CHART_POINTS * _PIXELS_A_POINT) - 4,
            title=drawing.title,
            categories=cells(sheet, drawing.names, first, last),
            series=tuple(
                Series(name=cells(sheet, each, head, head), values=cells(sheet, each, first, last))
                for each in drawing.values
            ),
            number_format=drawing.number_format,
            alt=drawing.alt or drawing.title,
            bars=drawing.bars,
            below_zero=drawing.below_zero,
        )

    return make


def _column_at(widths: Sequence[float], place: int, count: int) -> int:
    """The column in which a chart begins that has so many before it."""
    wanted, passed = sum(widths) * place / count, 0.0
    for number, width in enumerate(widths):
        if passed >= wanted - width / 2:
            return number
        passed += width
    return 0


def _points(line: Row) -> float:
    return ROW_POINTS if line.height is None else line.height
