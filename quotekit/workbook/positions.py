"""Sides as people write them, spread over the positions of a machine class (DESIGN.md 3): a word, or a list of them."""

from __future__ import annotations

from collections.abc import Iterable, Sequence

from quotekit.model.positions import DEFAULT_POSITIONS, positions_for, side_word
from quotekit.problems import Place, Problem, error
from quotekit.workbook.names import did_you_mean

__all__ = ["ALL_WORDS", "DEFAULT_POSITIONS", "positions_for", "side_word", "spread", "unknown_side"]

ALL_WORDS = ("all", "both")


def spread(entries: Iterable[str], positions: Sequence[str], place: Place) -> tuple[tuple[str, ...], list[Problem]]:
    """The positions a side cell stands for, in the class's order, and a problem for each entry that is no side.

    Without positions the machine is not known, and any side may be right.
    """
    if not positions:
        return tuple(side_word(entry) for entry in entries), []
    chosen: set[str] = set()
    problems = []
    for entry in entries:
        found = positions_for(entry, positions)
        if not found:
            problems.append(unknown_side(entry, positions, place))
        chosen.update(found)
    return tuple(position for position in positions if position in chosen), problems


def unknown_side(entry: str, positions: Sequence[str], place: Place) -> Problem:
    """A side the machine class does not have."""
    both = ["both"] if len(positions) == 2 else []
    return error(
        place,
        "unknown-side",
        f"{entry} is not a side of this machine: it has {'; '.join(positions)}",
        f"{did_you_mean(entry, [*positions, *both, 'all'])}Use a position, "
        f"{'both, ' if both else ''}all, or a list separated by semicolons.",
        entry,
    )
