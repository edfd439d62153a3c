"""Which packs come in time: what must be there by when, after what is on the shelf already.

A need without a day may come any time. Where no supplier of a part is in time for a need, its day becomes the day of
the soonest supplier, and that is told. For each part and each of its days: units from offers that are there by then
must cover what is needed by then less the lots that are there by then. Units that are there serve the earliest day
first, so these sums are all there is to ask.
Units: the part's own. Source: shop policy; counting by days is the usual condition for a shared supply, from memory.

Worked example: two seals by Monday and three by Friday, one on the shelf: a supplier who sends by Monday must bring
1, all who send by Friday together 4. Nobody sends before Wednesday: all five by Friday, with Wednesday for the first.
"""

from __future__ import annotations

from collections.abc import Iterable
from datetime import date
from decimal import Decimal
from typing import NamedTuple

from quotekit.model.landed import NEVER, Need, OrderTask, PackOffer
from quotekit.pricing.landed.working_days import arrival

ZERO = Decimal(0)


class Cover(NamedTuple):
    """Offers that must bring so many units of a part between them."""

    part: str
    units: Decimal
    offers: tuple[PackOffer, ...]


class LateNeed(NamedTuple):
    """A need that no supplier is in time for, and when its part can be there; None where that is not known."""

    need: Need
    there: date | None


def covers_of(task: OrderTask) -> list[Cover]:
    """What offers must bring, part by part and day by day; only what asks for something and is for sale."""
    found = []
    for part in parts_needed(task):
        offers = offers_for(task, part)
        if not offers:
            continue
        needs = [(due_day(task, need, offers), need) for need in task.needs if need.part == part]
        for day in sorted({day for day, _ in needs}):
            wanted = sum((need.quantity for due, need in needs if due <= day), ZERO)
            there = sum((lot.units for lot in task.lots if lot.part == part and lot.there_from <= day), ZERO)
            if wanted > there:
                in_time = tuple(offer for offer in offers if arrival(task.day, offer.lead_days) <= day)
                found.append(Cover(part, wanted - there, in_time))
    return found


def late_needs(task: OrderTask) -> list[LateNeed]:
    """Needs of which some must be bought and can't be there in time, in order of part, day and job."""
    found = []
    for part in parts_needed(task):
        offers = offers_for(task, part)
        soonest = soonest_day(task, offers)
        wanted = ZERO
        for need in sorted((need for need in task.needs if need.part == part), key=in_order):
            wanted += need.quantity
            if need.by < soonest and wanted > _there_by(task, part, need.by):
                found.append(LateNeed(need, None if soonest == NEVER else soonest))
    return found


def is_covered(covers: Iterable[Cover], packs: dict[PackOffer, int]) -> bool:
    """True where packs bring all that is asked for."""
    return all(
        sum((packs.get(offer, 0) * offer.pack_quantity for offer in cover.offers), ZERO) >= cover.units
        for cover in covers
    )


def due_day(task: OrderTask, need: Need, offers: Iterable[PackOffer]) -> date:
    """The day a need must be met: its own, or the day of the soonest supplier."""
    return max(need.by, soonest_day(task, offers))


def soonest_day(task: OrderTask, offers: Iterable[PackOffer]) -> date:
    """When the soonest supplier sends; the day of the order where there is none, which puts nothing off."""
    return min((arrival(task.day, offer.lead_days) for offer in offers), default=task.day)


def offers_for(task: OrderTask, part: str) -> list[PackOffer]:
    """Offers of a part in their fixed order: the usual supplier first, then text order of suppliers and numbers.

    Those of suppliers that called the part off are not among them.
    """
    return sorted((offer for offer in task.offers if offer.part == part and not offer.called_off), key=offer_order)


def offer_order(offer: PackOffer) -> tuple[object, ...]:
    """The fixed order of the offers of a part."""
    return (not offer.usual, offer.supplier, offer.suppliers_number, offer.pack_quantity, offer.pack_cost)


def parts_needed(task: OrderTask) -> list[str]:
    """Parts that are needed, in text order."""
    return sorted({need.part for need in task.needs})


def in_order(need: Need) -> tuple[date, str]:
    """Needs of a part are met by day, then in text order of jobs."""
    return (need.by, need.job)


def _there_by(task: OrderTask, part: str, day: date) -> Decimal:
    return sum((lot.units for lot in task.lots if lot.part == part and lot.there_from <= day), ZERO)
