"""Positions of a machine and the words that mean several of them (DESIGN.md 3).

A side is a position, `both` where there are just two, or `all`. A name that is no position itself but begins positions
as whole words means all of those: `left` for `left front; left rear`.
"""

from __future__ import annotations

from collections.abc import Sequence

DEFAULT_POSITIONS = ("left", "right")


def begins_with(position: str, word: str) -> bool:
    """True when a position begins with a word, and the word ends there.

    >>> begins_with("left rear", "left"), begins_with("left-rear", "left"), begins_with("left 10", "left 1")
    (True, True, False)
    """
    return position.startswith(word) and not position[len(word) : len(word) + 1].isalnum()


def side_word(entry: str) -> str:
    """A side in lower case with single spaces.

    >>> side_word(" Left  Front ")
    'left front'
    """
    return " ".join(entry.split()).lower()


def positions_for(entry: str, positions: Sequence[str]) -> tuple[str, ...]:
    """The positions one entry stands for; none where it is not a side of this class.

    >>> positions_for("left", ("left front", "left rear", "right front")), positions_for("both", ("left", "right"))
    (('left front', 'left rear'), ('left', 'right'))
    >>> positions_for("both", ("1", "2", "3")), positions_for("left 1", ("left 10",))
    ((), ())
    """
    word = side_word(entry)
    if word == "all" or (word == "both" and len(positions) == 2):
        return tuple(positions)
    exact = tuple(position for position in positions if side_word(position) == word)
    return exact or tuple(position for position in positions if begins_with(side_word(position), word))
