"""Each part at its usual supplier, the supplier on the part's own row: what the cheapest order is compared with.

As many packs as cover what must be bought, and no more. It can't be where a part has no usual supplier, or where that
supplier is too late, or called the part off, while another sends it. Where that alone is in the way, the reason says
what it would land for.
Units: packs, money. Source: shop policy.

Worked example: five seals needed, two on the shelf, packs of two at the usual supplier: two packs.
"""

from __future__ import annotations

from collections.abc import Sequence

from quotekit.model.landed import OrderTask, PackOffer, Packs, UsualOrder
from quotekit.money import whole_units
from quotekit.pricing.landed.in_time import Cover
from quotekit.pricing.landed.price import landed_cost


def usual_order(task: OrderTask, covers: Sequence[Cover]) -> UsualOrder:
    """The order at the usual suppliers, with the first reason why it can't be."""
    found: dict[PackOffer, int] = {}
    why: list[str] = []
    late: list[str] = []
    for cover in covers:
        usual = next((offer for offer in task.offers if offer.part == cover.part and offer.usual), None)
        if usual is None:
            why.append(f"{cover.part} has no usual supplier")
            continue
        if usual not in cover.offers:
            why_not = "was called off" if usual.called_off else "comes too late"
            late.append(f"{cover.part} from {usual.supplier} {why_not}")
        found[usual] = max(found.get(usual, 0), whole_units(cover.units, usual.pack_quantity))
    packs = tuple(Packs(offer=offer, packs=count) for offer, count in found.items())
    if why:
        return UsualOrder(packs=packs, landed=None, why_not=[*late, *why][0])
    landed = landed_cost(task, packs)
    if late:
        return UsualOrder(packs=packs, landed=None, why_not=f"{late[0]}; it would land for {landed:.{task.digits}f}")
    return UsualOrder(packs=packs, landed=landed)
