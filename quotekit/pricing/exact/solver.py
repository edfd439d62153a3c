"""Hands a program to HiGHS, which is imported only here, only when a choice is too large to count through.

HiGHS works in floating point: what comes back are whole numbers for the unknowns and a bound, and nothing of it is
ever taken as money; the engine prices each choice again (`search`).
"""

from __future__ import annotations

from collections.abc import Iterable, Mapping, Sequence
from fractions import Fraction
from typing import Any, Literal

from quotekit.pricing.exact.in_time import ends_in_time
from quotekit.pricing.exact.lines import Line
from quotekit.pricing.exact.program import Program
from quotekit.pricing.exact.rows_passed import model_of, whole_row
from quotekit.record import record

Ending = Literal["proven", "none", "stopped"]


@record
class Answer:
    """Values of the unknowns (None where none was found), and what no choice can be below."""

    ending: Ending
    values: Sequence[int] | None
    bound: int | None
    """A whole number no value of the sum is below; None where nothing is known."""


_NOTHING = Answer(ending="none", values=None, bound=None)


@record
class Relaxed:
    """The least of a sum where unknowns may be broken numbers: no whole choice is below it.

    `excess` is how much more the sum comes to at least where an unknown does not have the value in `values`.
    """

    bound: Fraction
    values: Mapping[int, int]
    excess: Mapping[int, Fraction]

    def dearer_to_change(self, room: Fraction) -> dict[int, int]:
        """Unknowns that cost more to change than some room, with their values."""
        return {unknown: value for unknown, value in self.values.items() if self.excess[unknown] > room}


class Solver:
    """One program in HiGHS. Rows may be added between solves; the seconds of all solves together are limited."""

    def __init__(self, program: Program, seconds: Any) -> None:
        self.program = program
        self.seconds = seconds
        self.spent: Any = 0
        """Seconds of solving so far."""
        self.highs: Any = self._fresh()

    def least(self, objective: Line, *, at_most: int | None = None, part: int = 1) -> Answer:
        """Make a whole sum as small as can be.

        `at_most`: a larger value is of no interest; the answer is none where there is no other. HiGHS has an option
        for that, which is no quicker and with which one version called programs infeasible that were not.
        `part`: this solve may take one part in so many of the seconds that are left.
        """
        if not self.program.bounds:
            return _without_unknowns(self.program, objective)
        if self.spent >= self.seconds:
            return Answer(ending="stopped", values=None, bound=None)
        self._pass(objective)
        self._run(part)
        answer = self._answer(objective)
        if at_most is not None and answer.bound is not None and answer.bound > at_most:
            return _NOTHING
        return answer

    def relaxed(self, objective: Line, unknowns: Sequence[int]) -> Relaxed | None:
        """The least of a sum where unknowns may be broken, and what each of some unknowns costs to change."""
        if self.spent >= self.seconds:
            return None
        self._pass(objective)
        self.highs.setOptionValue("solve_relaxation", True)
        self._run()
        self.highs.setOptionValue("solve_relaxation", False)
        if self._status() != "Optimal":
            return None
        scale, solution = objective.denominator(), self.highs.getSolution()
        columns, costs = solution.col_value, solution.col_dual
        values: dict[int, int] = {}
        excess: dict[int, Fraction] = {}
        for unknown in unknowns:
            value, cost = columns[unknown], costs[unknown]
            at = round(value)
            if at in (0, 1) and (cost > 0 if at == 0 else cost < 0):
                values[unknown], excess[unknown] = at, abs(Fraction(cost)) / scale
            elif abs(value - at) < _TINY:
                values[unknown], excess[unknown] = at, Fraction(0)
        bound = Fraction(self.highs.getInfo().objective_function_value) / scale + objective.constant
        return Relaxed(bound=bound, values=values, excess=excess)

    def loosen(self, *, loose: bool) -> None:
        """Let amounts be broken, so that a sum may come out a few minor units too low, or have them whole again.

        Much quicker: whole amounts of rows as long as the job make HiGHS look for cuts that are of no use.
        """
        import highspy
        import numpy

        kind = highspy.HighsVarType.kContinuous if loose else highspy.HighsVarType.kInteger
        places = numpy.array(self.program.amounts, dtype=numpy.int32)
        if len(places):
            self.highs.changeColsIntegrality(len(places), places, numpy.full(len(places), int(kind), dtype=numpy.uint8))

    def extent(self, line: Line) -> tuple[Fraction, Fraction] | None:
        """The least and the most of a sum where unknowns may be broken, a little wider for the solver's floats."""
        ends = []
        for sign in (1, -1):
            relaxed = self.relaxed(line.times(sign), ())
            if relaxed is None:
                return None
            ends.append(sign * relaxed.bound)
        slack = (max(map(abs, ends)) + 1) / 10_000
        return ends[0] - slack, ends[1] + slack

    def hold(self, values: Mapping[int, int]) -> None:
        """Hold unknowns at values until they are freed."""
        for unknown, value in values.items():
            self.highs.changeColBounds(unknown, value, value)

    def free(self, unknowns: Iterable[int]) -> None:
        """Free unknowns that were held."""
        for unknown in unknowns:
            self.highs.changeColBounds(unknown, *self.program.bounds[unknown])

    def _fresh(self) -> Any:
        """The program in a HiGHS of its own. One that does not end is left to itself: nothing may touch it."""
        import highspy

        self.infinity = highspy.kHighsInf
        self.rows_passed = len(self.program.rows)
        highs = _quiet(highspy)
        for name, value in OPTIONS.items():
            highs.setOptionValue(name, value)
        highs.passModel(model_of(highspy, self.program))
        return highs

    def _pass(self, objective: Line) -> None:
        for row in self.program.rows[self.rows_passed :]:
            factors, low, high = whole_row(row, self.infinity)
            self.highs.addRow(low, high, len(factors), list(factors), list(factors.values()))
        self.rows_passed = len(self.program.rows)
        scale = objective.denominator()
        self._pass_costs({unknown: int(factor * scale) for unknown, factor in objective.terms.items()})

    def _run(self, part: int = 1) -> None:
        """Solve, where the program is large after HiGHS made it smaller; what that says can't be is solved whole."""
        before, left = self.highs.getRunTime(), (self.seconds - self.spent) / part
        is_large = len(self.program.bounds) > SMALL
        ended = self._ends(before + left, left, "choose" if is_large else "off")
        if ended and is_large and self._status() in DOUBTFUL:
            ended = self._ends(before + left, left, "off")
        if ended:
            self.spent += self.highs.getRunTime() - before
        else:
            self.highs = self._fresh()
            self.spent = self.seconds

    def _ends(self, limit: Any, left: Any, presolve: str) -> bool:
        self.highs.setOptionValue("time_limit", limit)
        self.highs.setOptionValue("presolve", presolve)
        return ends_in_time(self.highs.run, left)

    def _status(self) -> str:
        found: str = self.highs.modelStatusToString(self.highs.getModelStatus())
        return found

    def _pass_costs(self, costs: Mapping[int, int]) -> None:
        import numpy

        count = len(self.program.bounds)
        every = numpy.zeros(count)
        for unknown, cost in costs.items():
            every[unknown] = cost
        self.highs.changeColsCost(count, numpy.arange(count, dtype=numpy.int32), every)

    def _answer(self, objective: Line) -> Answer:
        status = self._status()
        if status in ("Infeasible", "Primal infeasible or unbounded"):
            return _NOTHING
        if status not in ("Optimal", "Time limit reached"):
            return Answer(ending="stopped", values=None, bound=None)
        info = self.highs.getInfo()
        found = info.primal_solution_status == _FEASIBLE
        values = [round(value) for value in self.highs.getSolution().col_value] if found else None
        bound = _bound(info.mip_dual_bound, objective)
        return Answer(ending="proven" if status == "Optimal" else "stopped", values=values, bound=bound)


def _quiet(highspy: Any) -> Any:
    """A solver that prints nothing: the wrapper's own constructor prints a line before it can be told not to."""
    return highspy.Highs.__base__()


def _without_unknowns(program: Program, objective: Line) -> Answer:
    """The answer where nothing is open: the one choice there is, if it holds."""
    holds = all((row.low or 0) <= 0 <= (row.high or 0) for row in program.rows)
    if not holds:
        return _NOTHING
    return Answer(ending="proven", values=(), bound=int(objective.constant))


SMALL = 1_000
"""Unknowns of a program that is solved as it is. HiGHS' presolve was wrong more than once, and saves nothing there."""
DOUBTFUL = ("Infeasible", "Solve error")
"""What is not believed after presolve."""
_FEASIBLE = 2
OPTIONS: Mapping[str, object] = {
    "output_flag": False,
    "log_to_console": False,
    "threads": 1,
    "random_seed": 1,
    "mip_rel_gap": 0,
    "mip_feasibility_tolerance": 1 / 10**7,
}


def _bound(dual: Any, objective: Line) -> int | None:
    """The next whole number above what HiGHS says nothing can be below, a little given away for its floats."""
    if abs(dual) >= _NOT_A_BOUND:
        return None
    return (Fraction(dual) / objective.denominator() + objective.constant - _GIVEN_AWAY).__ceil__()


_NOT_A_BOUND = 10**18
_TINY = 1 / 10**6
_GIVEN_AWAY = Fraction(1, 10)
