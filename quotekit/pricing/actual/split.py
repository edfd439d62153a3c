"""Hours known only for the whole job are split over its work by standard share, and marked as not measured.

Hours of each person are split by themselves. They go to the work that nobody measured; where all was measured, to all
of it. The share of a line is its standard hours with its part of the allowance for the machine's condition, which is
spread over the work that is slowed by rust, at each labour rate by its hours. A split is by largest remainder in
hundredths of an hour (or finer, where the hours are), so that it adds up exactly. A job without standard hours keeps
them whole.
Units: hours. Source: shop policy; TRADE 12 (split by standard share); OpenStax 11.4 for the largest remainder.

Worked example: 1.00 h over COVER (0.2), BELT (0.3) and a test of 0.1: 0.33, 0.50 and 0.17, none of them measured.
"""

from __future__ import annotations

from collections.abc import Collection, Iterable, Iterator, Sequence
from decimal import Decimal
from fractions import Fraction

from quotekit.model.agreed import Agreed, AgreedWork
from quotekit.model.entries import ActualHours
from quotekit.money import allocate

_DIGITS = 2


def split_whole_job(
    agreed: Agreed, hours: Iterable[ActualHours], not_done: Collection[str] = ()
) -> tuple[ActualHours, ...]:
    """The hours with those of the whole job spread over its work; measured ones stay as they are.

    Work that only items need which were not done takes none of them.
    """
    listed = list(hours)
    kept = [one for one in listed if one.work]
    done = {one.work for one in kept if one.hours}
    timed = [work for work in agreed.work if work.hours and not (work.users and set(work.users) <= set(not_done))]
    over = [work for work in timed if work.key not in done] or timed
    shares = standard_shares(agreed, over)
    for one in listed:
        if not one.work:
            kept += _spread(one, over, shares)
    return tuple(kept)


def standard_shares(agreed: Agreed, works: Sequence[AgreedWork]) -> list[Fraction]:
    """What each line of work should take, the allowance for the machine's condition in it."""
    slowed: dict[str, Decimal] = {}
    for work in agreed.work:
        if work.slowed_by_rust:
            slowed[work.labour] = slowed.get(work.labour, Decimal(0)) + work.hours
    allowance = {line.rate: line.allowance for line in agreed.labour}
    return [_share(work, slowed.get(work.labour, Decimal(0)), allowance.get(work.labour, Decimal(0))) for work in works]


def _share(work: AgreedWork, slowed: Decimal, allowance: Decimal) -> Fraction:
    share = Fraction(work.hours)
    return share + share * Fraction(allowance) / Fraction(slowed) if work.slowed_by_rust and slowed else share


def _spread(one: ActualHours, over: Sequence[AgreedWork], shares: Sequence[Fraction]) -> Iterator[ActualHours]:
    if not over:
        yield ActualHours(work="", person=one.person, hours=one.hours, measured=False)
        return
    digits = max(_DIGITS, -int(one.hours.normalize().as_tuple().exponent))
    for work, hours in zip(over, allocate(one.hours, shares, digits), strict=True):
        if hours:
            yield ActualHours(work=work.key, person=one.person, hours=hours, measured=False)
