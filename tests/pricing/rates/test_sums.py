"""A total typed as one more cost would be counted twice; a sum of nothing on the sheet is a cost with that name."""

from __future__ import annotations

import pytest
from hypothesis import given
from hypothesis import strategies as st

from quotekit.pricing.rates.costs import read_costs
from quotekit.pricing.rates.sums import counted_twice
from tests.rate_rows import COSTS, TRADE, Typed, asked, lines, where

Rows = list[tuple[str, int, str]]


def warned(*rows: Typed) -> list[tuple[str, str]]:
    """Code and cell of each row that looks like a sum."""
    return where(counted_twice(read_costs(lines(*rows))[0]))


RENT: Typed = ("Rent", 14400, "overhead")
POWER: Typed = ("Power", 4800, "overhead")
TOOLS: Typed = ("Tools", 4000, "overhead")
PAY: Typed = ("Owner", 62000, "pay")
BURDEN: Typed = ("Owner", "15%", "burden")


@pytest.mark.parametrize(
    ("rows", "cells"),
    [
        ([RENT, POWER, ("Total", 19200, "overhead")], ["B4"]),
        ([RENT, POWER, ("Sum", 19200, "overhead")], ["B4"]),
        ([RENT, POWER, ("Total overhead", 19200, "overhead")], ["B4"]),
        ([RENT, POWER, ("Subtotal:", 19200, "overhead"), TOOLS], ["B4"]),
        ([RENT, POWER, TOOLS, ("Subtotal", 8800, "overhead")], ["B5"]),
        ([("Total", 19200, "overhead"), RENT, POWER], ["B2"]),
        ([RENT, ("Total rent", 14400, "overhead"), POWER], ["B3"]),
        ([PAY, RENT, ("Total", 76400, "overhead")], ["B4"]),
        ([PAY, BURDEN, ("Total burden", 9300, "burden")], ["B4"]),
        ([PAY, ("Helper", 19000, "pay"), ("Total pay", 81000, "pay")], ["B4"]),
        ([RENT, PAY, POWER, ("Total", 19200, "overhead")], ["B5"]),
        ([RENT, POWER, ("Total", 19200, "overhead"), ("Total costs", 38400, "overhead")], ["B4", "B5"]),
    ],
    ids=["total", "sum", "with its kind", "a subtotal before others", "the last rows only", "above its rows",
         "of one row", "of pay and overhead", "of a percentage", "of pay", "other kinds between", "two of them"],
)  # fmt: skip
def test_a_sum_of_other_rows_is_asked_about(rows: list[Typed], cells: list[str]) -> None:
    """The rate would be worked out from twice the cost, and nothing else would show it."""
    assert warned(*rows) == [("sum-of-rows", cell) for cell in cells]


@pytest.mark.parametrize(
    "rows",
    [
        [RENT, POWER, ("Total", 19201, "overhead")],
        [RENT, POWER, ("Tools", 19200, "overhead")],
        [RENT, POWER, ("Summer help", 19200, "overhead")],
        [RENT, PAY, ("Total", 62000, "overhead")],
        [RENT, TOOLS, POWER, ("Subtotal", 14400, "overhead")],
        [("Total", 0, "overhead")],
        [("Total", 19200, "overhead")],
        [RENT, ("Total", 0, "overhead")],
    ],
    ids=["another amount", "another word", "a word that begins alike", "the amount of another kind",
         "a row that is not next to it", "nothing at all", "alone on the sheet", "zero counts nothing twice"],
)  # fmt: skip
def test_what_is_no_sum_is_a_cost(rows: list[Typed]) -> None:
    """`Total` may be a name: a warning at every such word would soon be passed over."""
    assert warned(*rows) == []


@given(amounts=st.lists(st.integers(1, 99_999), min_size=1, max_size=8))
def test_a_total_of_all_overhead_is_always_found_and_the_rows_never(amounts: list[int]) -> None:
    rows: Rows = [(f"Cost {number}", amount, "overhead") for number, amount in enumerate(amounts)]
    assert warned(*rows) == []
    assert warned(*rows, ("Total", sum(amounts), "overhead")) == [("sum-of-rows", f"B{len(rows) + 2}")]


def test_the_rate_is_still_worked_out_and_the_row_named() -> None:
    """A warning, not a refusal: the owner may have a cost of just that amount."""
    assert asked(*TRADE, ("Total", 42300, "overhead")) == [("sum-of-rows", "B25")]
    (problem,) = counted_twice(read_costs(lines(*COSTS, ("Total", 42300, "overhead")))[0])
    assert (problem.severity, problem.text) == ("warning", "42300")
    assert problem.message == "Total looks like the sum of other rows, which would be counted twice"
