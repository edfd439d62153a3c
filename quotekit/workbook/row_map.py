"""Where the rows of a template go when some are repeated and some are left out.

A stretch of rows stands in the document a number of times, one below the other; all other rows stand once. What lies
below moves down or up. A range keeps its first and last row that is still there; one that ends in a repeated stretch
covers all of its copies.

Worked example: row 5 three times and row 8 not at all: rows 1 to 4 stay, 5 is at 5, 6 and 7, 6 at 8, 7 at 9, 9 at 10.
"""

from __future__ import annotations

from collections.abc import Collection, Iterable
from typing import NamedTuple

from quotekit.workbook.addresses import MOST_ROWS


class Stretch(NamedTuple):
    """Rows from top to bottom, and how many times they stand in the document."""

    top: int
    bottom: int
    times: int
    hidden: bool = False
    """Empty, and kept for a formula that speaks of it."""

    @property
    def height(self) -> int:
        """Rows of one copy."""
        return self.bottom - self.top + 1


class Copy(NamedTuple):
    """One copy of a stretch: what stands in it speaks of its own rows."""

    stretch: Stretch
    number: int


class RowMap:
    """The new rows of a sheet's rows; stretches do not overlap.

    >>> rows = RowMap([Stretch(5, 5, 3), Stretch(8, 8, 0)])
    >>> rows.places(4), rows.places(5), rows.places(8), rows.places(9)
    ([4], [5, 6, 7], [], [10])
    >>> rows.span(5, 5), rows.span(1, 8), rows.span(8, 8), rows.from_row(8)
    ((5, 7), (1, 9), None, 10)
    """

    def __init__(self, stretches: Iterable[Stretch] = ()) -> None:
        self._stretches = sorted(stretches)

    def __bool__(self) -> bool:
        return any(stretch.times != 1 for stretch in self._stretches)

    @property
    def going(self) -> list[Stretch]:
        """Stretches that are left out."""
        return [stretch for stretch in self._stretches if not stretch.times]

    @property
    def hidden(self) -> list[int]:
        """New rows of what is kept hidden."""
        kept = [stretch for stretch in self._stretches if stretch.hidden]
        return [self.place(row) for stretch in kept for row in range(stretch.top, stretch.bottom + 1)]

    def keeping(self, needed: Collection[Stretch]) -> RowMap:
        """The same with some of the stretches that are left out kept, hidden.

        >>> kept = RowMap([Stretch(5, 6, 0)]).keeping([Stretch(5, 6, 0)])
        >>> kept.going, kept.hidden, kept.places(7)
        ([], [5, 6], [7])
        """
        return RowMap(one._replace(times=1, hidden=True) if one in needed else one for one in self._stretches)

    def stretch_at(self, row: int) -> Stretch | None:
        """The stretch a row is in."""
        return next((one for one in self._stretches if one.top <= row <= one.bottom), None)

    def places(self, row: int) -> list[int]:
        """Every new place of a row."""
        stretch = self.stretch_at(row)
        times = stretch.times if stretch else 1
        return [self.place(row, Copy(stretch, number) if stretch else None) for number in range(times)]

    def place(self, row: int, copy: Copy | None = None) -> int:
        """The new place of a row that is still there; in a copy of its stretch, its place in that copy."""
        before = sum((one.times - 1) * one.height for one in self._stretches if one.bottom < row)
        inside = copy is not None and copy.stretch.top <= row <= copy.stretch.bottom
        return row + before + (copy.number * copy.stretch.height if copy and inside else 0)

    def from_row(self, row: int) -> int:
        """The new place of a row, or of the next that is still there."""
        while row < MOST_ROWS and not self.places(row):
            row += 1
        return self.place(row)

    def span(self, top: int, bottom: int, copy: Copy | None = None) -> tuple[int, int] | None:
        """What a range covers now, None where nothing of it is left; a range within a copy stays in it."""
        if copy is not None and copy.stretch.top <= top and bottom <= copy.stretch.bottom:
            return self.place(top, copy), self.place(bottom, copy)
        kept = [row for row in (self._kept(top, bottom, 1), self._kept(bottom, top, -1)) if row is not None]
        return (self.places(kept[0])[0], self.places(kept[1])[-1]) if len(kept) == 2 else None

    def pieces(self, top: int, bottom: int) -> list[tuple[int, int]]:
        """A range inside a stretch once for each copy, any other as it is now."""
        stretch = self.stretch_at(top)
        if stretch is not None and bottom <= stretch.bottom:
            return [(self.place(top, copy), self.place(bottom, copy)) for copy in self.copies(stretch)]
        whole = self.span(top, bottom)
        return [whole] if whole else []

    @staticmethod
    def copies(stretch: Stretch) -> list[Copy]:
        """The copies of a stretch, in order."""
        return [Copy(stretch, number) for number in range(stretch.times)]

    def _kept(self, row: int, end: int, step: int) -> int | None:
        """The first row from one end of a range that is still there."""
        while (end - row) * step >= 0:
            stretch = self.stretch_at(row)
            if stretch is None or stretch.times:
                return row
            row = stretch.bottom + 1 if step > 0 else stretch.top - 1
        return None
