"""Sums of a rate builder that is understood."""

from __future__ import annotations

from fractions import Fraction
from typing import get_args

import pytest

from quotekit.model.rate import RATE_KINDS, BenchHours, CostLine, RateBuild, RateKind

BUILD = RateBuild(
    costs=(
        CostLine(line="Owner", kind="pay", amount=Fraction(100)),
        CostLine(line="Owner", kind="burden", amount=Fraction(15)),
        CostLine(line="Rent", kind="overhead", amount=Fraction(40)),
        CostLine(line="Power", kind="overhead", amount=Fraction(5)),
    ),
    hours=(
        BenchHours(line="Owner", clock=Fraction(10), share=Fraction(1, 2), efficiency=Fraction(9, 10)),
        BenchHours(line="Son", clock=Fraction(4), share=Fraction(1, 4), efficiency=Fraction(1)),
    ),
)


@pytest.mark.parametrize(
    ("kinds", "cost"), [((), 160), (("pay",), 100), (("overhead",), 45), (("pay", "burden"), 115), (("efficiency",), 0)]
)
def test_costs_of_some_kinds(kinds: tuple[RateKind, ...], cost: int) -> None:
    assert BUILD.cost_of(*kinds) == cost


def test_hours_paid_for_and_sold() -> None:
    assert (BUILD.clock_hours, BUILD.sold_hours) == (14, Fraction(11, 2))


def test_nothing_typed_is_nothing() -> None:
    empty = RateBuild(costs=(), hours=())
    assert (empty.cost_of(), empty.sold_hours, empty.parts_contribution) == (0, 0, 0)
    assert empty.parts_sales is None and empty.profit_share is None


def test_the_words_of_the_column_are_the_kinds_there_are() -> None:
    assert get_args(RateKind) == RATE_KINDS
