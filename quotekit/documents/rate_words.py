"""What the shop rate says in words, the same on screen and on paper."""

from __future__ import annotations

from decimal import Decimal
from fractions import Fraction

from quotekit.documents.money_text import money_text, number_text, percent_text
from quotekit.model.rate import CostLine, RateInForce, ShopRate
from quotekit.money import round_to, shown_hours


def in_money(rate: ShopRate, amount: Decimal) -> str:
    """An amount in a sentence."""
    return money_text(amount, rate.currency, rate.language)


def in_hours(rate: ShopRate, hours: Decimal | Fraction) -> str:
    """Hours in a sentence, at most two decimals."""
    return number_text(round_to(hours, 2), rate.language)


def in_percent(rate: ShopRate, share: Fraction) -> str:
    """A percentage in a sentence."""
    return percent_text(shown_hours(share), rate.language)


def parts_words(rate: ShopRate) -> str:
    """What is known of the parts that leave money toward the cost."""
    build = rate.build
    if not build.parts_contribution:
        return "none on the sheet"
    if build.parts_sales is None:
        return "their sales are not known"
    sold = money_text(round_to(build.parts_sales, 2), rate.currency, rate.language)
    return f"{in_percent(rate, build.parts_contribution / build.parts_sales)} of sales of {sold}"


def profit_words(rate: ShopRate) -> str:
    """What the wanted profit is a share of."""
    build = rate.build
    if build.profit_share is None:
        return ""
    of = "labour and what parts leave" if build.parts_sales is None else "all sales" if build.parts_sales else "labour"
    return f"{in_percent(rate, build.profit_share)} of {of}"


def burden_words(rate: ShopRate) -> str:
    """All burden as a percentage on top of all pay; empty without pay."""
    pay, burden = rate.build.cost_of("pay"), rate.build.cost_of("burden")
    if not pay or not burden:
        return ""
    on_top, of_both = burden / pay, burden / (pay + burden)
    return (
        f"Burden is {percent_text(round_to(on_top, 4), rate.language)} on top of pay, "
        f"{percent_text(round_to(of_both, 4), rate.language)} of what pay costs altogether."
    )


def swing_words(rate: ShopRate) -> str:
    """How much of the profit hangs on the sold hours; empty where no profit is wanted."""
    if rate.swing is None:
        return ""
    lost = number_text(rate.swing, rate.language)
    return f"Each 1 % fewer hours sold, with the parts that go with them, takes {lost} % off the wanted profit."


def cost_words(rate: ShopRate, cost: CostLine) -> str:
    """The kind of a cost, and of what it is a percentage."""
    if cost.percent is None:
        return cost.kind
    return f"{cost.kind}, {in_percent(rate, cost.percent)} of {', '.join(cost.on)}"


def standing_words(row: RateInForce, *, profit_wanted: bool) -> str:
    """How a rate in force stands to the two rates."""
    if row.below_break_even:
        return "below break-even"
    if not profit_wanted:
        return "covers the cost"
    return "covers the cost, not the profit" if row.below_profit else "covers the cost and the profit"
