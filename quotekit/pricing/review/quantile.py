"""How many standard errors an interval reaches to each side, so that a number of intervals hold together.

For m intervals and the share `sure` that all hold: the z for which a standard normal number lies within -z .. z with a
probability of 1 - (1 - sure) / m (Bonferroni). P(-z .. z) = g(1/2, z ** 2 / 2) / Gamma(1/2), the lower incomplete gamma
function; z by halving, to four decimals, rounded up.
Source: standard tables of the normal distribution (numbers in tests/outside_checks).

Example: one interval at 95 % reaches 1.96, twenty intervals together reach 3.0234.
"""

from __future__ import annotations

from decimal import Decimal, localcontext
from functools import cache

from quotekit.pricing.lives.precise import PRECISE, gamma, lower_gamma

SURE = Decimal("0.95")

_HALF = Decimal("0.5")
_FINEST = Decimal("0.0001")
_FARTHEST = 10 / _FINEST


@cache
def standard_errors(intervals: int, sure: Decimal = SURE) -> Decimal:
    """The reach of each of some intervals.

    >>> standard_errors(1), standard_errors(20)
    (Decimal('1.9600'), Decimal('3.0234'))
    """
    with localcontext(PRECISE):
        wanted = 1 - (1 - sure) / max(intervals, 1)
        low, high = 0, int(_FARTHEST)
        while high - low > 1:
            middle = (low + high) // 2
            low, high = (low, middle) if within(middle * _FINEST) >= wanted else (middle, high)
        return high * _FINEST


def within(reach: Decimal) -> Decimal:
    """The probability that a standard normal number lies within a reach to both sides.

    >>> round(within(Decimal(1)), 6)
    Decimal('0.682689')
    """
    with localcontext(PRECISE):
        return lower_gamma(_HALF, reach * reach / 2) / gamma(_HALF)
