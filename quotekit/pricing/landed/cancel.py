"""What calling off packs of an order means: which jobs need their units again, and what is left of the order.

Only packs that have not come in can be called off. The units that are left serve the jobs of the line first, as they
do when packs come in: what the line would have left over goes first, free units before those that later orders gave to
a job, the last given first; then the jobs of the line that need theirs latest, by day, then from the end of the text
order of jobs. A supplier that gets nothing any more charges no freight and no fee; else both stay as they were worked
out, less the extra freight of packs that do not come, and the shop asks.
Units: packs; units of the part. Source: shop policy.

Worked example: two packs of two seals, one for job A by Monday, two for job B by Friday, one left over. One pack is
called off: two units are left, one for A, one for B, so B needs one again and nothing is left over.
"""

from __future__ import annotations

from collections.abc import Iterable
from dataclasses import replace
from decimal import Decimal

from quotekit.model.entries import Cancelled, CancelledLine, Ordered, OrderLine, SupplierOrder
from quotekit.model.landed import NEVER
from quotekit.money import minor_digits, round_to
from quotekit.pricing.landed.lots import StockLine

ZERO = Decimal(0)


def units_lost(line: StockLine, packs: int) -> dict[str, Decimal]:
    """Units that each job does not get where so many open packs of a line are called off."""
    left = (line.packs - packs) * line.line.pack_quantity
    lost: dict[str, Decimal] = {}
    takers = [(job, units) for job, units in reversed(line.lot.takers) if job]
    _take_off(lost, takers, line.lot.taken - max(ZERO, left - line.needed))
    latest = sorted(line.jobs, key=lambda job: (line.by.get(job, NEVER), job), reverse=True)
    _take_off(lost, ((job, line.jobs[job]) for job in latest), line.needed - left)
    return {job: lost[job] for job in sorted(lost)}


def _take_off(lost: dict[str, Decimal], jobs: Iterable[tuple[str, Decimal]], over: Decimal) -> None:
    """Units that are over, off one job after the other."""
    for job, units in jobs:
        less = min(units, over)
        if less > 0:
            lost[job] = lost.get(job, ZERO) + less
            over -= less


def what_is_left(ordered: Ordered, cancelled: Iterable[Cancelled]) -> Ordered:
    """An order less what was called off; lines keep their places, those of which nothing is left have no packs."""
    off: dict[int, list[CancelledLine]] = {}
    for line in (line for one in cancelled for line in one.lines):
        off.setdefault(line.line, []).append(line)
    if not off:
        return ordered
    lines = tuple(_less(line, off.get(place, ())) for place, line in enumerate(ordered.lines, 1))
    suppliers = tuple(left for one in ordered.suppliers if (left := _supplier_left(one, ordered, lines)) is not None)
    landed = sum((one.total for one in suppliers), ZERO)
    return replace(ordered, lines=lines, suppliers=suppliers, landed=landed)


def _less(line: OrderLine, off: Iterable[CancelledLine]) -> OrderLine:
    packs, jobs = line.packs, dict(line.jobs)
    for one in off:
        packs -= one.packs
        gave_theirs_back = ((job, jobs[job]) for job in sorted(jobs, reverse=True))
        for job, units in (*one.jobs.items(), *gave_theirs_back):
            over = sum(jobs.values(), ZERO) - packs * line.pack_quantity
            jobs[job] = jobs.get(job, ZERO) - max(ZERO, min(units, over, jobs.get(job, ZERO)))
    jobs = {job: units for job, units in jobs.items() if units}
    needed = sum(jobs.values(), ZERO)
    return replace(
        line,
        packs=packs,
        amount=packs * line.pack_cost,
        jobs=jobs,
        needed=needed,
        left_over=max(ZERO, packs * line.pack_quantity - needed),
        extra_freight=line.extra_freight * packs / line.packs if line.packs else ZERO,
    )


def _supplier_left(one: SupplierOrder, ordered: Ordered, lines: Iterable[OrderLine]) -> SupplierOrder | None:
    own = [line for line in lines if line.supplier == one.supplier and line.packs]
    if not own:
        return None
    digits = minor_digits(ordered.currency)
    goods = round_to(sum((line.amount for line in own), ZERO), digits)
    before = sum((line.extra_freight for line in ordered.lines if line.supplier == one.supplier), ZERO)
    freight = round_to(one.freight - before + sum((line.extra_freight for line in own), ZERO), digits)
    return replace(one, goods=goods, freight=freight, total=goods + freight + one.fee)
