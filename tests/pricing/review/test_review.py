"""The whole review: which jobs and quotes are in it, sums, months, and what a shop book adds."""

from __future__ import annotations

from dataclasses import replace
from datetime import date, timedelta
from decimal import Decimal

import pytest

from quotekit.model.entries import Comeback
from quotekit.model.review import Review, Span
from quotekit.model.shop_book import ShopBook
from quotekit.model.story import Told
from quotekit.pricing.review.review import Kept, review_of
from tests import build
from tests.pricing.review.stories import AJob, a_job, an_entry, an_option, an_order, numbered, received
from tests.rate_rows import book_with

D = Decimal
MAY, JUNE = date(2026, 5, 4), date(2026, 6, 10)
YEAR = Span(first=date(2026, 1, 1), last=date(2026, 12, 31))


def of(*jobs: AJob, span: Span = YEAR, book: ShopBook | None = None, **kept: object) -> Review:
    """The review of some jobs."""
    return review_of(Kept(stories=numbered(jobs), shop_name="Mill Lane", **kept), span, book)  # type: ignore[arg-type]


def test_nothing_happened() -> None:
    """An empty ledger gives an empty review, not an error."""
    found = of()
    assert (found.jobs, found.quotes, found.proposals, found.months, found.currency) == ((), 0, (), (), "")
    assert (found.totals.profit, found.totals.per_bench_hour) == (0, None)


def test_a_quote_and_its_job_may_be_of_two_spans() -> None:
    """Issued in May and closed in June: May's quote, June's job."""
    job = a_job(issued_on=MAY, closed_on=JUNE)
    may, june = (Span(first=day, last=day) for day in (MAY, JUNE))
    assert [(len(found.jobs), found.quotes) for found in (of(job, span=may), of(job, span=june))] == [(0, 1), (1, 0)]


def test_later_entries_change_nothing() -> None:
    """A review of a span is the same whenever it is made."""
    job = a_job("1", issued_on=MAY, closed_on=MAY)
    later = replace(job, declined=((JUNE, "price", None),))
    span = Span(first=MAY, last=MAY)
    assert of(job, span=span) == of(later, span=span)


def test_other_currencies_are_left_out() -> None:
    """And counted: amounts of two currencies are never added."""
    found = of(a_job("1", currency="EUR"), a_job("2", currency="USD"))
    assert (found.currency, [job.job for job in found.jobs], found.other_currency) == ("USD", ["2"], 1)


def test_sums_over_jobs_of_known_profit() -> None:
    """Two jobs of 50 at a cost of 20, one of them with a part of unknown cost, one not billed."""
    found = of(a_job("1"), a_job("2"), a_job("3", parts="SEAL 1 at ? for 7"), a_job("4", invoiced=None)).totals
    assert (found.jobs, found.known) == (4, 2)
    assert (found.invoiced, found.labour, found.parts, found.profit) == (D(100), D(40), D(0), D(60))
    assert (found.contribution, found.per_bench_hour) == (D(100), D(100))


def test_against_the_first_quote() -> None:
    """Billed jobs whose option was in the first version: first quoted, last agreed, invoiced."""
    shown = (an_option("good", "45"),)
    found = of(
        a_job("1", offered=shown, invoiced="48"),
        a_job("2", offered=(an_option("best", "45"),)),
        a_job("3", offered=shown, invoiced=None),
    ).totals
    assert (found.first_quoted, found.first_agreed, found.first_invoiced) == (D(45), D(50), D(48))


def test_months() -> None:
    """Jobs by the month of closing; a bench hour as a ratio of sums."""
    found = of(
        a_job("1", work="FIT 2.0", hours="FIT 2.0", invoiced="100", closed_on=MAY),
        a_job("2", work="FIT 1.0", hours="FIT 1.0", invoiced="20", closed_on=MAY),
        a_job("3", closed_on=JUNE),
        a_job("4", closed_on=JUNE, invoiced=None),
    ).months
    assert [(one.first, one.jobs, one.known, one.invoiced, one.per_bench_hour) for one in found] == [
        (date(2026, 5, 1), 2, 2, D(120), D(40)),
        (date(2026, 6, 1), 2, 1, D(50), D(100)),
    ]


def test_a_month_of_jobs_without_hours() -> None:
    """They are counted; no bench hour is."""
    (found,) = of(a_job("1", hours="", closed_on=MAY)).months
    assert (found.jobs, found.known, found.per_bench_hour, found.actual_hours) == (1, 0, None, 0)


def test_orders_bring_real_costs() -> None:
    """What came in dearer than agreed is in the job's cost and in its price variance."""
    job = a_job("J1", parts="SEAL 2 at 4 for 7")
    kept = {"ordered": [an_order("SEAL 4.50 for J1 2", freight="3")], "received": [received(1, "SEAL", "5")]}
    (found,) = of(job, **kept).jobs
    assert (found.parts, found.freight, found.variances.material_price.amount) == (D(10), D(3), D(2))


def test_comebacks_lower_the_first_job_and_the_chance() -> None:
    """The first job left 30; its comeback cost 40: it lost money, and counts as such."""
    back = Comeback(first_job="1", cause="workmanship", charged=D(0))
    found = of(
        a_job("1"),
        a_job("2", work="FIT 1.0", hours="FIT 1.0", invoiced=None, comeback=back),
    )
    first = found.jobs[0]
    assert (first.profit, first.after_comebacks) == (D(30), D(-10))
    assert [(one.tier, one.jobs, one.losing) for one in found.tier_losses] == [("good", 1, 1)]
    assert [(one.job, one.first_job, one.lost_work) for one in found.comebacks] == [("2", "1", D(100))]
    assert found.quotes == 1


def a_timed_book() -> ShopBook:
    """A book with the operation of the jobs."""
    return build.a_book(
        operations=[build.an_operation("FIT", "0.5"), build.an_operation("TURN", "1.0")],
        conditions=[build.a_condition("RUSTY", "0.25")],
    )


def season(*hours: str, start: int = 1, **values: object) -> list[AJob]:
    """A job for each number of hours of FIT, with TURN as timed."""
    return [
        a_job(str(number), work="FIT 0.5; TURN 1.0", hours=f"FIT {each}; TURN 1.0", **values)  # type: ignore[arg-type]
        for number, each in enumerate(hours, start=start)
    ]


def test_proposals_name_the_cells_of_the_book() -> None:
    """Half as long again in twelve jobs."""
    found = of(*season(*["0.7", "0.75", "0.8"] * 4), book=a_timed_book())
    assert [(one.code, one.new, one.jobs) for one in found.proposals] == [("FIT", D("0.75"), 12)]
    assert [one.column for one in found.proposals[0].changes] == ["Net hours"]
    assert found.shop_name == "Test Shop"


@pytest.mark.parametrize("values", [{"split": True}, {"minimum_amount": D(20)}], ids=["split hours", "the minimum"])
def test_what_moves_no_time(values: dict[str, object]) -> None:
    """The same hours, split over the job or at the minimum charge, propose nothing."""
    assert of(*season(*["0.7", "0.75", "0.8"] * 4, **values), book=a_timed_book()).proposals == ()


def test_rusty_jobs_speak_of_the_allowance() -> None:
    """60 % more on rusty machines: the allowance is proposed, the time is not."""
    usual = season(*["0.5"] * 10)
    rusty = [
        a_job(f"R{n}", work="FIT 0.5 rusty", hours="FIT 0.8", condition="RUSTY", allowance="0.125") for n in range(9)
    ]
    rusty[0] = a_job("R0", work="FIT 0.5 rusty", hours="FIT 0.85", condition="RUSTY", allowance="0.125")
    found = of(*usual, *rusty, book=a_timed_book()).proposals
    assert [(one.kind, one.code, one.in_force, one.new) for one in found] == [
        ("condition", "RUSTY", D("0.25"), D("0.61"))
    ]


def test_the_rate_builder_of_the_book() -> None:
    """Clock hours of the span, and the break-even rate, come from it."""
    rows = (("Rent", 60000, "overhead"), ("Owner", 2000, "clock hours"), ("Owner", "60%", "share at the bench"))
    book = book_with(*rows, ("Owner", "100%", "efficiency"), labour_rates=[build.a_rate("MAIN", 100)])
    found = of(a_job(), book=book, span=Span(first=date(2026, 1, 1), last=date(2026, 12, 31))).productivity
    assert (found.clock, found.planned_sold, found.break_even_rate) == (D(2000), D(1200), D(50))


def test_a_rate_builder_that_is_not_understood() -> None:
    """It is left out; `check` says what is wrong with it."""
    book = book_with(("Owner", 2000, "clock hours"), labour_rates=[build.a_rate("MAIN", 100)])
    assert of(a_job(), book=book).productivity.clock is None


def test_open_quotes_have_a_chance() -> None:
    """From ten closed jobs; each lost money, as each took twice its cost."""
    jobs = [a_job(str(n), work="FIT 1.0", hours="FIT 2.0", closed_on=MAY) for n in range(10)]
    waiting = a_job(
        "Q",
        hours=None,
        accepted_on=None,
        issued_on=YEAR.last - timedelta(days=3),
        offered=(an_option("good", "100", "40"),),
    )
    (found,) = of(*jobs, waiting).losses
    assert (found.job, found.jobs, found.losing, found.chance) == ("Q", 10, 10, D(1))


def test_the_order_of_jobs_in_the_ledger_moves_nothing() -> None:
    """Sums, ratios and proposals are the same; jobs stand in the order of closing."""
    jobs = season(*["0.7", "0.75", "0.8"] * 3)
    forward, backward = of(*jobs), of(*reversed(jobs))
    assert forward.totals == backward.totals
    assert forward.accuracy == backward.accuracy and forward.parts == backward.parts
    assert [job.job for job in forward.jobs] == sorted(job.number for job in jobs)


def test_a_chain_of_comebacks_that_began_before() -> None:
    """C comes back from B, which came back from A in an earlier year: A bears it, though nothing else tells of B."""
    chain = replace(a_job("C", invoiced=None), comeback=Comeback(first_job="B", cause="part", charged=D(0)))
    link = Comeback(first_job="A", cause="part", charged=D(0))
    early = Told(an_entry("comeback", "b", 1, date(2025, 3, 1)), link)
    assert [one.first_job for one in of(chain).comebacks] == ["B"]
    assert [one.first_job for one in of(chain, comebacks=(early,)).comebacks] == ["A"]
    late = early._replace(entry=an_entry("comeback", "b", 1, YEAR.last + timedelta(days=1)))
    assert [one.first_job for one in of(chain, comebacks=(late,)).comebacks] == ["B"]
