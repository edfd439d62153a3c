"""What parts and their freight really cost each job, from the orders it had a share in.

Cost of a unit = pack cost by pack quantity; the pack cost of a delivery counts before the one that was ordered.
Several lines of one part for one job: the mean by the units each brought.
Freight of a job: each supplier's freight and small order fee, split over its lines by their amounts and within a line
by the units of each job. Every order counts, so a second freight for the same job is added.
Units: money; exact. Source: TRADE 12, "freight (the second too)"; the split is shop policy.

Example: one order of 80 and 20 of goods with 10 of freight, the line of 20 shared 1 : 3 by two jobs: the first bears
8 + 0.5 where the line of 80 is its own.
"""

from __future__ import annotations

from collections.abc import Iterable, Mapping, Sequence
from fractions import Fraction

from quotekit.model.entries import Ordered, OrderLine, Received, SupplierOrder
from quotekit.model.story import Told, job_key
from quotekit.pricing.review.done import code_key
from quotekit.record import record


@record
class PaidCosts:
    """By job, or by job and part, both as compared: cost of a unit, and freight."""

    unit: Mapping[tuple[str, str], Fraction]
    freight: Mapping[str, Fraction]


def paid_costs(ordered: Sequence[Told[Ordered]], received: Iterable[Told[Received]]) -> PaidCosts:
    """What all orders and deliveries say."""
    charged = _charged(received)
    units: dict[tuple[str, str], list[tuple[Fraction, Fraction]]] = {}
    freight: dict[str, Fraction] = {}
    for told in ordered:
        for line in told.body.lines:
            pack_cost = charged.get((told.entry.number, *_line_key(line.supplier, line.part)), Fraction(line.pack_cost))
            for job, quantity in line.jobs.items():
                each = (Fraction(quantity), pack_cost / Fraction(line.pack_quantity))
                units.setdefault((job_key(job), code_key(line.part)), []).append(each)
        for supplier in told.body.suppliers:
            for job, amount in _freight_of(supplier, told.body.lines):
                freight[job] = freight.get(job, Fraction(0)) + amount
    unit = {key: mean for key, each in units.items() if (mean := _mean(each)) is not None}
    return PaidCosts(unit=unit, freight=freight)


def _charged(received: Iterable[Told[Received]]) -> dict[tuple[int | None, str, str], Fraction]:
    return {
        (told.body.order, *_line_key(line.supplier, line.part)): Fraction(line.pack_cost)
        for told in received
        for line in told.body.lines
        if line.pack_cost is not None
    }


def _line_key(supplier: str, part: str) -> tuple[str, str]:
    return code_key(supplier), code_key(part)


def _freight_of(order: SupplierOrder, lines: Iterable[OrderLine]) -> Iterable[tuple[str, Fraction]]:
    own = [line for line in lines if code_key(line.supplier) == code_key(order.supplier)]
    goods = sum((Fraction(line.amount) for line in own), Fraction(0))
    for line in own:
        units = sum((Fraction(quantity) for quantity in line.jobs.values()), Fraction(0))
        if goods and units:
            of_line = (Fraction(order.freight) + Fraction(order.fee)) * Fraction(line.amount) / goods
            yield from ((job_key(job), of_line * Fraction(quantity) / units) for job, quantity in line.jobs.items())


def _mean(each: Sequence[tuple[Fraction, Fraction]]) -> Fraction | None:
    units = sum((quantity for quantity, _ in each), Fraction(0))
    return sum((quantity * cost for quantity, cost in each), Fraction(0)) / units if units else None
