"""Hours and labour of a tier, as a program (DESIGN.md 5.3): steps, net hours, allowance, hours off, rounding up."""

from __future__ import annotations

from dataclasses import dataclass, field
from fractions import Fraction
from math import lcm
from typing import Any

from tests.oracle.exact import fraction
from tests.oracle.work import hours_of_step
from tests.solver.program import Literal, Sum
from tests.solver.work_program import WorkProgram

Terms = list[tuple[Fraction, Literal]]


@dataclass
class LabourProgram:
    """Labour in minor units, given the hours that bundles take off."""

    work: WorkProgram
    hours_off: Terms
    access: dict[str, Terms] = field(default_factory=dict)
    net: dict[str, Terms] = field(default_factory=dict)
    slowed: dict[str, Terms] = field(default_factory=dict)

    def __post_init__(self) -> None:
        self.world, self.program = self.work.world, self.work.program
        self._gather()
        percent = fraction(self._condition().allowance) if self._condition() else Fraction(0)
        ceiling = fraction(self._condition().at_most_hours) if self._condition() else Fraction(0)
        settings = self.world.book.settings
        self.step, self.least = fraction(settings.hours_step), fraction(settings.minimum_labour_hours)
        terms = [term for by_rate in (self.access, self.net) for terms in by_rate.values() for term in terms]
        numbers = [hours for hours, _ in [*terms, *self.hours_off]] + [self.step, self.least, ceiling]
        slowed = [hours * percent for terms in self.slowed.values() for hours, _ in terms]
        self.unit = lcm(*(number.denominator for number in [*numbers, *slowed]))
        self.percent = percent

    def _condition(self) -> Any:
        return self.world.book.conditions[self.world.job.condition] if self.world.job.condition else None

    def _gather(self) -> None:
        for step, literal in self.work.steps.items():
            rate = self.world.rate(self.world.book.access[step[0]].labour)
            self.access.setdefault(rate, []).append((fraction(hours_of_step(self.world, step)), literal))
        for key in self.work.operations:
            operation = self.world.book.operations[key[0]]
            terms = [(fraction(operation.net_hours), self.work.present(key))]
            if key[1] is not None and operation.second_side_hours is not None:
                less = fraction(operation.second_side_hours) - fraction(operation.net_hours)
                terms.append((less, self.work.later_side(key)))
            self._add_net(self.world.rate(operation.labour), terms, operation.slowed_by_rust)
        for item in self.work.items.values():
            if item.kind == "one-off" and item.record.kind == "labour":
                terms = [(fraction(item.record.quantity), self.program.true)]
                self._add_net(self.world.rate(item.record.labour), terms, item.record.slowed_by_rust)

    def _add_net(self, rate: str, terms: Terms, slowed: bool) -> None:
        self.net.setdefault(rate, []).extend(terms)
        if slowed:
            self.slowed.setdefault(rate, []).extend(terms)

    def _units(self, terms: Terms, factor: Fraction = Fraction(1)) -> Sum:
        """A sum of hours in the least common unit."""
        counts = [(int(hours * factor * self.unit), literal) for hours, literal in terms]
        return sum(count * literal for count, literal in counts)

    def total(self) -> Any:
        """Labour lines and the minimum line, in minor units."""
        billed = {rate: self._billed(rate) for rate in sorted(set(self.access) | set(self.net))}
        step = int(self.step * self.unit)
        amounts = [self._money(rate, steps, self.step) for rate, steps in billed.items()]
        least = int(self.least * self.unit)
        if least:
            missing = self.program.not_below_zero(least - step * sum(billed.values()))
            amounts.append(self._money(self.world.default_rate, missing, Fraction(1, self.unit)))
        return self.program.kept(sum(amounts))

    def _money(self, rate: str, count: Sum, hours: Fraction) -> Sum:
        each = fraction(self.world.rates[rate].rate_per_hour) * hours * 10**self.world.digits
        return self.program.half_up(count, each)

    def _billed(self, rate: str) -> Any:
        """Steps of hours of a rate, rounded up; never below zero."""
        off = self._units(self.hours_off) if rate == self.world.default_rate else 0
        before = self._units(self.access.get(rate, [])) + self._units(self.net.get(rate, [])) - off
        step, slowed = int(self.step * self.unit), self.slowed.get(rate, [])
        if not slowed or self._condition() is None:
            return self.program.not_below_zero(self.program.round_up(before, step, low=-(10**6)))
        allowed = before + self._units(slowed, self.percent)
        if self._condition().at_most_hours is None:
            return self.program.not_below_zero(self.program.round_up(allowed, step, low=-(10**6)))
        return self.program.not_below_zero(self._under_ceiling(rate, before, allowed, step))

    def _under_ceiling(self, rate: str, before: Sum, allowed: Sum, step: int) -> Any:
        """Steps that cover the hours and this rate's part of an allowance that has a limit for the whole job."""
        ceiling = fraction(self._condition().at_most_hours) * self.unit
        everything = [term for terms in self.slowed.values() for term in terms]
        over = self.program.at_least(self._units(everything, self.percent), int(ceiling) + 1)
        steps = self.program.number(-(10**6), 10**6)
        model = self.program.model
        model.add(steps * step >= allowed).only_enforce_if(over.negated())
        model.add(steps * step <= allowed + step - 1).only_enforce_if(over.negated())
        if len(self.slowed) == 1:
            model.add(steps * step >= before + int(ceiling)).only_enforce_if(over)
            model.add(steps * step <= before + int(ceiling) + step - 1).only_enforce_if(over)
            return steps
        whole, short = self.program.number(0, 10**7), self.program.number(-(10**7), 10**7)
        model.add(whole == self._units(everything))
        model.add(short == steps * step - before)
        product = self.program.number(-(10**14), 10**14)
        model.add_multiplication_equality(product, [short, whole])
        part = int(ceiling) * self._units(self.slowed[rate])
        model.add(product >= part).only_enforce_if(over)
        model.add(product - step * whole <= part - 1).only_enforce_if(over)
        return steps
