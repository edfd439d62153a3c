"""Hands a program to HiGHS, which is imported only here, only when a choice is too large to count through.

HiGHS works in floating point: what comes back are whole numbers for the unknowns and a bound, and nothing of it is
ever taken as money; the engine prices each choice again (`search`).
"""

from __future__ import annotations

from collections.abc import Mapping, Sequence
from fractions import Fraction
from math import lcm
from typing import Any, Literal

from quotekit.pricing.exact.lines import Line
from quotekit.pricing.exact.program import LARGEST_SCALE, Program, Row
from quotekit.record import record

Ending = Literal["proven", "none", "stopped"]


@record
class Answer:
    """Values of the unknowns (None where none was found), and what no choice can be below."""

    ending: Ending
    values: Sequence[int] | None
    bound: int | None
    """A whole number no value of the sum is below; None where nothing is known."""


class Solver:
    """One program in HiGHS. Rows may be added between solves; the seconds of all solves together are limited."""

    def __init__(self, program: Program, seconds: Any) -> None:
        import highspy

        self.highs: Any = _quiet(highspy)
        self.program = program
        self.seconds = seconds
        self.spent: Any = 0
        """Seconds of solving so far."""
        self.rows_passed = len(program.rows)
        for name, value in _OPTIONS.items():
            self.highs.setOptionValue(name, value)
        self.highs.passModel(_model(highspy, program))

    def least(self, objective: Line, start: Sequence[int] | None = None) -> Answer:
        """Make a whole sum as small as can be; `start` are values of a choice to begin from."""
        self._pass_new_rows()
        if self.spent >= self.seconds:
            return Answer(ending="stopped", values=None, bound=None)
        scale = objective.denominator()
        self._pass_costs({unknown: int(factor * scale) for unknown, factor in objective.terms.items()})
        before = self.highs.getRunTime()
        self.highs.setOptionValue("time_limit", before + self.seconds - self.spent)
        if start is not None:
            self.highs.setSolution(len(start), range(len(start)), start)
        self.highs.run()
        self.spent += self.highs.getRunTime() - before
        return self._answer(objective, scale)

    def _pass_costs(self, costs: Mapping[int, int]) -> None:
        import numpy

        count = len(self.program.bounds)
        every = numpy.zeros(count)
        for unknown, cost in costs.items():
            every[unknown] = cost
        self.highs.changeColsCost(count, numpy.arange(count, dtype=numpy.int32), every)

    def _pass_new_rows(self) -> None:
        for row in self.program.rows[self.rows_passed :]:
            factors, low, high = _whole(row, self.highs.inf)
            self.highs.addRow(low, high, len(factors), list(factors), list(factors.values()))
        self.rows_passed = len(self.program.rows)

    def _answer(self, objective: Line, scale: int) -> Answer:
        status = self.highs.modelStatusToString(self.highs.getModelStatus())
        if status in ("Infeasible", "Primal infeasible or unbounded"):
            return Answer(ending="none", values=None, bound=None)
        info = self.highs.getInfo()
        found = info.primal_solution_status == _FEASIBLE
        values = [round(value) for value in self.highs.getSolution().col_value] if found else None
        bound = _bound(info.mip_dual_bound, objective, scale)
        return Answer(ending="proven" if status == "Optimal" else "stopped", values=values, bound=bound)


def _quiet(highspy: Any) -> Any:
    """A solver that prints nothing: the wrapper's own constructor prints a line before it can be told not to."""
    return highspy.Highs.__base__()


_FEASIBLE = 2
_OPTIONS: Mapping[str, object] = {
    "output_flag": False,
    "log_to_console": False,
    "threads": 1,
    "random_seed": 1,
    "mip_rel_gap": 0,
    "mip_feasibility_tolerance": 1 / 10**7,
}


def _bound(dual: Any, objective: Line, scale: int) -> int | None:
    """The next whole number above what HiGHS says nothing can be below, a little given away for its floats."""
    if abs(dual) >= _NOT_A_BOUND:
        return None
    return (Fraction(dual) / scale + objective.constant - _GIVEN_AWAY).__ceil__()


_NOT_A_BOUND = 10**18
_GIVEN_AWAY = Fraction(1, 10)


def _model(highspy: Any, program: Program) -> Any:
    lp = highspy.HighsLp()
    lp.num_col_ = len(program.bounds)
    lp.num_row_ = len(program.rows)
    lp.col_cost_ = [0] * len(program.bounds)
    lp.col_lower_ = [low for low, _ in program.bounds]
    lp.col_upper_ = [high for _, high in program.bounds]
    lp.integrality_ = [highspy.HighsVarType.kInteger] * len(program.bounds)
    starts, places, values, lows, highs = [0], [], [], [], []
    for row in program.rows:
        factors, low, high = _whole(row, highspy.kHighsInf)
        places += list(factors)
        values += list(factors.values())
        starts.append(len(places))
        lows.append(low)
        highs.append(high)
    lp.row_lower_, lp.row_upper_ = lows, highs
    lp.a_matrix_.format_ = highspy.MatrixFormat.kRowwise
    lp.a_matrix_.start_, lp.a_matrix_.index_, lp.a_matrix_.value_ = starts, places, values
    return lp


def _whole(row: Row, infinity: Any) -> tuple[dict[int, Any], Any, Any]:
    """A row with whole factors, as far as that is sensible."""
    numbers = [*row.terms.values(), *(limit for limit in (row.low, row.high) if limit is not None)]
    scale = lcm(*(number.denominator for number in numbers))
    if scale > LARGEST_SCALE:
        scale = 1
    factors = {unknown: _number(factor * scale) for unknown, factor in row.terms.items()}
    low = -infinity if row.low is None else _number(row.low * scale)
    high = infinity if row.high is None else _number(row.high * scale)
    return factors, low, high


def _number(value: Fraction) -> Any:
    """A number as HiGHS takes it: the nearest float, of a whole number exactly."""
    return value.numerator / value.denominator
