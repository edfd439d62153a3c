"""The numbers of sold hours that a table of rates shows beside the shop's own: round ones, five below, five above.

Formula: the step is the largest of 1, 2, 2.5 or 5 times a power of ten that goes twelve times into the sold hours; the
middle is the last whole step not above them.
Units: hours of a year. Source: shop policy.

Example: 1,709.12 hours give steps of 100, from 1,200 to 2,200.
"""

from __future__ import annotations

from decimal import Decimal
from fractions import Fraction

from quotekit.money import shown_hours

_EACH_WAY = 5
_STEPS_IN_ALL = 12
_ROUND = (Fraction(1), Fraction(2), Fraction(5, 2), Fraction(5), Fraction(10))


def hours_around(sold: Fraction) -> list[Decimal]:
    """Round numbers of hours around those sold.

    >>> [str(hours) for hours in hours_around(Fraction("1709.12"))][:2]
    ['1200', '1300']
    >>> [str(hours) for hours in hours_around(Fraction(560))][4:7]
    ['525', '550', '575']
    """
    step = _step(sold / _STEPS_IN_ALL)
    middle = sold // step
    return [shown_hours((middle + each) * step) for each in range(-_EACH_WAY, _EACH_WAY + 1)]


def _step(most: Fraction) -> Fraction:
    """The largest round step not above a number."""
    power = Fraction(1)
    while power > most:
        power /= 10
    while power * 10 <= most:
        power *= 10
    return max(each * power for each in _ROUND if each * power <= most)
