"""Leave out choices that cannot win, where that is exact.

In a group, one set of remedies beats another when it brings no more of anything, whatever the other groups take:
no more hours at any rate, no shared operation, step, fee or supplier the other lacks, no more of a shared part, no more
money in parts of its own, no more to repeat over the years; and when it wins the ties. Work in money never falls when
any of these rises, as long as the minimum cannot bind and no freight threshold, bundle or condition's ceiling over
several rates is involved; where one is, nothing is left out. A group that touches inclusions, second sides or kits
keeps all its choices.
"""

from __future__ import annotations

from collections import Counter
from collections.abc import Iterable, Sequence
from dataclasses import dataclass, field
from decimal import Decimal
from fractions import Fraction
from math import prod

from quotekit.model.shop_book import Tier
from quotekit.money import round_to
from quotekit.pricing.basis import ZERO, Basis
from quotekit.pricing.bundles import bundles_on
from quotekit.pricing.charges import sublet_price
from quotekit.pricing.covers import Cover
from quotekit.pricing.fees import triggered_by
from quotekit.pricing.items import Item
from quotekit.pricing.parts import core_charge
from quotekit.pricing.setup import Setup

WORTH_PRUNING = 200
MOST_IN_A_GROUP = 300
"""A group with more choices keeps them all: comparing each with each would take longer than pricing them."""


@dataclass(kw_only=True)
class Load:
    """What one cover brings, apart by what it shares with the rest of the tier."""

    tangled: bool = False
    """It has operations that include others, are included, are required by such or have second-side hours, or kits."""
    shared: frozenset[str] = frozenset()
    """Operations, steps, fees and suppliers that something else may bring too."""
    hours: dict[str, Decimal] = field(default_factory=dict)
    slowed: dict[str, Decimal] = field(default_factory=dict)
    shared_parts: dict[str, Decimal] = field(default_factory=dict)
    money: Decimal = ZERO
    again: Fraction = Fraction(0)
    operations: int = 0
    sure_hours: Decimal = ZERO
    """Hours of its own that no other operation can make unnecessary."""
    codes: frozenset[str] = frozenset()


def keep_undominated(setup: Setup, tier: Tier, sets: Sequence[tuple[Cover, ...]]) -> list[tuple[Cover, ...]]:
    """The covers of each group that no other cover of the group beats whatever the other groups take."""
    if prod(len(covers) for covers in sets) <= WORTH_PRUNING or _freight_thresholds(setup.basis):
        return list(sets)
    view = _View(setup, tier, sets)
    if view.may_fall():
        return list(sets)
    loads = [[view.load(cover) for cover in covers] for covers in sets]
    if view.least_hours(loads) < setup.basis.book.settings.minimum_labour_hours:
        return list(sets)
    return [_undominated(view, covers, of_group) for covers, of_group in zip(sets, loads, strict=True)]


def _undominated(view: _View, covers: Sequence[Cover], loads: Sequence[Load]) -> tuple[Cover, ...]:
    if len(covers) > MOST_IN_A_GROUP or any(load.tangled for load in loads):
        return tuple(covers)
    return tuple(
        cover
        for i, (cover, load) in enumerate(zip(covers, loads, strict=True))
        if not any(view.beats(other, load) for j, other in enumerate(loads) if j != i)
    )


def _freight_thresholds(basis: Basis) -> bool:
    """True where freight may fall when more is bought."""
    if basis.book.settings.freight_to_customer == "none":
        return False
    return any(
        (terms.free_freight_from or terms.minimum_order) and not terms.shelf
        for terms in (basis.book.suppliers or {}).values()
    )


class _View:
    """What is shared between groups, looked up once."""

    def __init__(self, setup: Setup, tier: Tier, sets: Sequence[tuple[Cover, ...]]) -> None:
        self.setup, self.basis, self.aim = setup, setup.basis, tier.aim
        given = (*setup.in_every(tier.code), setup.always)
        groups = [{item for cover in covers for item in cover.items} for covers in sets]
        everything = [*given, *(item for group in groups for item in group)]
        seen = Counter(name for group in groups for name in self._names(group))
        seen.update(dict.fromkeys(self._names(given), 2))
        self.common = frozenset(name for name, times in seen.items() if times > 1)
        self.acting = self._acting(everything)
        self.kits = self._kits(everything)
        self.bundles = bundles_on(self.basis, everything)
        self.rates = {op.rate for item in everything for op in map(self.basis.op_named, item.wanted)}
        self.money_is_strict = not self.basis.job.discount_percent

    def may_fall(self) -> bool:
        """True where work in money may fall when more is done: a bundle, or a ceiling that moves between rates."""
        condition = self.basis.condition
        ceiling = condition is not None and condition.at_most_hours is not None
        return bool(self.bundles) or (ceiling and len(self.rates) > 1)

    def load(self, cover: Cover) -> Load:
        """What a cover brings."""
        operations = frozenset().union(*(item.wanted for item in cover.items))
        steps = frozenset().union(*(self.basis.op_named(key).steps for key in operations))
        load = Load(codes=frozenset(item.key for item in cover.items))
        load.operations = len(operations - self.common)
        load.shared = frozenset((operations | steps | self._fees(operations)) & self.common)
        load.tangled = not operations.isdisjoint(self.acting)
        for key in operations - self.common:
            self._add_hours(load, key)
        for key in steps - self.common:
            step = self.basis.step_named(key)
            load.hours[step.rate] = load.hours.get(step.rate, ZERO) + step.hours
        self._add_parts(load, cover, operations - self.common, steps - self.common)
        self._add_money(load, operations - self.common)
        if self.aim == "least to own":
            load.again = sum(map(self.setup.again, cover.items), Fraction(0))
        return load

    def beats(self, best: Load, other: Load) -> bool:
        """True when a load is never worse than another, and wins or the ties do."""
        no_more = (
            best.shared <= other.shared
            and _no_more(best.hours, other.hours)
            and _no_more(best.slowed, other.slowed)
            and _no_more(best.shared_parts, other.shared_parts)
            and best.money <= other.money
            and best.again <= other.again
            and best.operations <= other.operations
        )
        if not no_more:
            return False
        cheaper = best.money < other.money and self.money_is_strict
        return cheaper or best.operations < other.operations or _earlier(best.codes, other.codes)

    def least_hours(self, loads: Sequence[Sequence[Load]]) -> Decimal:
        """Hours the tier bills at least."""
        return sum((min(load.sure_hours for load in group) for group in loads), ZERO)

    def _names(self, items: Iterable[Item]) -> frozenset[str]:
        """Operations, steps, fees, parts and suppliers that items may bring."""
        names: set[str] = set()
        for item in items:
            names |= item.wanted | self._fees(item.wanted)
            names |= {f"part {code}" for code, _ in item.parts}
            for key in item.wanted:
                op = self.basis.op_named(key)
                names |= op.steps | {f"part {code}" for code, _ in op.parts}
                for step in op.steps:
                    names |= {f"part {code}" for code, _ in self.basis.step_named(step).parts}
        if self.basis.book.settings.freight_to_customer != "none":
            parts = {name for name in names if name.startswith("part ")}
            names |= {f"supplier {self.basis.part(name[5:]).supplier}" for name in parts}
        return frozenset(names)

    def _fees(self, operations: Iterable[str]) -> frozenset[str]:
        codes = frozenset(self.basis.op_named(key).code for key in operations)
        return frozenset(f"fee {fee.code}" for fee in triggered_by(self.basis, codes))

    def _acting(self, items: Iterable[Item]) -> frozenset[str]:
        """Operations whose presence changes others: inclusions, what those require, and second sides."""
        operations = {key for item in items for key in item.wanted}
        edges = {edge for item in items for edge in item.edges}
        including = {key for key in operations if self.basis.op_named(key).includes}
        acting = including.union(*(self.basis.op_named(key).includes & operations for key in including))
        acting |= {key for key in operations if self.basis.op_named(key).second_side_hours is not None}
        while True:
            more = {needed for by, needed in edges if by in acting} - acting
            if not more:
                return frozenset(acting)
            acting |= more

    def _kits(self, items: Iterable[Item]) -> frozenset[str]:
        parts = {name[5:] for name in self._names(items) if name.startswith("part ")}
        kits = {code for code in parts if self.basis.part(code).contains}
        contents = {self.basis.final_part(entry.code).code for kit in kits for entry in self.basis.part(kit).contains}
        return frozenset(kits | contents)

    def _add_hours(self, load: Load, key: str) -> None:
        op = self.basis.op_named(key)
        load.hours[op.rate] = load.hours.get(op.rate, ZERO) + op.net_hours
        load.sure_hours += ZERO if key in self.acting else op.net_hours
        if op.slowed:
            load.slowed[op.rate] = load.slowed.get(op.rate, ZERO) + op.net_hours

    def _add_parts(self, load: Load, cover: Cover, operations: Iterable[str], steps: Iterable[str]) -> None:
        """Parts by quantity where something else may use them, by money where nothing does."""
        brought = [self.basis.op_named(key).parts for key in operations]
        brought += [self.basis.step_named(key).parts for key in steps]
        brought += [item.parts for item in cover.items]
        totals: dict[str, Decimal] = {}
        for uses in brought:
            for code, quantity in uses:
                totals[code] = totals.get(code, ZERO) + quantity
        for code, quantity in totals.items():
            part = self.basis.part(code)
            supplier = f"supplier {part.supplier}"
            if self.basis.book.settings.freight_to_customer != "none":
                load.shared |= {supplier}
            if code in self.kits:
                load.tangled = True
            elif f"part {code}" in self.common or part.extra_freight:
                load.shared_parts[code] = quantity
            elif code not in self.basis.own_parts:
                amount = self.basis.price(code).price * quantity
                load.money += round_to(amount, self.basis.digits) + core_charge(self.basis, part, quantity)

    def _add_money(self, load: Load, operations: Iterable[str]) -> None:
        for key in operations:
            operation = self.basis.op_named(key).operation
            if operation is not None and operation.sublet_cost is not None:
                load.money += sublet_price(self.basis, operation.sublet_cost)
        for fee in triggered_by(self.basis, frozenset(self.basis.op_named(key).code for key in operations)):
            if f"fee {fee.code}" not in self.common:
                load.money += round_to(fee.amount, self.basis.digits)


def _no_more(best: dict[str, Decimal], other: dict[str, Decimal]) -> bool:
    return all(amount <= other.get(key, ZERO) for key, amount in best.items())


def _earlier(best: frozenset[str], other: frozenset[str]) -> bool:
    """True when codes in order come first whatever is added to both: same number, and the first to differ is ours."""
    return len(best) == len(other) and best != other and min(best ^ other) in best
