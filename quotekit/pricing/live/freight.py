"""Freight of any choice (DESIGN.md 5.5 item 7 and 5.8), the same rules as `pricing/freight`.

Each option's own freight is a known amount. What is added pays flat freight only where the option orders nothing,
once, plus extra freight for each pack added. No cost, threshold or name is here; lines are in the order of the parts.
"""

from __future__ import annotations

from collections.abc import Sequence
from decimal import Decimal

from quotekit.model.expression import (
    Expression,
    any_of,
    if_more,
    minus,
    most,
    rounded,
    rounded_up,
    times,
    total,
)
from quotekit.money import round_to
from quotekit.pricing.basis import ZERO
from quotekit.pricing.live.parts import LivePart
from quotekit.pricing.live.taken import OfferedTier
from quotekit.pricing.live.working import Working, decimals, whole

Own = Sequence[dict[str, Decimal]]


def live_freight(working: Working, parts: Sequence[LivePart], tiers: Sequence[OfferedTier]) -> list[Expression]:
    """Freight lines: one in all, or one for each supplier where tax is rounded line by line."""
    settings = working.basis.book.settings
    if settings.freight_to_customer == "none":
        return []
    ordered = [part for part in parts if not part.own and not working.basis.is_shelf(part.supplier)]
    suppliers = list(dict.fromkeys(part.supplier for part in ordered))
    lines = []
    for supplier in suppliers:
        of_supplier = [part for part in ordered if part.supplier == supplier]
        lines.append((_own(tiers, supplier), total(*_added(working, supplier, of_supplier, tiers))))
    if settings.tax_rounding == "line":
        return [
            working.step("freight", total(working.pick([working.minor(amount) for amount in own]), added))
            for own, added in lines
        ]
    sums = [sum((own[n] for own, _ in lines), ZERO) for n in range(len(tiers))]
    own = working.pick([working.minor(amount) for amount in sums])
    return [working.step("freight", total(own, *(added for _, added in lines)))]


def _own(tiers: Sequence[OfferedTier], supplier: str) -> list[Decimal]:
    return [tier.tier.charges.freight.get(supplier, ZERO) for tier in tiers]


def _added(
    working: Working, supplier: str, parts: Sequence[LivePart], tiers: Sequence[OfferedTier]
) -> list[Expression]:
    terms = working.basis.supplier(supplier)
    if terms is None:
        return []
    added: list[Expression] = []
    flat = working.minor(round_to(terms.freight or ZERO, working.basis.digits))
    orders_nothing = working.pick([int(supplier not in tier.tier.charges.freight) for tier in tiers])
    if flat and orders_nothing != 0:
        ordered = any_of(if_more(part.quantity, 0, 1, 0) for part in parts)
        added.append(times(working.step("flat freight", times(ordered, orders_nothing)), flat))
    return added + [_extra(working, part, tiers) for part in parts if part.part and part.part.extra_freight]


def _extra(working: Working, part: LivePart, tiers: Sequence[OfferedTier]) -> Expression:
    """Extra freight of the packs that are added."""
    assert part.part is not None and part.part.extra_freight is not None
    digits = working.basis.digits
    pack, extra = part.part.pack_quantity, part.part.extra_freight
    places = max(part.places, decimals([pack]))
    packs = rounded_up(times(part.quantity, 10 ** (places - part.places)), whole(pack, places))
    before = working.pick([tier.tier.charges.packs.get(part.code, 0) for tier in tiers])
    more = max(0, decimals([extra]) - digits)
    amount = times(most(0, minus(packs, before)), whole(extra, digits + more))
    return working.step("extra freight", rounded(amount, 10**more))
