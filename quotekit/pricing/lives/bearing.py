"""Basic rating life of a rolling bearing.

L10 = (C / P) ** p million revolutions, with p = 3 for ball and 10/3 for roller bearings: the life that nine in ten of
many equal bearings reach or pass.
In hours: L10 x 1,000,000 / (60 x turns a minute). In years: hours / hours the machine runs a year.
C is the basic dynamic load rating from the maker's list, P the equivalent load on the bearing, both in the same unit of
force (P holds the radial and the axial part, by the maker's factors).
Source: ISO 281:2007, basic rating life; form and exponents as bearing makers' engineering pages give them.

It is a statistical estimate for clean, well lubricated, well fitted bearings. Dirt, water, a lost cap or shock ends
most bearings of small machines long before. The maker's own figures come first. For loads above half of C the maker is
to be asked (from memory of the standard's scope). The standard's factors for other reliabilities, lubrication and dirt
are left out: their tables were not read.

Worked example: C = 19.5 kN, P = 2.1 kN, a ball bearing: (19.5 / 2.1) ** 3 = 800.66 million revolutions; at 900 turns a
minute 14,827 hours; at 60 hours a year 247 years: the bearing will not be what wears out first.
"""

from __future__ import annotations

from decimal import Decimal, localcontext
from fractions import Fraction
from typing import Literal

from quotekit.pricing.lives.precise import PRECISE, power
from quotekit.record import record

BearingKind = Literal["ball", "roller"]
EXPONENTS: dict[BearingKind, Fraction] = {"ball": Fraction(3), "roller": Fraction(10, 3)}
MILLION = Decimal(1_000_000)
ASK_ABOVE = Decimal("0.5")
"""Part of the rating above which the maker is to be asked."""

HOURS_OF_A_YEAR = 366 * 24
"""The most hours that a machine can run in a year."""


@record
class BearingLife:
    """A bearing's rating life in three units, not rounded; `heavy` where the load is above half the rating."""

    million_revolutions: Decimal
    hours: Decimal
    years: Decimal
    heavy: bool


def rating_life(rating: Decimal, load: Decimal, kind: BearingKind = "ball") -> Decimal:
    """L10 in million revolutions, to 30 digits.

    >>> rating_life(Decimal(6), Decimal(1)), rating_life(Decimal(12), Decimal(1))
    (Decimal('216'), Decimal('1728'))
    """
    _above_zero("the load rating", rating)
    _above_zero("the load", load)
    with localcontext(PRECISE):
        return power(rating / load, EXPONENTS[kind])


def hours_of(million_revolutions: Decimal, turns_a_minute: Decimal) -> Decimal:
    """Hours that so many million revolutions take.

    >>> hours_of(Decimal(54), Decimal(900))
    Decimal('1000')
    """
    _above_zero("the speed", turns_a_minute)
    with localcontext(PRECISE):
        return million_revolutions * MILLION / (60 * turns_a_minute)


def bearing_life(
    rating: Decimal, load: Decimal, turns_a_minute: Decimal, hours_a_year: Decimal, kind: BearingKind = "ball"
) -> BearingLife:
    """The rating life in million revolutions, hours and years.

    Raises ValueError, in words, for a number that is not above zero, and for more hours than a year has.

    >>> life = bearing_life(Decimal("19.5"), Decimal("2.1"), Decimal(900), Decimal(60))
    >>> [round(value, 1) for value in (life.million_revolutions, life.hours, life.years)]
    [Decimal('800.7'), Decimal('14827.0'), Decimal('247.1')]
    """
    revolutions = rating_life(rating, load, kind)
    hours = hours_of(revolutions, turns_a_minute)
    _above_zero("hours a year", hours_a_year)
    if hours_a_year > HOURS_OF_A_YEAR:
        raise ValueError(f"a year has at most {HOURS_OF_A_YEAR:,} hours, not {hours_a_year}")
    with localcontext(PRECISE):
        return BearingLife(
            million_revolutions=revolutions,
            hours=hours,
            years=hours / hours_a_year,
            heavy=load > rating * ASK_ABOVE,
        )


def _above_zero(name: str, value: Decimal) -> None:
    if not value.is_finite() or value <= 0:
        raise ValueError(f"{name} must be above zero, not {value}")
