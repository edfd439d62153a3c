"""What a job left: every cost taken off once, and nothing that is not known taken as zero."""

from __future__ import annotations

from dataclasses import replace
from decimal import Decimal

import pytest
from hypothesis import given
from hypothesis import strategies as st

from quotekit.model.entries import Comeback
from quotekit.model.review import ReviewedJob
from quotekit.pricing.review.paid_costs import paid_costs
from quotekit.pricing.review.reviewed import review_job, sold_hours, tags_of
from tests.pricing.review.stories import AJob, a_job, a_sublet, agreed_on, an_option, an_order, done

D = Decimal
NOTHING = paid_costs([], [])


def reviewed(job: AJob, *orders: str, freight: str = "0") -> ReviewedJob:
    """The job as it is shown."""
    found = [an_order(lines, number=n, freight=freight) for n, lines in enumerate(orders, start=1)]
    return review_job(done(job), paid_costs(found, [])).job


def test_the_example_of_the_rule() -> None:
    """Invoiced 300; parts 80, 2.5 h at 40, sublet 20, freight 10: profit 90, contribution 190, 76 a bench hour."""
    job = a_job(
        work="FIT 2.0",
        hours="FIT 2.5",
        parts="SHAFT 1 at 80 for 100",
        invoiced="300",
        sublet=(a_sublet("TURN", "20"),),
    )
    found = reviewed(job, "SHAFT 80 for 117 1", freight="10")
    assert (found.parts, found.labour, found.sublet, found.freight) == (D(80), D(100), D(20), D(10))
    assert (found.profit, found.contribution, found.per_bench_hour) == (D(90), D(190), D(76))
    assert (found.unknown, found.after_comebacks) == ((), D(90))


@pytest.mark.parametrize(
    ("job", "why"),
    [
        (a_job(parts="SEAL 1 at ? for 7"), "cost of part SEAL"),
        (a_job(used="CLIP 1"), "cost of part CLIP"),
        (a_job(cost_per_hour=None), "cost per hour of MAIN"),
        (a_job(sublet=(a_sublet("TURN", None),)), "cost of sublet TURN"),
    ],
    ids=["a part", "a part that was not agreed", "labour", "outside work"],
)
def test_what_is_not_known_is_said(job: AJob, why: str) -> None:
    """The profit is not known either, and the reason names what is missing."""
    found = reviewed(job)
    assert found.profit is None
    assert found.unknown == (why,)


def test_an_unknown_cost_of_labour_leaves_the_contribution() -> None:
    """What labour costs is not part of it."""
    found = reviewed(a_job(cost_per_hour=None))
    assert (found.labour, found.contribution, found.per_bench_hour) == (None, D(50), D(100))


def test_a_part_that_was_not_used_needs_no_cost() -> None:
    """Nothing was spent on it."""
    assert reviewed(a_job(parts="SEAL 1 at ? for 7", used="SEAL 0")).parts == 0


def test_a_job_that_is_not_billed() -> None:
    """It has costs, and no profit yet."""
    found = reviewed(a_job(invoiced=None))
    assert (found.invoiced, found.profit, found.contribution, found.labour) == (None, None, None, D(20))
    assert found.tags == ("not billed",)


@pytest.mark.parametrize(
    ("orders", "freight"),
    [((), "9"), (("SEAL 4 for 117 1",), "10"), (("SEAL 4 for 117 1", "CLIP 1 for 117 1"), "20")],
    ids=["no order recorded: as agreed", "one order", "a second freight"],
)
def test_freight(orders: tuple[str, ...], freight: str) -> None:
    """That of its orders, each of 10; as agreed where parts were to be ordered and no order is recorded."""
    job = a_job(parts="SEAL 1 at 4 for 7", cost_freight=D(9))
    assert reviewed(job, *orders, freight="10").freight == D(freight)


def test_no_freight_without_ordered_parts() -> None:
    """Shelf stock travels free."""
    job = a_job(parts="SEAL 1 at 4 for 7", cost_freight=D(9))
    shelf = replace(job, agreed=replace(job.agreed, parts=(replace(job.agreed.parts[0], ordered=False),)))
    assert reviewed(shelf).freight == 0


def test_outside_work_that_was_not_done() -> None:
    """Its cost falls away with its work."""
    job = a_job(work="FIT 0.5; TURN 0.1", hours="FIT 0.5", sublet=(a_sublet("TURN", "20"),), not_done="DO-TURN")
    assert reviewed(job).sublet == 0


def test_hours_that_were_not_written_down() -> None:
    """Work was done: its labour, its profit and its labour variances are not known; what was bought is."""
    found = reviewed(a_job(hours="", parts="SEAL 1 at 4 for 7"))
    assert (found.labour, found.profit, found.per_bench_hour) == (None, None, None)
    assert (found.unknown, found.tags) == (("no hours were written down",), ("no hours",))
    assert (found.contribution, found.parts) == (D(53), D(4))
    assert (found.variances.labour_rate, found.variances.labour_time) == (None, None)


@pytest.mark.parametrize(
    ("job", "labour"),
    [(a_job(work="FIT 0", hours=""), D(0)), (a_job(hours="", not_done="DO-FIT"), D(0)), (a_job(hours="FIT 0"), None)],
    ids=["nothing to do", "nothing was done", "zero hours typed for work that was done"],
)
def test_no_hours_where_none_were_due(job: AJob, labour: Decimal | None) -> None:
    """Only work that takes time must have hours."""
    assert reviewed(job).labour == labour


@given(st.decimals(0, 900, places=2), st.decimals("0.05", 9, places=2), st.integers(0, 9), st.decimals(0, 99, places=2))
def test_profit_is_what_is_left_of_the_invoice(invoiced: Decimal, hours: Decimal, units: int, each: Decimal) -> None:
    """Invoice = profit + labour + parts + freight to the cent, where each cost is whole cents."""
    job = a_job(hours=f"FIT {hours}", parts="SEAL 1 at 4 for 7", used=f"SEAL {units} at {each}", invoiced=str(invoiced))
    found = reviewed(job)
    assert found.profit is not None and found.labour is not None and found.parts is not None
    assert found.profit + found.labour + found.parts + found.freight == invoiced
    assert found.contribution == found.profit + found.labour


@pytest.mark.parametrize(
    ("job", "tags"),
    [
        (a_job(), ()),
        (a_job(work="FIT 0.5 rusty", condition="RUSTY"), ("rust",)),
        (a_job(work="FIT 0.5", condition="RUSTY"), ()),
        (a_job(minimum_amount=D(50)), ("minimum",)),
        (a_job(later=(agreed_on("FIT 0.9"),)), ("supplement",)),
        (a_job(comeback=Comeback(first_job="1", cause="part", charged=D(0)), invoiced=None), ("comeback",)),
    ],
    ids=["none", "rust", "rust that slows nothing", "minimum", "supplement", "comeback"],
)
def test_tags(job: AJob, tags: tuple[str, ...]) -> None:
    """What sets a job apart."""
    assert tags_of(done(job)) == tags


@pytest.mark.parametrize(
    ("charged", "sold"), [(None, "1.2"), ("0", "0"), ("0.5", "0.6")], ids=["a job", "free", "at half price"]
)
def test_sold_hours(charged: str | None, sold: str) -> None:
    """Billed hours with those of the minimum; of a comeback what is charged of them."""
    back = None if charged is None else Comeback(first_job="1", cause="part", charged=D(charged))
    job = a_job(work="FIT 0.5", minimum_hours=D("0.7"), comeback=back)
    assert sold_hours(done(job)) == D(sold)


def test_against_the_first_quote() -> None:
    """The same option as it was first shown; none where it was not in the first version."""
    job = a_job(offered=(an_option("good", "90"), an_option("better", "140")))
    assert reviewed(job).first_quoted == D(90)
    assert reviewed(replace(job, offered=(an_option("better", "140"),))).first_quoted is None


def test_measured_hours_are_told_apart() -> None:
    """Only those that were measured at their work."""
    assert (reviewed(a_job()).measured_hours, reviewed(a_job()).actual_hours) == (D("0.5"), D("0.5"))
    assert (reviewed(a_job(split=True)).measured_hours, reviewed(a_job(split=True)).actual_hours) == (0, D("0.5"))
