"""Where the parts of a window stand: measures in the office's own units, about a quarter of a letter's width."""

from __future__ import annotations

from typing import List, Sequence, Tuple

WIDTH, EDGE, LINE, BUTTON, GAP = 270, 8, 9, 15, 4
LETTERS = 76
"""Of a line as wide as the window."""


def text_height(words: str, letters: int = LETTERS) -> int:
    """As tall as words need to be, in the units of a window.

    >>> text_height("Short."), text_height("Two\\nlines")
    (10, 19)
    """
    return 1 + LINE * sum(_lines(line, letters) for line in words.split("\n"))


def _lines(text: str, letters: int) -> int:
    count, room = 1, letters
    for word in text.split(" "):
        if len(word) > room and room < letters:
            count, room = count + 1, letters
        count += max(0, len(word) - 1) // letters
        room -= len(word) % letters + 1
    return count


def button_width(label: str) -> int:
    """As wide as a button's words need.

    >>> button_width("Cancel"), button_width("Show the warnings")
    (44, 80)
    """
    return max(44, 12 + 4 * len(label))


def right_aligned(widths: Sequence[int], width: int = WIDTH) -> List[Tuple[int, int]]:
    """Where buttons of these widths stand, the last at the right-hand end: place and width of each.

    >>> right_aligned([44, 44])
    [(170, 44), (218, 44)]
    """
    at = width - EDGE
    places: List[Tuple[int, int]] = []
    for one in reversed(widths):
        at -= one
        places.insert(0, (at, one))
        at -= GAP
    return places
