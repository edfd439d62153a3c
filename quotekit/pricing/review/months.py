"""The closed jobs month by month: what they brought, what they left, and what a bench hour left.

A month counts the jobs whose work was closed in it. Money is of the jobs whose profit is known; what a bench hour
leaves = sum of contributions by sum of hours of the jobs whose contribution and hours are known, comebacks among
them.
Units: money, rounded once; hours. Source: TRADE 12; shop policy.

Example: two jobs in May that contribute 100 in 2 h and 20 in 1 h: 120 / 3 = 40 a bench hour.
"""

from __future__ import annotations

from collections.abc import Iterable, Sequence
from datetime import date
from decimal import Decimal
from fractions import Fraction

from quotekit.model.review import Month, ReviewedJob
from quotekit.money import round_to
from quotekit.pricing.review.variances import rate_of


def months_of(jobs: Iterable[ReviewedJob], digits: int) -> tuple[Month, ...]:
    """Every month with a closed job, in order."""
    found: dict[date, list[ReviewedJob]] = {}
    for job in jobs:
        found.setdefault(job.closed.replace(day=1), []).append(job)
    return tuple(_month(first, found[first], digits) for first in sorted(found))


def _hours_known(job: ReviewedJob) -> bool:
    return "no hours" not in job.tags


def _month(first: date, jobs: Sequence[ReviewedJob], digits: int) -> Month:
    known = [job for job in jobs if job.profit is not None]
    left = [(job.contribution, job.actual_hours) for job in jobs if job.contribution is not None and _hours_known(job)]
    hours = sum((hours for _, hours in left), Decimal(0))
    an_hour = rate_of(sum((amount for amount, _ in left), Decimal(0)), Fraction(hours))
    return Month(
        first=first,
        jobs=len(jobs),
        known=len(known),
        invoiced=sum((job.invoiced for job in known if job.invoiced is not None), Decimal(0)),
        profit=sum((job.profit for job in known if job.profit is not None), Decimal(0)),
        sold_hours=sum((job.sold_hours for job in jobs), Decimal(0)),
        actual_hours=sum((job.actual_hours for job in jobs), Decimal(0)),
        per_bench_hour=None if an_hour is None else round_to(an_hour, digits),
    )
