"""Cost over the years as a tree: work today, and each remedy again when its life runs out (5.7)."""

from __future__ import annotations

from decimal import Decimal
from fractions import Fraction

from quotekit.model.explanation import Explanation
from quotekit.money import compound
from quotekit.pricing.charges import price_items
from quotekit.pricing.explain import charges as of_charges
from quotekit.pricing.explain.told import Told, leaf, number, of_row
from quotekit.pricing.items import Item
from quotekit.pricing.life import renewals
from quotekit.problems import Place


def horizon_cost(told: Told, items: list[Item], amount: Decimal) -> Explanation:
    """`horizon_cost`: work now and the chosen remedies again, over the horizon."""
    again = [node for item in items for node in repeats(told, item)]
    rule = "Work today, and each remedy again when its life runs out within the horizon, at today's worth (rules 5.7)."
    inputs = (of_charges.work(told), *again)
    return told.money.rounded("horizon_cost", amount, "sum", inputs, rule, cells=horizon_cells(told))


def repeats(told: Told, item: Item) -> list[Explanation]:
    """Each time a remedy comes round again within the horizon, at today's worth."""
    return list(told.once_listed(f"repeats of {item.key}", lambda: _repeats(told, item)))


def stand_alone(told: Told, item: Item) -> Explanation:
    """Work of one remedy by itself, with its own access."""
    return told.once(f"alone {item.key}", lambda: _alone(told, item))


def horizon_cells(told: Told) -> tuple[Place, ...]:
    """Cells that set the horizon."""
    return (*told.job_cells("Years to compare", "Years it could last"), *told.setting_cells("Years to compare"))


def _repeats(told: Told, item: Item) -> list[Explanation]:
    rate = told.basis.book.settings.interest_a_year
    alone = told.setup.alone(item)
    found = []
    due = renewals(alone, item.life, told.setup.horizon, rate)
    for turn, (years, worth) in enumerate(due, start=1):
        work = stand_alone(told, item)
        factor = _factor(told, item, turn, years)
        rule = "Its work by itself, at today's worth (rules 5.7)."
        figure = f"{item.key} again after {years:f} years"
        found.append(number(figure, worth, "quotient", (work, factor), rule, form="money"))
    return found


def _factor(told: Told, item: Item, turn: int, years: Decimal) -> Explanation:
    """(1 + interest) ** years."""
    assert item.remedy is not None
    interest = told.setting("Interest a year", "interest_a_year", "percent")
    life = of_row("Life years", item.remedy.life_years, item.remedy.source, "Life years")
    times = leaf("turn", turn, cells=(), rule=f"The {turn}. time it comes round.")
    after = number(f"years to turn {turn} of {item.key}", years, "product", (life, times), "Life x turn (rules 5.7).")
    rate = told.basis.book.settings.interest_a_year
    growth = number("1 + interest", 1 + rate, "one plus", (interest,), "Interest a year.")
    rule = "1 + interest, to the power of the years (rules 5.7)."
    return number(f"growth over {years:f} years", compound(rate, years), "power", (growth, after), rule)


def _alone(told: Told, item: Item) -> Explanation:
    charges = price_items(told.basis, [item], told.setup.always, alone=True)
    by_itself = Told(setup=told.setup, charges=charges, alone=True, suffix=f" ({item.key} by itself)")
    node = of_charges.work(by_itself)
    assert Fraction(node.number or 0) == Fraction(told.setup.alone(item))
    return node
