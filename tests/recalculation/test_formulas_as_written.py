"""The formulas of a customer workbook as texts: functions that all programs share, within their limits."""

from __future__ import annotations

import re
from collections.abc import Iterator
from itertools import islice

import pytest

from quotekit.documents.customer_quote import lay_out_customer_quote
from quotekit.documents.formula_text import formula_of
from quotekit.documents.sheet import placed
from quotekit.model.expression import Step, total
from tests.recalculation.combinations import live_cases

FUNCTIONS = {"IF", "OR", "MAX", "MIN", "SUM", "INT", "SIGN", "ABS", "EXACT", "ISERROR", "TRUE", "FALSE"}
"""All of them are in every spreadsheet program since before 2010."""
_TEXT = re.compile(r'"[^"]*"')
_NUMBER = re.compile(r"(?<![A-Za-z$\d.])\d+(?:\.\d+)?")
_ONLY = re.compile(r"[A-Za-z\d_.$!:(),=<>+\-*/]*")


@pytest.mark.parametrize("first", [300_000, 300_100])
def test_functions_numbers_and_sizes(first: int) -> None:
    seen, count = set(), 0
    for formula in formulas(first, 25):
        bare = _TEXT.sub('""', formula).replace('""', "")
        count += 1
        assert formula.startswith("=") and _ONLY.fullmatch(bare), formula
        seen |= set(re.findall(r"([A-Z]+)\(", bare))
        assert len(formula) < 8000
        assert depth(bare) < 40
        assert most_arguments(bare) <= 60
        assert all("." not in number and int(number) < 10**14 for number in _NUMBER.findall(bare)), formula
    assert seen <= FUNCTIONS
    assert count > 1000


def formulas(first: int, cases: int) -> Iterator[str]:
    """Every formula of random quotes."""
    for _, _, quote in islice(live_cases(first), cases):
        for sheet in lay_out_customer_quote(quote).sheets:
            for row in sheet.rows:
                yield from (cell.formula for _, cell in placed(row) if cell.formula)


def depth(formula: str) -> int:
    """How deep brackets stand in one another.

    >>> depth("=A(B(1),C(D(2)))")
    3
    """
    deepest = level = 0
    for letter in formula:
        level += (letter == "(") - (letter == ")")
        deepest = max(deepest, level)
    return deepest


def most_arguments(formula: str) -> int:
    """The longest list of arguments.

    >>> most_arguments("=SUM(A1,B2,MAX(1,2,3,4))")
    4
    """
    counts, most = [1], 1
    for letter in formula:
        if letter == "(":
            counts.append(1)
        elif letter == ",":
            counts[-1] += 1
        elif letter == ")":
            most = max(most, counts.pop())
    return most


def test_a_sum_of_many_cells_is_nested() -> None:
    steps = [Step("amount") for _ in range(4000)]
    formula = formula_of(total(*steps), {step: ("B", 2 * n + 1) for n, step in enumerate(steps)})
    assert most_arguments(formula) <= 60
    assert depth(formula) == 3
    assert all(f"B{2 * n + 1}" in formula for n in range(4000))
