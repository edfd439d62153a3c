"""Small random orders: the package's choice is the first of every order tried, money, proof and ties with it."""

from __future__ import annotations

from collections import Counter
from math import prod
from random import Random

import pytest

from quotekit.model.landed import OrderTask
from tests.landed.compared import chosen, compare
from tests.landed.every_order import first_of_all, most_of, ordered_places
from tests.landed.random_orders import a_random_order

MOST_TRIED = 1_500
BLOCKS = [range(start, start + 25) for start in range(0, 100, 25)]


def small_orders(seeds: range) -> list[OrderTask]:
    """The random orders of these seeds that are small enough to try every way."""
    drawn = []
    for seed in seeds:
        draw = Random(seed)
        drawn.append(a_random_order(draw, draw.randint(1, 3), draw.randint(1, 3)))
    return [task for task in drawn if prod(most_of(task, place) + 1 for place in ordered_places(task)) <= MOST_TRIED]


@pytest.mark.parametrize("seeds", BLOCKS, ids=str)
def test_it_is_the_first_of_every_order(seeds: range) -> None:
    """Shares no rule with the package: days counted one by one, units handed out backwards, money in fractions."""
    differing = {}
    for number, task in enumerate(small_orders(seeds)):
        found = compare(task, chosen(task), first_of_all(task))
        if found:
            differing[number] = found
    assert differing == {}


def test_the_random_orders_ask_everything() -> None:
    """A generator that never reaches a threshold, a lead or a tie would let a fault of those rules pass."""
    seen: Counter[str] = Counter()
    for task in small_orders(range(80)):
        choice = chosen(task)
        packs = {line.offer: line.packs for line in choice.packs}
        seen["several suppliers"] += len({offer.supplier for offer in packs}) > 1
        seen["one part from two"] += len({offer.part for offer in packs}) < len(packs)
        seen["not at the usual"] += any(not offer.usual for offer in packs)
        seen["more than needed"] += any(
            (count - 1) * offer.pack_quantity >= sum(need.quantity for need in task.needs if need.part == offer.part)
            for offer, count in packs.items()
        )
        seen["by the program"] += "program" in choice.compared
    assert all(seen[what] >= 2 for what in ("several suppliers", "one part from two", "not at the usual")), seen
    assert seen["more than needed"] >= 2 and seen["by the program"] >= 20, seen
