"""Rows and unknowns as HiGHS takes them: floats, in the smallest whole numbers that say the same.

Worked example: 0.35 a + 0.15 b <= 1.05 is passed as 7 a + 3 b <= 21.
"""

from __future__ import annotations

from collections.abc import Collection
from fractions import Fraction
from typing import Any

from quotekit.pricing.exact.lines import Factor, Row, common_unit
from quotekit.pricing.exact.program import Program

_LARGEST_PASSED = 1_000_000
"""The largest number of a row made whole."""


def model_of(highspy: Any, program: Program) -> Any:
    """A whole program for HiGHS, with nothing to make least yet."""
    lp = highspy.HighsLp()
    lp.num_col_ = len(program.bounds)
    lp.num_row_ = len(program.rows)
    lp.col_cost_ = [0] * len(program.bounds)
    lp.col_lower_ = [low for low, _ in program.bounds]
    lp.col_upper_ = [high for _, high in program.bounds]
    lp.integrality_ = [highspy.HighsVarType.kInteger] * len(program.bounds)
    starts, places, values, lows, highs = [0], [], [], [], []
    for row in program.rows:
        factors, low, high = whole_row(row, highspy.kHighsInf)
        places += list(factors)
        values += list(factors.values())
        starts.append(len(places))
        lows.append(low)
        highs.append(high)
    lp.row_lower_, lp.row_upper_ = lows, highs
    lp.a_matrix_.format_ = highspy.MatrixFormat.kRowwise
    lp.a_matrix_.start_, lp.a_matrix_.index_, lp.a_matrix_.value_ = starts, places, values
    return lp


def whole_row(row: Row, infinity: Any) -> tuple[dict[int, Any], Any, Any]:
    """A row in the smallest whole numbers that say the same, as far as those are not too large."""
    numbers = {*row.terms.values(), *(limit for limit in (row.low, row.high) if limit is not None)}
    scale = _scale_of(numbers)
    if scale == 1:
        factors = {unknown: as_float(factor) for unknown, factor in row.terms.items()}
    else:
        factors = {unknown: as_float(factor * scale) for unknown, factor in row.terms.items()}
    low = -infinity if row.low is None else as_float(row.low * scale)
    high = infinity if row.high is None else as_float(row.high * scale)
    return factors, low, high


def _scale_of(numbers: Collection[Factor]) -> Fraction:
    """What makes a row's numbers whole and small; where they would be large, what makes the largest a million.

    HiGHS loses its way among numbers far apart: with larger ones it proved what was not so, and with very small ones
    its presolve, once more after a restart, never came to an end.
    """
    unit = common_unit(numbers)
    if not unit:
        return Fraction(1)
    largest = max(abs(Fraction(number)) for number in numbers)
    if largest / unit <= _LARGEST_PASSED:
        return 1 / unit
    return _LARGEST_PASSED / largest


def as_float(value: Factor) -> Any:
    """A number as HiGHS takes it: the nearest float, of a whole number exactly."""
    return value.numerator / value.denominator
