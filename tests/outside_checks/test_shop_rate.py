"""The hourly rate of a shop, as worked out in TRADE.md section 5, and checks 9.01, 9.03 and 9.04 on pay and burden.

Sources: TRADE.md section 5, a worked example (calculated, no outside source); US Bureau of Labor Statistics (BLS),
Occupational Employment and Wages, May 2019, 49-3053 (9.01), and Employer Costs for Employee Compensation, December 2024
(9.03) and September 2024 (9.04). 9.02 has no rule that uses it.
"""

from __future__ import annotations

import json
from datetime import date
from decimal import Decimal

import pytest

from quotekit.documents.rate_json import lay_out_rate_json
from quotekit.documents.rate_words import burden_words
from quotekit.model.rate import ShopRate
from quotekit.money import round_to
from quotekit.pricing.rate import work_out_rate
from quotekit.pricing.rates.build import read_build
from tests.rate_rows import SHEET, TRADE, Typed, book_with, lines

HOURS_OF_A_YEAR = 2080


def rate_of(*rows: Typed) -> ShopRate:
    rate, _ = work_out_rate(book_with(*rows), date(2026, 11, 28), [Decimal(1400)])
    assert rate is not None
    return rate


def test_trade_5_to_the_cent() -> None:
    """Cost, hours and the four rates of the example."""
    rate = rate_of(*TRADE)
    assert rate.cost_to_cover == Decimal("136020.00")
    assert round_to(rate.build.sold_hours, 2) == Decimal("1709.12")
    assert [round_to(hours.sold, 2) for hours in rate.build.hours] == [Decimal("1149.12"), Decimal("560.00")]
    assert rate.rates.break_even_sales == Decimal("98020.00") and rate.rates.break_even == Decimal("57.35")
    assert rate.rates.labour_sales == Decimal("119466.67") and rate.rates.for_profit == Decimal("69.90")
    assert rate.table[0].for_profit == Decimal("85.33")
    assert rate.without_parts.labour_sales == Decimal("151133.33")
    assert rate.without_parts.for_profit == Decimal("88.43")


@pytest.mark.parametrize(
    ("trap", "printed"),
    [(Decimal(62000) / HOURS_OF_A_YEAR * 2, "59.62"), (Decimal("119466.67") / 3016, "39.61")],
    ids=["owner's wage twice", "divided by clock hours"],
)
def test_trade_5_traps_come_out_nowhere(trap: Decimal, printed: str) -> None:
    """The traps are what the example says they are, and no figure of ours is one of them."""
    assert str(round_to(trap, 2)) == printed
    assert f'"{printed}"' not in json.dumps(lay_out_rate_json(rate_of(*TRADE), []))


def test_9_01_the_pay_of_a_year_is_the_wage_times_2080() -> None:
    """9.01 (BLS, May 2019): 18.11 an hour is 37,670 a year, to 10 dollars; typed as a wage, it is asked about."""
    rows: tuple[Typed, ...] = (
        ("Mechanic", "18.11", "pay"),
        ("Mechanic", HOURS_OF_A_YEAR, "clock hours"),
        ("Mechanic", "60%", "share at the bench"),
        ("Mechanic", "95%", "efficiency"),
    )
    (problem,) = read_build(lines(*rows), SHEET)[1]
    assert problem.code == "pay-by-the-hour"
    year = Decimal(problem.remedy.split("year: ")[1].split(" ")[0])
    assert round_to(year, -1) == 37670


@pytest.mark.parametrize(
    ("wages", "benefits", "total", "on_top", "of_both"),
    [("31.47", "13.20", "44.67", "41.94%", "29.55%"), ("26.39", "8.88", "35.27", "33.65%", "25.18%")],
    ids=["9.03 private industry, December 2024", "9.04 fewer than 50 workers, September 2024"],
)
def test_9_03_and_9_04_what_comes_on_top_of_pay(
    wages: str, benefits: str, total: str, on_top: str, of_both: str
) -> None:
    """9.03, 9.04 (BLS): dollars exact; the share of 9.03 is that of its printed dollars, 29.6 to a tenth of a point."""
    pay, burden = (Decimal(each) * HOURS_OF_A_YEAR for each in (wages, benefits))
    rows: tuple[Typed, ...] = (
        ("Mechanic", str(pay), "pay"),
        ("Mechanic", str(burden), "burden"),
        ("Mechanic", HOURS_OF_A_YEAR, "clock hours"),
        ("Mechanic", "100%", "share at the bench"),
        ("Mechanic", "100%", "efficiency"),
    )
    rate = rate_of(*rows)
    assert rate.cost_to_cover == Decimal(total) * HOURS_OF_A_YEAR
    assert rate.rates.break_even == Decimal(total)
    assert burden_words(rate) == f"Burden is {on_top} on top of pay, {of_both} of what pay costs altogether."
