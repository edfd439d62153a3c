"""The selling price of one part (DESIGN.md 5.4).

unit cost = pack cost / pack quantity, exact; price = unit cost x (1 + markup of its band),
not below the price at the top of any lower band, not above the list price, never below unit cost.
A fixed price replaces all that. Rounded half up to the minor unit, once.
Units: money per unit of the part. Source: shop policy; the guard at a band's edge is common practice, no source.

>>> bands = (MarkupBand(cost_over=Decimal(0), cost_up_to=Decimal(5), markup=Decimal(1)),
...          MarkupBand(cost_over=Decimal(5), cost_up_to=None, markup=Decimal("0.8")))
>>> marked_up(Fraction(5), bands), marked_up(Fraction(501, 100), bands)
(Fraction(10, 1), Fraction(10, 1))
"""

from __future__ import annotations

from collections.abc import Sequence
from decimal import Decimal
from fractions import Fraction
from typing import NamedTuple

from quotekit.model.shop_book import MarkupBand, Part
from quotekit.money import round_to


class UnitPrice(NamedTuple):
    """A rounded selling price and, in words, what decided it."""

    price: Decimal
    why: str


def unit_cost(part: Part) -> Fraction:
    """Pack cost over pack quantity, exact."""
    return Fraction(part.pack_cost) / Fraction(part.pack_quantity)


def band_of(cost: Fraction, bands: Sequence[MarkupBand]) -> MarkupBand | None:
    """The band a unit cost lies in: `cost over` excludes, `cost up to` includes."""
    for band in bands:
        if cost > band.cost_over and (band.cost_up_to is None or cost <= band.cost_up_to):
            return band
    return None


def marked_up(cost: Fraction, bands: Sequence[MarkupBand]) -> Fraction:
    """Cost with its band's markup, not below the price at the top of any lower band.

    Raises ValueError where no band holds the cost: a reader reports that before any price is worked out.
    """
    band = band_of(cost, bands)
    if band is None:
        raise ValueError(f"no markup band holds a unit cost of {cost}")
    tops = [
        Fraction(lower.cost_up_to) * (1 + Fraction(lower.markup))
        for lower in bands
        if lower.cost_up_to is not None and lower.cost_up_to <= band.cost_over
    ]
    return max([cost * (1 + Fraction(band.markup)), *tops])


def unit_price(part: Part, bands: Sequence[MarkupBand], digits: int) -> UnitPrice:
    """The rounded price of one unit, with the reason."""
    if part.fixed_price_each is not None:
        return UnitPrice(round_to(part.fixed_price_each, digits), "fixed price")
    cost = unit_cost(part)
    price = marked_up(cost, bands)
    band = band_of(cost, bands)
    assert band is not None
    why = f"markup {_percent(band.markup)}"
    if price > cost * (1 + Fraction(band.markup)):
        why = "top of the markup band below"
    if part.list_price_each is not None and price > Fraction(part.list_price_each):
        price, why = Fraction(part.list_price_each), "list price"
    if price < cost:
        price, why = cost, "unit cost, as the list price is below it"
    return UnitPrice(round_to(price, digits), why)


def _percent(fraction: Decimal) -> str:
    return f"{(fraction * 100).normalize():f} %"
