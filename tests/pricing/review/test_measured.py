"""Which hours say something of a standard time, and which only repeat it."""

from __future__ import annotations

from dataclasses import replace
from decimal import Decimal

import pytest

from quotekit.model.entries import ActualHours, Comeback
from quotekit.pricing.review.measured import measured_of, split_hours
from tests.pricing.review.stories import AJob, a_job, done

D = Decimal


def told(job: AJob) -> list[tuple[str, str, str, str]]:
    """Kind and code, circumstance, standard and actual hours."""
    return [
        (one.kind, one.code, one.circumstance, f"{one.actual:f} / {one.standard:f}") for one in measured_of(done(job))
    ]


@pytest.mark.parametrize(
    ("job", "expected"),
    [
        (
            a_job(work="FIT 0.5; COVER 0.4 access", hours="FIT 0.6; COVER 0.3"),
            [("operation", "FIT", "usual", "0.6 / 0.5"), ("access", "COVER", "usual", "0.3 / 0.4")],
        ),
        (
            a_job(work="BUSH@left 0.5; BUSH@right 0.3", hours="BUSH@left 0.6; BUSH@right 0.4"),
            [("operation", "BUSH", "usual", "1.0 / 0.8")],
        ),
        (
            a_job(work="BUSH@left 0.5; BUSH@right 0.3", hours="BUSH@left 0.6"),
            [("operation", "BUSH", "usual", "0.6 / 0.5")],
        ),
        (a_job(hours="FIT 0.2 by Sam; FIT 0.3 by Ann"), [("operation", "FIT", "usual", "0.5 / 0.5")]),
        (a_job(hours="FIT 0"), []),
        (a_job(hours=""), []),
        (a_job(split=True), []),
        (a_job(work="FIT 0", hours="FIT 0.2"), []),
        (a_job(work="ONEOFF-1 0.5 one-off", hours="ONEOFF-1 0.6"), []),
        (a_job(work="FIT 0.5; TURN 0.2", hours="FIT 0.6; TURN 0.1", not_done="DO-TURN"),
         [("operation", "FIT", "usual", "0.6 / 0.5")]),
        (a_job(comeback=Comeback(first_job="1", cause="part", charged=D(0))), []),
    ],
    ids=[
        "an operation and a step, each its own",
        "two sides together",
        "one side of two",
        "two people",
        "nothing clocked",
        "no hours at all",
        "split by standard share",
        "no standard time",
        "one-off work",
        "not done",
        "a comeback",
    ],
)  # fmt: skip
def test_what_counts_as_measured(job: AJob, expected: list[tuple[str, str, str, str]]) -> None:
    """Only hours that were measured at their own work, above zero, on work with a standard."""
    assert told(job) == expected


def test_partly_split_hours_are_no_measure() -> None:
    """Some hours of an operation were clocked there and some split: together they measure nothing."""
    job = a_job(hours="FIT 0.3")
    assert job.closed is not None
    hours = (*job.closed.hours, ActualHours(work="FIT", person="Ann", hours=D("0.2"), measured=False))
    mixed = replace(job, closed=replace(job.closed, hours=hours))
    assert told(mixed) == []
    (split,) = split_hours([done(mixed)])
    assert (split.code, split.hours, split.standard) == ("FIT", D("0.2"), D("0.5"))


@pytest.mark.parametrize(
    ("work", "condition", "minimum", "circumstance"),
    [
        ("FIT 0.5", "", "0", "usual"),
        ("FIT 0.5 rusty", "", "0", "usual"),
        ("FIT 0.5", "RUSTY", "0", "usual"),
        ("FIT 0.5 rusty", "RUSTY", "0", "rust"),
        ("FIT 0.5", "", "20", "minimum"),
        ("FIT 0.5 rusty", "RUSTY", "20", "rust"),
    ],
)
def test_circumstances(work: str, condition: str, minimum: str, circumstance: str) -> None:
    """Rust where the machine is rusty and the work slowed by it; the minimum where it was charged."""
    job = a_job(work=work, condition=condition, minimum_amount=D(minimum))
    assert [one.circumstance for one in measured_of(done(job))] == [circumstance]


def test_the_standard_time_of_then() -> None:
    """That of the first position: a second side never takes more."""
    job = a_job(work="BUSH@left 0.3; BUSH@right 0.5", hours="BUSH@left 0.4")
    assert [one.norm for one in measured_of(done(job))] == [D("0.5")]


def test_split_hours_over_jobs() -> None:
    """By operation and step, in text order, with how many jobs; comebacks are left out."""
    jobs = [
        a_job("1", work="FIT 0.5; COVER 0.4 access", hours="FIT 0.7; COVER 0.5", split=True),
        a_job("2", work="FIT 0.5", hours="FIT 0.6", split=True),
        a_job("3", work="FIT 0.5", hours="FIT 0.6"),
        a_job("4", hours="FIT 9", split=True, comeback=Comeback(first_job="1", cause="part", charged=D(0))),
    ]
    found = [(one.code, one.jobs, f"{one.hours:f} / {one.standard:f}") for one in split_hours(map(done, jobs))]
    assert found == [("COVER", 1, "0.5 / 0.4"), ("FIT", 2, "1.3 / 1.0")]
