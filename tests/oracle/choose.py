"""Choosing a tier by trying every subset of the candidate instances (DESIGN.md 5.7)."""

from __future__ import annotations

from dataclasses import dataclass, field
from fractions import Fraction
from itertools import combinations

from quotekit.model.shop_book import SEVERITIES, Tier
from tests.oracle.candidates import (
    all_allowed,
    called_for,
    candidates_of,
    faults_of,
    fixed_by,
    fixed_by_all,
    limits_not_met,
)
from tests.oracle.exact import fraction, grown, half_up
from tests.oracle.price import Priced, price
from tests.oracle.work import Item, World

Cover = tuple[int, ...]


@dataclass
class Choice:
    """One set of remedies with the items that are in the tier anyway."""

    remedies: list[Item]
    priced: Priced
    horizon_cost: Fraction
    lives: dict[str, Fraction]


@dataclass
class Chooser:
    """Chooses tier by tier; keeps what is priced once."""

    world: World
    candidates: list[Item] = field(default_factory=list)
    alone: dict[str, Fraction] = field(default_factory=dict)

    def __post_init__(self) -> None:
        self.candidates = candidates_of(self.world)

    def stand_alone(self, item: Item) -> Fraction:
        """The work of a remedy by itself."""
        if item.key not in self.alone:
            self.alone[item.key] = price(self.world, [item], alone=True).work
        return self.alone[item.key]

    def horizon_cost(self, work: Fraction, remedies: list[Item]) -> Fraction:
        """Work and the replacements within the horizon, rounded once."""
        total = work
        horizon, interest = horizon_of(self.world), fraction(self.world.book.settings.interest_a_year)
        for item in remedies:
            life = life_of(self.world, item)
            times = 1
            while times * life < horizon:
                total += self.stand_alone(item) / grown(interest, times * life)
                times += 1
        return half_up(total, self.world.digits)

    def choice(self, remedies: list[Item], others: list[Item]) -> Choice:
        """Price a set."""
        priced = price(self.world, remedies + others)
        return Choice(remedies, priced, self.horizon_cost(priced.work, remedies), lives_of(self.world, remedies))


def horizon_of(world: World) -> Fraction:
    """The job's years, else the shop's, at most what the machine could last."""
    years = world.job.years_to_compare
    horizon = fraction(world.book.settings.years_to_compare if years is None else years)
    last = world.job.years_it_could_last
    return horizon if last is None else min(horizon, fraction(last))


def life_of(world: World, item: Item) -> Fraction:
    """Years stated, else the horizon."""
    years = item.record.life_years
    return horizon_of(world) if years is None else fraction(years)


def lives_of(world: World, remedies: list[Item]) -> dict[str, Fraction]:
    """By fault, the longest life of a remedy that fixes it, at most the horizon."""
    lives: dict[str, Fraction] = {}
    for item in remedies:
        for key in fixed_by(world, item):
            life = min(life_of(world, item), horizon_of(world))
            lives[key] = max(life, lives.get(key, life))
    return lives


def valid_sets(world: World, candidates: list[Item], base: set[str], one_offs: list[Item]) -> list[list[Item]]:
    """Permitted subsets without a remedy whose covered findings the others all fix."""
    return [
        list(subset)
        for size in range(len(candidates) + 1)
        for subset in combinations(candidates, size)
        if _is_valid(world, list(subset), base, one_offs)
    ]


def _is_valid(world: World, subset: list[Item], base: set[str], one_offs: list[Item]) -> bool:
    covered = base | called_for(world, subset)
    for item in subset:
        others = [other for other in subset if other.key != item.key] + one_offs
        if fixed_by(world, item) & covered <= fixed_by_all(world, others):
            return False
    return all_allowed(world, subset + one_offs) and _is_called_for(world, subset, base, one_offs)


def _is_called_for(world: World, subset: list[Item], base: set[str], taken: list[Item]) -> bool:
    """Taken one by one in some order, each fixes a covered finding still open: none is there for its own needs only."""
    if not subset:
        return True
    opened = ((base | called_for(world, taken)) - fixed_by_all(world, taken)) | limits_not_met(world, taken)
    return any(
        fixed_by(world, item) & opened
        and _is_called_for(world, [other for other in subset if other.key != item.key], base, [*taken, item])
        for item in subset
    )


def left_of(world: World, subset: list[Item], base: set[str], before: set[str]) -> Cover:
    """What is better left: nothing the tier before fixes, as few as possible, the least severe."""
    left = base - fixed_by_all(world, subset)
    faults = faults_of(world)
    by_severity = [sum(faults[key].severity == severity for key in left) for severity in SEVERITIES]
    return (len(left & before), len(left), *by_severity)


def _is_within(smaller: list[Item], larger: list[Item]) -> bool:
    """True when the larger set holds the smaller one and more: what is more can be left out."""
    return {item.key for item in smaller} < {item.key for item in larger}


@dataclass
class Best:
    """The chosen set, or None with the remedy whose life has to be known."""

    choice: Choice | None
    compared: int


def best_of(chooser: Chooser, tier: Tier, before: set[str], others: list[Item]) -> Best:
    """The best of all sets for a tier; others are its asked extras and one-off lines."""
    world = chooser.world
    base = {key for key, fault in faults_of(world).items() if fault.severity in tier.covers} | before
    one_offs = [item for item in others if item.kind == "one-off"]
    sets = valid_sets(world, chooser.candidates, base, one_offs)
    least = min(left_of(world, subset + one_offs, base, before) for subset in sets)
    kept = [subset for subset in sets if left_of(world, subset + one_offs, base, before) == least]
    kept = [subset for subset in kept if not any(_is_within(smaller, subset) for smaller in kept)]
    if tier.aim != "lowest price" and _life_decides(kept):
        return Best(None, len(kept))
    choices = [chooser.choice(subset, others) for subset in kept]
    return Best(min(choices, key=lambda choice: rank(world, tier, choice, base)), len(kept))


def _life_decides(sets: list[list[Item]]) -> bool:
    keys = [{item.key for item in subset if item.record.life_years is None} for subset in sets]
    return any(key not in one for key in set().union(*keys) for one in keys)


def rank(world: World, tier: Tier, choice: Choice, base: set[str]) -> tuple[object, ...]:
    """What the aim wants least of, then the ties of 5.7."""
    ties = (choice.priced.work, len(choice.priced.doing.operations), [item.key for item in choice.remedies])
    if tier.aim == "lowest price":
        return ties
    if tier.aim == "least to own":
        return (choice.horizon_cost, *ties)
    covered = base | called_for(world, choice.remedies)
    lives = [life for key, life in choice.lives.items() if key in covered]
    return (-min(lives, default=Fraction(0)), -sum(lives, Fraction(0)), *ties)
