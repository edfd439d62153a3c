"""The workbook of proposed times: a row for each cell of the shop book, with a cell to tick.

The headers are those by which the reader finds them again. Nothing is ticked in advance, and nothing changes by itself.
"""

from __future__ import annotations

from collections.abc import Iterator
from dataclasses import replace

from quotekit.documents.costing_style import LOOKS, head, note
from quotekit.documents.review_blocks import page_of
from quotekit.documents.review_book import review_formats
from quotekit.documents.review_words import KIND_WORDS, days_words
from quotekit.documents.sheet import Cell, Look, Properties, Row, Sheet, WorkbookValue, blank, row, text
from quotekit.documents.sheet import number as number_cell
from quotekit.documents.text_fit import fitted
from quotekit.model.review import Change, Proposal, Review

NAME = "Proposals"
HEADERS = ("Take over", "Sheet", "Code", "Column", "Now", "New")
"""What is read back."""
_BESIDE = ("From", "To", "Jobs", "Ratio", "Operation, step or condition")
_WIDTHS = (9.0, 11.0, 13.0, 16.0, 8.0, 8.0, 8.0, 8.0, 7.0, 8.0, 26.0)
_LOOKS = {**LOOKS, "tick": Look(size=9, align="center", box=True, unlocked=True)} | {
    "typed": Look(size=9, align="right", box=True, unlocked=True)
}


def lay_out_proposals(review: Review) -> WorkbookValue:
    """The workbook; without a proposal for a cell of the book there is none to write."""
    rows = tuple(_tall(line) for line in _rows(review))
    above = next(place for place, line in enumerate(rows) if line.cells[0].content == HEADERS[0])
    setup = replace(page_of(review, NAME), repeat_rows=1, repeat_from=above)
    sheet = Sheet(name=NAME, rows=rows, widths=_WIDTHS, page=setup, frozen_rows=above + 1, protected=True)
    properties = Properties(
        title="Proposed times", subject="For the shop only", author=review.shop_name, created=review.span.last
    )
    return WorkbookValue(sheets=(sheet,), properties=properties, formats=review_formats(review), looks=_LOOKS)


def _tall(line: Row) -> Row:
    """A row as tall as its texts."""
    return line if line.height is not None else fitted(line.cells, _WIDTHS, _LOOKS)


def has_cells(review: Review) -> bool:
    """True where a proposal is for a cell of the shop book."""
    return any(one.changes for one in review.proposals)


def _rows(review: Review) -> Iterator[Row]:
    columns = len(_WIDTHS)
    yield row(text(f"Proposed times, {days_words(review)}", "title", columns))
    yield note(
        "Type Yes beside what you take over; New may be typed over. Then run: quotekit take-over, this file, the shop "
        "book. It writes a new shop book beside the old one and keeps the old values on a sheet of their own. With "
        "--in-place after it, it changes the ticked cells of the shop book itself, and keeps the old one as a copy.",
        columns,
    )
    yield note(
        "With 95 % confidence the true value lies between From and To, for all rows of a kind together. Rusty jobs, "
        "jobs at the minimum, comebacks and split hours moved no time. An allowance is a share: 0.25 is 25 %.",
        columns,
    )
    yield row(blank(across=columns), height=8)
    yield head(*HEADERS, *_BESIDE, right=range(4, 10))
    for one in review.proposals:
        for change in one.changes:
            yield _row(one, change)


def _row(one: Proposal, change: Change) -> Row:
    tick = Cell(kind="blank", style="tick", choices="Yes,No", prompt="Yes takes the new value over.")
    return row(
        tick,
        text(change.sheet),
        text(change.code),
        text(change.column),
        number_cell(change.in_force, kind="hours"),
        number_cell(change.new, "typed", kind="hours"),
        number_cell(change.low, kind="hours"),
        number_cell(change.high, kind="hours"),
        number_cell(one.jobs),
        Cell(content=one.shrunk, kind="number", style="number", format="0.00"),
        text(f"{one.name} ({KIND_WORDS[one.kind]})", "beside"),
    )
