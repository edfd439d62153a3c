"""The four variances of a job add up to what it cost more than agreed."""

from __future__ import annotations

from decimal import Decimal

import pytest
from hypothesis import given
from hypothesis import strategies as st

from quotekit.model.review import JobVariances, Variance
from quotekit.pricing.review.job_variances import together
from quotekit.pricing.review.paid_costs import paid_costs
from quotekit.pricing.review.reviewed import review_job
from tests import build
from tests.pricing.review.stories import AJob, a_job, done

D = Decimal


def variances_of(job: AJob, *, sam: str = "40") -> JobVariances:
    """Of a job that Sam worked on, who costs so much."""
    return review_job(done(job), paid_costs([], []), [build.a_rate("SAM", 100, sam)]).job.variances


def shown(found: JobVariances) -> tuple[str, ...]:
    """Labour rate and time, material price and quantity."""
    each = (found.labour_rate, found.labour_time, found.material_price, found.material_quantity)
    return tuple("?" if one is None else f"{one.amount:f}{one.sign}" for one in each)


@pytest.mark.parametrize(
    ("job", "sam", "expected"),
    [
        (a_job(work="FIT 2.0", hours="FIT 2.0"), "40", ("0.00", "0.00", "0.00", "0.00")),
        (a_job(work="FIT 2.0", hours="FIT 2.5"), "44", ("10.00U", "20.00U", "0.00", "0.00")),
        (a_job(work="FIT 2.0", hours="FIT 1.5"), "38", ("-3.00F", "-20.00F", "0.00", "0.00")),
        (a_job(parts="SEAL 2 at 4 for 7", used="SEAL 3 at 4.50"), "40", ("0.00", "0.00", "1.50U", "4.00U")),
        (a_job(parts="SEAL 2 at 4 for 7", used="SEAL 0"), "40", ("0.00", "0.00", "0.00", "-8.00F")),
        (a_job(used="CLIP 2 at 0.30"), "40", ("0.00", "0.00", "0.00", "0.60U")),
    ],
    ids=[
        "as agreed",
        "slower and dearer",
        "quicker and cheaper",
        "more and dearer seals",
        "no seal",
        "an unplanned clip",
    ],
)
def test_the_four(job: AJob, sam: str, expected: tuple[str, ...]) -> None:
    """The worked examples of the rules, by hand."""
    assert shown(variances_of(job, sam=sam)) == expected


def test_time_of_work_that_was_not_done() -> None:
    """Hours are held against what was done, not against all that was agreed."""
    job = a_job(work="FIT 2.0; TURN 1.0", hours="FIT 2.0", not_done="DO-TURN")
    assert shown(variances_of(job))[1] == "0.00"


def test_an_unknown_cost_of_labour() -> None:
    """Neither labour variance is known; the material ones are."""
    assert shown(variances_of(a_job(cost_per_hour=None, parts="SEAL 1 at 4 for 7", used="SEAL 2"))) == (
        "?",
        "?",
        "0.00",
        "4.00U",
    )


def test_parts_of_unknown_cost_are_counted_apart() -> None:
    """They are in no variance."""
    found = variances_of(a_job(parts="SEAL 1 at ? for 7; BELT 1 at 20 for 30", used="BELT 2"))
    assert (found.parts_left_out, f"{found.material_quantity.amount:f}") == (1, "20.00")


@given(
    st.decimals("0.1", 9, places=1), st.decimals("0.1", 9, places=1), st.integers(20, 90), st.integers(0, 9),
    st.integers(0, 9), st.integers(1, 99),
)  # fmt: skip
def test_they_add_up(worked: Decimal, allowed: Decimal, sam: int, used: int, agreed: int, each: int) -> None:
    """Together they are the actual cost less the cost agreed, to the cent."""
    job = a_job(
        work=f"FIT {allowed}", hours=f"FIT {worked}", parts=f"SEAL {agreed} at 4 for 7", used=f"SEAL {used} at {each}"
    )
    found = variances_of(job, sam=str(sam))
    assert found.labour_rate is not None and found.labour_time is not None
    assert found.labour_rate.amount + found.labour_time.amount == worked * sam - allowed * 40
    assert found.material_price.amount + found.material_quantity.amount == used * each - agreed * 4


def test_sums_over_jobs() -> None:
    """Labour over the jobs where it is known; None where it is known of none."""
    one = variances_of(a_job(work="FIT 2.0", hours="FIT 2.5", parts="SEAL 1 at ? for 7"), sam="44")
    unknown = variances_of(a_job(cost_per_hour=None, parts="SEAL 1 at 4 for 7", used="SEAL 2"))
    assert shown(together([one, one, unknown])) == ("20.00U", "40.00U", "0.00", "4.00U")
    assert together([one, one, unknown]).parts_left_out == 2
    assert shown(together([unknown]))[:2] == ("?", "?")
    assert together([]).material_price == Variance(amount=D(0))
