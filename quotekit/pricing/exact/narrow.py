"""A program of fewer choices: those as good as the best, stated closer."""

from __future__ import annotations

from typing import Any

from quotekit.pricing.exact.lines import Line
from quotekit.pricing.exact.program import Program
from quotekit.pricing.exact.solver import Solver


def tighten(program: Program, line: Line, most: int, seconds: Any) -> Any:
    """State rows closer for choices of which a sum is at most the best one's; the seconds it took.

    A ceiling's row takes a long sum at its least or most. Over all choices those are far apart; over choices as good
    as the best they are close: the relaxed program says how close, and what it leaves out is never as good.
    """
    as_good = program.copy()
    as_good.row(line, high=most)
    solver = Solver(as_good, seconds)
    for watched, state_again in program.watched:
        extent = solver.extent(watched)
        if extent is not None:
            state_again(*extent)
    return solver.spent
