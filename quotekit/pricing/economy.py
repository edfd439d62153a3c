"""Interest factors, present value and equivalent cost a year, as engineering economy texts name them.

With i the interest a year, n the years and F = (1 + i) ** n:

| factor | name in the texts | formula | at no interest |
|---|---|---|---|
| F/P | single payment compound amount | F | 1 |
| P/F | single payment present worth | 1 / F | 1 |
| F/A | uniform series compound amount | (F - 1) / i | n |
| P/A | uniform series present worth | (F - 1) / (i x F) | n |
| A/F | sinking fund | i / (F - 1) | 1 / n |
| A/P | capital recovery | i x F / (F - 1) | 1 / n |

Amounts of a series fall at the end of each year. F is taken to 50 digits (`money.compound`); all else is exact, so that
A/P = A/F + i holds to the last digit, and no interest gives the limits themselves.
Years need not be whole: the same formulas are then read at the years as they stand, so that an amount a year over 3.5
years is the level amount whose worth over 3.5 years, by the P/A of the table, is the sum.
Units: money, years, interest as a fraction a year. Nothing here is rounded.
Source: any engineering economy text, compound interest tables; checked in tests/outside_checks against printed ones.

Worked example: 1,000.00 over 5 years at 8 %: F = 1.4693280768, A/P = 0.08 x F / (F - 1) = 0.25046, 250.46 a year.
"""

from __future__ import annotations

from collections.abc import Iterable
from decimal import Decimal
from fractions import Fraction

from quotekit.money import Exact, compound


def single_payment_compound_amount(interest: Decimal, years: Decimal) -> Fraction:
    """F/P: what 1 today grows to.

    >>> single_payment_compound_amount(Decimal("0.1"), Decimal(2))
    Fraction(121, 100)
    """
    _check(interest, years)
    return Fraction(compound(interest, years))


def single_payment_present_worth(interest: Decimal, years: Decimal) -> Fraction:
    """P/F: today's worth of 1 in so many years.

    >>> single_payment_present_worth(Decimal("0.1"), Decimal(2))
    Fraction(100, 121)
    """
    return 1 / single_payment_compound_amount(interest, years)


def uniform_series_compound_amount(interest: Decimal, years: Decimal) -> Fraction:
    """F/A: what 1 a year comes to at the end.

    >>> two = Decimal(2)
    >>> uniform_series_compound_amount(Decimal("0.1"), two), uniform_series_compound_amount(Decimal(0), two)
    (Fraction(21, 10), Fraction(2, 1))
    """
    if interest == 0:
        _check(interest, years)
        return Fraction(years)
    return (single_payment_compound_amount(interest, years) - 1) / Fraction(interest)


def uniform_series_present_worth(interest: Decimal, years: Decimal) -> Fraction:
    """P/A: today's worth of 1 a year.

    >>> uniform_series_present_worth(Decimal("0.1"), Decimal(2)), uniform_series_present_worth(Decimal(0), Decimal(2))
    (Fraction(210, 121), Fraction(2, 1))
    """
    return uniform_series_compound_amount(interest, years) * single_payment_present_worth(interest, years)


def sinking_fund(interest: Decimal, years: Decimal) -> Fraction:
    """A/F: what to put by a year to have 1 at the end; ValueError for no years.

    >>> sinking_fund(Decimal("0.1"), Decimal(2)), sinking_fund(Decimal(0), Decimal("2.5"))
    (Fraction(10, 21), Fraction(2, 5))
    """
    return 1 / _of_some_years(uniform_series_compound_amount(interest, years))


def capital_recovery(interest: Decimal, years: Decimal) -> Fraction:
    """A/P: the level amount a year that is worth 1 today; ValueError for no years.

    >>> capital_recovery(Decimal("0.1"), Decimal(2)), capital_recovery(Decimal(0), Decimal("2.5"))
    (Fraction(121, 210), Fraction(2, 5))
    """
    return 1 / _of_some_years(uniform_series_present_worth(interest, years))


def present_value(amounts: Iterable[tuple[Decimal, Exact]], interest: Decimal) -> Fraction:
    """Today's worth of amounts, each with the year in which it falls.

    >>> present_value([(Decimal(0), 100), (Decimal(1), Decimal("11")), (Decimal(2), 121)], Decimal("0.1"))
    Fraction(210, 1)
    """
    worths = (Fraction(amount) * single_payment_present_worth(interest, year) for year, amount in amounts)
    return sum(worths, Fraction(0))


def equivalent_a_year(worth: Exact, interest: Decimal, years: Decimal) -> Fraction:
    """The level amount a year that today's worth comes to: worth x A/P; ValueError for no years.

    >>> equivalent_a_year(Decimal(210), Decimal("0.1"), Decimal(2))
    Fraction(121, 1)
    """
    return Fraction(worth) * capital_recovery(interest, years)


def capital_recovery_with_salvage(first_cost: Exact, salvage: Exact, interest: Decimal, years: Decimal) -> Fraction:
    """What owning a thing costs a year: first cost x A/P - what it then still fetches x A/F.

    The same as (first cost - salvage) x A/P + interest x salvage.

    >>> capital_recovery_with_salvage(210, 21, Decimal("0.1"), Decimal(2))
    Fraction(111, 1)
    """
    recovered = Fraction(first_cost) * capital_recovery(interest, years)
    return recovered - Fraction(salvage) * sinking_fund(interest, years)


def _check(interest: Decimal, years: Decimal) -> None:
    if interest < 0:
        raise ValueError(f"interest must be zero or more, not {interest}")
    if years < 0:
        raise ValueError(f"years must be zero or more, not {years}")


def _of_some_years(factor: Fraction) -> Fraction:
    if factor == 0:
        raise ValueError("an amount a year needs more than zero years")
    return factor
