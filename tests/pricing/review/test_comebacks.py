"""Comebacks are charged to the job they come from."""

from __future__ import annotations

from dataclasses import replace
from decimal import Decimal

import pytest

from quotekit.model.entries import Comeback
from quotekit.model.review import ReviewedJob
from quotekit.pricing.review.comebacks import charge_comebacks, charged_comebacks, contribution_an_hour, first_of
from quotekit.pricing.review.paid_costs import paid_costs
from quotekit.pricing.review.reviewed import review_job
from tests.pricing.review.stories import a_job, done

D = Decimal


def back(first: str, charged: str = "0") -> Comeback:
    """A comeback to a job."""
    return Comeback(first_job=first, cause="workmanship", charged=D(charged))


def jobs_of(**comebacks: str) -> tuple[list[ReviewedJob], dict[str, Comeback]]:
    """The jobs A and B, and comebacks by name to the job they name: each of 1 h at 40 for nothing."""
    made = [a_job(name, work="FIT 1.0", hours="FIT 1.0") for name in ("A", "B")]
    made += [
        a_job(name, work="FIT 1.0", hours="FIT 1.0", invoiced=None, comeback=back(first))
        for name, first in comebacks.items()
    ]
    links = {job.number.casefold(): job.comeback for job in made if job.comeback is not None}
    return [review_job(done(job), paid_costs([], [])).job for job in made], links


def test_the_first_job_bears_its_comebacks() -> None:
    """A left 60; two comebacks cost 40 each."""
    found = charge_comebacks(*jobs_of(C="A", D="a"))
    assert [(job.job, job.after_comebacks, job.comebacks) for job in found] == [
        ("A", D(-20), ("C", "D")),
        ("B", D(60), ()),
        ("C", None, ()),
        ("D", None, ()),
    ]
    assert (found[0].profit, found[0].comebacks_result, found[2].first_job) == (D(60), D(-80), "A")


def test_a_comeback_of_a_comeback() -> None:
    """It is charged to the job at the beginning of the chain."""
    found = charge_comebacks(*jobs_of(C="A", D="C"))
    assert (found[0].comebacks, found[0].after_comebacks, found[3].first_job) == (("C", "D"), D(-20), "A")
    assert found[2].comebacks == ()


@pytest.mark.parametrize(
    ("links", "job", "first"),
    [
        ({}, "C", "C"),
        ({"c": "A"}, "C", "A"),
        ({"c": "B", "b": "A"}, " c ", "A"),
        ({"c": "D", "d": "C"}, "C", "D"),
        ({"c": "C"}, "C", "C"),
    ],
    ids=["none", "one step", "two steps", "a circle ends", "its own first job"],
)
def test_the_beginning_of_a_chain(links: dict[str, str], job: str, first: str) -> None:
    """Links that go round in a circle end where they would begin again."""
    assert first_of(job, {name: back(to) for name, to in links.items()}) == first


def test_an_unknown_result() -> None:
    """What a comeback left is not known, so what the first job left after it is not either."""
    jobs, links = jobs_of(C="A")
    jobs[2] = replace(jobs[2], profit=None)
    found = charge_comebacks(jobs, links)
    assert (found[0].profit, found[0].comebacks_result, found[0].after_comebacks) == (D(60), None, None)


def test_a_first_job_of_another_span() -> None:
    """The comeback still names it."""
    found = charge_comebacks(*jobs_of(C="X9"))
    assert [job.first_job for job in found] == ["", "", "X9"]


def test_what_is_told_of_a_comeback() -> None:
    """Its hours lose what a bench hour leaves on paying work: A and B leave 100 an hour."""
    jobs, links = jobs_of(C="A")
    charged = charge_comebacks(jobs, links)
    (found,) = charged_comebacks(charged, links, 2)
    assert (found.job, found.first_job, found.cause) == ("C", "A", "workmanship")
    assert (found.hours, found.result, found.lost_work) == (D("1.0"), D(-40), D(100))


def test_a_comeback_without_hours() -> None:
    """What it lost elsewhere is not known; a paying job without hours is in no mean of a bench hour."""
    made = [
        a_job("A", work="FIT 1.0", hours="FIT 1.0"),
        a_job("B", work="FIT 9.0", hours=""),
        a_job("C", work="FIT 1.0", hours="", invoiced=None, comeback=back("A")),
    ]
    links = {"c": back("A")}
    charged = charge_comebacks([review_job(done(job), paid_costs([], [])).job for job in made], links)
    assert contribution_an_hour(charged) == 100
    (found,) = charged_comebacks(charged, links, 2)
    assert (found.result, found.lost_work) == (None, None)
    assert charged[0].after_comebacks is None


def test_what_a_bench_hour_leaves() -> None:
    """Over the jobs that are no comebacks, as a ratio of sums."""
    charged = charge_comebacks(*jobs_of(C="A"))
    assert contribution_an_hour(charged) == 100
    assert contribution_an_hour(charged[2:]) is None
