"""Square roots of exact numbers, to 50 digits: besides rounding the one place of the review where a digit is lost.

Source: Decimal's own root, correctly rounded (General Decimal Arithmetic Specification).

Example: the root of 2 is 1.41421356...
"""

from __future__ import annotations

from decimal import Decimal, localcontext
from fractions import Fraction

from quotekit.pricing.lives.precise import PRECISE


def square_root(number: Fraction) -> Decimal:
    """The root of a number of zero or more.

    >>> square_root(Fraction(9, 4)), round(square_root(Fraction(2)), 8)
    (Decimal('1.5'), Decimal('1.41421356'))
    """
    with localcontext(PRECISE):
        return (Decimal(number.numerator) / Decimal(number.denominator)).sqrt()


def decimal_of(number: Fraction) -> Decimal:
    """A fraction to 50 digits.

    >>> decimal_of(Fraction(1, 4))
    Decimal('0.25')
    """
    with localcontext(PRECISE):
        return Decimal(number.numerator) / Decimal(number.denominator)
