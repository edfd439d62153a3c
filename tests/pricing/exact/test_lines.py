"""Sums over unknowns: exact, and between which numbers they lie."""

from __future__ import annotations

from decimal import Decimal
from fractions import Fraction

import pytest
from hypothesis import given
from hypothesis import strategies as st

from quotekit.pricing.exact.lines import Line, exactly, total

numbers = st.one_of(st.integers(-50, 50), st.decimals(-5, 5, places=2), st.fractions(-3, 3, max_denominator=12))
sums = st.builds(
    lambda terms, constant: build(dict(terms), constant), st.lists(st.tuples(st.integers(0, 4), numbers)), numbers
)


def build(terms: dict[int, int | Decimal | Fraction], constant: int | Decimal | Fraction = 0) -> Line:
    line = Line(constant)
    for unknown, factor in terms.items():
        line.add(unknown, factor)
    return line


def test_the_worked_example() -> None:
    """3 a - 2 b + 5, with a and b from 0 to 1: at least 3, at most 8."""
    line = build({0: 3, 1: -2}, 5)
    assert line.span([(0, 1), (0, 1)]) == (3, 8)
    assert line.value([1, 0]) == 8
    assert line.value({0: 0, 1: 1}) == 3


def test_terms_that_cancel_are_gone() -> None:
    line = build({0: 3}).add(0, -3)
    assert line.terms == {}
    assert line.value([7]) == 0


@pytest.mark.parametrize(
    ("number", "whole", "kind"),
    [(3, 3, int), (Decimal("3.00"), 3, int), (Fraction(6, 2), 3, int), (Decimal("0.25"), Fraction(1, 4), Fraction)],
)
def test_whole_numbers_stay_whole(number: int | Decimal | Fraction, whole: object, kind: type) -> None:
    assert exactly(number) == whole
    assert type(exactly(number)) is kind


def test_the_denominator_makes_every_number_whole() -> None:
    line = build({0: Decimal("0.25"), 1: Fraction(1, 6)}, Decimal("0.5"))
    assert line.denominator() == 12
    assert line.times(12).denominator() == 1


@given(sums, sums, numbers, st.lists(st.integers(0, 3), min_size=5, max_size=5))
def test_adding_sums_adds_their_values(
    first: Line, second: Line, factor: int | Decimal | Fraction, values: list[int]
) -> None:
    together = Line().plus(first).plus(second, factor)
    assert together.value(values) == first.value(values) + second.value(values) * exactly(factor)
    assert total([first, second]).value(values) == first.value(values) + second.value(values)


@given(sums, st.lists(st.integers(0, 3), min_size=5, max_size=5))
def test_no_value_lies_outside_the_span(line: Line, values: list[int]) -> None:
    least, most = line.span([(0, 3)] * 5)
    assert least <= line.value(values) <= most


@given(sums)
def test_the_span_is_reached(line: Line) -> None:
    least, most = line.span([(0, 3)] * 5)
    low = [0 if line.terms.get(unknown, 0) > 0 else 3 for unknown in range(5)]
    high = [3 - value for value in low]
    assert (line.value(low), line.value(high)) == (least, most)
