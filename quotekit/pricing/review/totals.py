"""All closed jobs together.

Amounts are sums over the jobs whose profit is known, comebacks among them with what they cost; what a bench hour left
is their contribution by their hours, as a ratio of sums. Against the first quote stand the jobs that are billed and
whose option was in the first version: sums of what was first quoted, last agreed and invoiced.
Units: money. Source: TRADE 12, compare with the accepted version, separately with the first quote; shop policy.

Example: jobs that left 90 and -40 left 50 together.
"""

from __future__ import annotations

from collections.abc import Iterable, Sequence
from decimal import Decimal
from fractions import Fraction

from quotekit.model.review import ReviewedJob, Totals
from quotekit.money import round_to
from quotekit.pricing.review.job_variances import together
from quotekit.pricing.review.variances import rate_of


def totals_of(jobs: Sequence[ReviewedJob], digits: int) -> Totals:
    """The sums."""
    known = [job for job in jobs if job.profit is not None]
    contribution = _sum(job.contribution for job in known)
    an_hour = rate_of(contribution, Fraction(_sum(job.actual_hours for job in known)))
    first = [job for job in jobs if job.first_quoted is not None and job.invoiced is not None and not job.first_job]
    return Totals(
        jobs=len(jobs),
        known=len(known),
        invoiced=_sum(job.invoiced for job in known),
        parts=_sum(job.parts for job in known),
        labour=_sum(job.labour for job in known),
        sublet=_sum(job.sublet for job in known),
        freight=_sum(job.freight for job in known),
        profit=_sum(job.profit for job in known),
        contribution=contribution,
        per_bench_hour=None if an_hour is None else round_to(an_hour, digits),
        first_quoted=_sum(job.first_quoted for job in first),
        first_agreed=_sum(job.agreed for job in first),
        first_invoiced=_sum(job.invoiced for job in first),
        variances=together(job.variances for job in jobs),
    )


def _sum(amounts: Iterable[Decimal | None]) -> Decimal:
    return sum((amount for amount in amounts if amount is not None), Decimal(0))
