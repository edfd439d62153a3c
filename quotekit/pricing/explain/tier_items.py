"""The engine's items of a tier that was priced, and of what is offered beside it, found again."""

from __future__ import annotations

from quotekit.model.quote import OfferedExtra, PricedTier
from quotekit.pricing.items import Item, extra_item
from quotekit.pricing.plan import planned_items
from quotekit.pricing.setup import Setup


def items_of(setup: Setup, tier: PricedTier) -> tuple[Item, ...]:
    """The items in the tier's own order."""
    plan = planned_items(setup, tier.code) or ()
    known = {(item.kind, item.key): item for item in (*setup.candidates.items.values(), *plan)}
    known |= {(item.kind, item.key): item for item in (*setup.asked, *setup.one_offs)}
    return tuple(known[item.kind, item.key] for item in tier.items)


def offered_item(setup: Setup, offer: OfferedExtra) -> Item:
    """The engine's item of what is offered beside a tier."""
    if offer.kind == "remedy":
        return setup.candidates.items[offer.extra]
    return extra_item(setup.basis, setup.basis.book.extras[offer.code], offer.side)
