"""A tier with one more item, counted from the tier's own figures (DESIGN.md 5.8).

It is what pricing the whole set again gives, for less work: only what the item brings is looked up. Where its work
touches what the tier has (one makes the other unnecessary or brings it back, or the same operation is done on another
side for less) or it brings a kit, the whole set is priced.
Source: none needed; it is the same sum.

Worked example: a tier of 300 part lines and 210.3 hours; the item brings one seal and 0.2 hours: one part line is made
again, hours at its rate are 210.3 + 0.2, then rounded up to the step and charged as ever.
"""

from __future__ import annotations

from bisect import insort
from decimal import Decimal

from quotekit.model.job import at_side
from quotekit.pricing.basis import Basis
from quotekit.pricing.bundles import bundles_on, hours_off
from quotekit.pricing.charges import Charges, Counted, in_money, price_items, sublet_of_operations
from quotekit.pricing.fees import charges_of, fees_of
from quotekit.pricing.hours import hours_with
from quotekit.pricing.items import Item
from quotekit.pricing.parts import parts_with, uses_of_work
from quotekit.pricing.work import Work


def price_added(basis: Basis, taken: Charges, item: Item, beside: Charges) -> Charges:
    """What is taken with one more item; freight as judged on the tier it stands `beside`."""
    work = _work_with(basis, taken.work, item)
    operations = _operations_added(basis, taken.work, work) if work is not None else None
    if work is None or operations is None:
        return price_items(basis, [*taken.work.items, item], taken.work.always, beside=beside)
    steps = work.steps - taken.work.steps
    more = uses_of_work(basis, operations, steps, [item])
    if any(basis.part(code).contains for code in more):
        return price_items(basis, [*taken.work.items, item], taken.work.always, beside=beside)
    bundles = bundles_on(basis, work.items)
    uses, parts = parts_with(basis, taken.uses, taken.parts, more)
    codes = frozenset(basis.op_named(key).code for key in work.present)
    counted = Counted(
        work=work,
        bundles=bundles,
        hours=hours_with(basis, taken.hours, operations, steps, hours_off(bundles)),
        uses=uses,
        parts=parts,
        sublet={**taken.sublet, **sublet_of_operations(basis, operations)},
        fees=fees_of(basis, codes, alone=False) + charges_of(basis, work),
    )
    return in_money(basis, counted, beside=beside)


def _work_with(basis: Basis, work: Work, item: Item) -> Work | None:
    """The work with what an item brings; None where the one touches the other's."""
    new = item.wanted - work.present
    if item.one_off is not None or not work.dropped.isdisjoint(new):
        return None
    wanted = work.present | work.dropped
    if any(not basis.op_named(key).includes.isdisjoint(new) for key in wanted):
        return None
    added = [basis.op_named(key) for key in new]
    if any(not op.includes.isdisjoint(wanted) or not op.includes.isdisjoint(new) for op in added):
        return None
    items = list(work.items)
    insort(items, item, key=lambda one: one.key)
    return Work(
        items=tuple(items),
        always=work.always,
        present=work.present | new,
        steps=work.steps.union(*(op.steps for op in added)),
        dropped=work.dropped,
    )


def _operations_added(basis: Basis, before: Work, work: Work) -> dict[str, Decimal] | None:
    """Net hours of what is added; None where an operation may be a further side of another for less."""
    found: dict[str, Decimal] = {}
    for key in work.present - before.present:
        op = basis.op_named(key)
        others = (at_side(op.code, side) for side in basis.job.positions if side != op.side)
        if op.second_side_hours is not None and any(other in work.present for other in others):
            return None
        found[key] = op.net_hours
    return found
