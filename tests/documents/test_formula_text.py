"""Sums as spreadsheet formulas: what is written for each kind, and that it comes to the same number."""

from __future__ import annotations

import re
from collections.abc import Mapping
from fractions import Fraction
from random import Random

import pytest
from hypothesis import given
from hypothesis import strategies as st

from quotekit.documents.formula_text import formula_of
from quotekit.model.expression import (
    Expression,
    Step,
    Term,
    any_of,
    evaluate,
    floor,
    if_at_least,
    if_more,
    least,
    minus,
    most,
    rest,
    rounded,
    rounded_signed,
    rounded_up,
    times,
    total,
    weighted,
)
from tests.documents.sheet_formulas import CellError, Value, addresses, calculated
from tests.trees import INPUTS, random_steps

A, B, C, D = (Step(name) for name in "abcd")
AT = {A: ("B", 4), B: ("B", 5), C: ("B", 6), D: ("C", 9)}


def written(expression: Expression) -> str:
    return formula_of(expression, AT)


WRITTEN: list[tuple[Expression, str]] = [
    (7, "=7"),
    (A, "=B4"),
    (total(A, D, 2), "=SUM(B4,C9,2)"),
    (minus(A, D), "=B4-C9"),
    (times(A, D), "=B4*C9"),
    (floor(A, 100), "=INT(B4/100)"),
    (rest(A, D), "=B4-C9*INT(B4/C9)"),
    (most(A, 0), "=MAX(B4,0)"),
    (least(A, D), "=MIN(B4,C9)"),
    (if_more(A, D, 1, 0), "=IF(B4>C9,1,0)"),
    (if_at_least(A, 5000, D, 0), "=IF(B4>=5000,C9,0)"),
    (Term("sign", (A,)), "=SIGN(B4)"),
    (Term("abs", (A,)), "=ABS(B4)"),
    (rounded(times(A, 7), 100), "=INT(SUM(B4*7,50)/100)"),
    (rounded_signed(A, 100), "=(SIGN(B4))*INT(SUM(ABS(B4),50)/100)"),
    (rounded_up(A, 5), "=INT(SUM(B4,4)/5)"),
]


@pytest.mark.parametrize(("expression", "expected"), WRITTEN)
def test_what_is_written(expression: Expression, expected: str) -> None:
    assert written(expression) == expected


BRACKETS: list[tuple[Expression, str]] = [
    (minus(A, minus(B, D)), "=B4-(B5-C9)"),
    (minus(minus(A, B), D), "=(B4-B5)-C9"),
    (times(minus(A, B), 3), "=(B4-B5)*3"),
    (times(total(A, D), 3), "=SUM(B4,C9)*3"),
    (times(rest(A, 7), 3), "=(B4-7*INT(B4/7))*3"),
    (floor(times(A, 3), times(D, 2)), "=INT((B4*3)/(C9*2))"),
    (minus(A, -5), "=B4-(-5)"),
    (times(A, -5), "=B4*(-5)"),
    (total(A, -5), "=SUM(B4,-5)"),
    (if_more(minus(A, B), times(D, 2), minus(A, 1), -1), "=IF((B4-B5)>(C9*2),(B4-1),(-1))"),
    (if_more(if_more(A, 1, B, D), 0, 1, 0), "=IF(IF(B4>1,B5,C9)>0,1,0)"),
]


@pytest.mark.parametrize(("expression", "expected"), BRACKETS)
def test_a_part_is_in_brackets_where_it_would_read_differently_without(expression: Expression, expected: str) -> None:
    assert written(expression) == expected


RANGES: list[tuple[Expression, str]] = [
    (total(A, B), "=SUM(B4:B5)"),
    (total(A, B, C, D), "=SUM(B4:B6,C9)"),
    (total(C, A, B), "=SUM(B4:B6)"),
    (total(A, C), "=SUM(B4,B6)"),
    (most(A, B, C, 0), "=MAX(B4:B6,0)"),
    (total(times(A, 2), B, C), "=SUM(B5:B6,B4*2)"),
    (Term("sum", (A, B, A)), "=SUM(B4,B5,B4)"),
    (any_of([A, B, D]), "=MAX(B4:B5,C9)"),
]


@pytest.mark.parametrize(("expression", "expected"), RANGES)
def test_cells_below_one_another_are_a_range(expression: Expression, expected: str) -> None:
    """In any order; a cell that counts twice is written twice, which a range can't."""
    assert written(expression) == expected


@pytest.mark.parametrize("name", ["sum", "max", "min"])
def test_no_function_has_more_than_sixty_arguments(name: str) -> None:
    """130 cells that are no neighbours: groups of 60, 60 and 10, inside one more function."""
    steps = [Step(str(n)) for n in range(130)]
    at = {step: ("B", 2 * n + 1) for n, step in enumerate(steps)}
    formula = formula_of(Term(name, tuple(steps)), at)  # type: ignore[arg-type]
    groups = re.findall(rf"{name.upper()}\(([^()]*)\)", formula)
    assert [len(group.split(",")) for group in groups] == [60, 60, 10]
    assert formula.startswith(f"={name.upper()}({name.upper()}(B1,B3,")
    numbers = {step: n * 7 % 101 for n, step in enumerate(steps)}
    expected = evaluate((*steps, Step("all", Term(name, tuple(steps)))), numbers)  # type: ignore[arg-type]
    assert number_of(formula, at, numbers) == list(expected.values())[-1]


def test_sixty_arguments_are_one_function_and_sixty_one_are_two_inside_another() -> None:
    steps = [Step(str(n)) for n in range(61)]
    at = {step: ("B", 2 * n + 1) for n, step in enumerate(steps)}
    assert formula_of(total(*steps[:60]), at).count("SUM(") == 1
    assert formula_of(total(*steps), at).count("SUM(") == 3


def test_more_arguments_than_sixty_groups_hold() -> None:
    """3,601 cells: 61 groups of 60, which are two groups more: three levels deep."""
    steps = [Step(str(n)) for n in range(3601)]
    at = {step: ("B", 2 * n + 1) for n, step in enumerate(steps)}
    formula = formula_of(total(*steps), at)
    assert formula.startswith("=SUM(SUM(SUM(B1,")
    assert number_of(formula, at, dict.fromkeys(steps, 1)) == 3601


def number_of(formula: str, at: Mapping[Step, tuple[str, int]], numbers: Mapping[Step, int]) -> Value:
    """A formula worked out by a spreadsheet of our own."""
    cells: dict[str, Value] = {f"Sheet!{at[step][0]}{at[step][1]}": Fraction(value) for step, value in numbers.items()}
    return calculated(formula, lambda reference: [cells[address] for address in addresses(reference, "Sheet")])


@given(st.integers(0, 10**9))
def test_a_formula_comes_to_the_number_of_its_tree(seed: int) -> None:
    """Random trees of every kind, inputs in column D and steps down column B as on the hidden sheet."""
    random = Random(seed)
    steps = random_steps(random)
    at = {step: ("D" if step.formula is None else "B", line) for line, step in enumerate(steps, start=3)}
    numbers = evaluate(steps, {step: random.randint(0, 1) for step in steps[:INPUTS]})
    found = {step: number_of(formula_of(step.formula, at), at, numbers) for step in steps if step.formula is not None}
    assert found == {step: Fraction(numbers[step]) for step in found}


@given(st.integers(0, 10**9))
def test_only_seven_functions_and_no_point_and_no_text(seed: int) -> None:
    """What every spreadsheet program has had for years, in whole numbers, whatever the language of the program."""
    steps = random_steps(Random(seed))
    at = {step: ("B", line) for line, step in enumerate(steps, start=3)}
    for step in steps[INPUTS:]:
        assert step.formula is not None
        formula = formula_of(step.formula, at)
        assert set(re.findall(r"[A-Z]+(?=\()", formula)) <= {"IF", "MAX", "MIN", "SUM", "INT", "SIGN", "ABS"}
        assert re.fullmatch(r"=[A-Z0-9(),:>=*/+-]+", formula)


def test_a_long_sum_stays_short() -> None:
    """Two hundred parts one below the other are one range."""
    steps = [Step(f"part {n}") for n in range(200)]
    at = {step: ("B", n + 10) for n, step in enumerate(steps)}
    assert formula_of(weighted((1, step) for step in steps), at) == "=SUM(B10:B209)"


@pytest.mark.parametrize("formula", ["=B4/0", "=B4+", "=nowhere", '="text"-1', "=ROUND(B4,2)", "=SUM(B4:C5)"])
def test_the_spreadsheet_of_our_own_does_not_guess(formula: str) -> None:
    with pytest.raises((CellError, IndexError, KeyError)):
        number_of(formula, AT, {A: 1, B: 1})
