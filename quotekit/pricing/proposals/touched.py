"""Which parts with a proposal touch an open quote: those by which a figure of it would be another.

By what it asks or costs, to the cent: a part that an option charges for, today, under the new prices, or held as it was
offered. Not one that the customer brings, that the job has a price of its own for, or in whose place the shop book has
another, unless that other one changes. Not an option that is not offered, unless what is offered hangs on it. By its
lead time alone: where the option would be ready on another day, and it is among the slowest parts. An extra or a found
item that is offered beside an option was promised too: what only that would charge for is told apart, as nothing of it
is in the option's total.
Source: shop policy.

Worked example: `good` holds BELT and offers an oil change; belt and oil become dearer: touched by BELT, and by OIL as
an extra. A seal of `good` that would come in 3 days and not in 2 touches nothing while the belt takes 5.
"""

from __future__ import annotations

from collections.abc import Collection, Iterable, Mapping
from decimal import Decimal

from quotekit.model.quote import PartLine, PricedTier
from quotekit.money import round_to
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


ALONE = ""
"""Where an option stands without any extra."""

Options = Mapping[str, PricedTier]
"""Options by any key; the same key on both books is the same option."""


@record
class OnBook:
    """A quote priced on a shop book, by tier code."""

    priced: Options
    """As the engine would quote it now."""
    held: Mapping[str, Options]
    """The work as it was offered: `ALONE`, and with each extra by its key."""

    @property
    def alone(self) -> Options:
        """The options that are held, without extras."""
        return {code: options[ALONE] for code, options in self.held.items()}

    @property
    def with_extras(self) -> Options:
        """Those with an extra, by option and extra."""
        return {
            f"{code} {extra}": tier
            for code, options in self.held.items()
            for extra, tier in options.items()
            if extra != ALONE
        }


def touched_by(
    before: OnBook, after: OnBook, changed: Changed, of_job: Collection[str], digits: int
) -> tuple[tuple[str, ...], tuple[str, ...]]:
    """Parts that touch a quote, and those that do only with an extra; `of_job` are parts the job has a price for."""
    pairs = [*_shown(before, after), *_pairs(before.alone, after.alone)]
    inside = {code for pair in pairs for code in _moved(*pair, changed, digits)}
    if not inside and any(_figures(old) != _figures(new) for old, new in pairs):
        inside = _in_any(_pairs(before.priced, after.priced), changed)
    beside = {
        code
        for old, new in _pairs(before.with_extras, after.with_extras)
        for code in _by_amounts(old, new, changed, digits)
    }
    inside -= set(of_job)
    return tuple(sorted(inside)), tuple(sorted(beside - inside - set(of_job)))


Pair = tuple[PricedTier | None, PricedTier | None]
"""The same option on both books; None where one of them has it not."""


def _pairs(before: Options, after: Options) -> list[Pair]:
    return [(before.get(key), after.get(key)) for key in {**before, **after}]


def _shown(before: OnBook, after: OnBook) -> list[Pair]:
    """Options that are offered on one of the books."""
    pairs = _pairs(before.priced, after.priced)
    return [pair for pair in pairs if any(tier is not None and tier.offered for tier in pair)]


def _moved(old: PricedTier | None, new: PricedTier | None, changed: Changed, digits: int) -> set[str]:
    """Parts by which an option asks, costs or buys something else, or is ready on another day."""
    found = _by_amounts(old, new, changed, digits)
    if old is not None and new is not None and old.ready_days != new.ready_days:
        found |= (_slowest(old) | _slowest(new)) & changed.leads
    return found


def _by_amounts(old: PricedTier | None, new: PricedTier | None, changed: Changed, digits: int) -> set[str]:
    was, now = _asked(old, digits), _asked(new, digits)
    moved = {code for code in was.keys() | now.keys() if was.get(code) != now.get(code)}
    return (moved & changed.amounts) | (_stood_for(old, new) & changed.places)


def _asked(tier: PricedTier | None, digits: int) -> Mapping[str, tuple[Decimal | None, ...]]:
    """What each part of an option is sold for, costs, and takes out of the till; the customer's own are left out."""
    return {
        line.part: (line.unit_price, line.amount, line.core_charge, line.cost, _cash(line, digits))
        for line in _lines(tier)
    }


def _cash(line: PartLine, digits: int) -> Decimal | None:
    return None if line.pack_cost is None else round_to(line.packs * line.pack_cost, digits)


def _stood_for(*tiers: PricedTier | None) -> set[str]:
    return {code for tier in tiers for line in _lines(tier) for code in line.replaces}


def _in_any(pairs: Iterable[Pair], changed: Changed) -> set[str]:
    """Every part with a proposal that an option holds, offered or not: what is offered may hang on that one."""
    return {line.part for pair in pairs for tier in pair for line in _lines(tier)} & changed.amounts


def _lines(tier: PricedTier | None) -> list[PartLine]:
    return [] if tier is None else [line for line in tier.part_lines if not line.own]


def _figures(tier: PricedTier | None) -> tuple[object, ...]:
    """What an option asks, leaves and takes."""
    return () if tier is None else (tier.total, tier.margin, tier.ready_days, tier.offered)


def _slowest(tier: PricedTier) -> set[str]:
    """The parts that an option waits for: of the longest lead, or of one that is not known."""
    leads = {line.part: line.lead_days for line in _lines(tier)}
    unknown = {part for part, days in leads.items() if days is None}
    longest = max((days for days in leads.values() if days is not None), default=0)
    return unknown or {part for part, days in leads.items() if days == longest}
