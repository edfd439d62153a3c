"""What an hour must sell for: to break even, and with the wanted profit.

Formulas:
cost to cover = pay + burden + overhead;
break-even labour = cost to cover - what parts leave;
labour with profit = (break-even labour + share x sales of parts) / (1 - share), the profit being a share of all sales;
rate = labour / sold hours.
Where only what parts leave is known, it stands for their sales. Without parts, the profit is a share of labour.
At another number of sold hours the same labour sales are divided by that number: the year costs what it costs.
Labour that parts cover already counts as zero. A rate in force is below break-even where it is below the rounded one.
Units: money of a year, hours of a year, money an hour; each figure rounded once, half up to the currency's digits, the
hours that a rate in force needs up to a tenth.
Source: shop policy; common practice in the trade, no single source. Break-even itself: `break_even.py`.

Example: a cost of 136,020, 1,709.12 sold hours, parts of 95,000 that leave 38,000, a profit of 10 %:
98,020 / 1,709.12 = 57.35 to break even; (98,020 + 9,500) / 0.90 = 119,466.67, so 69.90 with the profit;
119,466.67 / 1,400 = 85.33 if only 1,400 hours are sold; 136,020 / 0.90 / 1,709.12 = 88.43 without parts.
"""

from __future__ import annotations

from collections.abc import Collection
from datetime import date
from decimal import Decimal
from fractions import Fraction

from quotekit.model.rate import RateAt, RateBuild, RateInForce, Rates, ShopRate
from quotekit.model.rates_in_force import rates_on
from quotekit.model.shop_book import LabourRate, ShopBook
from quotekit.money import minor_digits, round_to, round_up
from quotekit.pricing.break_even import Product, composite, leverage, profit_of, units_to_sell
from quotekit.pricing.rates.build import read_build
from quotekit.pricing.rates.steps import hours_around
from quotekit.problems import Place, Problem, warning

SHEET = "Rate builder"


def work_out_rate(
    book: ShopBook, on: date, sold_hours: Collection[Decimal] = ()
) -> tuple[ShopRate | None, list[Problem]]:
    """The rates of a shop book on a day; `sold_hours` are those of the table, by default steps around its own."""
    build, problems = read_build(book.rate_builder, Place(book.file, SHEET))
    if build is None:
        return None, problems
    rate = shop_rate(book, build, on, sold_hours)
    return rate, [*problems, *_parts_cover_all(build, book), *below_break_even(rate)]


def shop_rate(book: ShopBook, build: RateBuild, on: date, sold_hours: Collection[Decimal] = ()) -> ShopRate:
    """Everything that follows from a sheet that is understood."""
    digits = minor_digits(book.settings.currency)
    profit = None if build.profit_share is None else build.profit_share * _total_sales(build, with_profit(build))
    rates = rates_of(build, digits)
    hours = sorted({own_hours(build), *(sold_hours or hours_around(build.sold_hours))})
    contribution = with_profit(build) + build.parts_contribution
    swing = None if profit is None else leverage(contribution, profit)
    return ShopRate(
        build=build,
        shop_name=book.settings.shop_name,
        currency=book.settings.currency,
        language=book.settings.language,
        on=on,
        cost_to_cover=round_to(build.cost_of(), digits),
        rates=rates,
        without_parts=rates_of(without_parts(build), digits),
        profit=None if profit is None else round_to(profit, digits),
        swing=None if swing is None else round_to(swing, 1),
        table=tuple(_rate_at(build, each, digits) for each in hours),
        in_force=tuple(_in_force(row, build, rates, digits) for row in rates_on(book.labour_rates, on).values()),
    )


def break_even_labour(build: RateBuild) -> Fraction:
    """Labour sales that cover, with what parts leave, the cost of the year."""
    return max(build.cost_of() - build.parts_contribution, Fraction(0))


def with_profit(build: RateBuild) -> Fraction:
    """Labour sales that leave the wanted share of total sales as well; without a share, those to break even."""
    share = build.profit_share or Fraction(0)
    wanted = build.cost_of() - build.parts_contribution + share * _sales_of_parts(build)
    return max(wanted / (1 - share), Fraction(0))


def without_parts(build: RateBuild) -> RateBuild:
    """The same shop if it sold no part."""
    return RateBuild(costs=build.costs, hours=build.hours, parts_sales=Fraction(0), profit_share=build.profit_share)


def rates_of(build: RateBuild, digits: int) -> Rates:
    """Labour sales and rates, each rounded once."""
    hours = build.sold_hours
    least, wanted = break_even_labour(build), with_profit(build)
    none = build.profit_share is None
    return Rates(
        break_even_sales=round_to(least, digits),
        break_even=round_to(least / hours, digits),
        labour_sales=None if none else round_to(wanted, digits),
        for_profit=None if none else round_to(wanted / hours, digits),
    )


def own_hours(build: RateBuild) -> Decimal:
    """The shop's own sold hours as shown, to four decimals."""
    return round_to(build.sold_hours, 4).normalize()


def below_break_even(rate: ShopRate) -> list[Problem]:
    """A warning for each rate in force that does not cover the cost of an hour."""
    return [
        warning(
            row.source.place("Rate per hour"),
            "rate-below-break-even",
            f"{row.code} sells at {row.rate:f}, below the break-even rate of {rate.rates.break_even:f} "
            f"on {rate.on.isoformat()}",
            "Raise the rate, sell more of the hours that are paid for, or cut the cost of the year.",
            f"{row.rate:f}",
        )
        for row in rate.in_force
        if row.below_break_even
    ]


def _parts_cover_all(build: RateBuild, book: ShopBook) -> list[Problem]:
    if build.parts_contribution < build.cost_of():
        return []
    message = "what parts leave covers the whole cost of the year, so labour breaks even at a rate of zero"
    remedy = "Check the costs, and that the rows of parts are what parts leave and not what they sell for."
    return [warning(Place(book.file, SHEET), "parts-cover-all", message, remedy)]


def _sales_of_parts(build: RateBuild) -> Fraction:
    return build.parts_contribution if build.parts_sales is None else build.parts_sales


def _total_sales(build: RateBuild, labour: Fraction) -> Fraction:
    return labour + _sales_of_parts(build)


def _rate_at(build: RateBuild, hours: Decimal, digits: int) -> RateAt:
    exact = build.sold_hours if hours == own_hours(build) else Fraction(hours)
    least, wanted = break_even_labour(build), with_profit(build)
    return RateAt(
        sold_hours=hours,
        break_even=round_to(least / exact, digits),
        for_profit=None if build.profit_share is None else round_to(wanted / exact, digits),
    )


def _in_force(row: LabourRate, build: RateBuild, rates: Rates, digits: int) -> RateInForce:
    hour = Product(price=row.rate_per_hour)
    parts_an_hour = Product(price=build.parts_contribution / build.sold_hours)
    with_parts = composite([(1, hour), (1, parts_an_hour)])
    enough = units_to_sell(with_parts, build.cost_of())
    leaves = profit_of(hour, build.sold_hours, build.cost_of() - build.parts_contribution)
    wanted = rates.break_even if rates.for_profit is None else rates.for_profit
    return RateInForce(
        code=row.code,
        name=row.name,
        rate=row.rate_per_hour,
        in_force_from=row.in_force_from,
        below_break_even=row.rate_per_hour < rates.break_even,
        below_profit=row.rate_per_hour < wanted,
        leaves=round_to(leaves, digits),
        break_even_hours=None if enough is None else round_up(enough, 1),
        source=row.source,
    )
