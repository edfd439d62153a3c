"""Addresses of cells: letters and numbers of columns, and compact sets of positions."""

from __future__ import annotations

from functools import lru_cache

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


@lru_cache(maxsize=1024)
def column_letters(number: int) -> str:
    """A column's letters.

    >>> column_letters(1), column_letters(16384)
    ('A', 'XFD')
    """
    letters = ""
    while number:
        number, rest = divmod(number - 1, 26)
        letters = chr(65 + rest) + letters
    return letters


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
