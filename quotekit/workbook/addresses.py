"""Addresses of cells: letters and numbers of columns, and compact sets of positions."""

from __future__ import annotations

from quotekit.documents.column_letters import column_letters

MOST_ROWS, MOST_COLUMNS = 1_048_576, 16_384

Position = tuple[int, int]
"""Row and column, 1-based."""


def column_number(letters: str) -> int:
    """A column's number.

    >>> column_number("A"), column_number("XFD")
    (1, 16384)
    """
    number = 0
    for letter in letters:
        number = number * 26 + ord(letter) - 64
    return number


def address(row: int, column: int) -> str:
    """A cell's address, `D14`."""
    return f"{column_letters(column)}{row}"


class Positions:
    """A set of positions that keeps one number a row, whose bits are the columns.

    >>> some = Positions()
    >>> some.add(3, 2)
    >>> some.columns_of(3) >> 2 & 1, some.columns_of(4)
    (1, 0)
    """

    __slots__ = ("_rows",)

    def __init__(self) -> None:
        self._rows: dict[int, int] = {}

    def add(self, row: int, column: int) -> None:
        """Put one position in."""
        self._rows[row] = self._rows.get(row, 0) | 1 << column

    def columns_of(self, row: int) -> int:
        """The columns of a row as bits."""
        return self._rows.get(row, 0)
