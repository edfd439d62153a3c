"""Positions of a machine and the words that mean several of them (DESIGN.md 3)."""

from __future__ import annotations


def begins_with(position: str, word: str) -> bool:
    """True when a position begins with a word, and the word ends there.

    >>> begins_with("left rear", "left"), begins_with("left-rear", "left"), begins_with("left 10", "left 1")
    (True, True, False)
    """
    return position.startswith(word) and not position[len(word) : len(word) + 1].isalnum()
