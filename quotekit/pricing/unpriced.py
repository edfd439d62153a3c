"""A tier that could not be worked out: its reason, and nothing that reads like a figure."""

from __future__ import annotations

from dataclasses import fields, replace

from quotekit.model.quote import Amounts, Cost, Hours, PricedTier
from quotekit.pricing.basis import ZERO


def without_figures(tier: PricedTier) -> PricedTier:
    """A tier that could not be priced, with nothing that reads like a figure."""
    zero = tier.subtotal * 0
    amounts = Amounts(**{field.name: zero for field in fields(Amounts)})
    hours = Hours(access=ZERO, net=ZERO, allowance=ZERO, off=ZERO, billed={}, minimum_added=ZERO)
    cost = Cost(labour=None, parts_used=None, cores=zero, sublet=None, freight=zero, total=None)
    return replace(
        tier,
        priced=False,
        operations=(),
        access=(),
        dropped=(),
        hours=hours,
        labour_lines=(),
        minimum_amount=zero,
        part_lines=(),
        sublet_lines=(),
        saving_lines=(),
        fee_lines=(),
        freight_lines=(),
        amounts=amounts,
        bundles=(),
        work=zero,
        subtotal=zero,
        taxes=(),
        tax=zero,
        total=zero,
        deposit=zero,
        due=zero,
        ready_days=None,
        horizon_cost=zero,
        shares=(),
        cost=cost,
        cash_for_parts=zero,
        margin=None,
        opening_amount=zero,
        repair_or_replace=None,
        years=None,
    )
