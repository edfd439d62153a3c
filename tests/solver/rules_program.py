"""Which sets of remedies are valid, as a program (DESIGN.md 5.7 and 5.9, Choosing; tests/oracle/READINGS.md)."""

from __future__ import annotations

from collections.abc import Iterable
from dataclasses import dataclass
from functools import cached_property

from quotekit.model.shop_book import SEVERITIES
from tests.oracle.candidates import (
    all_allowed,
    as_new_fits,
    called_for,
    failing,
    faults_of,
    fixed_by,
    fixed_by_all,
    limits_of,
    needed_by,
    recorded,
    within,
)
from tests.oracle.work import Item, World
from tests.solver.program import Literal, Program, Sum


@dataclass
class RulesProgram:
    """Constraints on which remedies are taken; `given` are one-off lines, in the tier anyway."""

    world: World
    program: Program
    remedies: list[Item]
    given: list[Item]
    taken: dict[str, Literal]
    base: frozenset[str]
    """Findings covered by severity, and what the tier before fixes."""
    before: frozenset[str]

    def __post_init__(self) -> None:
        self.faults = faults_of(self.world)
        self.fixes = {item.key: fixed_by(self.world, item) for item in [*self.remedies, *self.given]}
        self.calls = {item.key: self._called_by(item) for item in self.remedies}

    def _called_by(self, item: Item) -> set[str]:
        missed = {one.found.key for one in failing(self.world, item) if one.found is not None and one.found.fault}
        return needed_by(self.world, item) | missed

    def fixed(self, key: str, without: str = "") -> Literal:
        """A taken item, other than one, fixes a fault."""
        items = [*self.remedies, *self.given]
        return self.program.any_of(
            self.taken[item.key] for item in items if key in self.fixes[item.key] and item.key != without
        )

    @cached_property
    def covered(self) -> dict[str, Literal]:
        """Faults that must be put right, by severity or because a taken remedy calls for them."""
        return {
            key: self.program.true
            if key in self.base
            else self.program.any_of(self.taken[item.key] for item in self.remedies if key in self.calls[item.key])
            for key in self.faults
        }

    def require(self) -> None:
        """All constraints but the least that is left and that no smaller set is valid."""
        for item in self.remedies:
            self._require_needs(item)
            self._require_fit(item)
            self._require_use(item)
        self._require_order()

    def _require_needs(self, item: Item) -> None:
        for key in needed_by(self.world, item):
            self.program.model.add_implication(self.taken[item.key], self.fixed(key))

    def _require_fit(self, item: Item) -> None:
        taken, model = self.taken[item.key], self.program.model
        for row in limits_of(self.world, item):
            records = recorded(self.world, row, item)
            if not records:
                model.add(taken == 0)
            for found in records:
                as_measured = found.measured is not None and within(row, found.measured)
                by_others = self.fixed(found.key, without=item.key) if found.fault else self.program.false
                if not as_measured:
                    model.add_implication(taken, by_others)
                if not as_new_fits(row, found):
                    model.add_implication(taken, self.program.no(by_others))

    def _require_use(self, item: Item) -> None:
        """It fixes a covered finding that no other does."""
        alone = [
            self.program.all_of([self.covered[key], self.program.no(self.fixed(key, without=item.key))])
            for key in sorted(self.fixes[item.key])
        ]
        self.program.model.add_implication(self.taken[item.key], self.program.any_of(alone))

    def _require_order(self) -> None:
        """Taken one by one in some order, each fixes a finding that is covered by then and still open.

        Where all that a remedy fixes is covered by severity this follows from `_require_use`.
        """
        called: set[str] = set().union(*self.calls.values())
        if called <= self.base:
            return
        self._moment = {item.key: self.program.number(0, len(self.remedies)) for item in self.remedies}
        for item in self.remedies:
            good = [self._opens(item, key) for key in sorted(self.fixes[item.key])]
            self.program.model.add_implication(self.taken[item.key], self.program.any_of(good))

    def _opens(self, item: Item, key: str) -> Literal:
        """A literal that, where 1, makes an item fix a finding that is covered and open when it is taken."""
        model, good = self.program.model, self.program.literal()
        mine = self._moment[item.key]
        if any(key in self.fixes[one.key] for one in self.given):
            return self.program.false
        for other in self.remedies:
            if other.key != item.key and key in self.fixes[other.key]:
                model.add(mine + 1 <= self._moment[other.key]).only_enforce_if([good, self.taken[other.key]])
        if key in self.base:
            return good
        called = []
        for other in self.remedies:
            if other.key != item.key and key in self.calls[other.key]:
                early = self.program.literal()
                model.add_implication(early, self.taken[other.key])
                model.add(self._moment[other.key] + 1 <= mine).only_enforce_if(early)
                called.append(early)
        model.add_implication(good, self.program.any_of(called))
        return good

    def left(self) -> Sum:
        """What is left, as one number: what the tier before fixes, then how many, then the gravest first."""
        radix = len(self.faults) + 1
        weights = {severity: radix**place for place, severity in enumerate(reversed(SEVERITIES))}
        each = radix ** len(SEVERITIES)
        terms: list[Sum] = []
        for key in sorted(self.base):
            weight = weights[self.faults[key].severity] + each + (each * radix if key in self.before else 0)
            terms.append(weight * (1 - self.fixed(key)))
        return sum(terms)

    def forbid_more_than(self, smaller: Iterable[str], component: Iterable[str]) -> None:
        """A valid set may not be taken with more of what hangs together with it."""
        kept = [self.taken[key] for key in smaller]
        for key in sorted(set(component) - set(smaller)):
            self.program.model.add_bool_or([one.negated() for one in [*kept, self.taken[key]]])


def is_valid(world: World, items: list[Item], base: frozenset[str], one_offs: list[Item]) -> bool:
    """The rules once more, for one set, by the plain functions of tests/oracle."""
    covered = base | called_for(world, items)
    for item in items:
        others = [other for other in items if other.key != item.key] + one_offs
        if fixed_by(world, item) & covered <= fixed_by_all(world, others):
            return False
    return all_allowed(world, items + one_offs) and _can_be_ordered(world, items, base, one_offs)


def _can_be_ordered(world: World, items: list[Item], base: frozenset[str], one_offs: list[Item]) -> bool:
    """Taken one by one in some order, each fixes a finding that is covered by then and still open."""
    fixed = {item.key: fixed_by(world, item) for item in items}
    hanging = []
    for item in items:
        others: set[str] = set().union(*(fixed[key] for key in fixed if key != item.key))
        if not (fixed[item.key] & base) - others - fixed_by_all(world, one_offs):
            hanging.append(item)
    return not hanging or _order(world, items, base, list(one_offs), set())


def _order(world: World, items: list[Item], base: frozenset[str], taken: list[Item], seen: set[frozenset[str]]) -> bool:
    if not items:
        return True
    state = frozenset(item.key for item in items)
    if state in seen:
        return False
    seen.add(state)
    open_now = (base | called_for(world, taken)) - fixed_by_all(world, taken)
    return any(
        _order(world, [other for other in items if other.key != item.key], base, [*taken, item], seen)
        for item in items
        if fixed_by(world, item) & open_now
    )
