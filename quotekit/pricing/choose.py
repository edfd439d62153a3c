"""Choose a tier's remedies by its aim: the true optimum over all choices (DESIGN.md 5.7).

The groups' choices are combined, priced and compared one by one; choices that cannot win are left out first, where
that is exact. More than 200,000 that remain are refused: the Plan sheet then says what to take.

Worked example: two groups with 2 and 3 choices make 6; all are compared, and `compared` says 6.
"""

from __future__ import annotations

from collections.abc import Sequence
from itertools import product
from math import prod

from quotekit.model.shop_book import Tier
from quotekit.pricing.aims import Value, keep_longest, unstated_life, value_of
from quotekit.pricing.charges import Charges
from quotekit.pricing.covers import MOST_CHOICES, Cover, Group, TooManyChoices, groups_of
from quotekit.pricing.items import Item
from quotekit.pricing.prune import keep_undominated
from quotekit.pricing.setup import Setup
from quotekit.record import record


class LifeNotStated(Exception):
    """A choice over years hangs on a remedy without a life."""

    def __init__(self, item: Item) -> None:
        super().__init__(item.key)
        self.item = item


@record
class Choice:
    """The remedies taken, the findings covered, the charges of the whole tier, and how many choices there were."""

    remedies: tuple[Item, ...]
    covered: frozenset[str]
    charges: Charges
    compared: int


def choose(setup: Setup, tier: Tier, covered: frozenset[str], kept: frozenset[str]) -> Choice:
    """The best permitted remedies for the covered findings.

    Raises LifeNotStated where the aim needs a life that is blank, TooManyChoices past 200,000.
    """
    given = setup.in_every(tier.code)
    groups = groups_of(setup.candidates, covered, kept, [item for item in given if item.one_off])
    blank = unstated_life(tier.aim, groups)
    if blank is not None:
        raise LifeNotStated(blank)
    compared = prod(len(group.covers) for group in groups)
    sets = _that_can_win(setup, tier, groups, compared)
    if prod(len(covers) for covers in sets) > MOST_CHOICES:
        raise TooManyChoices
    best: tuple[Value, Choice] | None = None
    for covers in product(*sets):
        remedies, all_covered = _join(covers, covered)
        charges = setup.price((*remedies, *given))
        value = value_of(setup, tier.aim, remedies, all_covered, charges)
        if best is None or value < best[0]:
            best = (value, Choice(remedies=remedies, covered=all_covered, charges=charges, compared=compared))
    assert best is not None
    return best[1]


def _that_can_win(setup: Setup, tier: Tier, groups: Sequence[Group], compared: int) -> list[tuple[Cover, ...]]:
    sets = [group.covers for group in groups]
    if compared <= 1:
        return sets
    if tier.aim == "longest life":
        sets = keep_longest(groups, setup.horizon)
    return keep_undominated(setup, tier, sets)


def _join(covers: Sequence[Cover], covered: frozenset[str]) -> tuple[tuple[Item, ...], frozenset[str]]:
    items = tuple(sorted((item for cover in covers for item in cover.items), key=lambda item: item.key))
    return items, covered.union(*(cover.covered for cover in covers))
