"""Comebacks are charged to the job they come from.

What a comeback left, as a rule less than nothing, is added to the profit of the first job; a comeback of a comeback
goes to the job at the beginning of the chain. The paying work lost meanwhile = hours of the comeback x what a bench
hour leaves on the other jobs of the span (contribution by hours, as a ratio of sums).
Where the result of a comeback is not known, the first job's profit after comebacks is not known either.
Units: money, hours. Source: TRADE 12, cost goes to the first job, with the paying job lost; shop policy.

Example: a job that left 90 with a comeback that cost 55 left 35; its 1.5 hours at 60 an hour lost 90 elsewhere.
"""

from __future__ import annotations

from collections.abc import Mapping, Sequence
from dataclasses import replace
from decimal import Decimal
from fractions import Fraction

from quotekit.model.entries import Comeback
from quotekit.model.review import ComebackCharged, ReviewedJob
from quotekit.model.story import job_key
from quotekit.money import round_to


def first_of(job: str, comebacks: Mapping[str, Comeback]) -> str:
    """The job at the beginning of a chain of comebacks, as written there; `comebacks` by job as compared.

    >>> first_of("C", {})
    'C'
    """
    seen = {job_key(job)}
    while (link := comebacks.get(job_key(job))) is not None and job_key(link.first_job) not in seen:
        job = link.first_job
        seen.add(job_key(job))
    return job


def charge_comebacks(jobs: Sequence[ReviewedJob], comebacks: Mapping[str, Comeback]) -> list[ReviewedJob]:
    """The jobs with their comebacks' results; a comeback keeps its own figures and names its first job."""
    of_first: dict[str, list[ReviewedJob]] = {}
    named = []
    for job in jobs:
        if job_key(job.job) in comebacks:
            job = replace(job, first_job=first_of(job.job, comebacks), after_comebacks=None)
            of_first.setdefault(job_key(job.first_job), []).append(job)
        named.append(job)
    return [_charged(job, of_first.get(job_key(job.job), [])) for job in named]


def charged_comebacks(
    jobs: Sequence[ReviewedJob], comebacks: Mapping[str, Comeback], digits: int
) -> tuple[ComebackCharged, ...]:
    """Each comeback of the span with what it cost."""
    an_hour = contribution_an_hour(jobs)
    return tuple(
        ComebackCharged(
            job=job.job,
            first_job=job.first_job,
            closed=job.closed,
            cause=comebacks[job_key(job.job)].cause,
            hours=job.actual_hours,
            result=job.profit,
            lost_work=None
            if an_hour is None or "no hours" in job.tags
            else round_to(Fraction(job.actual_hours) * an_hour, digits),
        )
        for job in jobs
        if job_key(job.job) in comebacks
    )


def contribution_an_hour(jobs: Sequence[ReviewedJob]) -> Fraction | None:
    """What a bench hour leaves on the jobs that are no comebacks: sum of contributions by sum of hours."""
    known = [
        (job.contribution, job.actual_hours)
        for job in jobs
        if job.contribution is not None and not job.first_job and "no hours" not in job.tags
    ]
    hours = sum((Fraction(hours) for _, hours in known), Fraction(0))
    return sum((Fraction(left) for left, _ in known), Fraction(0)) / hours if hours else None


def _charged(job: ReviewedJob, own: Sequence[ReviewedJob]) -> ReviewedJob:
    if not own:
        return job
    results = [each.profit for each in own if each.profit is not None]
    result = sum(results, Decimal(0)) if len(results) == len(own) else None
    after = None if result is None or job.profit is None or job.first_job else job.profit + result
    return replace(job, comebacks=tuple(each.job for each in own), comebacks_result=result, after_comebacks=after)
