"""Exact money and hours: the one door for rounding, and the one way to split an amount.

Decimal arithmetic in the engine runs in `EXACT`, where any lost digit is an error: only the functions here round.
Minor units are those of ISO 4217 list one (CLDR disagrees for 13 currencies; the standard wins).
"""

from __future__ import annotations

from collections.abc import Sequence
from decimal import (
    ROUND_CEILING,
    ROUND_FLOOR,
    ROUND_HALF_UP,
    Context,
    Decimal,
    FloatOperation,
    Inexact,
    InvalidOperation,
    localcontext,
)
from fractions import Fraction
from functools import cache, lru_cache
from math import lcm

Exact = Decimal | Fraction | int

EXACT = Context(prec=60, traps=[Inexact, FloatOperation, InvalidOperation])
_WIDE = Context(prec=120, rounding=ROUND_HALF_UP, traps=[FloatOperation, InvalidOperation])

_MINOR_UNITS = {
    code: digits
    for digits, codes in {
        0: "BIF CLP DJF GNF ISK JPY KMF KRW PYG RWF UGX UYI VND VUV XAF XOF XPF",
        3: "BHD IQD JOD KWD LYD OMR TND",
        4: "CLF UYW",
    }.items()
    for code in codes.split()
}


def minor_digits(currency: str) -> int:
    """Decimals of a currency.

    >>> minor_digits("JPY"), minor_digits("USD"), minor_digits("KWD")
    (0, 2, 3)
    """
    return _MINOR_UNITS.get(currency, 2)


def round_to(value: Exact, digits: int) -> Decimal:
    """Half up, away from zero, to a number of decimals: the named rounding point for money.

    Source: Streamlined Sales and Use Tax Agreement, section 324 (the same rule for positive amounts).

    >>> round_to(Decimal("1.005"), 2), round_to(Decimal("-12.345"), 2), round_to(Fraction(1, 3), 2)
    (Decimal('1.01'), Decimal('-12.35'), Decimal('0.33'))
    """
    if isinstance(value, Decimal):
        return value.quantize(_quantum(digits), ROUND_HALF_UP, _WIDE)
    numerator, denominator = value.as_integer_ratio()  # whole numbers: the sums of fractions take longer
    whole = (2 * abs(numerator) * 10**digits + denominator) // (2 * denominator)
    return Decimal(whole if numerator >= 0 else -whole).scaleb(-digits, _WIDE)


def round_up(value: Exact, digits: int) -> Decimal:
    """Up to the next unit of a number of decimals; `value` is not negative.

    >>> round_up(Decimal("1.001"), 2), round_up(Fraction(1, 3), 2)
    (Decimal('1.01'), Decimal('0.34'))
    """
    if isinstance(value, Decimal):
        return value.quantize(_quantum(digits), ROUND_CEILING, _WIDE)
    return Decimal((Fraction(value) * 10**digits).__ceil__()).scaleb(-digits, _WIDE)


def round_down(value: Exact, digits: int) -> Decimal:
    """Down to a unit of a number of decimals, for what must not be passed; `value` is not negative.

    >>> round_down(Decimal("1.009"), 2), round_down(Fraction(1, 3), 2)
    (Decimal('1.00'), Decimal('0.33'))
    """
    if isinstance(value, Decimal):
        return value.quantize(_quantum(digits), ROUND_FLOOR, _WIDE)
    return Decimal((Fraction(value) * 10**digits).__floor__()).scaleb(-digits, _WIDE)


def round_up_to_step(hours: Exact, step: Decimal) -> Decimal:
    """Hours rounded up to a whole number of steps; an exact step stays.

    >>> round_up_to_step(Decimal("4.61"), Decimal("0.1")), round_up_to_step(Decimal("4.60"), Decimal("0.1"))
    (Decimal('4.7'), Decimal('4.6'))
    """
    return step * whole_units(hours, step)


def whole_units(quantity: Exact, unit: Decimal) -> int:
    """How many whole units cover a quantity, rounded up: packs, or steps of an hour.

    >>> whole_units(Decimal("5"), Decimal("4")), whole_units(Decimal("4"), Decimal("4"))
    (2, 1)
    """
    if isinstance(quantity, Decimal):
        whole, rest = _WIDE.divmod(quantity, unit)
        return int(whole) + (1 if rest > 0 else 0)
    (numerator, denominator), (of_unit, parts) = quantity.as_integer_ratio(), unit.as_integer_ratio()
    return -(-numerator * parts // (denominator * of_unit))


def allocate(total: Decimal, weights: Sequence[Exact], digits: int) -> list[Decimal]:
    """Split an amount in proportion to weights, to the minor unit, by largest remainder; ties to the earlier line.

    The parts always add up to the total exactly. Weights are not negative; all zero counts as all equal.
    Source: largest remainder (Hamilton) method, OpenStax Contemporary Mathematics 11.4.

    >>> allocate(Decimal("1.00"), [1, 1, 1], 2)
    [Decimal('0.34'), Decimal('0.33'), Decimal('0.33')]
    """
    if not weights:
        return []
    parts = _whole_weights(weights)
    whole = sum(parts)
    units = int(total.scaleb(digits, _WIDE))
    sign = -1 if units < 0 else 1
    split = [divmod(abs(units) * part, whole) for part in parts]
    shares = [share for share, _ in split]
    by_remainder = sorted(range(len(split)), key=lambda i: (-split[i][1], i))
    for i in by_remainder[: abs(units) - sum(shares)]:
        shares[i] += 1
    return [Decimal(sign * share).scaleb(-digits, _WIDE) for share in shares]


def _whole_weights(weights: Sequence[Exact]) -> list[int]:
    """Weights as whole numbers in the same proportion; all zero counts as all equal."""
    ratios = [weight.as_integer_ratio() for weight in weights]
    common = lcm(*(denominator for _, denominator in ratios))
    whole = [numerator * (common // denominator) for numerator, denominator in ratios]
    return whole if any(whole) else [1] * len(whole)


def shown_hours(hours: Exact) -> Decimal:
    """Hours for people and records: exact where they are finite decimals, else half up to four decimals.

    >>> shown_hours(Fraction(1, 4)), shown_hours(Fraction(1, 3))
    (Decimal('0.25'), Decimal('0.3333'))
    """
    if isinstance(hours, Decimal):
        return hours
    exact = Fraction(hours)
    with localcontext(_WIDE):
        value = Decimal(exact.numerator) / Decimal(exact.denominator)
    return value if Fraction(value) == exact else round_to(exact, 4)


def compound(interest: Decimal, years: Decimal) -> Decimal:
    """(1 + interest) to the power of years, to 50 digits: the one inexact power, rounded by whoever uses it.

    >>> compound(Decimal("0.10"), Decimal("2"))
    Decimal('1.21')
    """
    return _compound(str(interest), str(years))


@lru_cache(maxsize=4096)
def _compound(interest: str, years: str) -> Decimal:
    """By how both are written, so that what was asked before changes no digit; a power takes a while."""
    with localcontext(Context(prec=50, rounding=ROUND_HALF_UP, traps=[FloatOperation, InvalidOperation])):
        return ((1 + Decimal(interest)) ** Decimal(years)).normalize()


def in_fifty_digits(number: Fraction) -> Decimal:
    """A number too long to be written in full, to 50 digits: for reading, never for pricing.

    >>> in_fifty_digits(Fraction(10, 3))
    Decimal('3.3333333333333333333333333333333333333333333333333')
    """
    with localcontext(Context(prec=50, rounding=ROUND_HALF_UP, traps=[FloatOperation, InvalidOperation])):
        return Decimal(number.numerator) / Decimal(number.denominator)


@cache
def _quantum(digits: int) -> Decimal:
    return Decimal(1).scaleb(-digits)
