"""The columns a customer's sheet stands on, and its ways to make rows.

Two columns for labels, one for each option, one for a no: never wider than the narrower paper.
"""

from __future__ import annotations

from collections.abc import Iterable, Iterator, Sequence
from dataclasses import dataclass, replace
from decimal import Decimal

from quotekit.documents.customer_looks import LOOKS
from quotekit.documents.sheet import Cell, Row, blank, text
from quotekit.documents.text_fit import fitted, in_pieces, width_of
from quotekit.documents.wording import DECLINE

_WHOLE = 95
"""Characters that fit beside each other on A4 between the margins."""
_USUAL = {1: 19, 2: 16, 3: 14}
_LEAST_LABEL = 32
_NARROW = 13
_BLOCK = 280.0


@dataclass(frozen=True, kw_only=True)
class Grid:
    """A label column and equal columns for options and a no; `least` characters for the longest amount."""

    options: int
    least: int = 12

    @property
    def widths(self) -> tuple[float, ...]:
        """Widths in characters, label first, `If you decline` last."""
        each = max(_USUAL.get(self.options, 12), self.least)
        columns = self.options + 1
        label = max(_WHOLE - each * columns, _LEAST_LABEL)
        return (_NARROW, label - _NARROW, *(each for _ in range(columns)))

    @property
    def columns(self) -> int:
        """How many columns there are."""
        return self.options + 3

    def fit(self, *cells: Cell, keep: bool = False, least: float = 0) -> Row:
        """A row tall enough for its texts."""
        return fitted(cells, self.widths, LOOKS, keep=keep, least=least)

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
            list(in_pieces(content, self._points(start, wide), LOOKS[style]))
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
        yield self.fit(text(content, "heading", self.columns), keep=True, least=18)

    def section(self, title: str) -> Row:
        """A section title with the options' numbers again, for whoever has scrolled past their names."""
        numbers = [text(f"Option {n}", "section right") for n in range(1, self.options + 1)]
        return self.fit(label_cell(title, "section"), *numbers, text(DECLINE, "section right"), keep=True, least=19)

    def gap(self, *, keep: bool = True) -> Row:
        """A little air."""
        return Row(cells=(blank("gap", self.columns),), height=6, keep_with_next=keep)

    def line(self, label: str, answers: Iterable[Cell], style: str = "line", *, keep: bool = False) -> Iterator[Row]:
        """A label and a cell for each option and for a no."""
        cells = tuple(answers)
        pieces = list(in_pieces(label, self._points(0, 2), LOOKS[style]))
        for piece in pieces[:-1]:
            yield self.fit(label_cell(piece, style), *(blank(cell.style) for cell in cells), keep=True)
        yield self.fit(label_cell(pieces[-1], style), *cells, keep=keep)

    def pairs(self, label: str, content: str, *, style: str = "fact") -> Iterator[Row]:
        """A label and its text beside it."""
        if content:
            yield from self.beside((label, content), (1, self.columns - 1), ("label", style))

    def together(self, rows: Iterable[Row]) -> Iterator[Row]:
        """Rows kept on one page where they are few; of many, the first few and the last few."""
        held = list(rows)
        few = sum(row.height or 0 for row in held) <= _BLOCK
        for number, row in enumerate(held, start=1):
            inside = few or number <= 3 or number >= len(held) - 2
            yield replace(row, keep_with_next=number < len(held) and (inside or row.keep_with_next))

    def _points(self, start: int, across: int) -> Decimal:
        return width_of(sum(self.widths[start : start + across]), across) - 12


def label_cell(content: str, style: str) -> Cell:
    """A label over both label columns."""
    return text(content, style, 2)
