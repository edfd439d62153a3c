"""Parts to hand: what was agreed, with how many go to each side, before the first cover comes off.

How many go where is what operations, steps and repairs bring on each side; where that does not add up to what was
agreed, because a kit brings some, or larger work takes an item's place, the sides are named without numbers.
Units: the part's own. Source: shop policy.

Worked example: a repair on the left and one on the right bring a bushing each: 2 bushings, left 1, right 1.
"""

from __future__ import annotations

from collections.abc import Iterable
from decimal import Decimal

from quotekit.model.agreed import Agreed, AgreedItem, AgreedPart
from quotekit.model.job import Job
from quotekit.model.shop_book import ShopBook
from quotekit.model.work_order import PartToHand
from quotekit.pricing.basis import ZERO, Basis, PartUse

_Places = dict[str, dict[str, Decimal]]


def parts_to_hand(book: ShopBook, job: Job, agreed: Agreed) -> tuple[PartToHand, ...]:
    """Every part of the job, in the order in which it was agreed."""
    places = _places(Basis(book=book, job=job), job, agreed)
    return tuple(_to_hand(part, places.get(part.part, {})) for part in agreed.parts)


def _to_hand(part: AgreedPart, by_side: dict[str, Decimal]) -> PartToHand:
    known = sum(by_side.values(), ZERO) == part.quantity
    sides: Iterable[tuple[str, Decimal | None]] = (
        [(side, many) for side, many in by_side.items() if side] if known else [(side, None) for side in part.sides]
    )
    return PartToHand(
        part=part.part,
        name=part.name,
        unit=part.unit,
        quantity=part.quantity,
        places=tuple(sides),
        new_or_used=part.new_or_used,
        supplier=part.supplier,
        ordered=part.ordered,
        own=part.own,
        core=part.core_charge > 0,
    )


def _places(basis: Basis, job: Job, agreed: Agreed) -> _Places:
    """Units of each final part by the side they are for; the empty side is for no side."""
    found: _Places = {}
    for work in agreed.work:
        if work.kind == "operation":
            _add(found, work.side, basis.op(work.code, work.side).parts)
        elif work.kind == "access":
            basis.steps_from((work.code,), work.side)
            _add(found, work.side, basis.step_named(work.key).parts)
    for item in agreed.items:
        _add(found, item.side, _parts_of_item(basis, item))
    order = {side: place for place, side in enumerate(("", *job.positions))}
    return {
        part: dict(sorted(by_side.items(), key=lambda one: order.get(one[0], len(order))))
        for part, by_side in found.items()
    }


def _parts_of_item(basis: Basis, item: AgreedItem) -> tuple[PartUse, ...]:
    brings = basis.book.remedies.get(item.code) if item.kind == "remedy" else basis.book.extras.get(item.code)
    return basis.uses(item.code, brings.parts, item.side) if brings is not None else ()


def _add(found: _Places, side: str | None, uses: Iterable[PartUse]) -> None:
    for part, quantity in uses:
        by_side = found.setdefault(part, {})
        by_side[side or ""] = by_side.get(side or "", ZERO) + quantity
