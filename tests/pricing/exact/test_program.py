"""Flags, rounding and comparing as rows: at whole values they say what the words say, tried out one by one."""

from __future__ import annotations

from collections.abc import Callable, Iterator, Sequence
from decimal import ROUND_HALF_UP, Decimal
from fractions import Fraction
from itertools import product
from math import ceil

import pytest

from quotekit.pricing.exact.flags import FALSE, TRUE, Flag, add_flag
from quotekit.pricing.exact.lines import Line
from quotekit.pricing.exact.program import Program
from quotekit.pricing.exact.selection import is_true

MOST_TRIED = 40_000


def holding(program: Program, first: int) -> Iterator[tuple[tuple[int, ...], tuple[int, ...]]]:
    """All whole values for which every row holds, as those of the first unknowns and all."""
    spans = [range(low, high + 1) for low, high in program.bounds]
    tried = 1
    for span in spans:
        tried *= len(span)
    assert tried <= MOST_TRIED
    for values in product(*spans):
        if all(holds(program, row.terms, row.low, row.high, values) for row in program.rows):
            yield values[:first], values


def holds(program: Program, terms: object, low: object, high: object, values: Sequence[int]) -> bool:
    value = Line(0, dict(terms)).value(values)  # type: ignore[call-overload]
    return (low is None or value >= low) and (high is None or value <= high)  # type: ignore[operator]


def check_flag(make: Callable[[Program, list[Flag]], Flag], count: int, words: Callable[..., bool]) -> None:
    """A flag made of flags is true exactly where the words are, and never stops a choice."""
    program = Program()
    flags = [program.flag() for _ in range(count)]
    made = make(program, flags)
    seen = set()
    for chosen, values in holding(program, count):
        seen.add(chosen)
        assert is_true(made, values) == words(*map(bool, chosen)), chosen
    assert seen == set(product((0, 1), repeat=count))


@pytest.mark.parametrize(
    ("make", "words"),
    [
        (lambda p, f: p.either(f), lambda a, b, c: a or b or c),
        (lambda p, f: p.all_of(f), lambda a, b, c: a and b and c),
        (lambda p, f: p.both(f[0], -f[1]), lambda a, b, c: a and not b),
        (lambda p, f: p.both(p.either(f[:2]), f[2]), lambda a, b, c: (a or b) and c),
        (lambda p, f: p.either([f[0], -f[1], FALSE]), lambda a, b, c: a or not b),
        (lambda p, f: p.either([f[0], TRUE]), lambda a, b, c: True),
        (lambda p, f: p.either([f[0], -f[0]]), lambda a, b, c: True),
        (lambda p, f: p.both(f[0], FALSE), lambda a, b, c: False),
        (lambda p, f: p.both(f[0], TRUE), lambda a, b, c: a),
        (lambda p, f: p.either([]), lambda a, b, c: False),
    ],
    ids=["or", "and", "and not", "nested", "or not", "with true", "opposites", "with false", "and true", "none"],
)
def test_flags(make: Callable[[Program, list[Flag]], Flag], words: Callable[..., bool]) -> None:
    check_flag(make, 3, words)


def test_the_same_flags_make_one_flag() -> None:
    program = Program()
    a, b = program.flag(), program.flag()
    assert program.either([a, b]) == program.either([b, a])
    assert len(program.bounds) == 3


def test_one_of_some_flags_is_true() -> None:
    program = Program()
    program.one_of(3)
    assert sorted(chosen for chosen, _ in holding(program, 3)) == [(0, 0, 1), (0, 1, 0), (1, 0, 0)]


def test_flags_that_exclude_each_other_share_a_row() -> None:
    """y >= a + b cuts more than y >= a and y >= b; what is made of them is known to be too."""
    program = Program()
    a, b, c = program.one_of(3)
    other = program.flag()
    first = program.either([a, b])
    rows = len(program.rows)
    program.either([first, c, other])
    assert len(program.rows) - rows == 3
    for _, values in holding(program, 4):
        assert is_true(first, values) == (values[0] + values[1] == 1)


def numbers(low: int, high: int) -> tuple[Program, Line]:
    """A whole number within bounds and its sum."""
    program = Program()
    return program, Line().add(program.whole(low, high))


@pytest.mark.parametrize("factor", ["1", "0.5", "8.333", "0.25", "1.005"])
def test_rounding_is_half_up(factor: str) -> None:
    """Also on the tie: 0.5 x 1 is 1."""
    program, line = numbers(0, 9)
    rounded = program.rounded(line.times(Decimal(factor)))
    for (value,), values in holding(program, 1):
        exact = value * Decimal(factor)
        assert rounded.value(values) == exact.quantize(Decimal(1), ROUND_HALF_UP)
    assert {chosen for chosen, _ in holding(program, 1)} == {(value,) for value in range(10)}


def test_a_sum_that_is_whole_needs_no_rounding() -> None:
    program, line = numbers(0, 9)
    assert program.rounded(line.times(3)).terms == line.times(3).terms
    assert len(program.bounds) == 1


@pytest.mark.parametrize(("factor", "unit"), [("0.05", "0.1"), ("0.37", "0.1"), ("0.15", "0.25"), ("3", "4")])
def test_rounding_up_to_units(factor: str, unit: str) -> None:
    program, line = numbers(0, 12)
    place = program.rounded_up(line.times(Decimal(factor)), Decimal(unit))
    for (value,), values in holding(program, 1):
        assert values[place] == ceil(Fraction(Decimal(factor)) * value / Fraction(Decimal(unit)))
    assert len(list(holding(program, 1))) == 13


def test_rounding_up_within_some_slack_where_a_flag_is_true() -> None:
    """Exact while the flag is false; one unit more may be taken while it is true."""
    program, line = numbers(0, 6)
    loose = program.flag()
    hours = line.times(Decimal("0.05"))
    place = program.rounded_up_within(hours, Decimal("0.1"), hours, loose, Decimal("0.01"))
    exact = {(value, steps[place]) for (value, flag), steps in holding(program, 2) if not flag}
    assert exact == {(value, ceil(value / 2)) for value in range(7)}
    assert all(values[place] >= ceil(values[0] / 2) for _, values in holding(program, 2))


def test_above_zero_and_at_most() -> None:
    program, line = numbers(0, 9)
    less = Line(-4).plus(line)
    up, capped = program.above_zero(less), program.least_of(line, 6)
    for (value,), values in holding(program, 1):
        assert up.value(values) == max(0, value - 4)
        assert capped.value(values) == min(value, 6)
    assert {chosen for chosen, _ in holding(program, 1)} == {(value,) for value in range(10)}


def test_above_zero_of_broken_numbers() -> None:
    """Quantities come in halves: 0.5 x n - 1.5."""
    program, line = numbers(0, 6)
    up = program.above_zero(Line(Decimal("-1.5")).plus(line, Decimal("0.5")))
    for (value,), values in holding(program, 1):
        assert up.value(values) == max(Fraction(0), Fraction(value, 2) - Fraction(3, 2))


def test_a_sum_where_a_flag_is_true() -> None:
    program, line = numbers(0, 5)
    flag = program.flag()
    found = program.product(line, flag)
    for (value, taken), values in holding(program, 2):
        assert found.value(values) == value * taken
    assert len(list(holding(program, 2))) == 12


def test_reaching_a_limit() -> None:
    """Whole packs at 2.50: 10.00 is reached by the fourth."""
    program, line = numbers(0, 8)
    flag = program.at_least(line.times(Decimal("2.50")), 10)
    for (value,), values in holding(program, 1):
        assert is_true(flag, values) == (value >= 4)
    assert len(list(holding(program, 1))) == 9


@pytest.mark.parametrize(("limit", "flag"), [(0, TRUE), (21, FALSE)])
def test_a_limit_that_is_always_or_never_reached(limit: int, flag: Flag) -> None:
    program, line = numbers(0, 8)
    assert program.at_least(line.times(Decimal("2.50")), limit) == flag
    assert program.rows == []


def test_a_copy_is_added_to_without_the_first() -> None:
    program, line = numbers(0, 3)
    other = program.copy()
    other.row(line, low=2)
    other.either([other.flag(), other.flag()])
    assert (len(program.bounds), len(program.rows)) == (1, 0)


def test_an_opposite_in_a_sum() -> None:
    """5 x (not a): 5 less 5 a."""
    program = Program()
    line = add_flag(Line(), -program.flag(), 5)
    assert (line.value([0]), line.value([1])) == (5, 0)
