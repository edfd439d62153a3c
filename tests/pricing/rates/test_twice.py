"""A cost typed twice raises the rate without a word; two rows that differ in anything are two rows."""

from __future__ import annotations

from dataclasses import replace
from decimal import Decimal

import pytest
from hypothesis import given
from hypothesis import strategies as st

from quotekit.pricing.rates.build import read_build
from quotekit.pricing.rates.twice import typed_twice
from tests.rate_rows import SHEET, TRADE, Typed, asked, lines, understood, where

RENT: Typed = ("Rent", 14400, "overhead")
BURDEN: Typed = ("Owner", "15%", "burden")


@pytest.mark.parametrize(
    ("rows", "cells"),
    [
        ([RENT, RENT], ["A3"]),
        ([RENT, ("Power", 4800, "overhead"), RENT], ["A4"]),
        ([RENT, RENT, RENT], ["A3", "A4"]),
        ([RENT, (" rent ", 14400, "overhead")], ["A3"]),
        ([BURDEN, BURDEN], ["A3"]),
        ([("Helper", 900, "clock hours"), ("Helper", 900, "clock hours")], ["A3"]),
        ([RENT, BURDEN, BURDEN, RENT], ["A4", "A5"]),
    ],
    ids=["side by side", "apart", "three times", "case and spaces", "a percentage", "hours", "two of them"],
)
def test_a_row_typed_twice_is_asked_about(rows: list[Typed], cells: list[str]) -> None:
    """The later row is named: the first is where its owner would look for it."""
    assert where(typed_twice(lines(*rows))) == [("row-twice", cell) for cell in cells]


@pytest.mark.parametrize(
    "rows",
    [
        [],
        [RENT],
        [RENT, ("Rent", 14401, "overhead")],
        [RENT, ("Rent of the yard", 14400, "overhead")],
        [("Owner", 1900, "pay"), ("Owner", 1900, "clock hours")],
        [("Rent", 0, "overhead"), ("Rent", 0, "overhead")],
    ],
    ids=["no row", "one row", "another amount", "another line", "another kind", "zero counts nothing twice"],
)
def test_rows_that_differ_are_left_alone(rows: list[Typed]) -> None:
    assert list(typed_twice(lines(*rows))) == []


def test_what_is_said() -> None:
    (problem,) = typed_twice(lines(RENT, RENT))
    assert (problem.severity, problem.text) == ("warning", "Rent: 14400")
    assert problem.message == "Rent stands in row 2 already, with the same Amount and Kind; both count"
    assert problem.remedy == "Take one of the rows out; if both are meant, give them different Lines."


def test_both_rows_count_until_the_owner_takes_one_out() -> None:
    """A warning, not a refusal: two helpers may be paid alike under one name."""
    assert asked(*TRADE, RENT) == [("row-twice", "A25")]
    build, _ = read_build(lines(*TRADE, RENT), SHEET)
    assert build is not None and build.cost_of("overhead") == understood(*TRADE).cost_of("overhead") + 14400


def test_an_error_is_told_without_it() -> None:
    """What must be mended first stands alone: a second profit share is refused anyway."""
    assert asked(*TRADE, ("Profit", "10%", "profit share")) == [("share-twice", "B25")]


@given(st.lists(st.sampled_from([*TRADE]), max_size=8))
def test_each_row_after_the_first_of_its_like_is_named_once(rows: list[Typed]) -> None:
    found = list(typed_twice(lines(*rows)))
    assert len(found) == len(rows) - len(set(rows))
    assert len({problem.place.cell for problem in found}) == len(found)


def test_an_amount_is_compared_as_a_number() -> None:
    """14400 and 14400.00 are the same money."""
    first, second = lines(RENT, RENT)
    longer = replace(second, amount=replace(second.amount, value=Decimal("14400.00")))
    assert len(list(typed_twice([first, longer]))) == 1
