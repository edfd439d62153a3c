"""The choice of a tier by CP-SAT: a second solver on a second formulation, proven optimal within a time limit.

Everything is whole numbers and exact: amounts in minor units, hours in their least common unit, rounding as a pair of
inequalities. Present values at interest are scaled by a million; the set found is then priced by tests/oracle, and
that price is what is compared.
Ties: work in money and operations are minimised in turn. The order of codes is not searched: `earlier_codes` asks
whether another set of the same figures comes before a given one.
"""

from __future__ import annotations

from collections.abc import Iterable
from dataclasses import dataclass, field
from fractions import Fraction
from functools import cached_property
from itertools import combinations
from math import lcm
from typing import Any

from quotekit.model.shop_book import Tier
from tests.oracle.candidates import candidates_of, faults_of, fixed_by, fixed_by_all
from tests.oracle.choose import Chooser, horizon_of, life_of
from tests.oracle.exact import fraction, grown
from tests.oracle.tiers import standing_items
from tests.oracle.work import Item, World
from tests.solver.price_program import PriceProgram
from tests.solver.program import Program, Solution, Sum
from tests.solver.rules_program import RulesProgram, is_valid
from tests.solver.work_program import WorkProgram

SCALE = 10**6
Value = tuple[int, ...]


@dataclass
class Answer:
    """The chosen remedies and what the aim and its ties come to, least best; not proven when time ran out.

    lowest price: work, operations. least to own: horizon cost, work, operations.
    longest life: minus the shortest life and minus the sum of lives, in the least common unit, work, operations.
    """

    proven: bool
    keys: frozenset[str] = frozenset()
    value: Value = ()
    bounds: Value = ()


@dataclass
class TierProgram:
    """One tier of a job; `before` is what the tier before fixes."""

    world: World
    tier: Tier
    before: frozenset[str]
    seconds: float = 20.0
    hint: frozenset[str] = frozenset()
    program: Program = field(default_factory=Program)

    def __post_init__(self) -> None:
        self.chooser = Chooser(self.world)
        faults = faults_of(self.world)
        covered = {key for key, found in faults.items() if found.severity in self.tier.covers}
        self.base = frozenset(covered | self.before)
        self.candidates = {item.key: item for item in candidates_of(self.world)}
        others = standing_items(self.world, self.tier)
        self.others = {item.key: item for item in others}
        self.one_offs = [item for item in others if item.kind == "one-off"]
        given = dict.fromkeys(self.others, self.program.true)
        self.x = {key: self.program.literal(key) for key in self.candidates}
        self.taken = {**self.x, **given}
        remedies = list(self.candidates.values())
        self.rules = RulesProgram(
            self.world, self.program, remedies, self.one_offs, self.taken, self.base, self.before & self.base
        )
        self.rules.require()
        self.work = WorkProgram(self.world, self.program, {**self.candidates, **self.others}, self.taken)
        self.money = PriceProgram(self.work)

    # The aims.

    @cached_property
    def operations(self) -> Sum:
        """How many operations are present."""
        return sum(self.work.present(key) for key in self.work.operations)

    @cached_property
    def again(self) -> Any:
        """What comes round within the horizon, rounded to minor units: work is whole, so the sum rounds alike."""
        horizon, interest = horizon_of(self.world), fraction(self.world.book.settings.interest_a_year)
        terms = []
        for key, item in self.candidates.items():
            life, worth, times = life_of(self.world, item), Fraction(0), 1
            while times * life < horizon:
                worth += self.chooser.stand_alone(item) / grown(interest, times * life)
                times += 1
            terms.append((worth * 10**self.world.digits, self.x[key]))
        scale = 1 if all(worth.denominator == 1 for worth, _ in terms) else SCALE
        whole = sum(int(worth * scale) * literal for worth, literal in terms)
        return whole if scale == 1 else self.program.floor(whole, 2, 2 * scale, scale)

    @cached_property
    def life_unit(self) -> int:
        """Lives are whole in 1 / this many years."""
        lives = [min(life_of(self.world, item), horizon_of(self.world)) for item in self.candidates.values()]
        return lcm(*(life.denominator for life in [*lives, horizon_of(self.world)]))

    @cached_property
    def lives(self) -> tuple[Any, Any]:
        """The shortest life and the sum of lives of covered findings that remedies fix; both may be understated,
        so they are to be made large."""
        horizon = int(horizon_of(self.world) * self.life_unit)
        shortest, sums = self.program.number(0, horizon), []
        for key, covered in self.rules.covered.items():
            fixing = [item for item in self.candidates.values() if key in fixed_by(self.world, item)]
            if not fixing:
                continue
            values = {
                item.key: int(min(life_of(self.world, item), horizon_of(self.world)) * self.life_unit)
                for item in fixing
            }
            life = self.program.number(0, horizon)
            each = [values[item.key] * self.x[item.key] for item in fixing]
            self.program.model.add_max_equality(life, each)
            counted = self.program.all_of([covered, self.program.any_of(self.x[item.key] for item in fixing)])
            self.program.model.add(shortest <= life).only_enforce_if(counted)
            sums.append(self.program.counted_if(counted, life))
        return shortest, self.program.kept(sum(sums))

    @cached_property
    def goals(self) -> list[Sum]:
        """What is made least, in turn; work and the number of operations in one."""
        ties = self.money.total * (len(self.work.operations) + 1) + self.operations
        if self.tier.aim == "lowest price":
            return [ties]
        if self.tier.aim == "least to own":
            return [self.money.total + self.again, ties]
        shortest, together = self.lives
        return [-1 * shortest, -1 * together, ties]

    # Solving.

    def solve(self) -> Answer:
        """The best set, proven within the time limit for each stage; sets that hold a smaller valid one are cut off."""
        first = self._solve(self.rules.left())
        if first.none or not first.proven:
            return Answer(proven=False)
        self.program.model.add(self.rules.left() == first.objective)
        found, bounds = first, []
        for goal in self.goals:
            found = self._without_larger(goal)
            bounds.append(found.bound)
            if found.value is None or not found.proven:
                return self._answer(found, bounds, proven=False)
            self.hint = self._keys(found)
            self.program.model.add(goal == found.objective)
        return self._answer(found, bounds, proven=True)

    def earlier_codes(self, keys: frozenset[str]) -> Solution:
        """Another set of the same figures whose codes in order come first; to be asked after `solve`."""
        ordered = sorted(self.x)
        first = []
        for place, key in enumerate(ordered):
            if key in keys or not any(other in keys for other in ordered[place + 1 :]):
                continue
            here = self.program.literal()
            self.program.model.add_implication(here, self.x[key])
            for other in ordered[:place]:
                literal = self.x[other]
                self.program.model.add_implication(here, literal if other in keys else literal.negated())
            first.append(here)
        if not first:
            return Solution(proven=True, none=True, objective=0, bound=0)
        self.program.model.add_bool_or(first)
        found = self._without_larger(None)
        return found

    def _solve(self, goal: Sum | None) -> Solution:
        hint = {literal: int(key in self.hint) for key, literal in self.x.items()} if self.hint else None
        return self.program.solve(goal, self.seconds, hint)

    def _without_larger(self, goal: Sum | None) -> Solution:
        """Solve until the set holds no smaller valid one."""
        while True:
            found = self._solve(goal)
            smaller = None if found.value is None else self._smaller(self._keys(found))
            if smaller is None:
                return found
            kept, component = smaller
            self.rules.forbid_more_than(kept, component)

    def _keys(self, found: Solution) -> frozenset[str]:
        return frozenset(key for key, literal in self.x.items() if found.value(literal))

    def _answer(self, found: Solution, bounds: list[int], *, proven: bool) -> Answer:
        if found.value is None:
            return Answer(proven=False, bounds=tuple(bounds))
        work, operations = found.value(self.money.total), found.value(self.operations)
        aims: Value = ()
        if self.tier.aim == "least to own":
            aims = (found.value(self.money.total + self.again),)
        if self.tier.aim == "longest life":
            aims = (-found.value(self.lives[0]), -found.value(self.lives[1]))
        return Answer(proven, self._keys(found), (*aims, work, operations), tuple(bounds))

    def _smaller(self, keys: frozenset[str]) -> tuple[frozenset[str], frozenset[str]] | None:
        """A valid set within another, among what hangs together, and all that hangs together with it."""
        for component in self._components:
            mine = [self.candidates[key] for key in sorted(keys & component)]
            base = self.base & frozenset(self._faults_of(component))
            loose = [item for item in mine if not self._is_called_by_severity(item, mine)]
            for size in range(1, len(loose) + 1):
                for gone in combinations(loose, size):
                    kept = [item for item in mine if item not in gone]
                    fixed = fixed_by_all(self.world, mine + self.one_offs) & base
                    same = fixed <= fixed_by_all(self.world, kept + self.one_offs)
                    if same and is_valid(self.world, kept, base, self.one_offs):
                        return frozenset(item.key for item in kept), component
        return None

    def _is_called_by_severity(self, item: Item, others: Iterable[Item]) -> bool:
        """It alone fixes a finding that the tier covers anyway, so no smaller set can do without it."""
        rest = [other for other in others if other is not item]
        return bool((fixed_by(self.world, item) & self.base) - fixed_by_all(self.world, rest + self.one_offs))

    def _faults_of(self, component: Iterable[str]) -> set[str]:
        return set().union(*(self.rules.fixes[key] | self.rules.calls[key] for key in component))

    @cached_property
    def _components(self) -> list[frozenset[str]]:
        """Candidates tied by the findings they fix or call for; only those where one is called for beyond the base."""
        groups: list[tuple[set[str], set[str]]] = []
        for key in self.candidates:
            keys, faults = {key}, self.rules.fixes[key] | self.rules.calls[key]
            for group in [group for group in groups if group[1] & faults]:
                groups.remove(group)
                keys, faults = keys | group[0], faults | group[1]
            groups.append((keys, faults))
        called = {key: self.rules.calls[key] - self.base for key in self.candidates}
        return [frozenset(keys) for keys, _ in groups if any(called[key] for key in keys)]
