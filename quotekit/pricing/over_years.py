"""What an option comes to as the years go by, for a chart (DESIGN.md 5.7).

Figure at a year = what the horizon cost would be if that year were the horizon: work now, and the stand-alone work
of each remedy again each time its life runs out before that year, at today's worth, rounded once.
Figures stand at 0, 1, 2 ... whole years and at the horizon; the last is the horizon cost.
Units: money, years. No figures where a remedy's life is not stated, as its renewals are not known.

Worked example: work 100.00, stand-alone work 60.00, life 2 years, horizon 5, interest 10 %: it comes round at 2 and 4,
for 60.00 / 1.21 = 49.59 and 60.00 / 1.4641 = 40.98. So 100.00 up to year 2, 149.59 at 3 and 4, 190.57 at 5.
"""

from __future__ import annotations

from collections.abc import Iterable
from decimal import Decimal
from fractions import Fraction

from quotekit.money import round_to
from quotekit.pricing.basis import Basis
from quotekit.pricing.life import horizon_of


def work_by_year(basis: Basis, work: Decimal, due: Iterable[tuple[Decimal, Fraction]]) -> tuple[Decimal, ...]:
    """Work and what has come round before each year; `due` are the years of the renewals with today's worth."""
    again = sorted(due)
    figures, so_far, counted = [], Fraction(work), 0
    for year in years_up_to(horizon_of(basis)):
        while counted < len(again) and again[counted][0] < year:
            so_far += again[counted][1]
            counted += 1
        figures.append(round_to(so_far, basis.digits))
    return tuple(figures)


def years_up_to(horizon: Decimal) -> list[Decimal]:
    """Whole years from 0, then the horizon.

    >>> [str(year) for year in years_up_to(Decimal("2.5"))], [str(year) for year in years_up_to(Decimal(1))]
    (['0', '1', '2', '2.5'], ['0', '1'])
    """
    whole = [Decimal(year) for year in range(int(horizon) + 1)]
    return whole if whole[-1] == horizon else [*whole, horizon]
