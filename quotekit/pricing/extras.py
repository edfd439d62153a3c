"""Extras, and what was found but is not in this option (DESIGN.md 5.8 and 5.9).

An extra is offered when the job lists it, or when its class matches, none of its work is in the tier and every step
it needs is already open ("while it is open"). For each fault a tier leaves, the permitted remedy that adds least work
is offered too. Never ticked in advance.
Units: money, before tax.

Worked example: the tier opens COVER; BELT (0.3 h, one belt at 22.40) needs COVER alone: at 92.00 an hour it adds
27.60 + 22.40 = 50.00 and its supplies, not the cover again.
"""

from __future__ import annotations

from collections.abc import Sequence
from decimal import Decimal
from functools import partial

from quotekit.model.quote import OfferedExtra
from quotekit.model.shop_book import Extra
from quotekit.pricing.at_most import at_most
from quotekit.pricing.charges import Charges, price_items
from quotekit.pricing.items import Item, extra_item
from quotekit.pricing.setup import Setup, fixed_by
from quotekit.pricing.sides import is_sided
from quotekit.pricing.taxes import taxes_upgrade_labour
from quotekit.pricing.totals import totals_of
from quotekit.pricing.work import work_of
from quotekit.record import record

LISTED, OPEN, FOUND = "on the job's list", "while it is open", "found, not in this option"


@record
class Offer:
    """An item offered beside a tier, and why."""

    item: Item
    why: str


def offers_beside(setup: Setup, items: Sequence[Item], charges: Charges) -> list[Offer]:
    """Extras and found remedies offered beside a tier, in text order of their keys."""
    found = _found_remedies(setup, items, charges)
    brought: frozenset[str] = frozenset().union(*(offer.item.wanted for offer in found))
    extras = [offer for offer in _extras(setup, items, charges) if offer.item.direct.isdisjoint(brought)]
    return sorted([*found, *extras], key=lambda offer: offer.item.key)


def price_beside(setup: Setup, charges: Charges, added: Sequence[Item]) -> Charges:
    """The tier with items added: thresholds of freight stay as judged without them."""
    return price_items(setup.basis, [*charges.work.items, *added], setup.always, beside=charges)


@record
class AddedTo:
    """What an offer is added to: a tier, and the tier with what is taken already."""

    tier: Charges
    added: Sequence[Item] = ()
    taken: Charges


def price_offer(setup: Setup, offer: Offer, beside: AddedTo, upgrade: Decimal) -> OfferedExtra:
    """One offer with the exact difference it makes to what is taken, and the most it can add."""
    item = offer.item
    together = setup.price_with(beside.taken, item, beside.tier)
    totals = totals_of(setup.basis, together, min(upgrade, together.labour_total))
    record = item.remedy or item.extra
    assert record is not None
    name = item.remedy.remedy if item.remedy else item.extra.extra if item.extra else item.code
    return OfferedExtra(
        extra=item.key,
        code=item.code,
        side=item.side,
        kind="remedy" if item.remedy else "extra",
        name=name,
        wording=record.customer_wording or name,
        why=offer.why,
        fixes=tuple(sorted(item.fixes)),
        price=together.total - beside.taken.total,
        at_most=at_most(setup.basis, item, beside.taken, together.work),
        work=together.total,
        subtotal=totals.subtotal,
        tax=totals.tax,
        total=totals.total,
    )


def _extras(setup: Setup, items: Sequence[Item], charges: Charges) -> list[Offer]:
    """Extras of the job's sheet that were not asked for, and those of the machine class that are open."""
    taken = {item.key for item in items}
    offers: dict[str, Offer] = {}
    for row in setup.basis.job.extras:
        extra = setup.basis.book.extras[row.code]
        side = row.side if is_sided(setup.basis.book, extra.operations) else None
        item = extra_item(setup.basis, extra, side)
        if not row.asked and item.key not in taken and not _done_by_larger(setup, items, item):
            offers[item.key] = Offer(item=item, why=LISTED)
    for extra in setup.basis.book.extras.values():
        if not extra.machines or setup.basis.job.machine_class in extra.machines:
            for item in _instances(setup, extra):
                if item.key not in taken and item.key not in offers and _is_open(setup, items, charges, item):
                    offers[item.key] = Offer(item=item, why=OPEN)
    return list(offers.values())


def _instances(setup: Setup, extra: Extra) -> list[Item]:
    """A sided extra once per position, any other once."""
    sides: tuple[str | None, ...] = (None,)
    if is_sided(setup.basis.book, extra.operations):
        sides = setup.basis.job.positions
    return [extra_item(setup.basis, extra, side) for side in sides]


def _is_open(setup: Setup, items: Sequence[Item], charges: Charges, item: Item) -> bool:
    """None of its work is in the tier or included by it, and every step it needs is already open; it needs some."""
    if item.direct & charges.work.present:
        return False
    steps = _steps_needed(setup, item)
    return bool(steps) and steps <= charges.work.steps and not _any_included(setup, charges, item)


def _steps_needed(setup: Setup, item: Item) -> frozenset[str]:
    """Steps of the work it brings by itself; what Always work includes is done with that, and needs none."""
    brought = item.wanted & work_of(setup.basis, [item], setup.always).present
    return frozenset().union(*(setup.basis.op_named(key).steps for key in brought))


def _any_included(setup: Setup, charges: Charges, item: Item) -> bool:
    """True when the tier's work includes one of its operations, also work that larger work made unnecessary."""
    wanted = charges.work.present | charges.work.dropped
    return not item.direct.isdisjoint(frozenset().union(*(setup.basis.op_named(key).includes for key in wanted)))


def _done_by_larger(setup: Setup, items: Sequence[Item], item: Item) -> bool:
    """True when the tier's work includes all of an extra's operations."""
    return work_of(setup.basis, [*items, item], setup.always).is_done_by_larger(item)


def _found_remedies(setup: Setup, items: Sequence[Item], charges: Charges) -> list[Offer]:
    """For each fault the tier leaves, the permitted remedy that adds least work in money."""
    fixed = fixed_by(items)
    no_upgrades = taxes_upgrade_labour(setup.basis)
    best: dict[str, Offer] = {}
    for key in sorted(setup.candidates.faults):
        if key in fixed:
            continue
        usable = [
            item
            for item in setup.candidates.for_fault[key]
            if _may_be_added(setup, items, fixed, item)
            and not (no_upgrades and item.remedy is not None and item.remedy.kind == "upgrade")
        ]
        if usable:
            item = usable[0] if len(usable) == 1 else min(usable, key=partial(_least_work, setup, charges))
            best[item.key] = Offer(item=item, why=FOUND)
    return list(best.values())


def _may_be_added(setup: Setup, items: Sequence[Item], fixed: frozenset[str], item: Item) -> bool:
    """It fits, and has what it needs fixed, in tier plus remedy; and so do the tier's own remedies with it."""
    candidates, together = setup.candidates, [*items, item]
    limited = [other for other in together if other.remedy and candidates.checks[other.key]]
    return not candidates.missing_needs(item, fixed | item.fixes) and not any(
        candidates.faulty_limits(other, together) for other in limited
    )


def _least_work(setup: Setup, charges: Charges, item: Item) -> tuple[Decimal, int, str]:
    together = setup.price_with(charges, item, charges)
    return together.total, len(together.work.present), item.key
