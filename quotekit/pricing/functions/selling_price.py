"""SELLING_PRICE: what one unit of a part sells for at a cost, by the shop's bands (DESIGN.md 5.4).

price = unit cost x (1 + markup of its band), not below the price at the top of any lower band, not above the list price
where one is given, never below unit cost; rounded half up to the currency's minor unit. The rule is `part_price`.
Units: money per unit. Source: shop policy.

Worked example: a band over 0 up to 10 at 80 % and one over 10 at 50 %: a cost of 6.25 sells for 11.25, a cost of 10.40
for 18.00, the price at the top of the band below; with a list price of 17.50 for 17.50.
A blank cost has no price, nor has a cost of zero, as in the shop book.
"""

from __future__ import annotations

from decimal import Decimal
from fractions import Fraction

from quotekit.model.shop_book import Part
from quotekit.money import minor_digits
from quotekit.pricing.functions.asked import Asked, Refused
from quotekit.pricing.part_price import band_of, unit_price


def selling_price(asked: Asked) -> Decimal:
    """The price of one unit at `cost`, with a `list price` or without."""
    zero = Decimal(0)
    cost, list_price = asked.number("cost", above=zero), asked.number_or_none("list price", above=zero)
    bands = asked.book.markup
    if band_of(Fraction(cost), bands) is None:
        raise Refused(f"No band of the Markup sheet holds a cost of {cost.normalize():f}.", "Add a band to Markup.")
    part = Part(
        code="", part="", pack_quantity=Decimal(1), pack_cost=cost, supplier="", list_price_each=list_price
    )  # one unit is a pack of one
    return unit_price(part, bands, minor_digits(asked.book.settings.currency)).price
