"""What a tier could have taken: the choices of each of its groups of findings, priced when they are asked for.

The alternatives of a remedy are the choices of its own group that do not take it, all else in the tier as chosen.
A group with more than 300 choices is not gone through: then only those count that exchange the one remedy for another
of the same finding and are complete choices. Where all groups together have at most 100 choices, every choice of the
tier can be compared.

Worked example: two groups, {PATCH} or {NEW} for one finding and {BELT} or {CHAIN} for another, PATCH and BELT taken.
The alternative of PATCH is {NEW, BELT}; every choice of the tier is one of four.
"""

from __future__ import annotations

from collections.abc import Iterable, Sequence
from dataclasses import dataclass, field
from functools import cached_property
from itertools import product
from math import prod
from typing import Protocol

from quotekit.model.why import FigureKind
from quotekit.pricing.aims import Value, value_of
from quotekit.pricing.basis import Basis
from quotekit.pricing.charges import Charges, price_items
from quotekit.pricing.covers import Cover, groups_and_tangles
from quotekit.pricing.items import Item
from quotekit.pricing.setup import Setup, fixed_by
from quotekit.pricing.tiers import WorkedTier
from quotekit.record import record

MOST_IN_A_GROUP = 300
MOST_IN_FULL = 100
MOST_VISITED = 2_000
"""Sets of remedies looked at to list the choices of a group; past that it has too many."""


@dataclass(kw_only=True)
class Known:
    """What was worked out so far, shared by the tiers of a job."""

    brought: dict[tuple[str, str], frozenset[str]] = field(default_factory=dict)
    """Final parts that an item may bring, by its kind and key."""
    alone: dict[str, Charges] = field(default_factory=dict)
    """Stand-alone work of a remedy, by its key."""


@record
class Option:
    """One complete choice of a tier with its charges and the aim's value; the least value is best."""

    keys: frozenset[str]
    """Of the remedies taken."""
    remedies: tuple[Item, ...]
    covered: frozenset[str]
    charges: Charges
    value: Value


@record
class Choices:
    """A group of findings: all its choices (none where there are too many) and the one taken."""

    covers: tuple[Cover, ...]
    taken: Cover


class Moved(Protocol):
    """A figure that can be moved: what is it, and what is a choice worth at so many steps of it."""

    figure: FigureKind
    code: str

    def value(self, option: Option, steps: int) -> Value:
        """The aim's value of a choice at so many steps."""

    def moves(self, option: Option) -> bool:
        """Whether a choice hangs on the figure; one that does not is worth the same at any."""


class Field:
    """The choices of one tier that was chosen by its aim."""

    def __init__(self, setup: Setup, tier: WorkedTier, kept: frozenset[str], known: Known) -> None:
        self.setup, self.tier, self.kept, self.known = setup, tier, kept, known
        self.given = setup.in_every(tier.tier.code)
        self.asked_for = kept | setup.candidates.of_severity(tier.tier.covers)
        self._values: dict[tuple[str, str, frozenset[str], int], Value] = {}
        self.taken = self._option(tier.remedies, tier.covered)
        self.groups = self._groups()

    def value_with(self, lever: Moved, option: Option, steps: int) -> Value:
        """The value of a choice with one figure moved, worked out once."""
        key = (lever.figure, lever.code, option.keys, steps)
        found = self._values.get(key)
        if found is None:
            found = self._values[key] = lever.value(option, steps)
        return found

    def brought(self, item: Item) -> frozenset[str]:
        """Final parts that a candidate may bring, with the work it needs."""
        kind = (item.kind, item.key)
        found = self.known.brought.get(kind)
        if found is None:
            found = self.known.brought[kind] = parts_brought(self.setup.basis, item)
        return found

    def alone(self, item: Item) -> Charges:
        """The charges of a remedy's stand-alone work."""
        found = self.known.alone.get(item.key)
        if found is None:
            found = price_items(self.setup.basis, [item], self.setup.always, alone=True)
            self.known.alone[item.key] = found
        return found

    @cached_property
    def short_lived(self) -> list[Item]:
        """Remedies of any choice that come round again within the horizon, where the aim looks at that."""
        if self.aim != "least to own":
            return []
        listed = (item for group in self.groups for cover in group.covers for item in cover.items)
        known = {item.key: item for item in (*listed, *self.tier.remedies)}
        return [item for item in known.values() if item.life is not None and item.life < self.setup.horizon]

    @property
    def aim(self) -> str:
        """What the tier goes by."""
        return self.tier.tier.aim

    def group_of(self, item: Item) -> Choices:
        """The group whose choices a taken remedy belongs to."""
        return next(group for group in self.groups if item in group.taken.items)

    def alternatives(self, item: Item) -> list[Option]:
        """Complete choices without a taken remedy, all else as chosen."""
        group = self.group_of(item)
        without = [cover for cover in group.covers if item.key not in cover.codes]
        return [self._instead(group, cover) for cover in (without if group.covers else self.swaps(group, item))]

    def every_choice(self) -> list[Option]:
        """All choices of the tier; none where there are too many to price one by one."""
        if not all(group.covers for group in self.groups):
            return []
        if prod(len(group.covers) for group in self.groups) > MOST_IN_FULL:
            return []
        return [self._joined(covers) for covers in product(*(group.covers for group in self.groups))]

    def swaps(self, group: Choices, item: Item) -> list[Cover]:
        """The group's choice with one remedy exchanged for another of a finding that it alone puts right."""
        rest = tuple(other for other in group.taken.items if other is not item)
        opened = (item.fixes & group.taken.covered) - fixed_by((*rest, *self.given))
        if not opened:
            return []
        candidates = self.setup.candidates
        others = [other for other in candidates.for_fault[min(opened)] if other.key in candidates.viable]
        covers = (self._cover((*rest, other)) for other in others if other is not item and other not in rest)
        must = fixed_by((*group.taken.items, *self.given)) & self.asked_for
        return [cover for cover in covers if self._is_complete(cover, must)]

    def _groups(self) -> tuple[Choices, ...]:
        one_offs = [item for item in self.given if item.one_off]
        found, tangles = groups_and_tangles(self.setup.candidates, self.asked_for, self.kept, one_offs, MOST_VISITED)
        groups = [self._choices(group.covers) for group in found]
        if tangles:
            listed = {item.key for group in groups for item in group.taken.items}
            rest = tuple(item for item in self.tier.remedies if item.key not in listed)
            groups.append(Choices(covers=(), taken=Cover(items=rest, covered=self.tier.covered)))
        return tuple(groups)

    def _choices(self, covers: tuple[Cover, ...]) -> Choices:
        known = {item.key for cover in covers for item in cover.items}
        items = tuple(item for item in self.tier.remedies if item.key in known)
        keys = _keys(items)
        taken = next((cover for cover in covers if _keys(cover.items) == keys), None)
        return Choices(
            covers=covers if len(covers) <= MOST_IN_A_GROUP else (),
            taken=taken or Cover(items=items, covered=self.tier.covered),
        )

    def _instead(self, group: Choices, cover: Cover) -> Option:
        return self._joined([cover if other is group else other.taken for other in self.groups])

    def _joined(self, covers: Sequence[Cover]) -> Option:
        items = sorted((item for cover in covers for item in cover.items), key=lambda item: item.key)
        return self._option(tuple(items), self.asked_for.union(*(cover.covered for cover in covers)))

    def _option(self, remedies: tuple[Item, ...], covered: frozenset[str]) -> Option:
        everything = (*remedies, *self.given)
        charges = self.setup.priced(everything)
        value = value_of(self.setup, self.tier.tier.aim, remedies, covered, charges)
        return Option(keys=_keys(remedies), remedies=remedies, covered=covered, charges=charges, value=value)

    def _cover(self, items: Sequence[Item]) -> Cover:
        needs = (self.setup.candidates.needs[item.key] for item in items)
        ordered = tuple(sorted(items, key=lambda item: item.key))
        return Cover(items=ordered, covered=(self.asked_for & fixed_by(items)).union(*needs))

    def _is_complete(self, cover: Cover, must: frozenset[str]) -> bool:
        """It puts right what it must and what it needs, everything in it fits, and nothing in it is needless."""
        candidates, everything = self.setup.candidates, (*cover.items, *self.given)
        fixed = fixed_by(everything)
        return (
            fixed >= must | cover.covered
            and not any(candidates.faulty_limits(item, everything) for item in cover.items)
            and all(
                (item.fixes & cover.covered) - fixed_by(other for other in everything if other is not item)
                for item in cover.items
            )
        )


def parts_brought(basis: Basis, item: Item) -> frozenset[str]:
    """Final parts of an item's own list, its operations and the steps they need."""
    operations = [basis.op_named(key) for key in item.wanted]
    steps = {key for op in operations for key in op.steps}
    uses = [item.parts, *(op.parts for op in operations), *(basis.step_named(key).parts for key in steps)]
    return frozenset(code for use in uses for code, _ in use)


def _keys(items: Iterable[Item]) -> frozenset[str]:
    return frozenset(item.key for item in items)
