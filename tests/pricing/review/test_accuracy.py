"""Ratios of sums with count, spread, shrinkage and interval; jobs under another standard time apart."""

from __future__ import annotations

from dataclasses import replace
from datetime import timedelta
from decimal import Decimal

import pytest

from quotekit.model.review import Accuracy
from quotekit.pricing.review.accuracy import estimates, norms_in_force, shown_accuracy, shown_shop
from quotekit.pricing.review.measured import Measured
from tests.pricing.review.observations import FIRST, measured, repeated

D = Decimal


def shown(found: list[Measured], of_book: dict[tuple[str, str], Decimal] | None = None) -> dict[str, Accuracy]:
    """By code."""
    norms = norms_in_force(found, of_book or {})  # type: ignore[arg-type]
    return {one.code: one for one in shown_accuracy(estimates(found, norms))}


def test_sums_count_and_spread() -> None:
    """3.6 h over 3.0 h standard; the spread is about the ratio of 1.2, weighted by the standard."""
    found = [*measured("FIT 1.0: 1.5"), *measured("FIT 1.0: 2.1", standard=D("2.0"), norm=D("1.0"), job="B")]
    fit = shown(found)["FIT"]
    assert (fit.jobs, fit.standard, fit.actual, fit.ratio) == (2, D("3.0"), D("3.6"), D("1.2000"))
    # weights 2/3 and 4/3, deviations 0.3 and -0.15: 0.06 + 0.03 = 0.09 over one degree
    assert fit.spread == D("0.3000")


def test_one_job_has_no_spread() -> None:
    """And is drawn to the shop's mean almost whole."""
    found = measured(f"FIT 1.0: 2.0; TURN 1.0: {repeated(['0.9', '1.1'], 5)}; BORE 1.0: {repeated(['1.3', '1.5'], 5)}")
    fit = shown(found)["FIT"]
    assert (fit.spread, fit.jobs, fit.ratio) == (None, 1, D("2.0000"))
    assert fit.shrunk < fit.ratio


def test_the_interval_holds_the_shrunk_ratio() -> None:
    """And begins at zero at the least."""
    found = measured("FIT 1.0: 0.2 1.9 0.3; TURN 1.0: 0.9 1.1 1.0; BORE 0.5: 0.9 0.8 0.7")
    for one in shown(found).values():
        assert 0 <= one.low <= one.shrunk <= one.high


def test_the_interval_by_hand() -> None:
    """One operation, 0.8 and 1.2 five times: 0.4 over nine degrees is 0.0444, a root of 0.0667 for ten jobs; nine
    degrees count as eight, which reach 2.306: 0.1537 to each side.
    """
    fit = shown(measured(f"FIT 1.0: {repeated(['0.8', '1.2'], 5)}"))["FIT"]
    assert (fit.low, fit.shrunk, fit.high) == (D("0.8463"), D("1.0000"), D("1.1537"))


def test_the_interval_is_not_that_of_the_mean() -> None:
    """Two operations that differ by chance only are drawn to the mean whole, and are not known better for that: the
    interval of each is as wide as its own jobs make it, and holds both its ratio and the mean.
    """
    found = shown(measured(f"FIT 1.0: {repeated(['0.7', '1.2'], 3)}; TURN 1.0: {repeated(['0.8', '1.3'], 30)}"))
    fit, turn = found["FIT"], found["TURN"]
    assert fit.weight == turn.weight == 0 and fit.shrunk == turn.shrunk
    assert fit.high - fit.low > 3 * (turn.high - turn.low)
    assert fit.low < fit.ratio < fit.shrunk < fit.high


def test_a_shrunk_ratio_beyond_its_own_interval() -> None:
    """Many jobs that agree, and a mean far from them: the interval is made to hold what is proposed."""
    few = "; ".join(f"OP{n} 1.0: 0.2 2.6" for n in range(6))
    fit = shown(measured(f"FIT 1.0: {repeated(['1.0', '1.01'], 40)}; {few}"))["FIT"]
    assert fit.low <= fit.shrunk <= fit.high


def test_without_any_spread_nothing_is_certain() -> None:
    """One job of each: the interval is from nothing to twice the mean."""
    fit = shown(measured("FIT 1.0: 1.2; TURN 1.0: 0.8"))["FIT"]
    assert (fit.low, fit.high, fit.shrunk) == (D(0), D("2.0000"), D("1.0000"))


def test_more_jobs_narrow_the_interval() -> None:
    """With the same spread."""
    few, many = (
        shown(measured(f"FIT 1.0: {repeated(['1.3', '1.7'], times)}; TURN 1.0: {repeated(['0.8', '1.2'], 10)}"))["FIT"]
        for times in (2, 12)
    )
    assert many.high - many.low < few.high - few.low
    assert few.weight < many.weight


def test_jobs_under_an_older_time_are_counted_apart() -> None:
    """The newest job's standard is the one in force, unless the book says another."""
    old = measured("FIT 0.5: 0.9 0.9 0.9")
    new = measured("FIT 0.8: 0.8 0.9", on=FIRST + timedelta(days=50))
    fit = shown([*new, *old])["FIT"]
    assert (fit.jobs, fit.older, fit.standard) == (2, 3, D("1.6"))
    fit = shown([*new, *old], {("operation", "FIT"): D("0.5")})["FIT"]
    assert (fit.jobs, fit.older, fit.standard) == (3, 2, D("1.5"))


def test_a_time_that_nobody_worked_under() -> None:
    """The owner has changed it since the last job: nothing can be said of it yet."""
    assert shown(measured("FIT 0.5: 0.9"), {("operation", "FIT"): D("0.9")}) == {}


def test_circumstances_do_not_mix() -> None:
    """Rusty jobs and those at the minimum have ratios and a mean of their own."""
    found = [
        *measured("FIT 1.0: 1.0 1.1"),
        *measured("FIT 1.0: 1.6", "rust", "RUSTY"),
        *measured("FIT 1.0: 0.7", "minimum"),
    ]
    norms = norms_in_force(found, {})
    listed = shown_accuracy(estimates(found, norms))
    assert [(one.circumstance, one.actual) for one in listed] == [
        ("usual", D("2.1")),
        ("rust", D("1.6")),
        ("minimum", D("0.7")),
    ]
    assert [(one.circumstance, one.mean) for one in shown_shop(estimates(found, norms))] == [
        ("usual", D("1.0500")),
        ("rust", D("1.6000")),
        ("minimum", D("0.7000")),
    ]


def test_the_shop() -> None:
    """How many operations and jobs, and what the mean counts for."""
    found = measured("FIT 1.0: 0.8 1.2; STEP1 1.0: 1.8 2.2")
    (shop,) = shown_shop(estimates(found, norms_in_force(found, {})))
    assert (shop.groups, shop.jobs, shop.within, shop.between) == (2, 4, D("0.0800"), D("0.4600"))
    assert shop.prior_jobs == D("0.2")


def test_operations_and_steps_of_one_code() -> None:
    """A step and an operation may have the same code, and are two."""
    step = [replace(one, kind="access") for one in measured("FIT 0.4: 0.4 0.5")]
    found = [*measured("FIT 1.0: 1.0 1.1"), *step]
    listed = shown_accuracy(estimates(found, norms_in_force(found, {})))
    assert sorted((one.kind, one.standard) for one in listed) == [("access", D("0.8")), ("operation", D("2.0"))]


@pytest.mark.parametrize("found", [[]])
def test_nothing_measured(found: list[Measured]) -> None:
    """No ratio, no mean."""
    assert estimates(found, norms_in_force(found, {})) == ()
