"""Letters of a spreadsheet's columns."""

from __future__ import annotations

from functools import lru_cache


@lru_cache(maxsize=1024)
def column_letters(number: int) -> str:
    """A column's letters, by its number from 1.

    >>> column_letters(1), column_letters(16384)
    ('A', 'XFD')
    """
    letters = ""
    while number:
        number, rest = divmod(number - 1, 26)
        letters = chr(65 + rest) + letters
    return letters
