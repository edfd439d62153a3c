"""Cost over the years as trees (rules 5.7): when a repair comes round, today's worth of it, the same amount a year."""

from __future__ import annotations

from decimal import Decimal
from fractions import Fraction
from typing import Any

import pytest

from quotekit.model.shop_book import ShopBook
from tests.build import a_finding, a_remedy, an_operation, settings
from tests.pricing.explain.small import a_shop, assert_reads, assert_rules, assert_said, figure, job_of


def lasting(years: str, interest: str = "0", **values: Any) -> ShopBook:
    """A repair of 115.00 that lasts three years."""
    return a_shop(
        settings=settings(years_to_compare=years, interest_a_year=interest),
        remedies=[a_remedy("NEW", ["WORN"], ["FIT"], life_years=3)],
        **values,
    )


def test_without_interest_each_time_costs_what_it_costs_today() -> None:
    """In seven years it comes round after three and after six."""
    assert_said(
        {
            "horizon_cost": (
                "345.00 = sum(work 115.00, NEW again after 3 years 115, NEW again after 6 years 115), half up to cents"
            ),
            "NEW again after 6 years": "115 = quotient(over_years.repeats.NEW.each 115.00, growth over 6 years 1)",
            "over_years.equivalent_a_year": (
                "49.29 = quotient(over_years.cost 345.00, over_years.horizon 7), half up to cents"
            ),
            "over_years.repeats.NEW.years": "('3', '6') = decided()",
            "over_years.repeats.NEW.years.1": "6 = product(Life years 3, turn 2)",
            "over_years.repeats.NEW.each": "115.00 = same(work (NEW by itself) 115.00)",
            "over_years.repeats.NEW.together": (
                "230.00 = share(cost less work today 230.00, worth of NEW 230, worth of all repeats 230, "
                "of what rounding leaves 0.00)"
            ),
        },
        lasting("7"),
    )
    assert_reads(
        {
            "over_years.repeats.NEW.years": "NEW: Life years",
            "Life years": "NEW: Life years",
            "over_years.equivalent_a_year": "Interest a year: Value",
        },
        lasting("7"),
    )


def test_with_interest_the_future_is_worth_less_today() -> None:
    """115 / 1.1^3 = 86.40 and 115 / 1.1^6 = 64.91. The level amount is 0.20541 a year for each one at 10 % over seven
    years, as capital recovery tables print it (A/P, 10 %, 7: 0.2054)."""
    book = lasting("7", "0.1")
    assert_said(
        {
            "horizon_cost": (
                "266.32 = sum(work 115.00, NEW again after 3 years 115000/1331, "
                "NEW again after 6 years 115000000/1771561), half up to cents"
            ),
            "growth over 3 years": "1.331 = power(1 + interest 1.1, years to turn 1 of NEW 3)",
            "years to turn 2 of NEW": "6 = product(Life years 3, turn 2)",
            "1 + interest": "1.1 = one plus(Interest a year 0.1)",
            "over_years.equivalent_a_year": (
                "54.70 = product(over_years.cost 266.32, a year for each one 19487171/94871710), half up to cents"
            ),
            "growth over the horizon": "1.9487171 = power(1 + interest 1.1, over_years.horizon 7)",
            "growth less one": "0.9487171 = difference(growth over the horizon 1.9487171, one 1)",
            "interest x growth": "0.19487171 = product(Interest a year 0.1, growth over the horizon 1.9487171)",
        },
        book,
    )
    recovery = Fraction(figure("a year for each one", book).number or 0)
    assert abs(recovery - Fraction("0.2054")) < Fraction("0.00005")
    assert_reads({"Interest a year": "Interest a year: Value"}, book)


@pytest.mark.parametrize(
    ("place", "amount", "comes"),
    [
        (0, "115.00", 0),
        (3, "115.00", 0),
        (4, "230.00", 1),
        (6, "230.00", 1),
        (7, "345.00", 2),
    ],
)
def test_a_repair_counts_after_its_life_not_on_the_day_it_ends(place: int, amount: str, comes: int) -> None:
    """A life that ends with the years compared brings nothing more: whoever stops then does not repair again."""
    node = figure(f"over_years.by_year.{place}", lasting("7"))
    assert (node.value, len(node.inputs)) == (amount, 1 + comes)


@pytest.mark.parametrize(
    ("years", "cost", "times"),
    [("3", "115.00", 0), ("3.5", "230.00", 1), ("6", "230.00", 1), ("6.1", "345.00", 2)],
)
def test_at_the_horizon_itself_nothing_comes_round(years: str, cost: str, times: int) -> None:
    node = figure("horizon_cost", lasting(years))
    assert (node.value, len(node.inputs) - 1) == (cost, times)


def test_the_jobs_years_go_before_the_shops_and_the_machine_may_not_last_so_long() -> None:
    book, name = lasting("7"), "over_years.horizon"
    assert_said({name: "7 = same(Years to compare 7)"}, book)
    own = job_of(book, years_to_compare=Decimal(2))
    assert_said({name: "2 = same(Years to compare 2)", "over_years.repeats": "() = decided()"}, book, own)
    short = job_of(book, years_it_could_last=Decimal(1))
    assert_said({name: "1 = least(Years to compare 7, Years it could last 1)"}, book, short)
    long = job_of(book, years_it_could_last=Decimal(9))
    assert_said({name: "7 = least(Years to compare 7, Years it could last 9)"}, book, long)
    assert_reads({name: "Years it could last: Value; Years to compare: Value; Years to compare: Value"}, book)
    assert_rules({"over_years.repeats": "No remedy that is taken comes round again"}, book, own)


def test_two_remedies_share_what_comes_again_to_the_cent() -> None:
    """50 / 1.07^3 = 40.8149 and 30 / 1.07^2 = 26.2032 round to 67.01, the cost has 67.02: a cent for the first."""
    book = a_shop(
        settings=settings(years_to_compare=4, interest_a_year="0.07"),
        operations=[an_operation("FIT", "0.5"), an_operation("TEST", "0.3")],
        findings=[a_finding("WORN"), a_finding("OLD")],
        remedies=[
            a_remedy("NEW", ["WORN"], ["FIT"], life_years=3),
            a_remedy("OTHER", ["OLD"], ["TEST"], life_years=2),
        ],
    )
    names = ("over_years.repeats.NEW.together", "over_years.repeats.OTHER.together")
    parts = [Decimal(str(figure(name, book).value)) for name in names]
    cost, work = (Decimal(str(figure(name, book).value)) for name in ("over_years.cost", "work"))
    assert parts == [Decimal("40.82"), Decimal("26.20")] and cost == work + sum(parts)


def test_a_life_that_is_not_stated_gives_no_cost_over_the_years() -> None:
    book = a_shop(remedies=[a_remedy("NEW", ["WORN"], ["FIT"], life_years=None)])
    assert_said({"over_years": "None = decided()"}, book)
    assert_rules({"over_years": "the life of a remedy that is taken is not stated"}, book)
    assert_reads({"over_years": "NEW: Life years"}, book)


def test_where_nothing_comes_round_the_list_hangs_on_the_years_and_the_lives() -> None:
    """Three years, and a repair that lasts three: one more year would add an entry to both lists."""
    book = lasting("3")
    years = "Years it could last: Value; Years to compare: Value"
    assert_reads({"over_years.by_year": years}, book)
    assert_reads({"over_years.repeats": f"NEW: Life years; {years}"}, book)
