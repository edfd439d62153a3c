"""Sides: which positions a word stands for, and what work has a side (DESIGN.md 3 and 5.9).

A side is a position of the machine class. `both` and `all` mean every position.
A word that begins positions as whole words means all of those: `left` counts on `left front` and `left rear`.
"""

from __future__ import annotations

from collections.abc import Iterable

from quotekit.model.positions import begins_with
from quotekit.model.sided import operations_are_sided as is_sided
from quotekit.model.sided import required_codes

__all__ = ["counts_on", "is_sided", "required_codes"]


def counts_on(words: Iterable[str], position: str) -> bool:
    """True when a row for these side words counts on a position.

    >>> counts_on(("left",), "left front"), counts_on(("left 1",), "left 10"), counts_on(("all",), "right")
    (True, False, True)
    """
    place = position.casefold()
    return any(word in ("all", "both") or begins_with(place, word) for word in words)
