"""Programs of fewer choices: those as good as the best, stated closer, and those that come earlier in text order."""

from __future__ import annotations

from collections.abc import Mapping, Set
from typing import Any

from quotekit.pricing.exact.lines import Line
from quotekit.pricing.exact.program import Flag, Program, add_flag
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


def differing(program: Program, flags: Mapping[str, Flag], taken: Set[str]) -> tuple[Program, Line]:
    """A program of choices that come before one in text order, and the place where they first differ."""
    overlay = program.copy()
    position, differs = Line(), Line()
    for place, (key, flag) in enumerate(flags.items()):
        if key not in taken:
            here = overlay.flag()
            add_flag(differs, here)
            add_flag(position, here, place)
            overlay.row(add_flag(add_flag(Line(), flag), here, -1), low=0)
        gap = Line().plus(differs)
        overlay.row(add_flag(gap, -flag if key in taken else flag, -1), low=0)
    overlay.row(differs, low=1, high=1)
    return overlay, position
