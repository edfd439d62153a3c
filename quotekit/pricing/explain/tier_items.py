"""The engine's items of a tier that was priced, found again by kind and key."""

from __future__ import annotations

from quotekit.model.quote import PricedTier
from quotekit.pricing.items import Item
from quotekit.pricing.plan import planned_items
from quotekit.pricing.setup import Setup


def items_of(setup: Setup, tier: PricedTier) -> tuple[Item, ...]:
    """The items in the tier's own order."""
    plan = planned_items(setup, tier.code) or ()
    known = {(item.kind, item.key): item for item in (*setup.candidates.items.values(), *plan)}
    known |= {(item.kind, item.key): item for item in (*setup.asked, *setup.one_offs)}
    return tuple(known[item.kind, item.key] for item in tier.items)
