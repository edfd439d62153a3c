"""What a measurement says (DESIGN.md 5.1): above or below its limit is a fault, on the limit passes.

Measured, limit and as-new values are brought into the shop book's unit. A measurement in the book's own unit text needs
no conversion; any other is converted exactly (1 in = 25.4 mm), and compared before anything is rounded.
"""

from __future__ import annotations

from decimal import Decimal
from fractions import Fraction

from quotekit.model.shop_book import FailsWhen
from quotekit.money import round_to
from quotekit.record import record
from quotekit.units import convert, same_unit

_KEPT_DIGITS = 12
"""Decimals kept of a conversion that has no end, such as inches from centimetres."""


@record
class Measurement:
    """One measurement and what it is held against, all in one unit. `passes` is None where nothing decides."""

    measured: Fraction | None
    limit: Fraction | None
    as_new: Fraction | None
    passes: bool | None


def in_unit(value: Decimal | None, unit: str, wanted: str) -> Fraction | None:
    """A value in the wanted unit, exactly; a ValueError where the units do not convert."""
    if value is None:
        return None
    return Fraction(value) if same_unit(unit, wanted) else Fraction(convert(value, unit, wanted))


def judge(measured: Fraction | None, limit: Fraction | None, fails_when: FailsWhen | None) -> bool | None:
    """True when the measurement passes, False when it fails, None where nothing decides.

    >>> judge(Fraction(2), Fraction(2), "above"), judge(Fraction(3), Fraction(2), "above"), judge(None, None, None)
    (True, False, None)
    """
    if measured is None or limit is None or fails_when is None:
        return None
    return measured <= limit if fails_when == "above" else measured >= limit


def far_off(measured: Fraction | None, limit: Fraction | None) -> bool:
    """True when a value is more than ten times its limit, or less than a tenth of it.

    >>> far_off(Fraction(254), Fraction(20)), far_off(Fraction(19), Fraction(20)), far_off(Fraction(1), None)
    (True, False, False)
    """
    if measured is None or not limit:
        return False
    return abs(measured) > 10 * abs(limit) or 10 * abs(measured) < abs(limit)


def kept(value: Fraction | None) -> Decimal | None:
    """A value as a Decimal: exact where it ends, else to twelve decimals.

    >>> kept(Fraction(1, 8)), kept(Fraction(1, 3))
    (Decimal('0.125'), Decimal('0.333333333333'))
    """
    if value is None:
        return None
    rest = value.denominator
    for prime in (2, 5):
        while rest % prime == 0:
            rest //= prime
    digits = value.denominator.bit_length() if rest == 1 else _KEPT_DIGITS
    rounded = round_to(value, digits).normalize()
    return Decimal(f"{rounded:f}")
