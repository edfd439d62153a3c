"""Choose a tier's remedies by its aim: the true optimum over all choices (DESIGN.md 5.7).

Choices that cannot win are left out first, where that is exact. Few that remain are combined, priced and compared one
by one; many go to an integer program (`pricing/exact`), whose candidates the engine prices until none can be better.

Worked example: two groups with 2 and 3 choices make 6; all are compared, and `compared` says 6. With 400 groups of 4
choices there are 4 to the power of 400: a few are priced, and the bound says that none of the others is better.
"""

from __future__ import annotations

from collections.abc import Sequence
from itertools import product
from math import prod

from quotekit.model.proof import Proof
from quotekit.model.shop_book import Tier
from quotekit.money import round_to
from quotekit.pricing.aims import Value, keep_longest, reachable_life, unstated_life, value_of
from quotekit.pricing.charges import Charges
from quotekit.pricing.covers import NOT_COUNTED, Cover, Group, Stated, Tangle, groups_and_tangles
from quotekit.pricing.items import Item
from quotekit.pricing.prune import keep_undominated
from quotekit.pricing.setup import Setup
from quotekit.record import record

MOST_COMPARED = 2_000
"""More choices than these go to the integer program: pricing them all would take longer."""
MOST_LOOKED_THROUGH = 5_000
"""Sets looked at to list the choices of one group; a group with more is stated by its rules instead."""
MOST_LISTED = 100
"""Choices of one group in the integer program; a group with more is stated by its rules, which are fewer."""


class LifeNotStated(Exception):
    """A choice over years hangs on a remedy without a life."""

    def __init__(self, item: Item) -> None:
        super().__init__(item.key)
        self.item = item


@record
class Choice:
    """The remedies taken, the findings covered, the charges of the whole tier, and how sure that is."""

    remedies: tuple[Item, ...]
    covered: frozenset[str]
    charges: Charges
    compared: int
    """How many choices there were; the number priced where they were not counted."""
    proof: Proof


def choose(setup: Setup, tier: Tier, covered: frozenset[str], kept: frozenset[str]) -> Choice:
    """The best permitted remedies for the covered findings.

    Raises LifeNotStated where the aim needs a life that is blank, TooManyChoices where no choice was found in time.
    """
    given = setup.in_every(tier.code)
    lines = [item for item in given if item.one_off]
    groups, tangles = groups_and_tangles(setup.candidates, covered, kept, lines, MOST_LOOKED_THROUGH)
    if tangles:
        from quotekit.pricing.exact.choose import choose_by_program

        return choose_by_program(setup, tier, covered, kept, _stated(groups, tangles, NOT_COUNTED))
    blank = unstated_life(tier.aim, groups)
    if blank is not None:
        raise LifeNotStated(blank)
    compared = prod(len(group.covers) for group in groups)
    sets = that_can_win(setup, tier, covered, groups, compared)
    if prod(len(covers) for covers in sets) > MOST_COMPARED:
        from quotekit.pricing.exact.choose import choose_by_program

        can_win = [Group(members=group.members, covers=each) for group, each in zip(groups, sets, strict=True)]
        return choose_by_program(setup, tier, covered, kept, _stated(can_win, [], str(compared)))
    return _compare_all(setup, tier, covered, sets, compared)


def _stated(groups: Sequence[Group], tangles: Sequence[Tangle], choices: str) -> Stated:
    """Small groups by their choices, large ones by their rules."""
    return Stated(
        groups=tuple(group for group in groups if len(group.covers) <= MOST_LISTED),
        tangles=(*(Tangle(members=group.members) for group in groups if len(group.covers) > MOST_LISTED), *tangles),
        choices=choices,
    )


def that_can_win(
    setup: Setup, tier: Tier, covered: frozenset[str], groups: Sequence[Group], compared: int
) -> list[tuple[Cover, ...]]:
    """Each group's choices without those that cannot win."""
    sets = [group.covers for group in groups]
    if compared <= 1:
        return sets
    if tier.aim == "longest life":
        reachable = reachable_life(groups, covered, setup.horizon)
        sets = keep_longest(groups, covered, setup.horizon, reachable)
    return keep_undominated(setup, tier, sets)


def join(covers: Sequence[Cover], covered: frozenset[str]) -> tuple[tuple[Item, ...], frozenset[str]]:
    """The remedies of some groups' choices, in text order, and all that is covered."""
    items = tuple(sorted((item for cover in covers for item in cover.items), key=lambda item: item.key))
    return items, covered.union(*(cover.covered for cover in covers))


def _compare_all(
    setup: Setup, tier: Tier, covered: frozenset[str], sets: Sequence[tuple[Cover, ...]], compared: int
) -> Choice:
    given = setup.in_every(tier.code)
    best: tuple[Value, tuple[Item, ...], frozenset[str], Charges] | None = None
    for covers in product(*sets):
        remedies, all_covered = join(covers, covered)
        charges = setup.priced((*remedies, *given))
        value = value_of(setup, tier.aim, remedies, all_covered, charges)
        if best is None or value < best[0]:
            best = (value, remedies, all_covered, charges)
    assert best is not None
    _, remedies, all_covered, charges = best
    priced = prod(len(covers) for covers in sets)
    bound = charges.total
    if tier.aim == "least to own":
        bound = setup.cost_over_years(charges.total, remedies)
    proof = Proof(
        method="enumeration",
        choices=str(compared),
        priced=priced,
        bound=bound,
        gap=round_to(bound - bound, setup.basis.digits),
    )
    return Choice(remedies=remedies, covered=all_covered, charges=charges, compared=compared, proof=proof)
