"""Reviews for the tests of documents: small ones by hand, a season, hostile texts, another language."""

from __future__ import annotations

from dataclasses import replace
from datetime import timedelta
from decimal import Decimal
from functools import cache

from quotekit.model.entries import Comeback
from quotekit.model.review import Review
from quotekit.model.shop_book import ShopBook
from quotekit.pricing.review.review import Kept, review_of
from tests import build
from tests.pricing.review.stories import AJob, a_job, a_sublet, an_option, an_order, numbered
from tests.rate_rows import COSTS, HOURS, book_with
from tests.review.season import YEAR, a_season

D = Decimal
EVIL = '=HYPERLINK("http://x")&<b>'
"""A text that must stay one."""


def a_review(*jobs: AJob, book: ShopBook | None = None) -> Review:
    """Of some jobs, in the year of the season."""
    return review_of(Kept(stories=numbered(jobs), shop_name="Mill Lane Repairs"), YEAR, book)


def empty() -> Review:
    """A ledger in which nothing happened."""
    return a_review()


@cache
def full() -> Review:
    """Every section has something in it: comebacks, unknown costs, proposals, open quotes with a chance."""
    jobs = [
        a_job(f"J{n}", work="FIT 0.5; STEP1 1.0 access", hours=f"FIT {hours}; STEP1 1.{n % 3}",
              parts="SEAL 2 at 4 for 7", invoiced=str(150 - 9 * n),
              offered=(an_option("good", "160", "60"), an_option("best", "290", "90")))
        for n, hours in enumerate(["0.7", "0.75", "0.8"] * 4)
    ]  # fmt: skip
    back = Comeback(first_job="J3", cause="workmanship", charged=D(0))
    jobs += [
        a_job("C1", work="FIT 0.5", hours="FIT 1.5", invoiced=None, comeback=back),
        a_job("U1", parts="BELT 1 at ? for 30", sublet=(a_sublet("TURN", None),)),
        a_job("S1", work="FIT 0.5", hours="FIT 0.5", split=True, invoiced=None),
        a_job("D1", hours=None, accepted_on=None, declined=((YEAR.last, "price", None),)),
    ]
    near = YEAR.last - timedelta(days=2)
    jobs += [
        a_job("Q1", hours=None, accepted_on=None, issued_on=near,
              offered=(an_option("good", "200", "60"), an_option("best", "400", "10"))),
    ]  # fmt: skip
    jobs += [
        a_job(f"R{n}", work="FIT 0.5 rusty", hours="FIT 1.1", condition="RUSTY", allowance="0.125") for n in range(6)
    ]
    orders = [an_order("SEAL 4.50 for J0 2", freight="3")]
    kept = Kept(stories=numbered(jobs), ordered=orders, shop_name="Mill Lane Repairs")
    return review_of(kept, YEAR, a_book())


def a_book() -> ShopBook:
    """The shop book of the full review, with a Rate builder."""
    return book_with(
        *COSTS,
        *HOURS,
        operations=[build.an_operation("FIT", "0.5", second_side_hours="0.4", each_side=True)],
        access=[build.a_step("STEP1", "0.4", "0.6")],
        conditions=[build.a_condition("RUSTY", "0.25")],
    )


@cache
def season() -> Review:
    """A year of many jobs."""
    return review_of(Kept(stories=a_season(3, 150).stories, shop_name="Mill Lane Repairs"), YEAR)


@cache
def hostile() -> Review:
    """Texts that a spreadsheet could take for something else."""
    jobs = [
        a_job(f"{EVIL}{n}", extra={"machine": EVIL, "customer": EVIL}, offered=(an_option("good", name=EVIL),))
        for n in range(3)
    ]
    return replace(a_review(*jobs), shop_name="Oak & [Sons] &G")


@cache
def german() -> Review:
    """Euros, German numbers, A4."""
    return replace(full(), language="de_DE", currency="EUR")


def every() -> dict[str, Review]:
    """All of them by name."""
    return {
        "empty": empty(),
        "full": full(),
        "season": season(),
        "hostile": hostile(),
        "german": german(),
        "yen": replace(season(), currency="JPY", language="ja_JP"),
    }
