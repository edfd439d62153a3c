"""Sides as people write them, spread over the positions of a machine class (DESIGN.md 3).

A side is a position, `both` where there are just two, `all`, or a list. A name that is no position itself but begins
positions as whole words means all of those: `left` for `left front; left rear`.
"""

from __future__ import annotations

from collections.abc import Iterable, Sequence

from quotekit.model.positions import begins_with
from quotekit.problems import Place, Problem, error
from quotekit.workbook.names import did_you_mean

DEFAULT_POSITIONS = ("left", "right")
ALL_WORDS = ("all", "both")


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
