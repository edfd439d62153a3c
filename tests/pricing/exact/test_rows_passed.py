"""The numbers that HiGHS gets: small and whole where a row can be said so."""

from __future__ import annotations

from fractions import Fraction

import pytest

from quotekit.pricing.exact.rows_passed import _scale_of

F = Fraction


@pytest.mark.parametrize(
    ("numbers", "passed"),
    [
        (["1", "-1"], ["1", "-1"]),
        (["200", "300", "-100"], ["2", "3", "-1"]),
        (["0.5", "0.25", "1"], ["2", "1", "4"]),
        (["0.0005325", "-0.0000075", "0.10224"], ["71", "-1", "13632"]),
        (["1/3", "1/7"], ["7", "3"]),
        (["0"], ["0"]),
        ([], []),
    ],
    ids=["whole", "hundreds", "quarters", "a split of a ceiling", "thirds and sevenths", "nothing", "no numbers"],
)
def test_rows_in_their_smallest_whole_numbers(numbers: list[str], passed: list[str]) -> None:
    """A split's own row, passed as it stood with factors of a millionth, kept HiGHS' presolve from ever ending."""
    exact = [F(number) for number in numbers]
    scale = _scale_of(exact)
    assert [number * scale for number in exact] == [F(number) for number in passed]


@pytest.mark.parametrize(
    "numbers",
    [
        ["1000001", "1"],
        ["1", "0.0000001"],
        ["0.003", "0.00000000001"],
        ["20000", "1/999983"],
        ["-10.08972", "0.0000075"],
    ],
)
def test_rows_that_would_need_large_numbers(numbers: list[str]) -> None:
    """Whole only by numbers above a million: a million stands for the largest, and the least is as large as can be.

    The last is a row of a split ceiling; with its factor of 0.0000075 as it stood, a presolve ran on for minutes.
    """
    exact = [F(number) for number in numbers]
    assert max(map(abs, exact)) * _scale_of(exact) == 1_000_000
