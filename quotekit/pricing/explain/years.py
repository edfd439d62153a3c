"""Cost over the years as trees: work today, each remedy again when its life runs out, the same a year (5.7)."""

from __future__ import annotations

from collections.abc import Callable
from decimal import Decimal
from fractions import Fraction
from functools import partial

from quotekit.model.explanation import Explanation, number_text
from quotekit.model.quote import PricedTier
from quotekit.model.source import NOWHERE
from quotekit.model.years import CostOverYears, Repeat
from quotekit.money import compound
from quotekit.pricing.charges import price_items
from quotekit.pricing.explain import charges as of_charges
from quotekit.pricing.explain.split import piece
from quotekit.pricing.explain.told import Told, cell, leaf, number, of_row, words
from quotekit.pricing.items import Item
from quotekit.pricing.life import renewals
from quotekit.pricing.over_years import years_up_to
from quotekit.problems import Place

Figures = dict[str, Callable[[], Explanation]]


def horizon_cost(told: Told, items: list[Item], amount: Decimal) -> Explanation:
    """`horizon_cost`: work now and the chosen remedies again, over the horizon."""
    return told.once("horizon_cost", partial(_horizon_cost, told, items, amount))


def _horizon_cost(told: Told, items: list[Item], amount: Decimal) -> Explanation:
    again = [node for item in items for node in repeats(told, item)]
    rule = "Work today, and each remedy again when its life runs out within the horizon, at today's worth (rules 5.7)."
    inputs = (of_charges.work(told), *again)
    return told.money.rounded(told.name("horizon_cost"), amount, "sum", inputs, rule, cells=horizon_cells(told))


def year_figures(told: Told, items: list[Item], tier: PricedTier) -> Figures:
    """`over_years.*` of a tier."""
    told_years, name = tier.years, "over_years"
    if told_years is None:
        rule = "Not worked out, as the life of a remedy that is taken is not stated (rules 5.9, Life)."
        return {name: lambda: words(name, None, rule, cells=_life_cells(items))}
    whole = partial(_cost, told, items, tier)
    by_year = tuple(told.money.text(amount) for amount in told_years.by_year)
    figures: Figures = {
        f"{name}.horizon": partial(horizon, told, told_years.horizon),
        f"{name}.cost": whole,
        f"{name}.equivalent_a_year": partial(_a_year, told, told_years, whole),
        f"{name}.by_year": partial(
            words,
            f"{name}.by_year",
            by_year,
            "At each whole year and at the horizon (rules 5.7).",
            cells=horizon_cells(told),
        ),
    }
    at = years_up_to(told_years.horizon)
    for place, (year, amount) in enumerate(zip(at, told_years.by_year, strict=True)):
        figures[f"{name}.by_year.{place}"] = partial(_at_year, told, items, (place, year, amount))
    if not told_years.repeats:
        rule = "No remedy that is taken comes round again within the horizon (rules 5.7)."
        cells = (*horizon_cells(told), *_life_cells(items))
        figures[f"{name}.repeats"] = partial(words, f"{name}.repeats", (), rule, cells=cells)
    for repeat in told_years.repeats:
        figures |= _repeat_figures(told, items, tier, repeat)
    return figures


def _life_cells(items: list[Item]) -> tuple[Place, ...]:
    return tuple(place for item in items if item.remedy for place in cell(item.remedy.source, "Life years"))


def horizon(told: Told, years: Decimal) -> Explanation:
    """`over_years.horizon`: the years compared."""
    return told.once("over_years.horizon", partial(_horizon, told, years))


def _horizon(told: Told, years: Decimal) -> Explanation:
    job, settings = told.basis.job, told.basis.book.settings
    own = job.years_to_compare is not None
    compared = (
        told.job_field("Years to compare", job.years_to_compare)
        if own
        else told.setting("Years to compare", "years_to_compare")
    )
    rule = "The job's years to compare, else the shop's, never more than the machine could last (rules 5.9, Life)."
    assert own or compared.number == settings.years_to_compare
    if job.years_it_could_last is None:
        return number("over_years.horizon", years, "same", (compared,), rule, cells=horizon_cells(told))
    lasts = told.job_field("Years it could last", job.years_it_could_last)
    return number("over_years.horizon", years, "least", (compared, lasts), rule)


def _cost(told: Told, items: list[Item], tier: PricedTier) -> Explanation:
    node = horizon_cost(told, items, tier.horizon_cost)
    rule = "Work today and again over the years (rules 5.7)."
    assert tier.years is not None
    return told.money.node("over_years.cost", tier.years.cost, "same", (node,), rule)


def _a_year(told: Told, years: CostOverYears, whole: Callable[[], Explanation]) -> Explanation:
    name, amount = "over_years.equivalent_a_year", years.equivalent_a_year
    if amount is None:
        return words(name, None, "There is none over no years (rules 5.7).", cells=horizon_cells(told))
    span = horizon(told, years.horizon)
    if not years.interest:
        rule = "The cost over the years / years, as money bears no interest (rules 5.7)."
        cells = told.setting_cells("Interest a year")
        return told.money.rounded(name, amount, "quotient", (whole(), span), rule, cells)
    interest = told.setting("Interest a year", "interest_a_year", "percent")
    growth = number("1 + interest", 1 + years.interest, "one plus", (interest,), "Interest a year.")
    factor = Fraction(compound(years.interest, years.horizon))
    rule = "1 + interest, to the power of the years (rules 5.7)."
    over = number("growth over the horizon", factor, "power", (growth, span), rule)
    one = leaf("one", 1, cells=(), rule="The amount itself. Counted in this tier.")
    earned = number("growth less one", factor - 1, "difference", (over, one), "What one brings over the years.")
    top = number(
        "interest x growth", Fraction(years.interest) * factor, "product", (interest, over), "Interest x growth."
    )
    each = Fraction(years.interest) * factor / (factor - 1)
    recovery = number("a year for each one", each, "quotient", (top, earned), "Capital recovery (rules 5.7).")
    rule = "The level amount a year that is worth the cost (rules 5.7)."
    return told.money.rounded(name, amount, "product", (whole(), recovery), rule)


def _at_year(told: Told, items: list[Item], at: tuple[int, Decimal, Decimal]) -> Explanation:
    place, year, amount = at
    due = [
        node
        for item in items
        for when, node in zip(_years_of(told, item), repeats(told, item), strict=True)
        if when < year
    ]
    rule = f"Work today and what has come round before {year:f} years (rules 5.7)."
    inputs = (of_charges.work(told), *due)
    return told.money.rounded(f"over_years.by_year.{place}", amount, "sum", inputs, rule, cells=horizon_cells(told))


def _years_of(told: Told, item: Item) -> list[Decimal]:
    rate = told.basis.book.settings.interest_a_year
    return [years for years, _ in renewals(told.setup.alone(item), item.life, told.setup.horizon, rate)]


def _repeat_figures(told: Told, items: list[Item], tier: PricedTier, repeat: Repeat) -> Figures:
    start = f"over_years.repeats.{repeat.item}"
    item = next(one for one in items if one.key == repeat.item)
    years = tuple(f"{year:f}" for year in repeat.years)
    life = item.remedy.source if item.remedy else NOWHERE
    rule = "Its life runs out within the horizon, so it comes round again (rules 5.7)."
    cells = cell(life, "Life years")
    figures: Figures = {
        f"{start}.item": partial(words, f"{start}.item", repeat.item, rule, cells=cells),
        f"{start}.years": partial(words, f"{start}.years", _plain_all(years), rule, cells=cells),
        f"{start}.each": partial(each_time, told, item),
        f"{start}.together": partial(_together, told, items, tier, repeat),
    }
    for turn, year in enumerate(repeat.years):
        figures[f"{start}.years.{turn}"] = partial(_year, item, f"{start}.years.{turn}", turn + 1, year)
    return figures


def _plain_all(years: tuple[str, ...]) -> tuple[str, ...]:
    return tuple(number_text(Decimal(year)) for year in years)


def _year(item: Item, name: str, turn: int, year: Decimal) -> Explanation:
    assert item.remedy is not None
    life = of_row("Life years", item.remedy.life_years, item.remedy.source, "Life years")
    times = leaf("turn", turn, cells=(), rule=f"The {turn}. time it comes round.")
    return number(name, year, "product", (life, times), "Life x turn (rules 5.7).")


def each_time(told: Told, item: Item) -> Explanation:
    """`over_years.repeats.REMEDY.each`: what it costs each time it comes round."""
    name, amount = told.name(f"over_years.repeats.{item.key}.each"), told.setup.alone(item)
    rule = "Its work by itself, at today's prices (rules 5.7)."
    return told.once(name, lambda: told.money.node(name, amount, "same", (stand_alone(told, item),), rule))


def _together(told: Told, items: list[Item], tier: PricedTier, repeat: Repeat) -> Explanation:
    """A remedy's part of what comes round again, so that work and repeats add up to the cost."""
    assert tier.years is not None
    name = f"over_years.repeats.{repeat.item}.together"
    again = tier.years.cost - told.charges.total
    whole = _cost(told, items, tier)
    rest = told.money.node(
        "cost less work today", again, "difference", (whole, of_charges.work(told)), "What comes again."
    )
    worths = {
        one.key: told.once(f"worth of {one.key}", partial(_worth, told, one)) for one in items if repeats(told, one)
    }
    total = sum((Fraction(node.number or 0) for node in worths.values()), Fraction(0))
    every = number(
        "worth of all repeats", total, "sum", worths.values(), "Today's worth of all that comes again.", form="money"
    )
    if not total:
        return told.money.settled(name, repeat.together, "Its work by itself comes to nothing (rules 5.7).")
    rule = "Today's worth of its repeats, to the cent so that work and repeats add up to the cost (rules 5.7)."
    return piece(told, name, repeat.together, (rest, worths[repeat.item], every), rule)


def _worth(told: Told, item: Item) -> Explanation:
    nodes = repeats(told, item)
    total = sum((Fraction(node.number or 0) for node in nodes), Fraction(0))
    return number(
        f"worth of {item.key}", total, "sum", nodes, "Today's worth of its repeats (rules 5.7).", form="money"
    )


def repeats(told: Told, item: Item) -> list[Explanation]:
    """Each time a remedy comes round again within the horizon, at today's worth."""
    rate = told.basis.book.settings.interest_a_year
    due = renewals(told.setup.alone(item), item.life, told.setup.horizon, rate)
    return [
        told.once(f"{item.key}, turn {turn}", partial(_repeat, told, item, (turn, years, worth)))
        for turn, (years, worth) in enumerate(due, start=1)
    ]


def stand_alone(told: Told, item: Item) -> Explanation:
    """Work of one remedy by itself, with its own access."""
    return told.once(f"alone {item.key}", lambda: _alone(told, item))


def horizon_cells(told: Told) -> tuple[Place, ...]:
    """Cells that set the horizon."""
    return (*told.job_cells("Years to compare", "Years it could last"), *told.setting_cells("Years to compare"))


def _repeat(told: Told, item: Item, at: tuple[int, Decimal, Fraction]) -> Explanation:
    turn, years, worth = at
    inputs = (each_time(told, item), _factor(told, item, turn, years))
    figure = f"{item.key} again after {years:f} years"
    rule = "Its work by itself, at today's worth (rules 5.7)."
    return number(figure, worth, "quotient", inputs, rule, form="money")


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
