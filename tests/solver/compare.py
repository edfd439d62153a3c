"""The engine's tiers beside the choice of CP-SAT, tier by tier."""

from __future__ import annotations

from collections.abc import Iterator
from dataclasses import dataclass
from fractions import Fraction

from quotekit.model.job import Job
from quotekit.model.quote import PricedTier, Quote
from quotekit.model.shop_book import ShopBook, Tier
from tests.oracle.candidates import candidates_of
from tests.oracle.choose import Chooser, rank
from tests.oracle.tiers import a_world, standing_items
from tests.oracle.work import World
from tests.solver.cp_sat_model import TierProgram
from tests.solver.rules_program import is_valid


@dataclass
class Compared:
    """What comparing one tier said: differences, or that time ran out before there was proof."""

    tier: str
    differences: list[str]
    proven: bool
    ties_proven: bool = True


def compare_tiers(book: ShopBook, job: Job, quote: Quote, seconds: float) -> Iterator[Compared]:
    """Each chosen tier of a quote against the second solver; covered as the engine's tier before asks."""
    world = a_world(book, job)
    before: frozenset[str] = frozenset()
    for tier, priced in zip(book.tiers, quote.tiers, strict=bool(quote.tiers)):
        if priced.compared and not priced.planned:
            yield _compare(world, tier, priced, before, seconds)
        if priced.compared or priced.planned:
            before = frozenset(priced.fixed)


def _compare(world: World, tier: Tier, priced: PricedTier, before: frozenset[str], seconds: float) -> Compared:
    others = standing_items(world, tier)
    keys = frozenset(item.key for item in priced.items if item.kind == "remedy")
    chosen = [item for item in candidates_of(world) if item.key in keys]
    chooser = Chooser(world)
    choice = chooser.choice(chosen, others)
    program = TierProgram(world, tier, before, seconds=seconds, hint=keys)
    found = [f"{tier.code}: {line}" for line in _figures(priced, choice.priced.work, choice.horizon_cost)]
    one_offs = [item for item in others if item.kind == "one-off"]
    if not is_valid(world, chosen, program.base, one_offs):
        found.append(f"{tier.code}: {sorted(keys)} breaks a rule of choosing")
    answer = program.solve()
    if not answer.keys and not answer.proven:
        return Compared(tier.code, found, proven=False)
    theirs = chooser.choice([item for item in candidates_of(world) if item.key in answer.keys], others)
    base = set(program.base)
    own_rank, their_rank = rank(world, tier, choice, base)[:-1], rank(world, tier, theirs, base)[:-1]
    if answer.proven and _claimed(world, answer.value) != their_rank[-2]:
        found.append(f"{tier.code}: the program says {answer.value}, the oracle prices its choice at {their_rank}")
    if their_rank < own_rank or (answer.proven and their_rank != own_rank):
        found.append(
            f"{tier.code}, {tier.aim}: engine {_shown(own_rank)} {sorted(keys)}, "
            f"CP-SAT {_shown(their_rank)} {sorted(answer.keys)}"
        )
    if not answer.proven or found:
        return Compared(tier.code, found, proven=answer.proven)
    earlier = program.earlier_codes(keys)
    if earlier.value is not None:
        found.append(f"{tier.code}: codes that come earlier for the same figures than {sorted(keys)}")
    return Compared(tier.code, found, proven=True, ties_proven=earlier.proven or earlier.value is not None)


def _figures(priced: PricedTier, work: Fraction, horizon_cost: Fraction) -> list[str]:
    """The engine's own figures against the oracle's for the same set."""
    wrong = []
    if Fraction(priced.work) != work:
        wrong.append(f"work {priced.work}, the oracle says {float(work)}")
    if Fraction(priced.horizon_cost) != horizon_cost:
        wrong.append(f"horizon cost {priced.horizon_cost}, the oracle says {float(horizon_cost)}")
    return wrong


def _claimed(world: World, value: tuple[int, ...]) -> Fraction:
    return Fraction(value[-2], 10**world.digits)


def _shown(rank_: tuple[object, ...]) -> str:
    return (
        "(" + ", ".join(f"{float(value):.2f}" if isinstance(value, Fraction) else str(value) for value in rank_) + ")"
    )
