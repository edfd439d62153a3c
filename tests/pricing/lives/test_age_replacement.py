"""The cheapest planned age: against looking at every age, and where there is none (printed example: 6.04)."""

from __future__ import annotations

from decimal import Decimal, localcontext

import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

from quotekit.pricing.lives.age_replacement import cost_rate, replace_by_age
from quotekit.pricing.lives.precise import PRECISE
from quotekit.pricing.lives.weibull import a_weibull, mean_life, reliability

ONE = Decimal(1)


@settings(max_examples=6, deadline=None, derandomize=True)
@given(st.decimals(min_value="1.2", max_value=8, places=1), st.integers(2, 40))
def test_no_other_age_is_cheaper(shape: Decimal, failure: int) -> None:
    """Looked at from a twentieth of the scale to twice it."""
    life = a_weibull(ONE, shape)
    best = replace_by_age(ONE, Decimal(failure), life)
    assert best.age is not None
    least = min(cost_rate(ONE, Decimal(failure), life, Decimal(step) / 20) for step in range(1, 41))
    assert best.cost_rate <= least * (1 + Decimal("1E-25"))
    assert best.cost_rate <= best.run_to_failure


def test_just_beside_the_age_it_is_dearer() -> None:
    life = a_weibull(Decimal(1000), Decimal("2.5"))
    best = replace_by_age(ONE, Decimal(5), life)
    assert best.age is not None
    for beside in (best.age - 1, best.age + 1):
        assert cost_rate(ONE, Decimal(5), life, beside) > best.cost_rate
    assert best.reach_age == reliability(life, best.age)


def test_the_cost_rate_by_adding_up_small_steps() -> None:
    """The years lived up to 600 of 1,000, shape 2.5, by the middle of 600 steps, against the closed form."""
    life = a_weibull(Decimal(1000), Decimal("2.5"))
    with localcontext(PRECISE):
        step = Decimal(1)
        lived = sum(reliability(life, step * (2 * k + 1) / 2) for k in range(600)) * step
        whole = reliability(life, Decimal(600))
        expected = (whole + 5 * (1 - whole)) / lived
    assert abs(cost_rate(ONE, Decimal(5), life, Decimal(600)) - expected) < Decimal("1E-8")


@settings(max_examples=4, deadline=None, derandomize=True)
@given(st.integers(2, 9), st.integers(2, 9))
def test_units_of_money_and_time_do_not_matter(money: int, time: int) -> None:
    base = replace_by_age(ONE, Decimal(4), a_weibull(Decimal(3), Decimal(2)))
    other = replace_by_age(Decimal(money), Decimal(4 * money), a_weibull(Decimal(3 * time), Decimal(2)))
    assert base.age is not None and other.age is not None
    assert abs(other.age - base.age * time) < Decimal("1E-25")
    assert abs(other.cost_rate * time - base.cost_rate * money) < Decimal("1E-25")


@pytest.mark.parametrize(
    ("planned", "failure", "shape", "why"),
    [
        ("1", "5", "1", "a shape of 1 or less"),
        ("1", "5", "0.7", "a shape of 1 or less"),
        ("5", "5", "3", "a failure costs no more"),
        ("6", "5", "3", "a failure costs no more"),
        ("1", "1.1", "1.05", "beyond the life of nearly all"),
    ],
)
def test_where_running_to_failure_is_cheapest(planned: str, failure: str, shape: str, why: str) -> None:
    """Then the cost is that of failures alone, once a mean life."""
    life = a_weibull(Decimal(2), Decimal(shape))
    best = replace_by_age(Decimal(planned), Decimal(failure), life)
    assert best.age is None and why in best.why_none
    with localcontext(PRECISE):
        assert best.cost_rate == best.run_to_failure == Decimal(failure) / mean_life(life)
    for age in (Decimal("0.5"), Decimal(2), Decimal(20)):
        assert cost_rate(Decimal(planned), Decimal(failure), life, age) >= best.cost_rate * (1 - Decimal("1E-12"))


@pytest.mark.parametrize(
    ("planned", "failure", "said"),
    [
        ("0", "5", "the planned cost must be above zero, not 0"),
        ("1", "-5", "the failure cost must be above zero, not -5"),
        ("NaN", "5", "the planned cost must be above zero, not NaN"),
    ],
)
def test_costs_are_above_zero(planned: str, failure: str, said: str) -> None:
    with pytest.raises(ValueError, match=said):
        replace_by_age(Decimal(planned), Decimal(failure), a_weibull(ONE, Decimal(2)))


def test_an_age_is_above_zero() -> None:
    with pytest.raises(ValueError, match="the age must be above zero"):
        cost_rate(ONE, Decimal(5), a_weibull(ONE, Decimal(2)), Decimal(0))
