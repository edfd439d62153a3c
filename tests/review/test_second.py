"""The review agrees with a second implementation on random ledgers in which everything happens."""

from __future__ import annotations

import os
from collections import Counter
from decimal import Decimal
from functools import cache

import pytest

from quotekit.model.review import Review
from quotekit.model.story import Story
from quotekit.pricing.review.done import seen_until
from quotekit.pricing.review.review import Kept, review_of
from quotekit.pricing.review.wins import age_of
from tests.review import second
from tests.review.season import YEAR
from tests.review.wild import a_wild_ledger

SEEDS = range(1, 1 + int(os.environ.get("QUOTEKIT_REVIEWS", "12")))
CENT = 0.0051


@cache
def both(seed: int) -> tuple[Review, list[Story], dict[str, second.Job]]:
    """The review, the stories up to the last day, and the second one's jobs."""
    stories, orders = a_wild_ledger(seed)
    seen = [seen_until(story, YEAR.last) for story in stories]
    return review_of(Kept(stories=stories, ordered=orders), YEAR), seen, second.jobs_of(seen, orders, YEAR)


def near(exact: Decimal | None, other: float | None) -> bool:
    """Equal to the cent, or both not known."""
    return exact is other is None or (exact is not None and other is not None and abs(float(exact) - other) < CENT)


@pytest.mark.parametrize("seed", SEEDS)
def test_each_job(seed: int) -> None:
    """Costs, profit, contribution, hours and variances of every closed job."""
    review, _, jobs = both(seed)
    assert {job.job for job in review.jobs} == jobs.keys()
    for job in review.jobs:
        other = jobs[job.job]
        wrong = [
            (name, shown, expected)
            for name, shown, expected in (
                ("invoiced", job.invoiced, other.invoiced),
                ("parts", job.parts, other.parts),
                ("labour", job.labour, other.labour),
                ("sublet", job.sublet, other.sublet),
                ("freight", job.freight, other.freight),
                ("profit", job.profit, other.profit),
                ("contribution", job.contribution, other.contribution),
                ("actual hours", job.actual_hours, other.hours),
                ("standard hours", job.standard_hours, other.standard),
                ("price", job.variances.material_price.amount, other.price),
                ("quantity", job.variances.material_quantity.amount, other.quantity),
            )
            if not near(shown, expected)
        ]
        assert wrong == [], job.job
        if job.variances.labour_time is not None:
            assert near(job.variances.labour_time.amount, other.time), job.job


@pytest.mark.parametrize("seed", SEEDS)
def test_times(seed: int) -> None:
    """Count and ratio of sums of every operation and step, in every circumstance."""
    review, _, jobs = both(seed)
    told = {
        (one.code, one.circumstance): (one.jobs + one.older, float(one.ratio), one.older) for one in review.accuracy
    }
    expected = second.ratios_of(jobs.values())
    assert told.keys() <= expected.keys()
    for key, (count, ratio, older) in told.items():
        assert count == expected[key][0]
        if not older:
            assert abs(ratio - expected[key][1]) < 0.0001


@pytest.mark.parametrize("seed", SEEDS)
def test_quotes(seed: int) -> None:
    """Options shown, chosen, open, lapsed and refused, and ages in bands."""
    review, seen, _ = both(seed)
    quotes = second.quotes_of(seen, YEAR)
    assert review.quotes == len(quotes)
    for one in review.wins:
        shown = [quote for quote in quotes if one.tier in quote[3]]
        outcomes = Counter(outcome for outcome, _, _, _ in shown)
        assert one.shown == len(shown)
        assert (one.open, one.declined, one.lapsed) == (outcomes["open"], outcomes["declined"], outcomes["lapsed"])
        assert one.chosen == sum(tier == one.tier for _, _, tier, _ in shown)
        assert one.chosen + one.other_chosen == outcomes["accepted"]
    for band in review.ageing:
        ages = Counter(outcome for outcome, days, _, _ in quotes if age_of(days) == band.name)
        assert (band.open, band.accepted, band.declined) == (ages["open"], ages["accepted"], ages["declined"])


@pytest.mark.parametrize("seed", SEEDS)
def test_sums(seed: int) -> None:
    """Over the jobs whose profit is known, within a cent a job."""
    review, _, jobs = both(seed)
    known = [job for job in jobs.values() if job.profit is not None]
    assert review.totals.known == len(known)
    assert abs(float(review.totals.profit) - sum(job.profit or 0.0 for job in known)) < CENT * (len(known) + 1)
    hours = sum(job.hours for job in known)
    if hours and review.totals.per_bench_hour is not None:
        left = sum(job.contribution or 0.0 for job in known) / hours
        assert abs(float(review.totals.per_bench_hour) - left) < 0.05


@pytest.mark.parametrize("seed", SEEDS)
def test_comebacks(seed: int) -> None:
    """What all first jobs bear is what all their comebacks left; nothing is charged twice."""
    review, _, jobs = both(seed)
    numbers = {job.job for job in review.jobs}
    borne = [comeback for job in review.jobs for comeback in job.comebacks]
    assert len(borne) == len(set(borne))
    assert set(borne) == {one.job for one in review.comebacks if one.first_job in numbers and one.first_job != one.job}
    for job in review.jobs:
        results = [jobs[comeback].profit for comeback in job.comebacks]
        if job.comebacks and None not in results:
            assert job.comebacks_result is not None
            assert abs(float(job.comebacks_result) - sum(result or 0.0 for result in results)) < CENT * len(results)
