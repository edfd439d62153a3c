"""Which parts with a proposal touch an open quote: those by which a figure of it would be another.

By what it asks or costs: a part that an option charges for, today, under the new prices, or held as it was offered.
Not one that the customer brings, that the job has a price of its own for, or in whose place the shop book has another,
unless that other one changes. Not an option that is not offered, unless what is offered hangs on it. By its lead time
alone: where the option would be ready on another day, and it is among the slowest parts. An extra or a found item that
is offered beside an option was promised too: what only that would charge for is told apart, as nothing of it is in the
option's total.
Source: shop policy.

Worked example: `good` holds BELT and offers an oil change; belt and oil become dearer: touched by BELT, and by OIL as
an extra. A seal of `good` that would come in 3 days and not in 2 touches nothing while the belt takes 5.
"""

from __future__ import annotations

from collections.abc import Collection, Iterable, Iterator, Mapping

from quotekit.model.quote import PricedTier
from quotekit.record import record


@record
class Changed:
    """Codes of the parts with a proposal, by what it changes."""

    amounts: frozenset[str] = frozenset()
    """Price, cost, pack, or the part itself."""
    places: frozenset[str] = frozenset()
    """What the shop book has in the part's place."""
    leads: frozenset[str] = frozenset()
    """Lead time."""


@record
class OnBook:
    """A quote priced on a shop book, by tier code."""

    priced: Mapping[str, PricedTier]
    """As the engine would quote it now."""
    held: Mapping[str, tuple[PricedTier, ...]]
    """The work as it was offered, alone and then with each extra."""


def touched_by(
    before: OnBook, after: OnBook, changed: Changed, of_job: Collection[str]
) -> tuple[tuple[str, ...], tuple[str, ...]]:
    """Parts that touch a quote, and those that do only with an extra; `of_job` are parts the job has a price for."""
    inside = _in_options(before, after, changed, shown_alone=True)
    if not inside and _differ(before, after):
        inside = _in_options(before, after, changed, shown_alone=False)
    with_extras = [tier for book in (before, after) for held in book.held.values() for tier in held[1:]]
    inside -= set(of_job)
    beside = _by_amounts(with_extras, changed) - inside - set(of_job)
    return tuple(sorted(inside)), tuple(sorted(beside))


def _in_options(before: OnBook, after: OnBook, changed: Changed, *, shown_alone: bool) -> set[str]:
    found = _by_amounts([*_options(before, shown_alone), *_options(after, shown_alone)], changed)
    for old, new in _pairs(before, after, shown_alone):
        if old.ready_days != new.ready_days:
            found |= (_slowest(old) | _slowest(new)) & changed.leads
    return found


def _options(book: OnBook, shown_alone: bool) -> Iterator[PricedTier]:
    yield from (tier for tier in book.priced.values() if tier.offered or not shown_alone)
    yield from (held[0] for held in book.held.values())


def _pairs(before: OnBook, after: OnBook, shown_alone: bool) -> Iterator[tuple[PricedTier, PricedTier]]:
    """The same option on both books."""
    for code in before.priced.keys() & after.priced.keys():
        pair = before.priced[code], after.priced[code]
        if not shown_alone or any(tier.offered for tier in pair):
            yield pair
    yield from ((before.held[code][0], after.held[code][0]) for code in before.held.keys() & after.held.keys())


def _differ(before: OnBook, after: OnBook) -> bool:
    """True where an option that is shown asks, leaves or takes something else."""
    return any(
        (old.total, old.margin, old.ready_days, old.offered) != (new.total, new.margin, new.ready_days, new.offered)
        for old, new in _pairs(before, after, shown_alone=True)
    )


def _slowest(tier: PricedTier) -> set[str]:
    """The parts that an option waits for: of the longest lead, or of one that is not known."""
    leads = {line.part: line.lead_days for line in tier.part_lines if not line.own}
    unknown = {part for part, days in leads.items() if days is None}
    longest = max((days for days in leads.values() if days is not None), default=0)
    return unknown or {part for part, days in leads.items() if days == longest}


def _by_amounts(tiers: Iterable[PricedTier], changed: Changed) -> set[str]:
    """Parts that options charge for and whose amounts change, and those they stand for whose place another takes."""
    lines = [line for tier in tiers for line in tier.part_lines if not line.own]
    stood_for = {code for line in lines for code in line.replaces}
    return ({line.part for line in lines} & changed.amounts) | (stood_for & changed.places)
