"""How many standard errors an interval reaches to each side, so that a number of intervals hold together.

For m intervals and the share `sure` that all hold: the reach t for which Student's t with n degrees of freedom lies
within -t .. t with a probability of 1 - (1 - sure) / m (Bonferroni). For an even n, with c = n / (n + t ** 2):
P(-t .. t) = root of (1 - c) x (1 + c / 2 + 1 x 3 / (2 x 4) x c ** 2 + .. up to c ** (n / 2 - 1)).
An odd n counts as the even one below it and more than `MOST_DEGREES` as so many, both of which reach farther; fewer
than two tell nothing. t by halving, to four decimals, rounded up.
Source: M. Abramowitz, I. Stegun, Handbook of Mathematical Functions, 26.7.4, from memory; standard tables (numbers in
tests/outside_checks).

Example: one interval of 10 degrees at 95 % reaches 2.2282 (a table says 2.228), twenty together reach 4.0046.
"""

from __future__ import annotations

from decimal import Decimal, localcontext
from functools import cache

from quotekit.pricing.lives.precise import PRECISE

SURE = Decimal("0.95")
FEWEST_DEGREES, MOST_DEGREES = 2, 200

_FINEST = Decimal("0.0001")
_FARTHEST = 10**9


@cache
def standard_errors(intervals: int, degrees: int, sure: Decimal = SURE) -> Decimal:
    """The reach of each of some intervals whose standard error is known with so many degrees of freedom.

    >>> standard_errors(1, 10), standard_errors(20, 10)
    (Decimal('2.2282'), Decimal('4.0046'))
    """
    with localcontext(PRECISE):
        wanted = 1 - (1 - sure) / max(intervals, 1)
        low, high = 0, _FARTHEST
        while high - low > 1:
            middle = (low + high) // 2
            low, high = (low, middle) if within(middle * _FINEST, degrees) >= wanted else (middle, high)
        return high * _FINEST


def within(reach: Decimal, degrees: int) -> Decimal:
    """The probability that Student's t lies within a reach to both sides.

    >>> round(within(Decimal(1), 2), 6)
    Decimal('0.577350')
    """
    even = min(max(degrees, FEWEST_DEGREES), MOST_DEGREES) // 2 * 2
    with localcontext(PRECISE):
        share = even / (even + reach * reach)
        total = term = Decimal(1)
        for place in range(1, even // 2):
            term *= share * (2 * place - 1) / (2 * place)
            total += term
        return (1 - share).sqrt() * total
