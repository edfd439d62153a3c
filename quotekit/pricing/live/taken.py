"""Which items a choice takes: those of the option chosen, and those ticked that it offers."""

from __future__ import annotations

from collections.abc import Sequence
from decimal import Decimal

from quotekit.model.expression import Expression, Step, times, total
from quotekit.pricing.extras import Offer
from quotekit.pricing.items import Item
from quotekit.pricing.live.working import Working
from quotekit.pricing.tiers import WorkedTier
from quotekit.record import record


@record
class OfferedTier:
    """An option as it was worked out, what is offered beside it, and its upgrade labour."""

    tier: WorkedTier
    offers: Sequence[Offer]
    upgrade: Decimal


@record
class Taken:
    """An item and the flag that it is taken."""

    item: Item
    flag: Expression


def taken_items(working: Working, tiers: Sequence[OfferedTier], ticks: dict[str, Step]) -> list[Taken]:
    """Every item of any option or offered beside one; `ticks` are the inputs by key of what is offered."""
    inside = [{_name(item): item for item in tier.tier.items} for tier in tiers]
    beside = [{_name(offer.item): offer.item for offer in tier.offers} for tier in tiers]
    items = {name: item for found in (*beside, *inside) for name, item in found.items()}
    taken = []
    for name in sorted(items):
        offered = working.pick([int(name in found) for found in beside])
        included = working.pick([int(name in found) for found in inside])
        flag = included
        if offered != 0:
            flag = total(included, times(ticks[items[name].key], offered))
        taken.append(Taken(item=items[name], flag=working.step("taken", flag)))
    return taken


def _name(item: Item) -> tuple[str, str]:
    """A remedy and an extra may share a code."""
    return item.key, item.kind
