"""Extras and found remedies beside a tier (DESIGN.md 5.8)."""

from __future__ import annotations

from dataclasses import dataclass
from fractions import Fraction

from tests.oracle.candidates import all_allowed, candidates_of, faults_of, fixed_by, fixed_by_all
from tests.oracle.exact import fraction, up, up_to_step
from tests.oracle.labour import allowance_of
from tests.oracle.parts import add_up, is_shelf, own_parts, parts_of_item, parts_of_operation, parts_of_step, unit_price
from tests.oracle.price import ZERO, Priced, price
from tests.oracle.tax import rows_in_force
from tests.oracle.work import (
    Item,
    Key,
    World,
    hours_of_step,
    includes,
    is_sided,
    named_operations,
    wanted_operations,
    work_of,
)


@dataclass
class Offer:
    """Something the customer may add to a tier."""

    item: Item
    why: str
    together: Priced
    price: Fraction
    at_most: Fraction


def offers_of(world: World, tier: Priced) -> list[Offer]:
    """All offers beside a tier, in order."""
    found = _found_remedies(world, tier)
    extras = [offer for offer in _extras(world, tier) if not _brought_by(world, offer.item, found)]
    return sorted(found + extras, key=lambda offer: offer.item.key)


def _offer(world: World, tier: Priced, item: Item, why: str) -> Offer:
    together = price(world, [*tier.items, item], beside=tier)
    return Offer(item, why, together, together.work - tier.work, at_most(world, tier, item))


def _brought_by(world: World, extra: Item, found: list[Offer]) -> bool:
    """An operation the extra names is brought by a found remedy, even if it is dropped there."""
    named = named_operations(world, extra)
    return any(named & wanted_operations(world, offer.item) for offer in found)


def _found_remedies(world: World, tier: Priced) -> list[Offer]:
    left = set(faults_of(world)) - fixed_by_all(world, tier.items)
    taken = {item.key for item in tier.items}
    apart = any("upgrade labour" in row.charges for rows in rows_in_force(world).values() for row in rows)
    chosen: dict[str, Offer] = {}
    for fault in sorted(left):
        able = [
            _offer(world, tier, item, "found, not in this option")
            for item in candidates_of(world)
            if fault in fixed_by(world, item)
            and item.key not in taken
            and all_allowed(world, [*tier.items, item])
            and not (apart and item.record.kind == "upgrade")
        ]
        if able:
            best = min(able, key=lambda one: (one.price, len(one.together.doing.operations), one.item.key))
            chosen[best.item.key] = best
    return list(chosen.values())


def _extras(world: World, tier: Priced) -> list[Offer]:
    taken = {item.key for item in tier.items}
    listed = {(row.code, row.side) for row in world.job.extras if not row.asked}
    offers = []
    for extra in world.book.extras.values():
        sided = is_sided(world.book, extra.operations)
        for side in world.job.positions if sided else (None,):
            item = Item(extra.code, side, "extra", extra)
            if item.key in taken:
                continue
            if (extra.code, side) in listed:
                if item.key not in work_of(world, [*tier.items, item]).active:
                    continue
                offers.append(_offer(world, tier, item, "on the job's list"))
            elif _while_open(world, tier, item):
                offers.append(_offer(world, tier, item, "while it is open"))
    return offers


def _while_open(world: World, tier: Priced, item: Item) -> bool:
    machines = item.record.machines
    if machines and world.job.machine_class not in machines:
        return False
    opened = work_of(world, [item]).opens[item.key]
    named = named_operations(world, item)
    wanted = tier.doing.operations | tier.doing.dropped
    included = any(includes(world, larger, key) for larger in wanted for key in named)
    return bool(opened) and opened <= tier.doing.steps and not named & tier.doing.operations and not included


def at_most(world: World, tier: Priced, item: Item) -> Fraction:
    """The item's own hours, supplies, parts, cores, sublet, fees and freight, each rounded up."""
    together = work_of(world, [*tier.items, item])
    operations = together.brings[item.key] - tier.doing.operations
    steps = together.opens[item.key] - tier.doing.steps
    total = _labour_at_most(world, operations, steps)
    total += _supplies_at_most(world, total)
    sources = [parts_of_operation(world, key) for key in operations] + [parts_of_step(world, key) for key in steps]
    if item.key in together.active:
        sources.append(parts_of_item(world, item))
    total += _parts_at_most(world, tier, add_up(sources))
    return total + _sublet_at_most(world, operations) + _fees_at_most(world, tier, operations)


def _labour_at_most(world: World, operations: set[Key], steps: set[Key]) -> Fraction:
    hours: dict[str, Fraction] = {}
    slowed: dict[str, Fraction] = {}
    for key in operations:
        operation = world.book.operations[key[0]]
        rate = world.rate(operation.labour)
        hours[rate] = hours.get(rate, ZERO) + fraction(operation.net_hours)
        if operation.slowed_by_rust:
            slowed[rate] = slowed.get(rate, ZERO) + fraction(operation.net_hours)
    for key in steps:
        rate = world.rate(world.book.access[key[0]].labour)
        hours[rate] = hours.get(rate, ZERO) + fraction(hours_of_step(world, key))
    for rate, more in allowance_of(world, slowed).items():
        hours[rate] += more
    step = fraction(world.book.settings.hours_step)
    lines = (up_to_step(count, step) * fraction(world.rates[rate].rate_per_hour) for rate, count in hours.items())
    return sum((up(line, world.digits) for line in lines), ZERO)


def _supplies_at_most(world: World, labour: Fraction) -> Fraction:
    settings = world.book.settings
    if settings.supplies_shown_as == "off":
        return ZERO
    amount = up(fraction(settings.supplies_percent_of_labour) * labour, world.digits)
    return amount if settings.supplies_cap is None else min(amount, fraction(settings.supplies_cap))


def _parts_at_most(world: World, tier: Priced, quantities: dict[str, Fraction]) -> Fraction:
    total = ZERO
    suppliers: set[str] = set()
    own = own_parts(world)
    shipped = world.book.settings.freight_to_customer == "this job alone"
    for code, quantity in quantities.items():
        part = world.parts[code]
        if code in own:
            continue
        total += up(unit_price(world, part) * quantity, world.digits)
        if world.job.old_parts == "keep":
            total += up(fraction(part.core_charge) * quantity, world.digits)
        terms = None if world.book.suppliers is None else world.book.suppliers.get(part.supplier)
        if shipped and terms is not None and not is_shelf(world, part.supplier):
            packs = -(-quantity // fraction(part.pack_quantity))
            total += up(packs * fraction(part.extra_freight), world.digits)
            if part.supplier not in tier.own_freight and part.supplier not in suppliers:
                suppliers.add(part.supplier)
                total += up(fraction(terms.freight), world.digits)
    return total


def _sublet_at_most(world: World, operations: set[Key]) -> Fraction:
    factor = 1 + fraction(world.book.settings.sublet_markup)
    costs = (fraction(world.book.operations[key[0]].sublet_cost) for key in operations)
    return sum((up(cost * factor, world.digits) for cost in costs), ZERO)


def _fees_at_most(world: World, tier: Priced, operations: set[Key]) -> Fraction:
    asked = {entry.code for entry in world.job.fees}
    codes = {key[0] for key in operations}
    wanted = [fee for fee in world.book.fees.values() if codes & set(fee.applies_to)]
    new = [fee for fee in wanted if fee.code not in tier.fees and fee.code not in asked and not fee.always]
    return sum((up(fraction(fee.amount), world.digits) for fee in new), ZERO)
