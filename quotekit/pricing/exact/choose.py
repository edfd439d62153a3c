"""A tier's choice by the integer program, with its proof (DESIGN.md 5.7)."""

from __future__ import annotations

from collections.abc import Sequence
from decimal import Decimal

from quotekit.model.proof import Proof
from quotekit.model.shop_book import Tier
from quotekit.money import round_to
from quotekit.pricing.aims import keep_longest, reachable_life, unstated_life
from quotekit.pricing.choose import Choice, LifeNotStated
from quotekit.pricing.covers import NOT_COUNTED, Cover, Group, Stated
from quotekit.pricing.exact.found import Found
from quotekit.pricing.exact.program import Program
from quotekit.pricing.exact.selection import TangledChoice, list_choices
from quotekit.pricing.exact.settle import WholeSearch
from quotekit.pricing.exact.untangle import Settled, Untangler
from quotekit.pricing.setup import Setup


def choose_by_program(
    setup: Setup, tier: Tier, covered: frozenset[str], kept: frozenset[str], stated: Stated
) -> Choice:
    """The best choice where there are too many to compare them all; raises as `choose` does."""
    lines = [item for item in setup.in_every(tier.code) if item.one_off]
    untangler = Untangler(setup, covered, kept, lines)
    settled = [untangler.settle(tangle) for tangle in stated.tangles]
    if stated.choices == NOT_COUNTED:
        _refuse_blank_lives(setup, tier, stated.groups, untangler, settled)
    sets = [group.covers for group in stated.groups]
    lives: list[tuple[Decimal, Decimal] | None] = [None for _ in settled]
    first = [tangle.first for tangle in settled]
    if tier.aim == "longest life":
        shortest = min([reachable_life(stated.groups, covered, setup.horizon), *map(untangler.shortest, settled)])
        sets = keep_longest(stated.groups, covered, setup.horizon, shortest)
        longest = [untangler.together(tangle, shortest) for tangle in settled]
        lives, first = [(shortest, together) for together, _ in longest], [cover for _, cover in longest]
    program = Program()
    tangled = [untangler.state(program, tangle, life) for tangle, life in zip(settled, lives, strict=True)]
    search = _search(setup, tier, program, sets, tangled, covered)
    search.consider((*(covers[0] for covers in sets), *first))
    return _choice(setup, tier, search.best_choice(), stated.choices)


def _search(
    setup: Setup,
    tier: Tier,
    program: Program,
    sets: Sequence[tuple[Cover, ...]],
    tangled: Sequence[TangledChoice],
    covered: frozenset[str],
) -> WholeSearch:
    listed = [list_choices(program, covers) for covers in sets]
    return WholeSearch(setup, tier.aim, program, listed, tangled, setup.in_every(tier.code), covered)


def _refuse_blank_lives(
    setup: Setup, tier: Tier, groups: Sequence[Group], untangler: Untangler, settled: Sequence[Settled]
) -> None:
    """Raises LifeNotStated where an aim over years would have to choose or refuse a remedy without a life."""
    blank = unstated_life(tier.aim, groups)
    if blank is not None:
        raise LifeNotStated(blank)
    if tier.aim == "lowest price":
        return
    for key in sorted(setup.candidates.viable):
        item = setup.candidates.items[key]
        if item.life is None and any(untangler.is_open(tangle, item) for tangle in settled):
            raise LifeNotStated(item)


def _choice(setup: Setup, tier: Tier, found: Found, choices: str) -> Choice:
    reached = found.value[0] if tier.aim == "least to own" else found.charges.total
    assert isinstance(reached, Decimal)
    proof = Proof(
        method="integer model",
        choices=choices,
        priced=found.priced,
        bound=found.bound,
        gap=round_to(reached - found.bound, setup.basis.digits),
        settled=found.settled,
    )
    compared = found.priced if choices == NOT_COUNTED else int(choices)
    return Choice(remedies=found.items, covered=found.covered, charges=found.charges, compared=compared, proof=proof)
