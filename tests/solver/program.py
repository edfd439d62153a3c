"""A program of whole numbers for CP-SAT, with the few shapes the rules of a quote need.

ortools is imported only when a program is made, so that these modules can be looked at without it.
A literal is a variable of 0 or 1; a sum is any linear expression with whole factors.
"""

from __future__ import annotations

from collections.abc import Iterable, Sequence
from dataclasses import dataclass, field
from fractions import Fraction
from typing import Any

Literal = Any
Sum = Any
MOST = 10**9
"""No amount, in the smallest unit used, comes near this."""


@dataclass
class Solution:
    """Values found; `proven` when they are the best there is, `none` when there is none at all."""

    proven: bool
    none: bool
    objective: int
    bound: int
    value: Any = None
    """Gives the value of an expression; None where no solution was found in time."""


@dataclass
class Program:
    """Variables and constraints; each shape is exact."""

    model: Any = None
    true: Literal = None
    false: Literal = None
    _any: dict[tuple[int, ...], Literal] = field(default_factory=dict)
    _all: dict[tuple[int, ...], Literal] = field(default_factory=dict)

    def __post_init__(self) -> None:
        from ortools.sat.python import cp_model

        self.model = cp_model.CpModel()
        self.true, self.false = self.model.new_constant(1), self.model.new_constant(0)

    def literal(self, name: str = "") -> Literal:
        """A new 0 or 1."""
        return self.model.new_bool_var(name)

    def number(self, low: int = 0, high: int = MOST) -> Any:
        """A new whole number within ends."""
        return self.model.new_int_var(low, high, "")

    def any_of(self, literals: Iterable[Literal]) -> Literal:
        """1 exactly when one of them is."""
        kept = {one.index: one for one in literals if one.index != self.false.index}
        if self.true.index in kept:
            return self.true
        if len(kept) < 2:
            return next(iter(kept.values()), self.false)
        key = tuple(sorted(kept))
        if key not in self._any:
            self._any[key] = found = self.literal()
            self.model.add_bool_or(kept.values()).only_enforce_if(found)
            for one in kept.values():
                self.model.add_implication(one, found)
        return self._any[key]

    def all_of(self, literals: Iterable[Literal]) -> Literal:
        """1 exactly when all of them are."""
        kept = {one.index: one for one in literals if one.index != self.true.index}
        if self.false.index in kept:
            return self.false
        if len(kept) < 2:
            return next(iter(kept.values()), self.true)
        key = tuple(sorted(kept))
        if key not in self._all:
            self._all[key] = found = self.literal()
            self.model.add_bool_or([one.negated() for one in kept.values()] + [found])
            for one in kept.values():
                self.model.add_implication(found, one)
        return self._all[key]

    def no(self, literal: Literal) -> Literal:
        """1 exactly when it is 0."""
        if literal.index == self.true.index:
            return self.false
        return self.true if literal.index == self.false.index else literal.negated()

    def holds(self, literal: Literal, constraint: Any, otherwise: Any) -> None:
        """The literal is 1 exactly when the first holds; the second is its opposite."""
        self.model.add(constraint).only_enforce_if(literal)
        self.model.add(otherwise).only_enforce_if(literal.negated())

    def at_least(self, amount: Sum, threshold: int) -> Literal:
        """1 exactly when an amount reaches a threshold."""
        found = self.literal()
        self.holds(found, amount >= threshold, amount <= threshold - 1)
        return found

    def floor(self, amount: Sum, numerator: int, denominator: int, more: int = 0, low: int = 0) -> Any:
        """floor((amount x numerator + more) / denominator)."""
        found = self.number(low)
        self.model.add(found * denominator <= amount * numerator + more)
        self.model.add(found * denominator >= amount * numerator + more - denominator + 1)
        return found

    def half_up(self, amount: Sum, factor: Fraction) -> Sum:
        """amount x factor, rounded half up; the amount is not negative."""
        if factor.denominator == 1:
            return amount * factor.numerator
        return self.floor(amount, 2 * factor.numerator, 2 * factor.denominator, factor.denominator)

    def round_up(self, amount: Sum, step: int, low: int = 0) -> Any:
        """How many whole steps cover an amount."""
        return self.floor(amount, 1, step, step - 1, low)

    def least(self, amounts: Sequence[Sum]) -> Any:
        """The smallest of some amounts that are not negative."""
        found = self.number()
        self.model.add_min_equality(found, amounts)
        return found

    def not_below_zero(self, amount: Sum) -> Any:
        """The amount, or zero where it is negative."""
        found = self.number()
        self.model.add_max_equality(found, [amount, 0])
        return found

    def counted_if(self, literal: Literal, amount: Sum) -> Sum:
        """The amount where the literal is 1, else zero."""
        if literal.index == self.true.index:
            return amount
        found = self.number()
        self.holds(literal, found == amount, found == 0)
        return found

    def kept(self, amount: Sum) -> Any:
        """A variable that equals a sum, so that it is carried once."""
        found = self.number(-MOST)
        self.model.add(found == amount)
        return found

    def solve(self, goal: Sum | None, seconds: float, hint: dict[Any, int] | None = None) -> Solution:
        """The solution with the least goal; with no goal, any."""
        from ortools.sat.python import cp_model

        self.model.clear_objective()
        self.model.clear_hints()
        if goal is not None:
            self.model.minimize(goal)
        for variable, value in (hint or {}).items():
            self.model.add_hint(variable, value)
        solver = cp_model.CpSolver()
        solver.parameters.max_time_in_seconds = seconds
        solver.parameters.num_workers = 2
        solver.parameters.random_seed = 1
        status = solver.solve(self.model)
        none, proven = status == cp_model.INFEASIBLE, status == cp_model.OPTIMAL
        if status == cp_model.MODEL_INVALID:
            raise ValueError(self.model.validate())
        found = proven or status == cp_model.FEASIBLE
        value = solver.value if found else None
        if not found or goal is None:
            return Solution(proven or none, none, 0, 0, value)
        return Solution(proven, none, round(solver.objective_value), round(solver.best_objective_bound), value)
