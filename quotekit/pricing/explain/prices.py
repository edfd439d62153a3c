"""The selling price of one unit of a part as a tree: cost, band, list price, fixed price (5.4)."""

from __future__ import annotations

from collections.abc import Sequence
from fractions import Fraction
from functools import partial

from quotekit.model.explanation import Explanation
from quotekit.model.job import OneOff
from quotekit.model.shop_book import MarkupBand, Part
from quotekit.pricing.explain.told import Told, cell, cells_in, number, of_row
from quotekit.pricing.part_price import band_of, marked_up, unit_cost
from quotekit.pricing.parts import PartAmount, one_off_unit_price

_BAND = "Unit cost with the markup of its band, not below the price at the top of any lower band (rules 5.4)."


def unit_price(told: Told, line: PartAmount) -> Explanation:
    """`parts.CODE.unit_price` of a line."""
    return told.once(f"parts.{line.code}.unit_price", lambda: _unit_price(told, line))


def price_of(told: Told, code: str) -> Explanation:
    """The selling price of a part of the book, wherever it is used."""
    return told.once(f"parts.{code}.unit_price", lambda: _book_price(told, told.basis.part(code)))


def cost_of_unit(told: Told, part: Part) -> Explanation:
    """Pack cost over pack quantity, exact."""
    return told.once(f"unit cost of {part.code}", lambda: _cost(told, part))


def _unit_price(told: Told, line: PartAmount) -> Explanation:
    name = told.name(f"parts.{line.code}.unit_price")
    if line.own:
        cells = told.job_cells("Customer's own parts")
        return told.money.settled(
            name, line.unit_price, "The customer's own part: fitted, not charged (rules 4).", cells
        )
    if line.one_off is not None:
        return _one_off(told, line.one_off, name)
    return price_of(told, line.code)


def _book_price(told: Told, part: Part) -> Explanation:
    money, name = told.money, told.name(f"parts.{part.code}.unit_price")
    price = told.basis.price(part.code).price
    if part.fixed_price_each is not None:
        fixed = of_row("Fixed price each", part.fixed_price_each, part.source, "Fixed price each", form="money")
        return money.rounded(name, price, "same", (fixed,), "The fixed price replaces cost and markup (rules 5.4).")
    cost = cost_of_unit(told, part)
    exact = marked_up(unit_cost(part), told.basis.book.markup)
    node, rule = by_band(told, part.code, unit_cost(part), cost), _BAND
    if part.list_price_each is not None:
        listed = of_row("List price each", part.list_price_each, part.source, "List price each", form="money")
        exact = min(exact, Fraction(part.list_price_each))
        rule = "Cost and markup, not above the list price (rules 5.4)."
        node = money.node(f"{part.code} at most at list price", exact, "least", (node, listed), rule)
        if exact < unit_cost(part):
            rule = "Never below unit cost, though the list price is (rules 5.4)."
            node = money.node(f"{part.code} at least at cost", unit_cost(part), "most", (node, cost), rule)
    fixed_cells = cells_in(part.source, "List price each", "Fixed price each")
    return money.rounded(name, price, "same", (node,), rule, fixed_cells)


def by_band(told: Told, code: str, cost: Fraction, node: Explanation) -> Explanation:
    """A unit cost with the markup of its band."""
    bands, money = told.basis.book.markup, told.money
    band = band_of(cost, bands)
    assert band is not None
    own = cost * (1 + Fraction(band.markup))
    first = money.node(
        f"{code} with markup",
        own,
        "product",
        (node, _one_plus(told, band)),
        f"Unit cost x (1 + markup of the band {_span(band)}).",
    )
    tops = _tops(told, bands, band)
    if not tops:
        return first
    return money.node(f"{code} by cost and markup", marked_up(cost, bands), "most", (first, *tops), _BAND)


def _tops(told: Told, bands: Sequence[MarkupBand], band: MarkupBand) -> list[Explanation]:
    """The price at the top of each lower band."""
    lower = [one for one in bands if one.cost_up_to is not None and one.cost_up_to <= band.cost_over]
    return [told.once(f"top of band {_span(one)}", partial(_top, told, one)) for one in lower]


def _top(told: Told, band: MarkupBand) -> Explanation:
    top = of_row("Cost up to", band.cost_up_to, band.source, "Cost up to", form="money")
    price = Fraction(band.cost_up_to or 0) * (1 + Fraction(band.markup))
    rule = "A dearer part is never sold for less than the dearest of a lower band (rules 5.4)."
    return told.money.node(f"top of the band {_span(band)}", price, "product", (top, _one_plus(told, band)), rule)


def _one_plus(told: Told, band: MarkupBand) -> Explanation:
    return told.once(f"1 + markup of {_span(band)}", partial(_make_one_plus, band))


def _make_one_plus(band: MarkupBand) -> Explanation:
    markup = of_row(f"Markup, band {_span(band)}", band.markup, band.source, "Markup", form="percent")
    cells = cells_in(band.source, "Cost over", "Cost up to")
    return number("1 + markup", 1 + band.markup, "one plus", (markup,), f"The band {_span(band)}.", cells=cells)


def _cost(told: Told, part: Part) -> Explanation:
    inputs = (
        of_row("Pack cost", part.pack_cost, part.source, "Pack cost", form="money"),
        of_row("Pack quantity", part.pack_quantity, part.source, "Pack quantity"),
    )
    rule = "Pack cost / pack quantity, exact (rules 5.4)."
    return told.money.node(f"unit cost of {part.code}", unit_cost(part), "quotient", inputs, rule)


def _one_off(told: Told, line: OneOff, name: str) -> Explanation:
    price = one_off_unit_price(told.basis, line)
    if line.unit_price is not None:
        given = of_row("Unit price", line.unit_price, line.source, "Unit price", form="money")
        return told.money.rounded(name, price, "same", (given,), "The price given on the job (rules 4, One-off).")
    cost = of_row("Unit cost", line.unit_cost, line.source, "Unit cost", form="money")
    node = by_band(told, line.code, Fraction(line.unit_cost or 0), cost)
    return told.money.rounded(name, price, "same", (node,), _BAND, cell(line.source, "Unit price"))


def _span(band: MarkupBand) -> str:
    end = "up" if band.cost_up_to is None else f"up to {band.cost_up_to:f}"
    return f"over {band.cost_over:f} {end}"
