"""Variances against a standard, and the rates they need.

Sign: actual minus standard; below zero is favourable (F), above unfavourable (U).
price (or labour rate) variance = (actual price - standard price) x actual quantity;
quantity (or labour time) variance = (actual quantity - standard quantity) x standard price.
Both add up to actual cost minus standard cost. Units: money of a unit or an hour, units or hours.
Source: OpenStax, Principles of Accounting, Volume 2, sections 8.1 to 8.5 (numbers in tests/outside_checks).

Example: 0.50 used at 9 against 0.25 at 7: price (9 - 7) x 0.50 = 1.00 U, quantity (0.50 - 0.25) x 7 = 1.75 U.
"""

from __future__ import annotations

from collections.abc import Iterable
from fractions import Fraction

from quotekit.model.review import Variance
from quotekit.money import Exact, round_to


def price_variance(actual_price: Exact, standard_price: Exact, actual_quantity: Exact) -> Fraction:
    """What the price alone cost more, over what was used; of labour, the rate over the hours worked.

    >>> price_variance(9, 7, Fraction(1, 2))
    Fraction(1, 1)
    """
    return (Fraction(actual_price) - Fraction(standard_price)) * Fraction(actual_quantity)


def quantity_variance(actual_quantity: Exact, standard_quantity: Exact, standard_price: Exact) -> Fraction:
    """What the quantity alone cost more, at the standard price; of labour, the hours at the standard rate.

    >>> quantity_variance(Fraction(1, 2), Fraction(1, 4), 7)
    Fraction(7, 4)
    """
    return (Fraction(actual_quantity) - Fraction(standard_quantity)) * Fraction(standard_price)


def cost_at_standard(lines: Iterable[tuple[Exact, Exact]]) -> Fraction:
    """Quantity x price of each line, together.

    >>> cost_at_standard([(4, 5), (2, 3)])
    Fraction(26, 1)
    """
    return sum((Fraction(quantity) * Fraction(price) for quantity, price in lines), Fraction(0))


def rate_of(money: Exact, hours: Exact) -> Fraction | None:
    """Money an hour; None without hours."""
    return Fraction(money) / Fraction(hours) if hours else None


def variance(amount: Exact, digits: int) -> Variance:
    """A variance as it is shown, rounded once."""
    return Variance(amount=round_to(amount, digits))
