"""Hours paid, hours on jobs and hours sold, which never mix.

productivity = sold / clock hours; on jobs = actual / clock; efficiency = sold / actual on jobs (above 1 may mean fat
standards); effective rate = labour sales / sold hours, and / actual hours, each named.
Clock and planned sold hours of the span = those of the Rate builder's year x days of the span / 365.
Ratios to actual hours are of the jobs whose hours were written down; the others are counted.
Sold hours count the minimum; a comeback sells only what it is charged, and costs its actual hours.
Labour sales are those agreed, before savings; of a comeback the part that is charged.
Units: hours to two decimals, money an hour in the currency's digits, shares to four. Source: TRADE 12; trade papers
named there; the year of 365 days is shop policy.

Example: 73 days of a year of 2,000 clock hours are 400; 220 sold and 250 on jobs: 0.55, 0.625, efficiency 0.88.
"""

from __future__ import annotations

from collections.abc import Sequence
from decimal import Decimal
from fractions import Fraction

from quotekit.model.rate import RateBuild
from quotekit.model.review import Productivity, Span
from quotekit.money import round_to
from quotekit.pricing.review.done import Done
from quotekit.pricing.review.labour import hours_known
from quotekit.pricing.review.reviewed import sold_hours
from quotekit.pricing.review.variances import rate_of

YEAR = 365


def productivity(
    jobs: Sequence[Done], span: Span, digits: int, build: RateBuild | None = None, break_even: Decimal | None = None
) -> Productivity:
    """Over all closed jobs of the span, comebacks among them."""
    sold = sum((sold_hours(done) for done in jobs), Fraction(0))
    actual = sum((Fraction(line.hours) for done in jobs for line in done.closed.hours), Fraction(0))
    sales = sum((_labour_sales(done) for done in jobs), Fraction(0))
    known = [done for done in jobs if hours_known(done)]
    sold_known = sum((sold_hours(done) for done in known), Fraction(0))
    sales_known = sum((_labour_sales(done) for done in known), Fraction(0))
    year = Fraction(span.days, YEAR)
    clock = None if build is None else build.clock_hours * year
    return Productivity(
        jobs=len(jobs),
        sold=round_to(sold, 2),
        actual=round_to(actual, 2),
        labour_sales=round_to(sales, digits),
        efficiency=_rounded(rate_of(sold_known, actual), 4),
        rate_sold=_rounded(rate_of(sales, sold), digits),
        rate_actual=_rounded(rate_of(sales_known, actual), digits),
        without_hours=len(jobs) - len(known),
        clock=_rounded(clock, 2),
        planned_sold=None if build is None else round_to(build.sold_hours * year, 2),
        productivity=None if clock is None else _rounded(rate_of(sold, clock), 4),
        on_jobs=None if clock is None else _rounded(rate_of(actual, clock), 4),
        break_even_rate=break_even,
    )


def _labour_sales(done: Done) -> Fraction:
    sales = Fraction(done.agreed.amounts.get("labour", Decimal(0)))
    return sales if done.comeback is None else sales * Fraction(done.comeback.charged)


def _rounded(value: Fraction | None, digits: int) -> Decimal | None:
    return None if value is None else round_to(value, digits)
