"""Every order tried, on rules written a second time: what an order costs, whether all come in time, which is first.

Shares no rule with the package: days are counted one by one, units are handed out from the last day backwards, money is
counted in fractions and rounded here.
"""

from __future__ import annotations

from collections.abc import Iterator
from datetime import date, timedelta
from fractions import Fraction
from itertools import product
from math import ceil, floor
from typing import NamedTuple

from quotekit.model.landed import OrderTask, PackOffer

LAST = date.max
Counts = dict[int, int]
"""Packs by the place of the offer in the task."""


class First(NamedTuple):
    """The first of the cheapest orders: minor units, and packs by the place of the offer."""

    money: int
    packs: Counts
    tried: int


def first_of_all(task: OrderTask) -> First:
    """The cheapest order, ties by suppliers, packs, then earlier offers."""
    places = ordered_places(task)
    best: tuple[object, ...] | None = None
    found: Counts = {}
    tried = 0
    for counts in product(*(range(most_of(task, place) + 1) for place in places)):
        packs = {place: count for place, count in zip(places, counts, strict=True) if count}
        tried += 1
        if not all(is_met(task, packs, part) for part in {need.part for need in task.needs}):
            continue
        money = money_of(task, packs)
        suppliers = len({task.offers[place].supplier for place in packs})
        key = (money, suppliers, sum(counts), [-count for count in counts])
        if best is None or key < best:
            best, found = key, packs
    assert best is not None, "all that is needed of each part is always one way"
    return First(int(str(best[0])), found, tried)


def ordered_places(task: OrderTask) -> list[int]:
    """Offers that are in question: parts in text order, the usual one first, then by supplier.

    A part of which the shelf holds enough is not bought, nor is anything from who sends after the last day on which
    something is missing: neither is bought to reach a threshold.
    """
    return sorted(
        (place for place, offer in enumerate(task.offers) if days_of(task, offer) <= _last_missing(task, offer.part)),
        key=lambda place: (task.offers[place].part, not task.offers[place].usual, task.offers[place].supplier),
    )


def _last_missing(task: OrderTask, part: str) -> date:
    """The last day by which more is needed than the shelf holds; the first of all days where there is none."""
    needs = list(dues_of(task, part)) if any(need.part == part for need in task.needs) else []
    missing = [date.min]
    for day, _ in needs:
        there = sum(Fraction(lot.units) for lot in task.lots if lot.part == part and lot.there_from <= day)
        if sum(quantity for due, quantity in needs if due <= day) > there:
            missing.append(day)
    return max(missing)


def most_of(task: OrderTask, place: int) -> int:
    """More packs than this are never of use: all that is needed, or all thresholds of the supplier reached alone."""
    offer = task.offers[place]
    needed = sum(Fraction(need.quantity) for need in task.needs if need.part == offer.part)
    most = ceil(needed / Fraction(offer.pack_quantity))
    terms = task.terms.get(offer.supplier)
    if terms is not None and offer.pack_cost:
        reach = max(Fraction(terms.minimum_order or 0), Fraction(terms.free_freight_from or 0))
        most = max(most, ceil(reach / Fraction(offer.pack_cost)))
    return most


def days_of(task: OrderTask, offer: PackOffer) -> date:
    """When an offer's packs are there."""
    if offer.lead_days is None:
        return LAST
    day, left = task.day, offer.lead_days
    while left:
        day += timedelta(days=1)
        left -= day.isoweekday() not in (6, 7)
    return day


def is_met(task: OrderTask, packs: Counts, part: str) -> bool:
    """True where each need of a part gets its units in time: latest needs take the latest units that still do."""
    sources = [(lot.there_from, Fraction(lot.units)) for lot in task.lots if lot.part == part]
    sources += [
        (days_of(task, task.offers[place]), count * Fraction(task.offers[place].pack_quantity))
        for place, count in packs.items()
        if task.offers[place].part == part
    ]
    left = sorted(sources)
    for due, quantity in sorted(dues_of(task, part), reverse=True):
        wanted = quantity
        for place in range(len(left) - 1, -1, -1):
            there, units = left[place]
            if there <= due:
                taken = min(units, wanted)
                left[place], wanted = (there, units - taken), wanted - taken
        if wanted:
            return False
    return True


def dues_of(task: OrderTask, part: str) -> Iterator[tuple[date, Fraction]]:
    """When each need of a part must be met: its day, or the soonest any supplier sends, and its units."""
    soonest = min(days_of(task, offer) for offer in task.offers if offer.part == part)
    for need in task.needs:
        if need.part == part:
            yield max(need.by, soonest), Fraction(need.quantity)


def money_of(task: OrderTask, packs: Counts) -> int:
    """Minor units of an order."""
    total = 0
    unit = 10**task.digits
    for supplier in {task.offers[place].supplier for place in packs}:
        mine = [
            (task.offers[place], count) for place, count in packs.items() if task.offers[place].supplier == supplier
        ]
        goods = sum(count * Fraction(offer.pack_cost) for offer, count in mine)
        carried = sum(count * Fraction(offer.extra_freight) for offer, count in mine)
        fee = Fraction(0)
        terms = task.terms.get(supplier)
        if terms is not None:
            if not terms.free_freight_from or goods < terms.free_freight_from:
                carried += Fraction(terms.freight or 0)
            if terms.minimum_order and goods < terms.minimum_order:
                fee = Fraction(terms.small_order_fee or 0)
        total += sum(floor(amount * unit + Fraction(1, 2)) for amount in (goods, carried, fee))
    return total
