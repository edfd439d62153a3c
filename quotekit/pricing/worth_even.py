"""The value of a missing input at which keeping and replacing cost the same, from the formulas of `worth` put together.

gap = share of new price + share of used value working - value as it stands - (upkeep kept - upkeep new) x H - repair,
where both shares are a half; where the job says what a new one loses, that is the share of its price, and the share of
the used value is what is left of it at the end, 1 - H / years it could last.
even value = -gap without it / what of the gap goes with a unit of it; years beyond those compared, which count only
where a new one's loss is given, solve gap at the years compared + used x (1 - compared / years) = 0.
Units: money, years. Exact, rounded once. Source: algebra.

Worked example: a new one at 1,000.00 loses 60 %, used 400.00, as it stands 300.00, no upkeep, repair 500.00, 5 years:
600 - 300 - 500 = -200 while nothing is left of yours; where it lasts 10 years, half is: -200 + 400 x (1 - 5 / 10) = 0.
"""

from __future__ import annotations

from decimal import Decimal
from fractions import Fraction

from quotekit.model.repair_or_replace import AS_IT_STANDS, COULD_LAST, NEW_PRICE, UPKEEP_KEPT, UPKEEP_NEW, USED_WORKING
from quotekit.money import round_to
from quotekit.pricing.worth import Worth


def even_value(repair: Decimal, worth: Worth, name: str, bounds: tuple[int, int | None]) -> Decimal | None:
    """The first value at which both cost the same, None where there is none; `bounds` are the values it can have."""
    gap, slopes = _balance(repair, worth)
    slope = slopes[name]
    if not slope:
        return None if name != COULD_LAST else _even_later(gap, worth)
    even, (low, high) = -gap / slope, bounds
    units = even * 10 ** digits_of(name, worth)
    if low <= units and (high is None or units <= high):
        return round_to(even, _even_digits(name, worth))
    return None if name != COULD_LAST else _even_later(gap + slope * Fraction(worth.compared), worth)


def _balance(repair: Decimal, worth: Worth) -> tuple[Fraction, dict[str, Fraction]]:
    """Cost to replace less cost to keep with zero for what is missing, and how much of it goes with each value."""
    new, used, now = (Fraction(value or 0) for value in (worth.new_price, worth.used_working, worth.as_it_stands))
    more = Fraction(worth.upkeep_kept or 0) - Fraction(worth.upkeep_new or 0)
    years = Fraction(worth.horizon or 0)
    of_new, of_used = Fraction(1, 2), Fraction(1, 2)
    if worth.new_loses is not None:
        of_new, of_used = Fraction(worth.new_loses), kept_share(worth)
    gap = of_new * new + of_used * used - now - more * years - Fraction(repair)
    return gap, {
        NEW_PRICE: of_new,
        USED_WORKING: of_used,
        AS_IT_STANDS: Fraction(-1),
        UPKEEP_KEPT: -years,
        UPKEEP_NEW: years,
        COULD_LAST: -more,
    }


def kept_share(worth: Worth) -> Fraction:
    """The part of its value that a used one keeps over the horizon; none while its years are not known."""
    if worth.horizon is None or not worth.could_last:
        return Fraction(0 if worth.horizon is None else 1)
    return 1 - Fraction(worth.horizon) / Fraction(worth.could_last)


def _even_later(gap: Fraction, worth: Worth) -> Decimal | None:
    """Years beyond those compared at which both cost the same, where what is then left of yours makes up for a gap."""
    used, compared = Fraction(worth.used_working or 0), Fraction(worth.compared)
    if worth.new_loses is None or not -used < gap < 0:
        return None
    return round_to(used * compared / (used + gap), _even_digits(COULD_LAST, worth))


def digits_of(name: str, worth: Worth) -> int:
    """Decimals in which a value is tried: years in tenths, money in the minor unit."""
    return 1 if name == COULD_LAST else worth.digits


def _even_digits(name: str, worth: Worth) -> int:
    return 2 if name == COULD_LAST else worth.digits
