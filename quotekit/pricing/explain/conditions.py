"""What decides a figure without going into it: the cells it hangs on besides those of its tree, rule by rule.

The cells come from working the figure out again on workbooks that tell what is read (`cells`); here those that the
tree does not show are put beside it, so that tree and conditions together name every cell the figure hangs on.
"""

from __future__ import annotations

from collections.abc import Iterable, Iterator, Mapping
from dataclasses import replace

from quotekit.model.explanation import Condition, Explanation, cells_of_tree, in_order
from quotekit.problems import Place

Stages = Mapping[str, frozenset[Place]]

_BESIDE = {"part": "quantity", "bundle": "amount", "tax": "base", "extra": "kind"}
"""What decides that an entry of a list is there at all, by the name of its key."""


def with_conditions(trees: Iterable[Explanation], cells: Mapping[str, Stages]) -> tuple[Explanation, ...]:
    """The same trees, each with what else decides it."""
    return tuple(replace(tree, conditions=conditions_of(tree, stages_of(tree.figure, cells))) for tree in trees)


def conditions_of(tree: Explanation, stages: Stages) -> tuple[Condition, ...]:
    """One condition a rule, with the cells that neither the tree nor an earlier rule shows."""
    shown = set(cells_of_tree(tree))
    found = []
    for why, places in stages.items():
        more = places - shown
        shown |= more
        if more:
            found.append(Condition(why=why, cells=in_order(more)))
    return tuple(found)


def stages_of(figure: str, cells: Mapping[str, Stages]) -> Stages:
    """The cells of a figure; of an entry of a list those of the list, else what is known of an unknown name."""
    for name in _names(figure):
        if name in cells:
            return cells[name]
    return cells[figure]


def _names(figure: str) -> Iterator[str]:
    """A figure's name, then those that stand for it: `shares.BUSH@left.item` is there where the item is.

    What comes round again, and when, is read for the horizon cost too: its cells are those of all of `over_years`.

    >>> list(_names("parts.SEAL.part"))
    ['parts.SEAL.part', 'parts.SEAL.quantity', 'parts.SEAL', 'parts']
    """
    yield figure
    start, _, last = figure.rpartition(".")
    if start and last in _BESIDE:
        yield f"{start}.{_BESIDE[last]}"
    if start and figure.startswith("shares.") and last == "item":
        yield "items"
    while start:
        yield start
        start = start.rpartition(".")[0]
    if figure.partition(".")[0] == "over_years":
        yield "horizon_cost"
