"""Every number of the costing with its rule in short and links to the cells it is worked out from.

A row a figure, named as `quotekit explain --figure` takes it; its cells are those on the way down to the next figure
that has a row of its own.
"""

from __future__ import annotations

from collections.abc import Iterator, Mapping, Sequence

from quotekit.documents.cell_links import Addresses, linked
from quotekit.documents.costing_sources import short_place
from quotekit.documents.costing_style import head, note, section, sheet
from quotekit.documents.explanation_text import value_words, without_section
from quotekit.documents.sheet import Cell, Row, Sheet, blank, row, text
from quotekit.model.explanation import Explanation, in_order
from quotekit.model.quote import Quote
from quotekit.problems import Place

COLUMNS, SIDE_BY_SIDE = 7, 4
MOST_TOGETHER = 6 * SIDE_BY_SIDE
"""Cells of one figure that are kept on one page, where its name stands."""
ONE_LINE_POINTS = 12.0
_ONE_LINE = (17, 6, 23, 8, 8, 8, 8)
"""Letters that fit one line of each column even if all of them are wide."""
WIDTHS = (25.0, 9.0, 32.0, 14.0, 14.0, 14.0, 14.0)

_GROUPS = ("hours", "parts", "amounts", "bundles", "taxes")
_ALONE = frozenset({"work", "subtotal", "tax", "total", "deposit", "due", "ready_days"})
_NOT_SHOWN = (".part", ".bundle", ".tax", ".packs", ".quantity", ".unit_price")
"""A part has one row, with the cells of its price and of its quantity."""

Trees = Mapping[str, tuple[Explanation, ...]]
"""Explained figures by the code of their tier."""


def shown(figure: str) -> bool:
    """True for a figure that has a row here: what the customer pays, and what that is made of.

    >>> shown("parts.SEAL.amount"), shown("parts.SEAL.quantity"), shown("cost.total")
    (True, False, False)
    """
    return figure in _ALONE or (figure.partition(".")[0] in _GROUPS and not figure.endswith(_NOT_SHOWN))


def lay_out_explained(quote: Quote, trees: Trees, name: str, addresses: Addresses) -> Sheet:
    """The sheet, a section a tier."""
    rows = [
        row(text("Every number", "title", COLUMNS)),
        note(_about(quote, bool(addresses)), COLUMNS),
        head("Figure", "Value", "Rule", ("Cells", SIDE_BY_SIDE), right=(1,)),
        *(
            line
            for tier in quote.tiers
            if tier.code in trees
            for line in _tier(quote, tier.name, trees[tier.code], addresses)
        ),
    ]
    return sheet(quote, name, rows, WIDTHS, one_head=True)


def _about(quote: Quote, links: bool) -> str:
    where = "A click on a cell opens it" if links else "The cells are named"
    return (
        f"{where}; `job` means {quote.job.file}, the others are in {quote.book.file}. What else decides a number, and "
        "all it is made of: quotekit explain BOOK JOB --tier TIER --figure FIGURE."
    )


def _tier(quote: Quote, name: str, trees: Sequence[Explanation], addresses: Addresses) -> Iterator[Row]:
    yield from section(name, COLUMNS)
    figures = frozenset(tree.figure for tree in trees)
    for tree in trees:
        if isinstance(tree.value, tuple):
            continue
        cells = [linked(place, short_place(place, quote), addresses) for place in _own_cells(tree, figures)]
        yield from _rows(tree, cells)


def _rows(tree: Explanation, cells: Sequence[Cell]) -> Iterator[Row]:
    """One row, and more where the cells need them."""
    for start in range(0, max(1, len(cells)), SIDE_BY_SIDE):
        more = start + SIDE_BY_SIDE < len(cells) <= MOST_TOGETHER
        beside = [*cells[start : start + SIDE_BY_SIDE]]
        beside += [blank("cell")] * (SIDE_BY_SIDE - len(beside))
        if start:
            yield _line((blank(), blank("right"), blank("beside"), *beside), more)
        else:
            rule = without_section(tree.rule)
            yield _line((text(tree.figure), text(value_words(tree), "right"), text(rule, "beside"), *beside), more)


def _line(cells: tuple[Cell, ...], keep: bool) -> Row:
    """A row of one line where that is plain to see; else it is measured."""
    lengths = [len(cell.content) if isinstance(cell.content, str) else 0 for cell in cells]
    short = all(length <= most for length, most in zip(lengths, _ONE_LINE, strict=True))
    return Row(cells=cells, height=ONE_LINE_POINTS if short else None, keep_with_next=keep)


def _own_cells(tree: Explanation, figures: frozenset[str]) -> tuple[Place, ...]:
    """Cells of a figure down to the next ones that have a row of their own."""
    found: list[Place] = []
    waiting, seen = [tree], {id(tree)}
    while waiting:
        node = waiting.pop()
        found += node.cells
        for one in node.inputs:
            if id(one) not in seen and one.figure not in figures:
                seen.add(id(one))
                waiting.append(one)
    return in_order(place for place in found if place.cell)
