"""Round numbers of sold hours around the shop's own."""

from __future__ import annotations

from fractions import Fraction
from itertools import pairwise

import pytest
from hypothesis import given
from hypothesis import strategies as st

from quotekit.pricing.rates.steps import hours_around


@pytest.mark.parametrize(
    ("sold", "first", "last", "step"),
    [
        ("1709.12", "1200", "2200", "100"),
        ("560", "425", "675", "25"),
        ("1200", "700", "1700", "100"),
        ("24000", "14000", "34000", "2000"),
        ("3", "1.75", "4.25", "0.25"),
        ("0.0012", "0.0007", "0.0017", "0.0001"),
    ],
)
def test_steps(sold: str, first: str, last: str, step: str) -> None:
    hours = hours_around(Fraction(sold))
    assert (hours[0], hours[-1]) == (Fraction(first), Fraction(last))
    assert {later - earlier for earlier, later in pairwise(hours)} == {Fraction(step)}


@given(sold=st.fractions(min_value=Fraction(1, 1000), max_value=10**7))
def test_own_hours_lie_among_them_and_none_is_zero(sold: Fraction) -> None:
    hours = hours_around(sold)
    assert len(hours) == 11 and hours == sorted(hours)
    assert 0 < hours[0] < sold < hours[-1]
