"""The chance that an option loses money, from how actual costs spread."""

from __future__ import annotations

from datetime import timedelta
from decimal import Decimal
from fractions import Fraction
from math import comb

import pytest

from quotekit.model.review import LossChance, Span
from quotekit.pricing.review.fates import fates
from quotekit.pricing.review.loss import CostRatio, loss_chances, share_with_ends, tier_losses
from tests.pricing.review.stories import DAY, a_job, an_option, numbered

D = Decimal
SPAN = Span(first=DAY, last=DAY + timedelta(days=5))


def past(text: str, tier: str = "good") -> list[CostRatio]:
    """Jobs agreed at a cost of 100 that came to these ratios."""
    return [
        CostRatio(tier=tier, name=tier.title(), agreed=Fraction(100), actual=Fraction(ratio) * 100)
        for ratio in text.split()
    ]


def chances(jobs: list[CostRatio], subtotal: str = "300", margin: str | None = "60") -> tuple[LossChance, ...]:
    """Of one open quote of one option."""
    quote = a_job("9", hours=None, accepted_on=None, offered=(an_option("good", subtotal, margin),))
    return loss_chances(fates(numbered([quote]), SPAN), jobs)


def test_the_example_of_the_rule() -> None:
    """300 at a cost of 240 loses money above 1.25: three of 24 jobs were above."""
    (found,) = chances(past("1.26 1.3 2.0 " + "1.25 1.1 0.9 " * 7))
    assert (found.jobs, found.losing, found.chance, found.cost) == (24, 3, D("0.1250"), D(240))
    assert found.low is not None and found.high is not None and found.low < found.chance < found.high
    assert (found.job, found.version, found.tier, found.same_tier) == ("9", 1, "good", True)


def test_exactly_at_cost_is_no_loss() -> None:
    """A ratio of S / C leaves nothing, and loses nothing."""
    (found,) = chances(past("1.25 " * 12))
    assert (found.losing, found.chance) == (0, D("0.0000"))


@pytest.mark.parametrize(("count", "known"), [(9, False), (10, True)])
def test_too_few_jobs(count: int, known: bool) -> None:
    """Below ten jobs no chance is stated; the count is."""
    (found,) = chances(past("1.0 " * count))
    assert (found.jobs, found.chance is not None) == (count, known)


def test_jobs_of_the_same_option_first() -> None:
    """All options where that one has too few."""
    others = past("2.0 " * 30, "best")
    (found,) = chances([*others, *past("1.0 " * 10)])
    assert (found.same_tier, found.jobs, found.losing) == (True, 10, 0)
    (found,) = chances([*others, *past("1.0 " * 9)])
    assert (found.same_tier, found.jobs, found.losing) == (False, 39, 30)


def test_the_newest_two_hundred() -> None:
    """What was long ago says less of the next job."""
    (found,) = chances(past("2.0 " * 50 + "1.0 " * 200))
    assert (found.jobs, found.losing) == (200, 0)


def test_an_unknown_cost_has_no_chance() -> None:
    """Nothing is guessed."""
    assert chances(past("1.0 " * 20), margin=None) == ()


def test_a_quote_that_is_no_longer_open() -> None:
    """Its chance no longer matters."""
    won = a_job("9", hours=None, offered=(an_option("good", "300", "60"),))
    assert loss_chances(fates(numbered([won]), SPAN), past("1.0 " * 20)) == ()


@pytest.mark.parametrize(
    ("losing", "jobs", "low", "high"),
    [(1, 20, "0", "0.15"), (19, 20, "0.85", "1"), (10, 100, "0.05", "0.15"), (5, 10, "0.2", "0.8")],
)
def test_ends_of_the_interval(losing: int, jobs: int, low: str, high: str) -> None:
    """The middle nine tenths of the binomial: 10 of 100 lies from 0.05 to 0.15, 5 of 10 from 0.2 to 0.8.

    The bootstrap of a share is that binomial (its quantiles from memory); a thousand samples come within 0.02.
    """
    share, first, last = share_with_ends(losing, jobs)
    assert share == Fraction(losing, jobs)
    assert abs(first - D(low)) <= D("0.02") and abs(last - D(high)) <= D("0.02")


@pytest.mark.parametrize(
    ("jobs", "far"), [(10, "0.2589"), (20, "0.1392"), (30, "0.0951"), (60, "0.0488"), (100, "0.0296")]
)
def test_none_of_the_jobs_lost(jobs: int, far: str) -> None:
    """Ten good jobs do not say that none will ever lose: up to 25.89 % (1 - 0.05 ** (1 / 10)) is not ruled out.

    The numbers of a table of exact limits for a share, one-sided 95 %, from memory, rounded up;
    about 3 / n, the rule of three.
    """
    assert share_with_ends(0, jobs) == (D(0), D(0), D(far))
    assert share_with_ends(jobs, jobs) == (D(1), 1 - D(far), D(1))
    assert (1 - D(far)) ** jobs <= D("0.05") < (1 - D(far) + D("0.0001")) ** jobs


@pytest.mark.parametrize("jobs", [10, 20, 50])
@pytest.mark.parametrize("chance", ["0.02", "0.05", "0.1", "0.3"])
def test_the_interval_holds_the_true_chance(jobs: int, chance: str) -> None:
    """Over all that so many jobs can show, weighed by how likely it is: nine of ten intervals, 85 % at the least.

    The bootstrap alone held a chance of 2 % in 18 % of the cases with ten jobs, since no losing job gave 0 to 0.
    """
    true = Fraction(chance)
    held = Fraction(0)
    for losing in range(jobs + 1):
        _, low, high = share_with_ends(losing, jobs)
        if low <= true <= high:
            held += comb(jobs, losing) * true**losing * (1 - true) ** (jobs - losing)
    assert held > Fraction("0.85")


def test_the_same_jobs_give_the_same_figures() -> None:
    """No clock and no chance is in it."""
    jobs = past("1.3 1.0 0.8 " * 9)
    assert chances(jobs) == chances(jobs)


def test_closed_jobs_by_option() -> None:
    """How many lost money, and what they cost against what was agreed."""
    jobs = [*past("1.2 " * 12), *past("0.9 1.1", "best")]
    lost = [("good", place < 3) for place in range(12)] + [("best", True), ("best", False)]
    good, best = sorted(tier_losses(jobs, lost), key=lambda one: one.tier, reverse=True)
    assert (good.jobs, good.losing, good.chance, good.cost_ratio) == (12, 3, D("0.2500"), D("1.2000"))
    assert good.low is not None and good.high is not None and good.low <= D("0.25") <= good.high
    assert (best.jobs, best.losing, best.chance, best.low, best.cost_ratio) == (2, 1, None, None, D("1.0000"))


def test_an_option_without_known_costs() -> None:
    """Its jobs are counted; no ratio of costs is."""
    (found,) = tier_losses([], [("good", False)] * 11)
    assert (found.name, found.jobs, found.cost_ratio, found.chance) == ("good", 11, None, D("0.0000"))
