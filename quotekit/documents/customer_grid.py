"""The columns a customer's sheet stands on, and its ways to make rows.

A wide label column, one column for each option, one for a no: at most five, and never wider than the narrower paper.
"""

from __future__ import annotations

from collections.abc import Iterable, Iterator, Sequence
from dataclasses import dataclass
from decimal import Decimal

from quotekit.documents.customer_looks import LOOKS
from quotekit.documents.sheet import Cell, Row, blank, text
from quotekit.documents.text_fit import fitted, in_pieces, width_of
from quotekit.documents.wording import DECLINE

_WIDTHS: dict[int, tuple[float, ...]] = {
    1: (51, 20, 20),
    2: (43, 16, 16, 16),
    3: (36, 14, 14, 14, 13),
}


@dataclass(frozen=True, kw_only=True)
class Grid:
    """Columns for one, two or three options; more options than three share what is left."""

    options: int

    @property
    def widths(self) -> tuple[float, ...]:
        """Widths in characters, label first, `If you decline` last."""
        known = _WIDTHS.get(self.options)
        if known:
            return known
        each = 55 // (self.options + 1)
        return (36, *(each for _ in range(self.options + 1)))

    @property
    def columns(self) -> int:
        """How many columns there are."""
        return self.options + 2

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
        return self.fit(text(title, "section"), *numbers, text(DECLINE, "section right"), keep=True, least=20)

    def gap(self, *, keep: bool = True) -> Row:
        """A little air."""
        return Row(cells=(blank("gap", self.columns),), height=9, keep_with_next=keep)

    def line(self, label: str, answers: Iterable[Cell], style: str = "line", *, keep: bool = False) -> Iterator[Row]:
        """A label and a cell for each option and for a no."""
        cells = tuple(answers)
        pieces = list(in_pieces(label, self._points(0, 1), LOOKS[style]))
        for piece in pieces[:-1]:
            yield self.fit(text(piece, style), *(blank(cell.style) for cell in cells), keep=True)
        yield self.fit(text(pieces[-1], style), *cells, keep=keep)

    def pairs(self, label: str, content: str, *, style: str = "body") -> Iterator[Row]:
        """A label and its text beside it."""
        if content:
            yield from self.beside((label, content), (1, self.columns - 1), ("label", style))

    def _points(self, start: int, across: int) -> Decimal:
        return width_of(sum(self.widths[start : start + across]), across) - 12
