"""Powers, exponentials and gamma functions to 30 digits, in Decimal: the one place where a life may lose a digit.

All is worked to 50 digits in a context of its own and handed out with at least 30 right; whoever shows a life rounds it
with `money.round_to`. No price is worked out here.
Decimal's own ln, exp and power are correctly rounded or within one unit of the last of 50 digits (General Decimal
Arithmetic Specification, as the standard library documents).

Lower incomplete gamma: g(a, x) = x ** a x e ** -x x sum over k = 0, 1, ... of x ** k / (a (a + 1) ... (a + k)).
The terms are positive; once k > 2x each is less than half the one before, so what is left off is less than the last
term kept. Source: repeated use of g(a + 1, x) = a g(a, x) - x ** a e ** -x, the standard recurrence.
Gamma: for 1 <= a <= 2, Gamma(a) = g(a, 120) + rest with rest <= 120 ** 2 x e ** -120 < 1.2E-48, left off; any other a
is brought there by Gamma(a + 1) = a Gamma(a). Source of the bound: t ** (a - 1) <= t for t >= 1, integrated by parts.

Worked example: Gamma(3/2) is half the root of pi, 0.886226925...
"""

from __future__ import annotations

from collections.abc import Callable
from decimal import ROUND_HALF_EVEN, Context, Decimal, FloatOperation, InvalidOperation, localcontext
from fractions import Fraction
from functools import wraps
from typing import ParamSpec

PRECISE = Context(
    prec=50,
    rounding=ROUND_HALF_EVEN,
    Emin=-999_999,
    Emax=999_999,
    traps=[FloatOperation, InvalidOperation],
)
SMALLEST = Decimal("1E-45")
"""A term of a series below this part of its sum is the last."""

FAR = Decimal(120)
"""Where the gamma integral is cut: what lies beyond is less than 1.2E-48."""

Given = ParamSpec("Given")


def in_precise(function: Callable[Given, Decimal]) -> Callable[Given, Decimal]:
    """A function whose Decimals are worked out to 50 digits, whatever the caller's context."""

    @wraps(function)
    def worked(*args: Given.args, **kwargs: Given.kwargs) -> Decimal:
        with localcontext(PRECISE):
            return function(*args, **kwargs)

    return worked


@in_precise
def power(base: Decimal, exponent: Decimal | Fraction) -> Decimal:
    """base ** exponent for a base of zero or more; exact where it ends within 50 digits.

    >>> power(Decimal(2), Decimal(3)), power(Decimal(8), Fraction(10, 3)).quantize(Decimal("1E-20"))
    (Decimal('8'), Decimal('1024.00000000000000000000'))
    """
    if isinstance(exponent, Fraction):
        exponent = Decimal(exponent.numerator) / Decimal(exponent.denominator)
    return base**exponent


@in_precise
def exponential(value: Decimal) -> Decimal:
    """e ** value.

    >>> exponential(Decimal(0)), round(exponential(Decimal(-1)), 10)
    (Decimal('1'), Decimal('0.3678794412'))
    """
    return value.exp()


@in_precise
def lower_gamma(a: Decimal, x: Decimal) -> Decimal:
    """g(a, x), the integral of t ** (a - 1) e ** -t from 0 to x, for a above zero and x of zero or more.

    >>> round(lower_gamma(Decimal(1), Decimal(1)), 10)
    Decimal('0.6321205588')
    """
    if x == 0:
        return Decimal(0)
    term = 1 / a
    total, k = term, 0
    while k <= 2 * x or term > total * SMALLEST:
        k += 1
        term = term * x / (a + k)
        total += term
    return x**a * (-x).exp() * total


@in_precise
def gamma(a: Decimal) -> Decimal:
    """Gamma(a) for a above zero.

    >>> round(gamma(Decimal(5)), 20)
    Decimal('24.00000000000000000000')
    """
    if a <= 0:
        raise ValueError(f"gamma needs a number above zero, not {a}")
    factor = Decimal(1)
    while a > 2:
        a -= 1
        factor *= a
    while a < 1:
        factor /= a
        a += 1
    return factor * lower_gamma(a, FAR)
