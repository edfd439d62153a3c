"""The columns a customer's sheet stands on, and its ways to make rows.

Two columns for labels, one for each option, one for a no: as wide as the paper between its margins.
"""

from __future__ import annotations

from collections.abc import Iterable, Iterator, Mapping, Sequence
from dataclasses import field, replace
from decimal import Decimal
from functools import cached_property

from quotekit.documents.customer_looks import LOOKS
from quotekit.documents.sheet import Cell, Look, Paper, Row, blank, text
from quotekit.documents.text_fit import characters_for, fitted, in_pieces, width_of
from quotekit.documents.wording import DECLINE
from quotekit.record import record

_ROOM: Mapping[Paper, float] = {"Letter": 99.5, "A4": 96.5}
"""Characters between margins of 10 mm where a program draws columns wide (5.56 points a character), so none shrinks."""
_EDGE = 0.72
"""What each column has beside its characters."""
_USUAL = {1: 15.0, 2: 13.0}
_CLOSE = 10.5
_LEAST_LABEL = 32
_BLOCK = 90.0
_AIR, _TIGHT_AIR = 4.5, 2.25


@record
class Grid:
    """A label column and equal columns for options and a no; `least` characters for the longest amount."""

    options: int
    least: int = 10
    paper: Paper = "A4"
    looks: Mapping[str, Look] = field(default_factory=lambda: LOOKS)
    tight: bool = False
    """Less air and smaller pictures, where paper is short."""

    @cached_property
    def widths(self) -> tuple[float, ...]:
        """Widths in characters, label first, `If you decline` last."""
        each = max(_USUAL.get(self.options, _CLOSE), self.least)
        narrow = characters_for(DECLINE, self.looks["label"])
        whole = _ROOM[self.paper] - _EDGE * self.columns
        label = max(whole - each * (self.options + 1), _LEAST_LABEL)
        return (narrow, label - narrow, *(each for _ in range(self.options + 1)))

    @property
    def columns(self) -> int:
        """How many columns there are."""
        return self.options + 3

    def fit(self, *cells: Cell, keep: bool = False, least: float = 0) -> Row:
        """A row tall enough for its texts."""
        return fitted(cells, self.widths, self.looks, keep=keep, least=least)

    def paragraph(self, content: str, style: str = "body", *, keep: bool = False) -> Iterator[Row]:
        """A text over all columns, in several rows where it is very long; nothing where it is empty."""
        yield from self.beside((content,), (self.columns,), (style,), keep=keep)

    def beside(
        self, contents: Sequence[str], across: Sequence[int], styles: Sequence[str], *, keep: bool = False
    ) -> Iterator[Row]:
        """Texts side by side, each over some columns; a very long one goes on in rows below."""
        if not any(contents):
            return
        starts = [sum(across[:i]) for i in range(len(across))]
        pieces = [
            list(in_pieces(content, self._points(start, wide), self.looks[style]))
            for content, start, wide, style in zip(contents, starts, across, styles, strict=True)
        ]
        for i in range(max(map(len, pieces))):
            cells = [
                text(piece[i] if i < len(piece) else "", style, wide)
                for piece, wide, style in zip(pieces, across, styles, strict=True)
            ]
            yield self.fit(*cells, keep=keep)

    def heading(self, content: str) -> Iterator[Row]:
        """Some air, then a heading that stays with what follows it."""
        yield self.gap()
        yield self.fit(text(content, "heading", self.columns), keep=True)

    def section(self, title: str) -> Iterator[Row]:
        """A section title with the options' numbers again, for whoever has scrolled past their names."""
        numbers = [text(f"Option {n}", "section right") for n in range(1, self.options + 1)]
        yield from self.titled(title, (*numbers, text(DECLINE, "section right")))

    def titled(self, title: str, cells: Iterable[Cell]) -> Iterator[Row]:
        """A section title with a cell for each option and for a no."""
        yield self.gap()
        yield self.fit(label_cell(title, "section"), *cells, keep=True)

    def gap(self) -> Row:
        """A little air, kept with what follows."""
        return Row(cells=(blank("gap", self.columns),), height=_TIGHT_AIR if self.tight else _AIR, keep_with_next=True)

    def line(self, label: str, answers: Iterable[Cell], style: str = "line", *, keep: bool = False) -> Iterator[Row]:
        """A label and a cell for each option and for a no."""
        cells = tuple(answers)
        pieces = list(in_pieces(label, self._points(0, 2), self.looks[style]))
        for piece in pieces[:-1]:
            yield self.fit(label_cell(piece, style), *(blank(cell.style) for cell in cells), keep=True)
        yield self.fit(label_cell(pieces[-1], style), *cells, keep=keep)

    def pairs(self, label: str, content: str, *, style: str = "fact", keep: bool = False) -> Iterator[Row]:
        """A label and its text beside it."""
        if content:
            yield from self.beside((label, content), (1, self.columns - 1), ("label", style), keep=keep)

    def together(self, rows: Iterable[Row]) -> Iterator[Row]:
        """Rows kept on one page where they are few; of many, the first few and the last few."""
        held = list(rows)
        few = sum(row.height or 0 for row in held) <= _BLOCK
        for number, row in enumerate(held, start=1):
            inside = few or number <= 4 or number >= len(held) - 1
            yield replace(row, keep_with_next=number < len(held) and (inside or row.keep_with_next))

    def whole(self, rows: Iterable[Row]) -> Iterator[Row]:
        """Rows kept on one page, however many."""
        held = list(rows)
        for number, row in enumerate(held, start=1):
            yield replace(row, keep_with_next=number < len(held))

    def _points(self, start: int, across: int) -> Decimal:
        return width_of(sum(self.widths[start : start + across]), across) - 12


def label_cell(content: str, style: str) -> Cell:
    """A label over both label columns."""
    return text(content, style, 2)
