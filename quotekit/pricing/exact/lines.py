"""Linear sums over the unknowns of a program: exact, with the least and the most they can be.

Worked example: 3 a - 2 b + 5, with a and b from 0 to 1: at least 3, at most 8.
"""

from __future__ import annotations

from collections.abc import Iterable, Mapping, Sequence
from decimal import Decimal
from fractions import Fraction
from math import gcd, lcm

from quotekit.record import record

Number = int | Decimal | Fraction
Factor = int | Fraction
"""Whole numbers stay whole: fractions of them are slow."""
Bounds = Sequence[tuple[int, int]]


class Line:
    """A sum of unknowns times numbers, and a constant. Built by adding to it."""

    __slots__ = ("constant", "terms")

    def __init__(self, constant: Number = 0, terms: dict[int, Factor] | None = None) -> None:
        self.terms: dict[int, Factor] = {} if terms is None else terms
        self.constant: Factor = exactly(constant)

    def add(self, unknown: int, times: Number = 1) -> Line:
        """Add an unknown times a number."""
        total = self.terms.get(unknown, 0) + exactly(times)
        if total:
            self.terms[unknown] = total
        else:
            self.terms.pop(unknown, None)
        return self

    def plus(self, other: Line | Number, times: Number = 1) -> Line:
        """Add another sum, or a number, times a number."""
        factor = exactly(times)
        if not isinstance(other, Line):
            self.constant += exactly(other) * factor
            return self
        for unknown, number in other.terms.items():
            self.add(unknown, number * factor)
        self.constant += other.constant * factor
        return self

    def times(self, factor: Number) -> Line:
        """A new sum, each number of it times a factor."""
        return Line().plus(self, factor)

    def span(self, bounds: Bounds) -> tuple[Factor, Factor]:
        """The least and the most it can be, each unknown taken by itself."""
        least = most = self.constant
        for unknown, factor in self.terms.items():
            low, high = bounds[unknown]
            least += factor * (low if factor > 0 else high)
            most += factor * (high if factor > 0 else low)
        return least, most

    def denominator(self) -> int:
        """The number that makes all numbers of the sum whole."""
        return lcm(self.constant.denominator, *(factor.denominator for factor in self.terms.values()))

    def value(self, values: Mapping[int, int] | Sequence[int]) -> Factor:
        """What it comes to for values of the unknowns."""
        return sum((factor * values[unknown] for unknown, factor in self.terms.items()), self.constant)


@record
class Row:
    """low <= sum of unknowns <= high; None is open."""

    terms: dict[int, Factor]
    low: Factor | None
    high: Factor | None


def exactly(number: Number) -> Factor:
    """A whole number, or a fraction where it is none.

    >>> exactly(Decimal("2.00")), exactly(Decimal("0.5")), exactly(Fraction(6, 3))
    (2, Fraction(1, 2), 2)
    """
    if isinstance(number, int):
        return number
    exact = Fraction(number)
    return exact.numerator if exact.denominator == 1 else exact


def total(lines: Iterable[Line]) -> Line:
    """The sum of sums."""
    found = Line()
    for line in lines:
        found.plus(line)
    return found


def common_unit(numbers: Iterable[Number]) -> Fraction:
    """The largest number of which each of some numbers is a whole multiple.

    >>> common_unit([Fraction(3, 2), Fraction(1, 10), 2])
    Fraction(1, 10)
    """
    exact = [exactly(number) for number in numbers]
    bottom = lcm(*(number.denominator for number in exact))
    return Fraction(gcd(*(number.numerator * (bottom // number.denominator) for number in exact)), bottom)
