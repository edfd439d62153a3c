"""How programs take the whole part of a double, and how they round one: what is known to differ between them."""

from __future__ import annotations

import math
from collections.abc import Callable, Mapping
from decimal import ROUND_HALF_EVEN, ROUND_HALF_UP, Decimal
from fractions import Fraction

from quotekit.model.expression import Expression, Step, Term

Routine = Callable[[float], float]

CENT = Decimal("0.01")


def by_fifteen_digits(x: float) -> float:
    """Snapped to 15 digits first, as LibreOffice does."""
    return float(math.floor(float(format(x, ".15g"))))


def by_decimal_text(x: float) -> float:
    """Through the shortest decimal text of the number."""
    return float(Decimal(repr(x)).to_integral_value("ROUND_FLOOR"))


def by_exact_value(x: float) -> float:
    """Of the exact binary value."""
    return float(Fraction(x).__floor__())


def by_cutting(x: float) -> float:
    """Cut towards zero, then corrected below it."""
    whole = math.trunc(x)
    return float(whole - (x < whole))


def by_nearest_within_a_few_bits(x: float) -> float:
    """The nearest whole number where that is within four steps of the double, else rounded down."""
    nearest = round(x)
    return float(nearest if abs(x - nearest) <= 4 * math.ulp(x) else math.floor(x))


def by_remainder(x: float) -> float:
    """The number less its remainder by one."""
    return x - x % 1.0


INTS: Mapping[str, Routine] = {
    "plain floor": lambda x: float(math.floor(x)),
    "fifteen digits first": by_fifteen_digits,
    "decimal text": by_decimal_text,
    "exact value": by_exact_value,
    "cut and corrected": by_cutting,
    "nearest within a few bits": by_nearest_within_a_few_bits,
    "less its remainder": by_remainder,
}

ROUNDS: Mapping[str, Routine] = {
    "half added, then floor": lambda x: math.floor(x * 100 + 0.5) / 100,
    "half added by size": lambda x: math.copysign(math.floor(abs(x) * 100 + 0.5) / 100, x),
    "half to even": lambda x: float(Decimal(repr(x)).quantize(CENT, ROUND_HALF_EVEN)),
    "decimal text": lambda x: float(Decimal(repr(x)).quantize(CENT, ROUND_HALF_UP)),
    "exact value": lambda x: float(Decimal(x).quantize(CENT, ROUND_HALF_UP)),
}


def in_doubles(expression: Expression, whole: Routine) -> Callable[[Mapping[Step, float]], float]:
    """An expression as a spreadsheet works it out: every step a double, quotients by this routine for INT."""
    if isinstance(expression, int):
        number = float(expression)
        return lambda _: number
    if isinstance(expression, Step):
        step = expression
        return lambda cells: cells[step]
    parts = [in_doubles(part, whole) for part in expression.args]
    return _worked(expression, parts, whole)


def _worked(
    term: Term, parts: list[Callable[[Mapping[Step, float]], float]], whole: Routine
) -> Callable[[Mapping[Step, float]], float]:
    def by_two(cells: Mapping[Step, float]) -> float:
        one, other = parts[0](cells), parts[1](cells)
        if term.kind == "times":
            return one * other
        if term.kind == "rest":
            return one - other * whole(one / other)
        return one - other if term.kind == "minus" else whole(one / other)

    def chosen(cells: Mapping[Step, float]) -> float:
        return parts[1](cells) if parts[0](cells) else parts[2](cells)

    def compared(cells: Mapping[Step, float]) -> float:
        one, other = parts[0](cells), parts[1](cells)
        return float(one > other or (term.kind == "at least" and one == other))

    def gathered(cells: Mapping[Step, float]) -> float:
        values = [part(cells) for part in parts]
        return float({"sum": sum, "max": max, "min": min}[term.kind](values))  # type: ignore[operator]

    def of_one(cells: Mapping[Step, float]) -> float:
        (value,) = (part(cells) for part in parts)
        return abs(value) if term.kind == "abs" else float((value > 0) - (value < 0))

    kinds = {
        **dict.fromkeys(("times", "minus", "floor", "rest"), by_two),
        **dict.fromkeys(("more", "at least"), compared),
        **dict.fromkeys(("sum", "max", "min"), gathered),
        **dict.fromkeys(("sign", "abs"), of_one),
        "if": chosen,
    }
    return kinds[term.kind]
