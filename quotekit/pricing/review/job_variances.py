"""The four variances of a job, and of all jobs together.

Labour rate: (actual - agreed cost of an hour) x hours worked. Labour time: (hours worked - standard hours of what was
done) x agreed cost of an hour, by labour rate. Material price and quantity: the same of units.
Only parts whose costs are known count; the others are counted apart. Labour is null where an agreed cost is not known.
Units: money, each figure rounded once. Source: as `variances`.

Example: 2.5 h at 44 for 2.0 h at 40: rate 10.00 U, time 20.00 U, together 110 - 80 = 30.
"""

from __future__ import annotations

from collections.abc import Iterable, Mapping
from decimal import Decimal
from fractions import Fraction

from quotekit.model.review import JobVariances, Variance
from quotekit.pricing.review.labour import WorkedHours
from quotekit.pricing.review.material import UsedUnits
from quotekit.pricing.review.variances import price_variance, quantity_variance, variance


def job_variances(
    hours: Iterable[WorkedHours],
    standard: Mapping[str, Fraction],
    standard_costs: Mapping[str, Decimal | None],
    parts: Iterable[UsedUnits],
    digits: int,
) -> JobVariances:
    """Of one job."""
    rate, time = _labour(tuple(hours), standard, standard_costs)
    price = quantity = Fraction(0)
    left_out = 0
    for part in parts:
        if part.standard_cost is None or part.actual_cost is None:
            left_out += 1
            continue
        if part.actual_cost != part.standard_cost:
            price += price_variance(part.actual_cost, part.standard_cost, part.actual_quantity)
        if part.actual_quantity != part.standard_quantity:
            quantity += quantity_variance(part.actual_quantity, part.standard_quantity, part.standard_cost)
    return JobVariances(
        labour_rate=None if rate is None else variance(rate, digits),
        labour_time=None if time is None else variance(time, digits),
        material_price=variance(price, digits),
        material_quantity=variance(quantity, digits),
        parts_left_out=left_out,
    )


def together(each: Iterable[JobVariances]) -> JobVariances:
    """The sums over jobs; labour over those where it is known."""
    found = tuple(each)
    return JobVariances(
        labour_rate=_sum(one.labour_rate for one in found),
        labour_time=_sum(one.labour_time for one in found),
        material_price=Variance(amount=sum((one.material_price.amount for one in found), Decimal(0))),
        material_quantity=Variance(amount=sum((one.material_quantity.amount for one in found), Decimal(0))),
        parts_left_out=sum(one.parts_left_out for one in found),
    )


def _labour(
    hours: tuple[WorkedHours, ...], standard: Mapping[str, Fraction], costs: Mapping[str, Decimal | None]
) -> tuple[Fraction | None, Fraction | None]:
    worked: dict[str, Fraction] = {}
    rate = Fraction(0)
    for line in hours:
        if line.standard_cost is None or line.actual_cost is None:
            return None, None
        if line.actual_cost != line.standard_cost:
            rate += price_variance(line.actual_cost, line.standard_cost, line.hours)
        worked[line.rate] = worked.get(line.rate, Fraction(0)) + line.hours
    time = Fraction(0)
    for code, allowed in standard.items():
        cost = costs.get(code)
        if cost is None:
            return None, None
        time += quantity_variance(worked.get(code, Fraction(0)), allowed, cost)
    return rate, time


def _sum(each: Iterable[Variance | None]) -> Variance | None:
    known = [one.amount for one in each if one is not None]
    return Variance(amount=sum(known, Decimal(0))) if known else None
