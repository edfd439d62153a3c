"""Hours paid, worked and sold, which never mix."""

from __future__ import annotations

from datetime import date
from decimal import Decimal
from fractions import Fraction

from quotekit.model.entries import Comeback
from quotekit.model.rate import BenchHours, RateBuild
from quotekit.model.review import Productivity, Span
from quotekit.pricing.review.productivity import productivity
from tests.pricing.review.stories import AJob, a_job, done

D = Decimal
SPAN = Span(first=date(2026, 1, 1), last=date(2026, 3, 14))
"""73 days, a fifth of a year."""
BUILD = RateBuild(
    costs=(), hours=(BenchHours(line="Owner", clock=Fraction(2000), share=Fraction(3, 5), efficiency=Fraction(1)),)
)


def of(*jobs: AJob, build: RateBuild | None = None) -> Productivity:
    """Over some jobs."""
    return productivity([done(job) for job in jobs], SPAN, 2, build, D("57.35") if build else None)


def test_the_example_of_the_rule() -> None:
    """400 clock hours, 220 sold, 250 on jobs: 0.55, 0.625, efficiency 0.88."""
    found = of(a_job(work="FIT 220", hours="FIT 250"), build=BUILD)
    assert SPAN.days == 73
    assert (found.clock, found.planned_sold) == (D("400.00"), D("240.00"))
    assert (found.productivity, found.on_jobs, found.efficiency) == (D("0.5500"), D("0.6250"), D("0.8800"))
    assert (found.labour_sales, found.rate_sold, found.rate_actual) == (D("22000.00"), D("100.00"), D("88.00"))
    assert found.break_even_rate == D("57.35")


def test_without_a_rate_builder() -> None:
    """Nothing is said of the hours that were paid for."""
    found = of(a_job(work="FIT 2", hours="FIT 2.5"))
    assert (found.clock, found.planned_sold, found.productivity, found.on_jobs) == (None, None, None, None)
    assert (found.efficiency, found.break_even_rate) == (D("0.8000"), None)


def test_the_minimum_sells_hours() -> None:
    """0.5 h at the bench, sold as one hour."""
    job = a_job(work="FIT 0.5", hours="FIT 0.5", minimum_amount=D(50), minimum_hours=D("0.5"))
    found = of(job)
    assert (found.sold, found.efficiency, found.labour_sales) == (D("1.00"), D("2.0000"), D("100.00"))


def test_a_comeback_works_and_sells_nothing() -> None:
    """Its hours lower the efficiency."""
    back = Comeback(first_job="1", cause="part", charged=D(0))
    found = of(a_job("1", work="FIT 2", hours="FIT 2"), a_job("2", work="FIT 2", hours="FIT 2", comeback=back))
    assert (found.sold, found.actual, found.labour_sales, found.jobs) == (D("2.00"), D("4.00"), D("200.00"), 2)


def test_hours_that_were_not_written_down() -> None:
    """The job sold its hours; it is in no ratio to hours worked, and is counted."""
    found = of(a_job("1", work="FIT 2", hours="FIT 2.5"), a_job("2", work="FIT 2", hours=""))
    assert (found.sold, found.actual, found.without_hours) == (D("4.00"), D("2.50"), 1)
    assert (found.efficiency, found.rate_actual, found.rate_sold) == (D("0.8000"), D("80.00"), D("100.00"))


def test_no_jobs() -> None:
    """Nothing is divided by zero."""
    found = of(build=BUILD)
    assert (found.sold, found.efficiency, found.rate_sold, found.rate_actual) == (D("0.00"), None, None, None)
    assert found.productivity == 0
