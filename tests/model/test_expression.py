"""Whole-number sums as trees: what each node means, what folds away, and how large a number can be."""

from __future__ import annotations

from decimal import ROUND_HALF_UP, Decimal
from itertools import product
from random import Random

import pytest
from hypothesis import given
from hypothesis import strategies as st

from quotekit.model.expression import (
    Expression,
    Span,
    Step,
    Term,
    all_of,
    any_of,
    evaluate,
    floor,
    if_at_least,
    if_more,
    least,
    minus,
    most,
    none_of,
    rest,
    rounded,
    rounded_signed,
    rounded_up,
    spans,
    steps_of,
    times,
    total,
    weighted,
)
from tests.trees import INPUTS, random_steps

A, B, C = Step("a"), Step("b"), Step("c")


def value(expression: Expression, a: int = 0, b: int = 0, c: int = 0) -> int:
    """The number of an expression for these inputs."""
    asked = Step("asked", expression)
    return evaluate((A, B, C, asked), {A: a, B: b, C: c})[asked]


def span(expression: Expression, *before: Step) -> Span:
    """The least and the greatest of an expression where a, b and c are 0 or 1."""
    asked = Step("asked", expression)
    return spans((A, B, C, *before, asked))[0][asked]


SUMS: list[tuple[Expression, tuple[int, int], int]] = [
    (total(A, B, 5), (7, -2), 10),
    (minus(A, B), (7, 9), -2),
    (times(A, B), (7, -3), -21),
    (floor(A, 10), (29, 0), 2),
    (floor(A, 10), (-1, 0), -1),
    (floor(A, B), (29, 7), 4),
    (rest(A, B), (29, 7), 1),
    (rest(A, B), (28, 7), 0),
    (most(A, B, 3), (2, 1), 3),
    (most(A, B, 3), (2, 9), 9),
    (least(A, B, 3), (2, 9), 2),
    (least(A, B, 3), (4, 9), 3),
    (if_more(A, B, 10, 20), (3, 3), 20),
    (if_more(A, B, 10, 20), (4, 3), 10),
    (if_at_least(A, B, 10, 20), (3, 3), 10),
    (if_at_least(A, B, 10, 20), (2, 3), 20),
    (if_more(A, B, A, B), (2, 5), 5),
    (none_of(A), (1, 0), 0),
    (none_of(A), (0, 0), 1),
    (any_of([A, B]), (0, 0), 0),
    (any_of([A, B]), (0, 1), 1),
    (all_of(A, B), (0, 1), 0),
    (all_of(A, B), (1, 1), 1),
    (Term("sign", (A,)), (-7, 0), -1),
    (Term("sign", (A,)), (0, 0), 0),
    (Term("sign", (A,)), (7, 0), 1),
    (Term("abs", (A,)), (-7, 0), 7),
    (Term("more", (A, B)), (2, 1), 1),
    (Term("at least", (A, B)), (1, 2), 0),
]


@pytest.mark.parametrize(("expression", "inputs", "expected"), SUMS)
def test_the_number_of_each_kind(expression: Expression, inputs: tuple[int, int], expected: int) -> None:
    assert value(expression, *inputs) == expected


def test_only_the_branch_that_is_taken_is_worked_out() -> None:
    """A quotient by zero stands in the branch that is not taken."""
    assert value(if_more(A, 0, floor(100, A), 0), 0) == 0
    assert value(if_more(A, 0, floor(100, A), 0), 7) == 14


FOLDED: list[tuple[Expression, Expression]] = [
    (total(), 0),
    (total(2, 3), 5),
    (total(A), A),
    (total(A, 0), A),
    (total(A, 2, -2), A),
    (total(A, 2, B, 3), Term("sum", (A, B, 5))),
    (minus(9, 4), 5),
    (minus(A, 0), A),
    (times(6, 7), 42),
    (times(A, 1), A),
    (times(1, A), A),
    (times(A, 0), 0),
    (times(0, A), 0),
    (times(A, 3), Term("times", (A, 3))),
    (floor(29, 10), 2),
    (floor(A, 1), A),
    (most(2, 7, 3), 7),
    (most(A), A),
    (most(A, 2, 7), Term("max", (A, 7))),
    (least(2, 7), 2),
    (least(A, 2, 7), Term("min", (A, 2))),
    (any_of([]), 0),
    (any_of([0, A, 0]), A),
    (any_of([A, 1]), 1),
    (any_of([A, A]), A),
    (all_of(), 1),
    (all_of(1, A), A),
    (all_of(A, 0), 0),
    (all_of(A, A, B), Term("min", (A, B))),
    (none_of(0), 1),
    (none_of(1), 0),
    (if_more(3, 2, A, B), A),
    (if_more(2, 2, A, B), B),
    (if_at_least(2, 2, A, B), A),
    (if_at_least(1, 2, A, B), B),
    (rounded(A, 1), A),
    (rounded(150, 100), 2),
    (rounded_signed(A, 1), A),
    (rounded_signed(-150, 100), -2),
    (rounded_up(21, 10), 3),
    (rounded_up(A, 1), A),
]


@pytest.mark.parametrize(("made", "expected"), FOLDED)
def test_what_is_known_beforehand_is_not_left_for_the_sheet(made: Expression, expected: Expression) -> None:
    assert made == expected and type(made) is type(expected)


def test_equal_weights_are_added_up_before_they_are_multiplied() -> None:
    """0.5 h of a and c and 0.2 h of b, in tenths: 5 x (a + c) + 2 x b; what weighs nothing is left out."""
    made = weighted([(5, A), (2, B), (5, C), (0, A)])
    assert made == Term("sum", (Term("times", (Term("sum", (A, C)), 5)), Term("times", (B, 2))))
    assert value(made, 1, 1, 1) == 12
    assert weighted([]) == 0
    assert weighted([(1, A)]) is A


@pytest.mark.parametrize(
    ("product", "expected"),
    [(0, 0), (49, 0), (50, 1), (149, 1), (150, 2), (151, 2)],
)
def test_half_up_and_half_away_from_zero(product: int, expected: int) -> None:
    """1.50 rounds to 2 and -1.50 to -2: the sign is taken off before anything is added."""
    assert value(rounded(A, 100), product) == expected
    assert value(rounded_signed(A, 100), product) == expected
    assert value(rounded_signed(A, 100), -product) == -expected


@given(st.integers(-(10**9), 10**9), st.sampled_from([1, 10, 100, 1000, 10**6]))
def test_rounding_is_that_of_money(amount: int, scale: int) -> None:
    expected = int((Decimal(amount) / scale).quantize(Decimal(1), ROUND_HALF_UP))
    assert value(rounded_signed(A, scale), amount) == expected
    assert rounded_signed(amount, scale) == expected
    assert value(rounded(A, scale), abs(amount)) == abs(expected)


@pytest.mark.parametrize(("hours", "steps"), [(0, 0), (1, 1), (5, 1), (6, 2), (10, 2), (11, 3)])
def test_rounded_up_to_whole_steps(hours: int, steps: int) -> None:
    """Tenths of an hour in steps of half an hour: 0.6 h are two steps, and 1.0 h is two steps as well."""
    assert value(rounded_up(A, 5), hours) == steps
    assert value(rounded_up(A, B), hours, 5) == steps


def test_steps_are_worked_out_in_order_and_an_input_not_given_is_zero() -> None:
    price = Step("price", times(A, 250))
    tax = Step("tax", rounded(times(price, 7), 100))
    both = Step("both", total(price, tax, B))
    found = evaluate((A, B, price, tax, both), {A: 1})
    assert (found[B], found[price], found[tax], found[both]) == (0, 250, 18, 268)


def test_two_steps_of_one_name_are_two_steps() -> None:
    first, second = Step("part", times(A, 3)), Step("part", times(A, 5))
    found = evaluate((A, first, second), {A: 1})
    assert (found[first], found[second], repr(first)) == (3, 5, "Step('part')")


def test_the_steps_an_expression_needs() -> None:
    made = if_more(total(A, B), 3, times(A, 2), 0)
    assert list(steps_of(made)) == [A, B, A]
    assert list(steps_of(7)) == []
    assert list(steps_of(C)) == [C]


SPANS: list[tuple[Expression, Span]] = [
    (7, (7, 7)),
    (A, (0, 1)),
    (total(A, B, 5), (5, 7)),
    (minus(A, B), (-1, 1)),
    (times(A, 9), (0, 9)),
    (times(A, -9), (-9, 0)),
    (times(minus(A, B), minus(3, C)), (-3, 3)),
    (floor(times(A, 29), 10), (0, 2)),
    (floor(minus(0, A), 10), (-1, 0)),
    (floor(100, total(A, 1)), (50, 100)),
    (rest(times(A, 29), 7), (0, 6)),
    (rest(times(A, 4), 7), (0, 4)),
    (most(times(A, 5), 3), (3, 5)),
    (least(times(A, 5), 3), (0, 3)),
    (if_more(A, B, 10, 20), (10, 20)),
    (if_at_least(A, B, times(C, 4), -1), (-1, 4)),
    (Term("more", (A, B)), (0, 1)),
    (Term("at least", (A, B)), (0, 1)),
    (Term("sign", (A,)), (-1, 1)),
    (Term("abs", (minus(times(A, 3), 5),)), (2, 5)),
    (Term("abs", (minus(times(A, 9), 5),)), (0, 5)),
]


@pytest.mark.parametrize(("expression", "expected"), SPANS)
def test_the_least_and_the_greatest_of_each_kind(expression: Expression, expected: Span) -> None:
    assert span(expression) == expected


def test_the_largest_number_met_is_inside_a_formula() -> None:
    """6 x 250 = 1,500 before it is divided by 100: the answer is small, the numerator is what must stay exact."""
    answer = Step("answer", floor(times(times(A, 250), 6), 100))
    known, largest = spans((A, answer))
    assert (known[answer], largest) == ((0, 15), 1500)


def test_the_largest_number_counts_below_zero_too() -> None:
    assert spans((A, Step("owed", times(A, -4000))))[1] == 4000


def test_a_rule_that_keeps_a_number_small_is_believed() -> None:
    """What is left after a saving of at most the labour is never below zero, which a difference can't show."""
    labour = Step("labour", times(A, 100))
    saving = Step("saving", least(times(B, 30), labour))
    left = Step("left", minus(labour, saving), labour)
    assert span(minus(labour, saving), labour, saving) == (-30, 100)
    assert spans((A, B, labour, saving, left))[0][left] == (0, 100)


def test_a_limit_never_widens_and_never_is_below_zero() -> None:
    half = Step("half", times(A, 50), 80)
    never = Step("never", minus(A, 5), total(A, -3))
    known, _ = spans((A, half, never))
    assert known[half] == (0, 50)
    assert known[never] == (0, 0)


def test_a_limit_is_no_number_of_the_sheet() -> None:
    """The limit itself is never worked out in a document, so it does not count as the largest."""
    assert spans((A, Step("few", times(A, 5), 10**20)))[1] == 5


@given(st.integers(0, 10**9))
def test_the_number_of_any_sum_lies_in_its_span(seed: int) -> None:
    """Random trees of every kind, for each of the sixteen ways to fill four inputs with 0 and 1."""
    steps = random_steps(Random(seed))
    known, largest = spans(steps)
    for given_inputs in product((0, 1), repeat=INPUTS):
        found = evaluate(steps, dict(zip(steps, given_inputs, strict=False)))
        outside = [step for step in steps if not known[step][0] <= found[step] <= known[step][1]]
        assert outside == []
        assert max(abs(number) for number in found.values()) <= largest
