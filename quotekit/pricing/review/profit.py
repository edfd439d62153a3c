"""What a closed job left, with actual costs.

profit = invoiced before tax - parts used at their real cost (with core charges kept by the supplier) - hours worked x
cost of an hour - sublet - freight.
contribution = invoiced - parts - sublet - freight: what is left for labour, overhead and profit; by bench hour it ranks
jobs, since bench hours are what runs out.
A cost that is not known leaves what hangs on it not known, with the reason; it is never taken as zero. Fees of cards
are not known to the shop's records and not taken off.
Units: money, rounded once a figure, half up to the currency's digits; profit from the exact costs.
Source: TRADE 12; the parts of the sum are common practice, no source.

Example: invoiced 300; parts 80, 2.5 h at 40, sublet 20, freight 10: profit 90, contribution 190, 76 a bench hour.
"""

from __future__ import annotations

from decimal import Decimal
from fractions import Fraction

from quotekit.model.story import job_key
from quotekit.pricing.review.done import Done, work_not_done
from quotekit.pricing.review.labour import WorkedHours, hours_known
from quotekit.pricing.review.material import UsedUnits, core_cost
from quotekit.pricing.review.paid_costs import PaidCosts
from quotekit.record import record


@record
class ActualCost:
    """Exact costs of a job; None where one is not known, with the reasons."""

    parts: Fraction | None
    labour: Fraction | None
    sublet: Fraction | None
    freight: Fraction
    unknown: tuple[str, ...]

    @property
    def total(self) -> Fraction | None:
        """All of it."""
        if self.parts is None or self.labour is None or self.sublet is None:
            return None
        return self.parts + self.labour + self.sublet + self.freight


def actual_cost(
    done: Done, hours: tuple[WorkedHours, ...], parts: tuple[UsedUnits, ...], paid: PaidCosts
) -> ActualCost:
    """What the job really cost."""
    unknown: list[str] = []
    return ActualCost(
        parts=_parts(done, parts, unknown),
        labour=_labour(done, hours, unknown),
        sublet=_sublet(done, unknown),
        freight=_freight(done, paid),
        unknown=tuple(dict.fromkeys(unknown)),
    )


def contribution_of(invoiced: Decimal | None, cost: ActualCost) -> Fraction | None:
    """Invoiced less all that is bought for the job."""
    if invoiced is None or cost.parts is None or cost.sublet is None:
        return None
    return Fraction(invoiced) - cost.parts - cost.sublet - cost.freight


def profit_of(invoiced: Decimal | None, cost: ActualCost) -> Fraction | None:
    """Contribution less labour."""
    left = contribution_of(invoiced, cost)
    return None if left is None or cost.labour is None else left - cost.labour


def _parts(done: Done, parts: tuple[UsedUnits, ...], unknown: list[str]) -> Fraction | None:
    total, known = core_cost(done), True
    for each in parts:
        if each.actual_quantity and each.actual_cost is None:
            unknown.append(f"cost of part {each.part}")
            known = False
        elif each.actual_cost is not None:
            total += each.actual_quantity * each.actual_cost
    return total if known else None


def _labour(done: Done, hours: tuple[WorkedHours, ...], unknown: list[str]) -> Fraction | None:
    if not hours_known(done):
        unknown.append("no hours were written down")
        return None
    missing = [line.rate or "labour" for line in hours if line.actual_cost is None and line.hours]
    unknown += [f"cost per hour of {rate}" for rate in missing]
    if missing:
        return None
    return sum((line.hours * Fraction(line.actual_cost) for line in hours if line.actual_cost is not None), Fraction(0))


def _sublet(done: Done, unknown: list[str]) -> Fraction | None:
    fallen = {work.key for work in work_not_done(done)}
    lines = [line for line in done.agreed.sublet if line.key not in fallen]
    missing = [line.name for line in lines if line.cost is None]
    unknown += [f"cost of sublet {name}" for name in missing]
    if missing:
        return None
    return sum((Fraction(line.cost) for line in lines if line.cost is not None), Fraction(0))


def _freight(done: Done, paid: PaidCosts) -> Fraction:
    """Of its orders; as agreed where parts were to be ordered and no order is recorded."""
    found = paid.freight.get(job_key(done.job))
    if found is not None:
        return found
    ordered = any(part.ordered for part in done.agreed.parts)
    return Fraction(done.agreed.cost_freight) if ordered else Fraction(0)
