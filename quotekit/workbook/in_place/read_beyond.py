"""Whether a call may read beyond the area it names, as `SUMIF(A2:A9,"x",D2)` does, which reads D2:D9.

It does not where the area is at least as large as the one that gives the size, and both grow alike when the formula is
copied. What can't be told is taken to read beyond.
"""

from __future__ import annotations

from collections.abc import Iterable
from typing import NamedTuple

from quotekit.workbook.in_place.references import Reference


class Size(NamedTuple):
    """Rows and columns of an area, and how they grow when the formula is copied down or to the right.

    Columns of a table have the table's name in place of a number of rows.
    """

    rows: int
    columns: int
    grows: tuple[int, int] = (0, 0)
    table: str = ""


_ONE = Size(1, 1)


def size_of(reference: Reference) -> Size:
    """The size of an area.

    >>> from quotekit.workbook.in_place.references import reads_of
    >>> size_of(reads_of("A$2:B9", 0, {}).areas[0])
    Size(rows=8, columns=2, grows=(1, 0), table='')
    """
    top, left, bottom, right = reference.area
    moves = reference.moves
    return Size(bottom - top + 1, right - left + 1, (moves[2] - moves[0], moves[3] - moves[1]))


def reads_beyond(function: str, sizing: Iterable[Size], reached: Iterable[Size]) -> bool:
    """True where a call may read beyond the areas of its argument.

    >>> reads_beyond("SUMIF", [Size(8, 1)], [Size(8, 1)]), reads_beyond("SUMIF", [Size(8, 1)], [Size(1, 1)])
    (False, True)
    """
    theirs, sizes = set(reached), set(sizing)
    if not theirs:
        return False
    if len(theirs) > 1 or not sizes or (function == "LOOKUP" and _ONE in theirs):
        return True
    return not all(_fits(one, *theirs) for one in sizes)


def _fits(one: Size, area: Size) -> bool:
    alike = (one.table, one.grows) == (area.table, area.grows) or one == _ONE
    return alike and one.rows <= area.rows and one.columns <= area.columns
