"""What an hour must sell for: the worked example, what the figures must satisfy, and the rates in force."""

from __future__ import annotations

from datetime import date
from decimal import Decimal
from fractions import Fraction
from random import Random

import pytest
from hypothesis import given
from hypothesis import strategies as st

from quotekit.model.rate import ShopRate
from quotekit.pricing.rate import (
    break_even_labour,
    own_hours,
    rates_of,
    with_profit,
    without_parts,
    work_out_rate,
)
from tests import build
from tests.rate_rows import COSTS, HOURS, PARTS, PROFIT, TRADE, Typed, book_with, understood, where, without

TODAY = date(2026, 11, 28)


def rate_of(*rows: Typed, hours: tuple[str, ...] = (), **values: object) -> ShopRate:
    """The rate of a book with these rows; problems are not looked at."""
    rate, _ = work_out_rate(book_with(*rows, **values), TODAY, tuple(Decimal(each) for each in hours))
    assert rate is not None
    return rate


def test_the_worked_example() -> None:
    rate = rate_of(*TRADE)
    assert rate.cost_to_cover == Decimal("136020.00")
    assert (rate.rates.break_even_sales, rate.rates.break_even) == (Decimal("98020.00"), Decimal("57.35"))
    assert (rate.rates.labour_sales, rate.rates.for_profit) == (Decimal("119466.67"), Decimal("69.90"))
    assert (rate.without_parts.labour_sales, rate.without_parts.for_profit) == (Decimal("151133.33"), Decimal("88.43"))
    assert rate.profit == Decimal("21446.67")


def test_the_table_holds_the_shops_own_hours_and_round_ones() -> None:
    rows = {str(row.sold_hours): (str(row.break_even), str(row.for_profit)) for row in rate_of(*TRADE).table}
    assert rows["1709.12"] == ("57.35", "69.90") and rows["1400"] == ("70.01", "85.33")
    assert len(rows) == 12


def test_a_table_of_hours_that_are_asked_for() -> None:
    rate = rate_of(*TRADE, hours=("1900", "1400", "1400.0"))
    assert [row.sold_hours for row in rate.table] == [1400, Decimal("1709.12"), 1900]


def test_own_hours_without_end_have_the_rate_of_the_exact_hours() -> None:
    """Shown to four decimals; the rate is still that of the sum."""
    rows: tuple[Typed, ...] = (*without(TRADE, "efficiency"), ("Efficiency", "33.333333333%", "efficiency"))
    rate = rate_of(*rows)
    own = next(row for row in rate.table if row.sold_hours == own_hours(rate.build))
    assert (own.break_even, own.for_profit) == (rate.rates.break_even, rate.rates.for_profit)


@pytest.mark.parametrize(
    ("rows", "break_even", "for_profit"),
    [
        ((*COSTS, *HOURS), "79.58", None),
        ((*COSTS, *HOURS, *PROFIT), "79.58", "88.43"),
        ((*COSTS, *HOURS, *PARTS), "57.35", None),
        ((*COSTS, *HOURS, ("Parts", 38000, "parts contribution"), *PROFIT), "57.35", "66.19"),
        ((*COSTS, *HOURS, *PARTS, ("Profit", "0%", "profit share")), "57.35", "57.35"),
        ((*COSTS, *HOURS, ("Parts", 200000, "parts contribution"), ("Parts", "80%", "parts contribution"), *PROFIT),
         "0.00", "0.00"),
    ],
    ids=["labour alone", "profit of labour", "no profit wanted", "sales unknown", "a profit of 0", "parts do all"],
)  # fmt: skip
def test_rates(rows: tuple[Typed, ...], break_even: str, for_profit: str | None) -> None:
    """Sales unknown: (98,020 + 3,800) / 0.9 = 113,133.33, over 1,709.12 hours."""
    rates = rate_of(*rows).rates
    wanted = None if for_profit is None else Decimal(for_profit)
    assert (rates.break_even, rates.for_profit) == (Decimal(break_even), wanted)


def test_parts_that_cover_everything_are_warned_about() -> None:
    rows: tuple[Typed, ...] = (*COSTS, *HOURS, ("Parts", 200000, "parts contribution"))
    assert where(work_out_rate(book_with(*rows), TODAY)[1]) == [("parts-cover-all", "")]


def test_no_rows_no_rate() -> None:
    rate, problems = work_out_rate(book_with(), TODAY)
    assert rate is None and where(problems) == [("no-rate-builder", "")]


@pytest.mark.parametrize(("currency", "shown"), [("USD", "57.35"), ("JPY", "57"), ("KWD", "57.351")])
def test_figures_have_the_digits_of_the_currency(currency: str, shown: str) -> None:
    rate = rate_of(*TRADE, settings=build.settings(currency=currency))
    assert str(rate.rates.break_even) == shown


sheets = st.builds(
    lambda pay, burden, overhead, clock, share, pace, sales, margin, profit: (
        ("Owner", pay, "pay"),
        ("Owner", f"{burden}%", "burden"),
        ("Rent", overhead, "overhead"),
        ("Owner", clock, "clock hours"),
        ("Owner", f"{share}%", "share at the bench"),
        ("Owner", f"{pace}%", "efficiency"),
        ("Parts", sales, "parts contribution"),
        ("Parts", f"{margin}%", "parts contribution"),
        ("Profit", f"{profit}%", "profit share"),
    ),
    pay=st.integers(1000, 200_000),
    burden=st.integers(0, 60),
    overhead=st.integers(1, 300_000),
    clock=st.integers(200, 9000),
    share=st.integers(1, 100),
    pace=st.integers(1, 100),
    sales=st.integers(101, 500_000),
    margin=st.integers(0, 100),
    profit=st.integers(0, 60),
)


@given(rows=sheets)
def test_the_profit_is_that_share_of_all_that_is_sold(rows: tuple[Typed, ...]) -> None:
    """Checked the other way round: what is sold less what it costs. Parts cost what they do not leave."""
    made = understood(*rows)
    labour = with_profit(made)
    assert made.parts_sales is not None and made.profit_share is not None
    sold = labour + made.parts_sales
    cost = made.cost_of() + made.parts_sales - made.parts_contribution
    assert labour == 0 or sold - cost == made.profit_share * sold


@given(rows=sheets)
def test_break_even_leaves_nothing(rows: tuple[Typed, ...]) -> None:
    made = understood(*rows)
    labour = break_even_labour(made)
    assert labour == 0 or labour + made.parts_contribution == made.cost_of()
    assert with_profit(made) >= labour


@given(rows=sheets)
def test_parts_never_raise_the_break_even_rate(rows: tuple[Typed, ...]) -> None:
    made = understood(*rows)
    assert rates_of(made, 2).break_even <= rates_of(without_parts(made), 2).break_even


@given(rows=sheets, seed=st.integers(0, 10**6))
def test_the_order_of_rows_moves_no_figure(rows: tuple[Typed, ...], seed: int) -> None:
    mixed = list(rows)
    Random(seed).shuffle(mixed)
    first, second = rate_of(*rows), rate_of(*mixed)
    assert (first.rates, first.without_parts, first.table) == (second.rates, second.without_parts, second.table)


@given(rows=sheets)
def test_fewer_sold_hours_never_lower_the_rate(rows: tuple[Typed, ...]) -> None:
    table = rate_of(*rows).table
    assert [row.break_even for row in table] == sorted((row.break_even for row in table), reverse=True)


@pytest.mark.parametrize(
    ("rate", "below", "below_profit"),
    [("57.34", True, True), ("57.35", False, True), ("69.89", False, True), ("69.90", False, False)],
)
def test_a_rate_in_force_against_both_rates(rate: str, below: bool, below_profit: bool) -> None:
    """A rate equal to the printed break-even rate is not below it, though the exact one is a trifle higher."""
    book = book_with(*TRADE, labour_rates=[build.a_rate("MAIN", rate)])
    found, problems = work_out_rate(book, TODAY)
    assert found is not None
    (row,) = found.in_force
    assert (row.below_break_even, row.below_profit) == (below, below_profit)
    assert [problem.code for problem in problems] == (["rate-below-break-even"] if below else [])


def test_what_a_rate_in_force_leaves_and_needs() -> None:
    """95 x 1,709.12 + 38,000 - 136,020 = 64,346.40; 136,020 / (95 + 38,000 / 1,709.12) = 1,160.25 hours, a tenth up."""
    (row,) = rate_of(*TRADE, labour_rates=[build.a_rate("MAIN", 95)]).in_force
    assert (row.leaves, row.break_even_hours) == (Decimal("64346.40"), Decimal("1160.3"))


def test_a_rate_of_nothing_never_breaks_even() -> None:
    (row,) = rate_of(*COSTS, *HOURS, labour_rates=[build.a_rate("MAIN", 0)]).in_force
    assert row.break_even_hours is None and row.leaves == Decimal("-136020.00")


def test_how_far_the_profit_swings() -> None:
    """(119,466.67 + 38,000) / 21,446.67 = 7.34 times."""
    assert rate_of(*TRADE).swing == Decimal("7.3")
    assert rate_of(*COSTS, *HOURS).swing is None
    assert rate_of(*COSTS, *HOURS, ("Profit", "0%", "profit share")).swing is None


def test_a_percentage_of_an_exact_sum_is_not_rounded_on_its_way() -> None:
    """A third of a cent in the pay may not reach the rate twice."""
    rows: tuple[Typed, ...] = (
        ("Owner", "33333.333", "pay"),
        ("Owner", "7.65%", "burden"),
        ("Rent", "0", "overhead"),
        *HOURS[:3],
    )
    cost = Fraction("33333.333") * Fraction("1.0765")
    assert rate_of(*rows).rates.break_even_sales == Decimal("35883.33")
    assert understood(*rows[:2], ("Rent", 1, "overhead"), *HOURS[:3]).cost_of() == cost + 1
