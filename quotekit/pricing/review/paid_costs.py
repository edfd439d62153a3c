"""What parts and their freight really cost each job, from the orders it had a share in.

Cost of a unit = pack cost by pack quantity; what deliveries of the line were charged counts before what was ordered,
several deliveries by the packs each brought. Packs that were called off, and units a job does not get by it, count
nowhere. Units from the shop's shelf cost as agreed; so does a one-off part whose cost nobody typed until it comes in.
Several lines of one part for one job: the mean by the units each brought.
Freight of a job: each supplier's freight and small order fee, split over its lines by their amounts (by their units
where the goods cost nothing) and within a line by the units of each job. Every order counts, so a second freight for
the same job is added. An order that was called off as a whole bears none.
Units: money; exact. Source: TRADE 12, "freight (the second too)"; the split is shop policy.

Example: one order of 80 and 20 of goods with 10 of freight, the line of 20 shared 1 : 3 by two jobs: the first bears
8 + 0.5 where the line of 80 is its own. Two packs of it came at 5.00 and one at 6.20: a pack cost 5.40.
"""

from __future__ import annotations

from collections.abc import Iterable, Iterator, Mapping, Sequence
from decimal import Decimal
from fractions import Fraction

from quotekit.model.entries import Cancelled, CancelledLine, Ordered, OrderLine, Received, ReceivedLine, SupplierOrder
from quotekit.model.story import Told, job_key
from quotekit.pricing.review.done import code_key
from quotekit.record import record

_Delivered = Mapping[int | None, Sequence[ReceivedLine]]
_CalledOff = Mapping[int | None, Sequence[CancelledLine]]


@record
class Brought:
    """Units of a part for a job, and what one of them cost; None for as agreed."""

    units: Fraction
    cost: Fraction | None


@record
class PaidCosts:
    """By job and part, or by job, both as compared: what was brought, and freight."""

    brought: Mapping[tuple[str, str], Sequence[Brought]]
    freight: Mapping[str, Fraction]

    def knows(self, job: str, part: str) -> bool:
        """True where units of a part were brought for a job."""
        return (job_key(job), code_key(part)) in self.brought

    def unit_cost(self, job: str, part: str, agreed: Fraction | None) -> Fraction | None:
        """Of a unit of a part: as brought, else as agreed; None where it is not known."""
        each = self.brought.get((job_key(job), code_key(part)), ())
        units = sum((one.units for one in each), Fraction(0))
        if not units:
            return agreed
        total = Fraction(0)
        for one in each:
            cost = agreed if one.cost is None else one.cost
            if cost is None:
                return None
            total += one.units * cost
        return total / units


@record
class _Line:
    """A line of an order as it stands: packs not called off, units of each job, and what a unit cost."""

    supplier: str
    part: str
    amount: Fraction
    jobs: Mapping[str, Fraction]
    cost: Fraction | None

    @property
    def units(self) -> Fraction:
        """Of all jobs."""
        return sum(self.jobs.values(), Fraction(0))


def paid_costs(
    ordered: Sequence[Told[Ordered]],
    received: Iterable[Told[Received]],
    cancelled: Iterable[Told[Cancelled]] = (),
) -> PaidCosts:
    """What all orders, deliveries and calls-off say."""
    came: dict[int | None, list[ReceivedLine]] = {}
    for delivery in received:
        came.setdefault(delivery.body.order, []).extend(delivery.body.lines)
    off: dict[int | None, list[CancelledLine]] = {}
    for call in cancelled:
        off.setdefault(call.body.order, []).extend(call.body.lines)
    brought: dict[tuple[str, str], list[Brought]] = {}
    freight: dict[str, Fraction] = {}
    for told in ordered:
        lines = _lines(told, came, off)
        for job, part, each in (*_of_lines(lines), *_of_shelf(told.body)):
            brought.setdefault((job, part), []).append(each)
        for supplier in told.body.suppliers:
            for job, amount in _freight_of(supplier, lines):
                freight[job] = freight.get(job, Fraction(0)) + amount
    return PaidCosts(brought=brought, freight=freight)


def _lines(told: Told[Ordered], came: _Delivered, off: _CalledOff) -> list[_Line]:
    """Of an order, those with packs left."""
    found = []
    for place, line in enumerate(told.body.lines, start=1):
        deliveries = [one for one in came.get(told.entry.number, ()) if _is_of(one, place, line)]
        gone = [one for one in off.get(told.entry.number, ()) if one.line == place]
        left = line.packs - sum(one.packs for one in gone)
        if left > 0:
            found.append(
                _Line(
                    supplier=code_key(line.supplier),
                    part=code_key(line.part),
                    amount=Fraction(line.amount) * Fraction(left, line.packs),
                    jobs=_jobs(line, gone),
                    cost=_cost(line, deliveries),
                )
            )
    return found


def _is_of(delivery: ReceivedLine, place: int, line: OrderLine) -> bool:
    """By the place of the line; by supplier and part where a delivery does not tell it."""
    if delivery.line:
        return delivery.line == place
    known = code_key(delivery.supplier), code_key(delivery.part)
    return known == (code_key(line.supplier), code_key(line.part))


def _jobs(line: OrderLine, gone: Iterable[CancelledLine]) -> dict[str, Fraction]:
    """Units of each job, less those it does not get."""
    units = {job_key(job): Fraction(quantity) for job, quantity in line.jobs.items()}
    for one in gone:
        for job, quantity in one.jobs.items():
            if job_key(job) in units:
                units[job_key(job)] = max(units[job_key(job)] - Fraction(quantity), Fraction(0))
    return {job: quantity for job, quantity in units.items() if quantity}


def _cost(line: OrderLine, deliveries: Iterable[ReceivedLine]) -> Fraction | None:
    """Of a unit; None where nobody typed it and nothing tells it yet. Packs sent back tell nothing."""
    came = [(one.packs, one.pack_cost) for one in deliveries if one.packs > 0]
    packs: list[tuple[int, Decimal | None]] = [*came] or [(1, None)]
    total = Fraction(0)
    for count, typed in packs:
        if typed is None and not line.cost_known:
            return None
        total += count * Fraction(line.pack_cost if typed is None else typed)
    return total / sum(count for count, _ in packs) / Fraction(line.pack_quantity)


def _of_lines(lines: Iterable[_Line]) -> Iterator[tuple[str, str, Brought]]:
    for line in lines:
        yield from ((job, line.part, Brought(units=units, cost=line.cost)) for job, units in line.jobs.items())


def _of_shelf(order: Ordered) -> Iterator[tuple[str, str, Brought]]:
    for take in order.shelf:
        yield job_key(take.job), code_key(take.part), Brought(units=Fraction(take.quantity), cost=None)


def _freight_of(order: SupplierOrder, lines: Iterable[_Line]) -> Iterator[tuple[str, Fraction]]:
    own = [line for line in lines if line.supplier == code_key(order.supplier) and line.units]
    goods = sum((line.amount for line in own), Fraction(0))
    weights = [line.amount if goods else line.units for line in own]
    for line, weight in zip(own, weights, strict=True):
        of_line = (Fraction(order.freight) + Fraction(order.fee)) * weight / sum(weights, Fraction(0))
        yield from ((job, of_line * units / line.units) for job, units in line.jobs.items())
