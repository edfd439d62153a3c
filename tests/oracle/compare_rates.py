"""The shop rate of random shops, typed in random order and spelling, beside the shop itself (TRADE.md section 5).

A sheet that is asked about is counted; a figure that is not the shop's own is a difference, as nobody would see it.
"""

from __future__ import annotations

from collections import Counter
from datetime import date
from decimal import Decimal
from fractions import Fraction
from random import Random
from typing import Any

from quotekit.documents.rate_json import lay_out_rate_json
from quotekit.pricing.rate import work_out_rate
from quotekit.problems import has_errors
from tests import build
from tests.oracle.compare import differences
from tests.oracle.exact import half_up
from tests.oracle.rate import Shop, a_shop, rates
from tests.rate_rows import book_with

DAY = date(2026, 11, 28)


def rate_differences(seed: int, seen: Counter[str]) -> list[str]:
    """Where the figures of one random shop differ."""
    random = Random(seed)
    shop = a_shop(random)
    charged = Decimal(random.randint(30, 120))
    hours = [Decimal(random.randint(300, 4000)) for _ in range(3)]
    book = book_with(*shop.rows, labour_rates=[build.a_rate("MAIN", charged, Decimal(20))])
    rate, problems = work_out_rate(book, DAY, hours)
    if rate is None or has_errors(problems):
        seen["shops asked about"] += 1
        seen.update(f"asked: {problem.code}" for problem in problems if problem.severity == "error")
        return []
    seen["shops"] += 1
    warned = {problem.code for problem in problems}
    return _figures(shop, charged, hours, lay_out_rate_json(rate, problems), warned, seen)


def _figures(
    shop: Shop, charged: Decimal, hours: list[Decimal], told: dict[str, Any], warned: set[str], seen: Counter[str]
) -> list[str]:
    found = differences(
        {"cost_to_cover": half_up(shop.cost, 2), "sold_hours": shop.sold}, _exact(told, "cost_to_cover", "sold_hours")
    )
    mine = rates(shop, shop.sold)
    seen["parts cover all"] += not mine["break_even_sales"]
    found += differences(mine, _exact(told, *mine))
    alone = rates(shop, shop.sold, with_parts=False)
    found += differences(alone, _exact(told["without_parts"], *alone), "/without_parts")
    for row in told["table"]:
        seen["rows of the table"] += 1
        at = rates(shop, Fraction(row["sold_hours"]))
        expected = [at["break_even_rate"], at.get("rate_for_profit")]
        found += differences(
            expected, [_number(row["break_even"]), _number(row["for_profit"])], f"/table {row['sold_hours']}"
        )
    asked_for = {Fraction(hour) for hour in hours}
    if not asked_for <= {Fraction(row["sold_hours"]) for row in told["table"]}:
        found.append("/table: not all hours asked for are in it")
    return found + _in_force(shop, charged, told, warned, seen)


def _in_force(shop: Shop, charged: Decimal, told: dict[str, Any], warned: set[str], seen: Counter[str]) -> list[str]:
    """The rate in force: below break-even with a warning, what the year leaves, and the hours it takes."""
    (row,) = told["rates_in_force"]
    mine = rates(shop, shop.sold)
    even, wanted = mine["break_even_rate"], mine.get("rate_for_profit")
    assert even is not None
    below = Fraction(charged) < even
    left = ZERO if shop.parts is None else shop.parts[0] * shop.parts[1]
    expected = {
        "below_break_even": below,
        "below_profit": Fraction(charged) < (even if wanted is None else wanted),
        "leaves": half_up(shop.sold * Fraction(charged) + left - shop.cost, 2),
    }
    seen["rates below break-even"] += below
    found = differences(expected, {name: _number(row[name]) for name in expected}, "/rates_in_force")
    if below != any("below-break-even" in code for code in warned):
        found.append(f"/problems: below break-even {below}, warned of {sorted(warned)}")
    return found


ZERO = Fraction(0)


def _number(value: Any) -> Any:
    return Fraction(value) if isinstance(value, str) else value


def _exact(told: dict[str, Any], *names: str) -> dict[str, Any]:
    return {name: _number(told[name]) for name in names}
