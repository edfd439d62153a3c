"""Break-even: how many units must be sold before the fixed cost is covered, and what is left beyond that.

Formula: what a unit contributes is its price less its variable cost; units to break even are the fixed cost divided by
it, and with a wanted profit the fixed cost and the profit. Products sold in a fixed mix count as one composite unit.
The leverage is what units contribute divided by the profit: how many percent the profit moves when units move by one.
Units: whatever is sold, hours too; money in one currency. Nothing is rounded here.
Source: OpenStax, Principles of Accounting, Volume 2, sections 3.2, 3.4 and 3.5 (outside checks 2.24 to 2.31).

Example: at a price of 100 with a variable cost of 20, a fixed cost of 18,000 takes 18,000 / 80 = 225 units.
"""

from __future__ import annotations

from collections.abc import Iterable
from fractions import Fraction

from quotekit.money import Exact
from quotekit.record import record


@record
class Product:
    """What is sold: its price, and the cost that each unit brings."""

    price: Exact
    variable: Exact = Fraction(0)

    @property
    def contribution(self) -> Fraction:
        """What a unit leaves for fixed cost and profit."""
        return Fraction(self.price) - Fraction(self.variable)


def composite(mix: Iterable[tuple[Exact, Product]]) -> Product:
    """One unit of a fixed mix: so many of each product.

    >>> unit = composite([(2, Product(price=10, variable=4)), (1, Product(price=5, variable=5))])
    >>> int(unit.price), int(unit.variable), int(unit.contribution)
    (25, 13, 12)
    """
    listed = [(Fraction(many), product) for many, product in mix]
    return Product(
        price=sum((many * Fraction(product.price) for many, product in listed), Fraction(0)),
        variable=sum((many * Fraction(product.variable) for many, product in listed), Fraction(0)),
    )


def units_to_sell(product: Product, fixed: Exact, profit: Exact = 0) -> Fraction | None:
    """Units that cover the fixed cost and leave the profit; None where a unit leaves nothing to cover it with.

    >>> units_to_sell(Product(price=100, variable=20), 18000), units_to_sell(Product(price=8, variable=8), 1)
    (Fraction(225, 1), None)
    """
    wanted = Fraction(fixed) + Fraction(profit)
    if product.contribution <= 0:
        return None if wanted > 0 else Fraction(0)
    return max(wanted, Fraction(0)) / product.contribution


def profit_of(product: Product, units: Exact, fixed: Exact) -> Fraction:
    """What is left of so many units after the fixed cost; below zero it is a loss.

    >>> int(profit_of(Product(price=100, variable=20), 175, 18000))
    -4000
    """
    return product.contribution * Fraction(units) - Fraction(fixed)


def leverage(contribution: Exact, profit: Exact) -> Fraction | None:
    """Percent by which the profit moves when units move by one percent; None without a profit.

    >>> leverage(148000, 85000) == Fraction(148, 85), leverage(1, 0)
    (True, None)
    """
    return Fraction(contribution) / Fraction(profit) if profit > 0 else None
