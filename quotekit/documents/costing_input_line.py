"""One input of a quote for people: what it belongs to, which input, its value, its cell."""

from __future__ import annotations

from collections.abc import Iterator, Sequence
from datetime import date
from decimal import Decimal
from typing import NamedTuple

from quotekit.documents.costing_sources import where
from quotekit.documents.quote_json import plain
from quotekit.model.quote import Quote
from quotekit.model.shop_book import Quantity
from quotekit.model.source import Source
from quotekit.problems import Place

DEFAULT = "default"
"""In place of a cell: the book has none, the value is the one that holds when nothing is said."""


class InputLine(NamedTuple):
    """A row of the Inputs sheet."""

    what: str
    column: str
    value: str
    cell: str
    place: Place | None = None
    """Where the cell is; None for a default."""


def value_words(value: object, percent: bool = False) -> str:
    """A value as the sheet shows it; empty for a blank cell.

    >>> value_words(Decimal("0.150"), percent=True), value_words(Decimal("2.50")), value_words(True), value_words(None)
    ('15 %', '2.5', 'Yes', '')
    """
    if isinstance(value, bool):
        return "Yes" if value else "No"
    if isinstance(value, Decimal):
        return f"{plain(value * 100)} %" if percent else plain(value)
    if isinstance(value, date):
        return value.isoformat()
    if isinstance(value, tuple | list | frozenset):
        return _listed(value)
    return "" if value is None else str(value)


def lines_of_row(
    quote: Quote, what: str, source: Source, cells: Sequence[tuple[str, object]], *, percents: Sequence[str] = ()
) -> Iterator[InputLine]:
    """A line for each cell of a row that holds something."""
    for column, value in cells:
        words = value_words(value, percent=column in percents)
        if words:
            yield InputLine(what, column, words, where(source, column, quote) or DEFAULT, source.place(column))


def _listed(values: tuple[object, ...] | list[object] | frozenset[object]) -> str:
    entries = sorted(values, key=str) if isinstance(values, frozenset) else values
    return "; ".join(
        f"{entry.code} x {plain(entry.quantity)}" if isinstance(entry, Quantity) else str(entry) for entry in entries
    )
