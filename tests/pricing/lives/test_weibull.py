"""Weibull lives and renewals: limits, a second way to the renewal function, and what is refused (6.01, 6.03, 6.05)."""

from __future__ import annotations

from decimal import Decimal, localcontext

import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

from quotekit.pricing.lives.precise import PRECISE, gamma
from quotekit.pricing.lives.weibull import (
    Weibull,
    a_weibull,
    expected_renewals,
    mean_life,
    reliability,
    weibull_renewals,
)

shapes = st.decimals(min_value="0.3", max_value=8, places=2)


def by_series(life: Weibull, time: Decimal, terms: int = 90) -> Decimal:
    """The renewal function by its power series: a way that shares nothing with the steps.

    M(t) = sum over k of (-1) ** (k - 1) A_k x ** k / Gamma(1 + k shape), x = (t / scale) ** shape, with
    g_k = Gamma(1 + k shape) / k! and A_k = g_k - sum over j < k of g_j A_(k - j). Source: Smith and Leadbetter, 1963,
    from memory.
    """
    with localcontext(PRECISE) as context:
        context.prec = 80
        x = (time / life.scale) ** life.shape
        gammas = [gamma(1 + k * life.shape) for k in range(terms + 1)]
        factorial, g, a, total = Decimal(1), [Decimal(0)], [Decimal(0)], Decimal(0)
        for k in range(1, terms + 1):
            factorial *= k
            g.append(gammas[k] / factorial)
            a.append(g[k] - sum((g[j] * a[k - j] for j in range(1, k)), Decimal(0)))
            total += (-1) ** (k - 1) * a[k] * x**k / gammas[k]
        return total


@pytest.mark.parametrize(
    ("shape", "time", "allowed"),
    [
        ("0.5", "0.5", "1E-4"),
        ("0.8", "0.5", "1E-6"),
        ("1.5", "0.7", "1E-7"),
        ("2.10135", "1", "1E-7"),
        ("4", "1", "1E-6"),
    ],
)
def test_steps_and_series_agree(shape: str, time: str, allowed: str) -> None:
    """Also for early failures, whose law rises without bound at zero and is the hardest for equal steps."""
    life = a_weibull(Decimal(1), Decimal(shape))
    assert abs(weibull_renewals(life, Decimal(time)) - by_series(life, Decimal(time))) <= Decimal(allowed)


def test_a_shape_of_one_renews_at_an_even_pace() -> None:
    assert abs(weibull_renewals(a_weibull(Decimal(2), Decimal(1)), Decimal(5)) - Decimal("2.5")) < Decimal("1E-7")


@pytest.mark.parametrize(("shape", "mean"), [("1", "3"), ("0.5", "6"), ("0.25", "72")])
def test_means_in_closed_form(shape: str, mean: str) -> None:
    """scale x Gamma(1 + 1 / shape): 3 x 1!, 3 x 2!, 3 x 4!."""
    assert round(mean_life(a_weibull(Decimal(3), Decimal(shape))), 25) == Decimal(mean)


@given(shapes, st.decimals(min_value=0, max_value=4, places=2))
def test_reliability_falls_from_one(shape: Decimal, age: Decimal) -> None:
    """All are whole at zero, e ** -1 at the age of the scale, fewer later."""
    life = a_weibull(Decimal(2), shape)
    assert reliability(life, Decimal(0)) == 1
    assert round(reliability(life, Decimal(2)), 20) == Decimal("0.36787944117144232160")
    assert reliability(life, age + 1) < reliability(life, age) <= 1


@settings(max_examples=5, deadline=None, derandomize=True)
@given(st.decimals(min_value="0.8", max_value=5, places=1), st.decimals(min_value="0.2", max_value=3, places=1))
def test_renewals_keep_to_their_bounds(shape: Decimal, time: Decimal) -> None:
    """F(t) <= M(t) <= F(t) / R(t): at least the first failure, at most as if every one started anew at once."""
    life = a_weibull(Decimal(1), shape)
    whole, renewed = reliability(life, time), weibull_renewals(life, time)
    assert 1 - whole <= renewed + Decimal("1E-5")
    assert renewed * whole <= 1 - whole + Decimal("1E-5")


def test_no_time_no_renewal() -> None:
    assert weibull_renewals(a_weibull(Decimal(1), Decimal(2)), Decimal(0)) == 0


def test_a_jump_between_the_steps_is_refused() -> None:
    """A life of exactly 4 over 12: no step of 12 / 50 ends on 4, and the extrapolation would invent renewals."""
    with pytest.raises(ValueError, match="jumps between the steps"):
        expected_renewals(lambda age: Decimal(int(age >= 4)), Decimal(12))


@pytest.mark.parametrize(
    ("scale", "shape", "said"),
    [
        ("0", "2", "the scale must be above zero, not 0"),
        ("-1", "2", "the scale must be above zero, not -1"),
        ("1", "0.09", "the shape must lie from 0.1 to 100, not 0.09"),
        ("1", "101", "the shape must lie from 0.1 to 100, not 101"),
        ("NaN", "2", "the scale must be above zero, not NaN"),
    ],
)
def test_what_is_out_of_the_domain(scale: str, shape: str, said: str) -> None:
    with pytest.raises(ValueError, match=said):
        a_weibull(Decimal(scale), Decimal(shape))


@pytest.mark.parametrize("time", ["-1", "NaN"])
def test_time_runs_forward(time: str) -> None:
    with pytest.raises(ValueError, match="zero or more"):
        weibull_renewals(a_weibull(Decimal(1), Decimal(2)), Decimal(time))
