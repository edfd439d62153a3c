"""Who gets what: units that are there and units that are bought, given to the jobs that need them.

What is there first serves the need that is due first: lots on the shelf, then lots and packs as they come in; needs by
day, then in text order of jobs. That gives every job its parts in time wherever any way does. What no job gets is left
over and goes to the shelf.
Units: the part's own. Source: earliest due date first, a usual rule, from memory.

Worked example: three seals on the shelf, two needed by Monday, two by Friday, a pack of four bought: Monday's job gets
two from the shelf, Friday's one from the shelf and one from the pack; three are left over.
"""

from __future__ import annotations

from collections.abc import Iterable
from dataclasses import replace
from datetime import date
from decimal import Decimal
from typing import NamedTuple

from quotekit.model.landed import Given, OrderTask, PackOffer, Packs
from quotekit.pricing.landed.in_time import due_day, in_order, offer_order, offers_for, parts_needed
from quotekit.pricing.landed.working_days import arrival

ZERO = Decimal(0)


class _Source(NamedTuple):
    there: date
    place: tuple[object, ...]
    """Lots before packs, packs in the fixed order of offers."""
    units: Decimal
    offer: PackOffer | None
    stored_as: str = ""


def share_out(task: OrderTask, packs: Iterable[Packs]) -> list[Given]:
    """What each need gets, part by part; a need that nothing is left for gets nothing."""
    bought = list(packs)
    return [given for part in parts_needed(task) for given in _share_part(task, part, bought)]


def left_over(line: Packs, given: Iterable[Given]) -> Decimal:
    """Units of packs that no job gets."""
    return line.packs * line.offer.pack_quantity - sum((one.quantity for one in given if one.offer == line.offer), ZERO)


def _share_part(task: OrderTask, part: str, packs: list[Packs]) -> list[Given]:
    offers = offers_for(task, part)
    needs = sorted(
        (need for need in task.needs if need.part == part),
        key=lambda need: (due_day(task, need, offers), *in_order(need)),
    )
    sources = _sources(task, part, packs)
    found: list[Given] = []
    left = [source.units for source in sources]
    place = 0
    for need in needs:
        wanted = need.quantity
        while wanted and place < len(sources):
            units = min(wanted, left[place])
            if units:
                source = sources[place]
                found.append(Given(need=need, quantity=units, offer=source.offer, stored_as=source.stored_as))
            wanted -= units
            left[place] -= units
            place += not left[place]
    return _joined(found)


def _sources(task: OrderTask, part: str, packs: list[Packs]) -> list[_Source]:
    found = [_Source(lot.there_from, (), lot.units, None, lot.stored_as) for lot in task.lots if lot.part == part]
    found += [
        _Source(
            arrival(task.day, line.offer.lead_days),
            (True, *offer_order(line.offer)),
            line.packs * line.offer.pack_quantity,
            line.offer,
        )
        for line in packs
        if line.offer.part == part
    ]
    return sorted(found, key=lambda source: (source.there, source.place))


def _joined(given: list[Given]) -> list[Given]:
    """Units of one need from several lots of the shelf in one."""
    found: dict[tuple[object, ...], Given] = {}
    for one in given:
        key = (one.need, one.offer, one.stored_as)
        before = found.get(key)
        found[key] = one if before is None else replace(one, quantity=before.quantity + one.quantity)
    return list(found.values())
