"""Hours at what they cost, and the hours that were allowed."""

from __future__ import annotations

from dataclasses import replace
from datetime import date
from decimal import Decimal
from fractions import Fraction
from typing import Any

import pytest

from quotekit.pricing.review.labour import standard_hours, usual_rate, worked_hours
from tests import build
from tests.pricing.review.stories import DAY, a_job, done

D = Decimal
EARLIER, LATER = date(2026, 1, 1), date(2026, 6, 1)


@pytest.mark.parametrize(
    ("rates", "cost"),
    [
        ([], "40"),
        ([("MAIN", "55", {})], "40"),
        ([("MAIN", "55", {"in_force_from": EARLIER})], "55"),
        ([("MAIN", "55", {"in_force_from": LATER})], "40"),
        ([("MAIN", "55", {"in_force_from": DAY})], "55"),
        ([("SAM", "33", {})], "33"),
        ([("JUNIOR", "33", {"name": "Sam"})], "33"),
        ([("JUNIOR", "33", {"name": "Sam", "in_force_from": LATER})], "40"),
        ([("JUNIOR", "33", {"name": "sam "}), ("SENIOR", "70", {"name": "Sam"})], "40"),
        ([("SAM", None, {}), ("MAIN", "55", {"in_force_from": EARLIER})], "55"),
    ],
    ids=[
        "as agreed",
        "an undated row was in force all along",
        "a dated row",
        "one of later",
        "one of that day",
        "a row of the person's name as its code",
        "a row of the person's name",
        "that is of later",
        "two rows of one name tell nothing",
        "a person's row without a cost",
    ],
)
def test_the_cost_of_an_hour(rates: list[tuple[str, str | None, dict[str, Any]]], cost: str) -> None:
    """The person's own row, else the dated row of the work's rate, else as agreed; Sam is who worked."""
    rows = [build.a_rate(code, 100, each, **more) for code, each, more in rates]
    (line,) = worked_hours(done(a_job()), rows)
    assert (line.actual_cost, line.standard_cost) == (D(cost), D(40))


def test_an_unknown_cost_stays_unknown() -> None:
    """Blank is never zero."""
    (line,) = worked_hours(done(a_job(cost_per_hour=None)))
    assert (line.standard_cost, line.actual_cost) == (None, None)


def test_hours_of_the_whole_job() -> None:
    """They are of the rate with the most agreed hours."""
    job = a_job(hours="FIT 0.4")
    main = job.agreed.labour[0]
    weld = replace(main, rate="WELD", net=D(3), access=D(0), cost_per_hour=D(60))
    both = replace(job, agreed=replace(job.agreed, labour=(main, weld)))
    assert usual_rate(done(both)) == "WELD"
    closed = replace(both.closed, hours=(replace(both.closed.hours[0], work=""),))  # type: ignore[type-var]
    (line,) = worked_hours(done(replace(both, closed=closed)))
    assert (line.rate, line.standard_cost) == ("WELD", D(60))


def test_work_that_was_not_agreed_is_of_the_usual_rate() -> None:
    """A key that nobody agreed to still costs its hours."""
    (line,) = worked_hours(done(a_job(hours="SOMETHING 0.5")))
    assert (line.rate, line.hours) == ("MAIN", Fraction(1, 2))


@pytest.mark.parametrize(
    ("not_done", "hours"),
    [("", "1.45"), ("DO-SEAL", "1.15"), ("DO-FIT", "0.7"), ("DO-FIT; DO-SEAL", "0")],
    ids=["all", "what is not slowed by rust", "what is", "nothing"],
)
def test_standard_hours_of_what_was_done(not_done: str, hours: str) -> None:
    """Net and opening of what was done, and the allowance in proportion to the rusty hours done.

    0.5 rusty, 0.3, and 0.4 to open for both; an allowance of 0.25 in all.
    """
    job = a_job(
        work="FIT 0.5 rusty; SEAL 0.3; COVER 0.4 access for DO-FIT DO-SEAL", allowance="0.25", not_done=not_done
    )
    assert standard_hours(done(job)) == {"MAIN": D(hours)}


def test_half_of_the_rusty_work() -> None:
    """Half the rusty hours bring half the allowance, exactly."""
    job = a_job(work="FIT 0.5 rusty; TURN 1.0 rusty", allowance="0.5", not_done="DO-TURN")
    assert standard_hours(done(job))["MAIN"] == Fraction(1, 2) + Fraction(1, 6)


def test_no_labour_at_all() -> None:
    """A job of parts alone has no rate, and no hours of it."""
    job = a_job(work="FIT 0.5", hours="FIT 0.5")
    bare = replace(job, agreed=replace(job.agreed, labour=()))
    assert usual_rate(done(bare)) == ""
    assert standard_hours(done(bare)) == {}
    assert worked_hours(done(bare))[0].actual_cost is None
