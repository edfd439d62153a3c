"""Fractions only: rounding half up, rounding up, and splitting by largest remainder."""

from __future__ import annotations

from decimal import Decimal, localcontext
from fractions import Fraction
from math import ceil, floor

DIGITS = {"JPY": 0, "KRW": 0, "USD": 2, "EUR": 2, "CAD": 2, "KWD": 3, "BHD": 3}


def fraction(value: Decimal | Fraction | int | None) -> Fraction:
    """An exact number; blank counts as zero only where the caller says so by calling this."""
    return Fraction(0) if value is None else Fraction(value)


def half_up(value: Fraction, digits: int) -> Fraction:
    """Half up, away from zero."""
    scaled = abs(value) * 10**digits
    whole = floor(scaled + Fraction(1, 2))
    return Fraction(whole if value >= 0 else -whole, 10**digits)


def up(value: Fraction, digits: int) -> Fraction:
    """Up to the next minor unit."""
    return Fraction(ceil(value * 10**digits), 10**digits)


def up_to_step(value: Fraction, step: Fraction) -> Fraction:
    """Up to a whole number of steps."""
    return ceil(value / step) * step


def share_out(total: Fraction, weights: list[Fraction], digits: int) -> list[Fraction]:
    """Split to the minor unit by largest remainder, ties to the earlier line; all weights zero: equally."""
    if not weights:
        return []
    if sum(weights) == 0:
        weights = [Fraction(1)] * len(weights)
    unit = Fraction(1, 10**digits)
    sign = -1 if total < 0 else 1
    exact = [abs(total) / unit * weight / sum(weights) for weight in weights]
    whole = [floor(part) for part in exact]
    missing = int(abs(total) / unit) - sum(whole)
    order = sorted(range(len(weights)), key=lambda i: (-(exact[i] - whole[i]), i))
    for i in order[:missing]:
        whole[i] += 1
    return [sign * part * unit for part in whole]


def grown(interest: Fraction, years: Fraction) -> Fraction:
    """(1 + interest) to the power of years; exact for whole years, else to 60 digits."""
    if years.denominator == 1:
        return Fraction((1 + interest) ** int(years))
    with localcontext() as context:
        context.prec = 60
        base = 1 + Decimal(interest.numerator) / Decimal(interest.denominator)
        power = base ** (Decimal(years.numerator) / Decimal(years.denominator))
    return Fraction(power)
