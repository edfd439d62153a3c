"""The most an extra can add to a tier by itself; and the most that extras add together is their sum (DESIGN.md 5.8).

Its own hours (operations and steps not in the tier already, first-side hours, its allowance) rounded up x rate,
its supplies, their parts (no kit taken off) and cores, sublet, fees not charged already, and flat and extra freight;
each amount rounded up, with no credit, saving or slack from the minimum.
Together extras never cost more than the sum of these.
Units: money, before tax.

Worked example: a belt 0.26 h at 92.00: 0.3 x 92.00 = 27.60, supplies 5 % = 1.38, belt 22.40: at most 51.38. Inside the
minimum, or where hours round up anyway, the exact difference is less.
"""

from __future__ import annotations

from collections.abc import Iterable
from decimal import Decimal
from fractions import Fraction

from quotekit.money import round_up, round_up_to_step, whole_units
from quotekit.pricing.basis import ZERO, Basis
from quotekit.pricing.charges import Charges
from quotekit.pricing.fees import triggered_by
from quotekit.pricing.hours import part_of_allowance, total_allowance
from quotekit.pricing.items import Item
from quotekit.pricing.parts import uses_of_work
from quotekit.pricing.work import Work


def at_most(basis: Basis, item: Item, charges: Charges, together: Work) -> Decimal:
    """The upper limit of what one item adds to a tier's work in money; `together` is the work with it."""
    operations = together.present - charges.work.present
    steps = together.steps - charges.work.steps
    labour = _labour(basis, operations, steps)
    uses = uses_of_work(basis, operations, steps, [] if together.is_done_by_larger(item) else [item])
    return (
        labour
        + _supplies(basis, labour)
        + _parts(basis, uses)
        + _sublet(basis, operations)
        + _fees(basis, operations, charges)
        + _freight(basis, uses, charges)
    )


def _labour(basis: Basis, operations: Iterable[str], steps: Iterable[str]) -> Decimal:
    hours: dict[str, Decimal] = {}
    slowed: dict[str, Decimal] = {}
    for key in operations:
        op = basis.op_named(key)
        hours[op.rate] = hours.get(op.rate, ZERO) + op.net_hours
        if op.slowed:
            slowed[op.rate] = slowed.get(op.rate, ZERO) + op.net_hours
    for key in steps:
        step = basis.step_named(key)
        hours[step.rate] = hours.get(step.rate, ZERO) + step.hours
    all_slowed = sum(slowed.values(), ZERO)
    allowance = total_allowance(basis, all_slowed)
    total = ZERO
    for rate, at_rate in hours.items():
        own = part_of_allowance(allowance, slowed.get(rate, ZERO), all_slowed)
        billed = round_up_to_step(Fraction(at_rate) + Fraction(own), basis.book.settings.hours_step)
        total += round_up(billed * basis.rates[rate].rate_per_hour, basis.digits)
    return total


def _supplies(basis: Basis, labour: Decimal) -> Decimal:
    settings = basis.book.settings
    if settings.supplies_shown_as == "off":
        return ZERO
    amount = round_up(settings.supplies_percent_of_labour * labour, basis.digits)
    return amount if settings.supplies_cap is None else min(amount, round_up(settings.supplies_cap, basis.digits))


def _parts(basis: Basis, uses: dict[str, Decimal]) -> Decimal:
    total = ZERO
    for code, quantity in uses.items():
        if code in basis.own_parts:
            continue
        total += round_up(basis.price(code).price * quantity, basis.digits)
        core = basis.part(code).core_charge
        if core is not None and basis.job.old_parts == "keep":
            total += round_up(core * quantity, basis.digits)
    return total


def _sublet(basis: Basis, operations: Iterable[str]) -> Decimal:
    total = ZERO
    for key in operations:
        operation = basis.op_named(key).operation
        if operation is not None and operation.sublet_cost is not None:
            total += round_up(operation.sublet_cost * (1 + basis.book.settings.sublet_markup), basis.digits)
    return total


def _fees(basis: Basis, operations: Iterable[str], charges: Charges) -> Decimal:
    """Fees that its operations bring, that the tier does not charge and the job does not set."""
    codes = frozenset(basis.op_named(key).code for key in operations)
    charged = {fee.key for fee in charges.fees}
    return sum(
        (round_up(fee.amount, basis.digits) for fee in triggered_by(basis, codes) if fee.code not in charged),
        ZERO,
    )


def _freight(basis: Basis, uses: dict[str, Decimal], charges: Charges) -> Decimal:
    """Flat freight of suppliers the tier orders nothing from, and extra freight per pack."""
    if basis.book.settings.freight_to_customer == "none":
        return ZERO
    total, flat = ZERO, set(charges.freight)
    for code, quantity in uses.items():
        part = basis.part(code)
        terms = basis.supplier(part.supplier)
        if code in basis.own_parts or terms is None or terms.shelf:
            continue
        if part.supplier not in flat:
            flat.add(part.supplier)
            total += round_up(terms.freight or ZERO, basis.digits)
        packs = whole_units(quantity, part.pack_quantity)
        total += round_up(packs * (part.extra_freight or ZERO), basis.digits)
    return total
