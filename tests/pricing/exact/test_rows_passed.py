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
    ("numbers", "largest"),
    [
        (["1000001", "1"], 1000),
        (["1", "0.0000001"], 1),
        (["0.003", "0.00000000001"], 1000),
        (["20000", "1/999983"], 20000),
    ],
)
def test_rows_that_would_need_large_numbers(numbers: list[str], largest: int) -> None:
    """Whole only by numbers above a million: such rows are passed as fractions of a sensible size."""
    exact = [F(number) for number in numbers]
    assert max(exact) * _scale_of(exact) == largest
