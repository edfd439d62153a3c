"""Freight to the customer: this job's packs ordered alone, per supplier (DESIGN.md 5.5 item 7 and 5.8).

Flat freight, zero from the free-freight value (blank or zero never makes it free), plus the small order fee
below the minimum order, plus extra freight per pack. The shelf is free.
For extras the thresholds stay as judged on the tier without them: what is added pays flat freight only where
the tier orders nothing, once, plus extra freight per pack.
Units: money. Source: common practice, no source.

Worked example: two packs at 18.00 from a supplier with freight 9.00, free from 50.00, minimum 40.00, fee 6.00:
36.00 is below both, so 9.00 + 6.00 = 15.00. Three packs, 54.00: free, and no fee.
"""

from __future__ import annotations

from collections.abc import Iterable
from decimal import Decimal

from quotekit.money import round_to
from quotekit.pricing.basis import ZERO, Basis
from quotekit.pricing.parts import PartAmount


def freight_of_order(basis: Basis, lines: Iterable[PartAmount]) -> dict[str, Decimal]:
    """Freight per supplier for these packs ordered alone, whether charged or not."""
    orders: dict[str, list[PartAmount]] = {}
    for line in ordered(basis, lines):
        orders.setdefault(line.supplier, []).append(line)
    return {supplier: _freight_of(basis, supplier, orders[supplier]) for supplier in sorted(orders)}


def freight_with_extras(
    basis: Basis, lines: Iterable[PartAmount], before: dict[str, Decimal], packs_before: dict[str, int]
) -> dict[str, Decimal]:
    """The tier's own freight, and what the added parts pay on top."""
    freight = dict(before)
    for line in ordered(basis, lines):
        terms = basis.supplier(line.supplier)
        if terms is None:
            continue
        added = max(0, line.packs - packs_before.get(line.code, 0)) * extra_freight(line)
        if line.supplier not in freight:
            freight[line.supplier] = round_to(terms.freight or ZERO, basis.digits)
        freight[line.supplier] += round_to(added, basis.digits)
    return {supplier: freight[supplier] for supplier in sorted(freight)}


def ordered(basis: Basis, lines: Iterable[PartAmount]) -> list[PartAmount]:
    """Lines that are bought for this job: neither shelf stock nor the customer's own."""
    return [line for line in lines if not line.own and not basis.is_shelf(line.supplier)]


def extra_freight(line: PartAmount) -> Decimal:
    """Extra freight per pack."""
    return (line.part.extra_freight if line.part else None) or ZERO


def order_value(lines: Iterable[PartAmount]) -> Decimal:
    """Whole packs at pack cost; a one-off line without a cost adds nothing."""
    return sum((line.packs * (line.pack_cost or ZERO) for line in lines), ZERO)


def _freight_of(basis: Basis, supplier: str, lines: list[PartAmount]) -> Decimal:
    terms = basis.supplier(supplier)
    if terms is None:
        return round_to(ZERO, basis.digits)
    value = order_value(lines)
    flat = terms.freight or ZERO
    if terms.free_freight_from and value >= terms.free_freight_from:
        flat = ZERO
    small = (terms.small_order_fee or ZERO) if terms.minimum_order and value < terms.minimum_order else ZERO
    return round_to(flat + small + sum((line.packs * extra_freight(line) for line in lines), ZERO), basis.digits)
