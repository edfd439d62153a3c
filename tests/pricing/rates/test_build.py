"""A whole sheet: what it comes to, every problem in one pass, and an error leaves no rate."""

from __future__ import annotations

from fractions import Fraction

import pytest

from quotekit.pricing.rates.build import read_build
from tests.rate_rows import COSTS, HOURS, PARTS, PROFIT, SHEET, TRADE, Typed, asked, lines, understood, without


def test_a_whole_sheet() -> None:
    build = understood(*TRADE)
    assert (build.cost_of(), build.cost_of("pay", "burden"), build.cost_of("overhead")) == (136020, 93720, 42300)
    assert (build.clock_hours, build.sold_hours) == (3016, Fraction("1709.12"))
    assert (build.parts_contribution, build.parts_sales, build.profit_share) == (38000, 95000, Fraction(1, 10))


@pytest.mark.parametrize("kind", ["parts contribution", "profit share"])
def test_parts_and_profit_may_be_left_out(kind: str) -> None:
    """Without parts nothing is sold but labour; without a share no profit is wanted, and none is made up."""
    build = understood(*without(TRADE, kind))
    assert (build.parts_sales, build.profit_share) == (
        (0, Fraction(1, 10)) if kind == "parts contribution" else (95000, None)
    )


@pytest.mark.parametrize(
    ("rows", "found"),
    [
        ([], [("no-rate-builder", "")]),
        (without(TRADE, "clock hours"), [("no-clock-hours", "")]),
        (without(TRADE, "pay", "burden"), [("cost-missing", "")]),
        (without(TRADE, "overhead"), [("cost-missing", "")]),
        (without(TRADE, "burden"), [("no-burden", "A2"), ("no-burden", "A3")]),
        ((*TRADE, ("More", "5%", "profit share")), [("share-twice", "B25")]),
        ((*without(TRADE, "profit share"), ("Profit", "100%", "profit share")), [("profit-too-big", "B24")]),
        ((*without(TRADE, "profit share"), ("Profit", 1, "profit share")), [("profit-too-big", "B24")]),
        ((*without(TRADE, "profit share"), ("Profit", 10, "profit share")), [("percent-unclear", "B24")]),
        ((*COSTS, *HOURS, ("Parts", 38000, "parts contribution"), *PROFIT), [("parts-sales-unknown", "B22")]),
        ((*COSTS, *HOURS, ("Parts", 38000, "parts contribution")), []),
    ],
    ids=["no rows", "no clock hours", "nobody paid", "no overhead", "no burden", "two profits", "all profit",
         "a profit of 1", "a profit of 10", "sales unknown", "sales not needed"],
)  # fmt: skip
def test_what_is_said(rows: tuple[Typed, ...], found: list[tuple[str, str]]) -> None:
    assert asked(*rows) == found


@pytest.mark.parametrize(
    ("pay", "found"),
    [(19, [("pay-by-the-hour", "B2")]), (99, [("pay-by-the-hour", "B2")]), (100, []), (0, []), (19000, [])],
)
def test_the_wage_of_an_hour_is_not_the_pay_of_a_year(pay: int, found: list[tuple[str, str]]) -> None:
    """19 for 1,000 hours would lower the rate by 11 an hour without a word."""
    rows: tuple[Typed, ...] = (("Employee", pay, "pay"), ("Employee", "18%", "burden"), *COSTS[4:], *HOURS[3:])
    assert [each for each in asked(*rows) if each[0] == "pay-by-the-hour"] == found


def test_the_pay_of_a_year_is_offered() -> None:
    rows: tuple[Typed, ...] = (("Employee", 19, "pay"), ("Employee", "18%", "burden"), *COSTS[4:], *HOURS[3:])
    (problem,) = read_build(lines(*rows), SHEET)[1]
    assert "19000 if it is 19 an hour" in problem.remedy


def test_everything_wrong_is_found_in_one_pass() -> None:
    rows: tuple[Typed, ...] = (
        ("Owner", "50%", "pay"),
        ("Owner", 15, "burden"),
        ("Owner", 2016, "clock hours"),
        ("Owner", 60, "share at the bench"),
        ("Parts sales", 95000, "parts contribution"),
        ("Profit", "100%", "profit share"),
    )
    codes = ["not-an-amount", "amount-unclear", "percent-unclear", "parts-unclear", "profit-too-big"]
    assert [code for code, _ in asked(*rows)] == codes
    assert read_build(lines(*rows), SHEET)[0] is None


def test_a_warning_leaves_the_rate() -> None:
    build, problems = read_build(lines(*without(TRADE, "burden")), SHEET)
    assert build is not None and {problem.severity for problem in problems} == {"warning"}


def test_parts_alone_make_no_rate() -> None:
    assert asked(*PARTS)[0] == ("no-clock-hours", "")
