"""The shop rate as one JSON object: money with the currency's digits, hours and shares plain, as decimal strings."""

from __future__ import annotations

from collections.abc import Iterable
from fractions import Fraction

from quotekit.documents.quote_json import JsonObject, money, money_or_none, plain, problem_json
from quotekit.model.rate import RateInForce, Rates, ShopRate
from quotekit.money import minor_digits, round_to, shown_hours
from quotekit.problems import Problem


def lay_out_rate_json(rate: ShopRate | None, problems: Iterable[Problem], files: Iterable[str] = ()) -> JsonObject:
    """Every figure; null and empty where the sheet could not be understood."""
    told = {"problems": [problem_json(problem) for problem in problems], "files": list(files)}
    if rate is None:
        return {**dict.fromkeys(_FIGURES), **{name: [] for name in _LISTS}, **told}
    digits = minor_digits(rate.currency)
    return {**_figures(rate, digits), **_lists(rate, digits), **told}


_FIGURES = (
    "currency",
    "on",
    "cost_to_cover",
    "clock_hours",
    "sold_hours",
    "parts_contribution",
    "parts_sales",
    "break_even_sales",
    "break_even_rate",
    "profit_share",
    "profit",
    "labour_sales",
    "rate_for_profit",
    "without_parts",
)
_LISTS = ("table", "rates_in_force", "costs", "hours")


def _figures(rate: ShopRate, digits: int) -> JsonObject:
    build = rate.build
    return {
        "currency": rate.currency,
        "on": rate.on.isoformat(),
        "cost_to_cover": money(rate.cost_to_cover, digits),
        "clock_hours": _hours(build.clock_hours),
        "sold_hours": _hours(build.sold_hours),
        "parts_contribution": _rounded(build.parts_contribution, digits),
        "parts_sales": None if build.parts_sales is None else _rounded(build.parts_sales, digits),
        "break_even_sales": money(rate.rates.break_even_sales, digits),
        "break_even_rate": money(rate.rates.break_even, digits),
        "profit_share": None if build.profit_share is None else _share(build.profit_share),
        "profit": money_or_none(rate.profit, digits),
        **_with_profit(rate.rates, digits),
        "without_parts": {
            "break_even_sales": money(rate.without_parts.break_even_sales, digits),
            "break_even_rate": money(rate.without_parts.break_even, digits),
            **_with_profit(rate.without_parts, digits),
        },
    }


def _lists(rate: ShopRate, digits: int) -> JsonObject:
    build = rate.build
    return {
        "table": [
            {
                "sold_hours": plain(row.sold_hours),
                "break_even": money(row.break_even, digits),
                "for_profit": money_or_none(row.for_profit, digits),
            }
            for row in rate.table
        ],
        "rates_in_force": [_in_force(row, digits) for row in rate.in_force],
        "costs": [
            {
                "line": cost.line,
                "kind": cost.kind,
                "amount": _rounded(cost.amount, digits),
                "percent": None if cost.percent is None else _share(cost.percent),
                "on": list(cost.on),
                "cell": str(cost.source.place("Amount")),
            }
            for cost in build.costs
        ],
        "hours": [
            {
                "line": hours.line,
                "clock_hours": _hours(hours.clock),
                "share_at_the_bench": _share(hours.share),
                "efficiency": _share(hours.efficiency),
                "sold_hours": _hours(hours.sold),
                "cell": str(hours.source.place("Amount")),
            }
            for hours in build.hours
        ],
    }


def _with_profit(rates: Rates, digits: int) -> JsonObject:
    return {
        "labour_sales": money_or_none(rates.labour_sales, digits),
        "rate_for_profit": money_or_none(rates.for_profit, digits),
    }


def _in_force(row: RateInForce, digits: int) -> JsonObject:
    return {
        "code": row.code,
        "rate": money(row.rate, digits),
        "in_force_from": row.in_force_from.isoformat() if row.in_force_from else None,
        "below_break_even": row.below_break_even,
        "below_profit": row.below_profit,
        "leaves": money(row.leaves, digits),
        "break_even_hours": None if row.break_even_hours is None else plain(row.break_even_hours),
    }


def _rounded(amount: Fraction, digits: int) -> str:
    return money(round_to(amount, digits), digits)


def _hours(hours: Fraction) -> str:
    return plain(round_to(hours, 4))


def _share(share: Fraction) -> str:
    return plain(shown_hours(share))
