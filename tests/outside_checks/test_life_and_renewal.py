"""Outside checks 6.01 to 6.07: expected renewals, planned replacement age, mean life, bearing rating life.

Sources
-------
TIJMS
    Tijms, A First Course in Stochastic Models (Wiley, 2003), Table 8.1.1 Renewal function for the Weibull distribution,
    p. 312, read (6.01).
RENEWAL
    Standard renewal theory, e.g. Cox, Renewal Theory, 1962, from memory (6.03).
RELIABILITY
    reliability (Python package), documentation page Optimal replacement time, first example, docs 2025-03-07, package
    0.9.0, read; its printed 493.19 is a point of its grid, the exact least is at 493.047 (6.04).
WEIBULL
    Weibull formulas, from memory (6.05).
ISO 281
    ISO 281:2007, basic rating life of ball bearings, as given on a bearing maker's engineering page, read (6.07).
"""

from __future__ import annotations

from collections.abc import Callable
from decimal import Decimal, localcontext

import pytest

from quotekit.pricing.lives.age_replacement import cost_rate, replace_by_age
from quotekit.pricing.lives.bearing import rating_life
from quotekit.pricing.lives.precise import PRECISE
from quotekit.pricing.lives.weibull import (
    a_weibull,
    expected_renewals,
    mean_life,
    reliability,
    weibull_renewals,
)

TABLE = [
    ("0.1", "0.0061", "-0.275"),
    ("0.2", "0.0261", "-0.175"),
    ("0.4", "0.1087", "0.025"),
    ("0.6", "0.2422", "0.225"),
    ("0.8", "0.4141", "0.425"),
    ("1.0", "0.6091", "0.625"),
    ("1.2", "0.8143", "0.825"),
    ("1.5", "1.124", "1.125"),
    ("2.0", "1.627", "1.625"),
    ("2.5", "2.125", "2.125"),
]
"""Time, expected renewals, asymptote."""


@pytest.mark.parametrize(("time", "printed", "asymptote"), TABLE)
def test_6_01_expected_renewals_of_a_weibull_life(time: str, printed: str, asymptote: str) -> None:
    """6.01 (TIJMS): mean 1, squared coefficient of variation 0.25; 0.0002 on four decimals, 0.0005 on three."""
    life = a_weibull(Decimal("1.12906"), Decimal("2.10135"))
    allowed = Decimal("0.0002") if len(printed.partition(".")[2]) == 4 else Decimal("0.0005")
    assert abs(weibull_renewals(life, Decimal(time)) - Decimal(printed)) <= allowed
    assert Decimal(time) + (Decimal("0.25") - 1) / 2 == Decimal(asymptote)


def test_6_01_the_law_has_the_mean_and_scatter_of_the_table() -> None:
    """6.01 (TIJMS): mean 1, squared coefficient of variation 0.25, from Gamma(1 + 2 / shape)."""
    from quotekit.pricing.lives.precise import gamma

    scale, shape = Decimal("1.12906"), Decimal("2.10135")
    mean = mean_life(a_weibull(scale, shape))
    with localcontext(PRECISE):
        scatter = scale**2 * gamma(1 + 2 / shape) / mean**2 - 1
    assert abs(mean - 1) < Decimal("0.00001") and abs(scatter - Decimal("0.25")) < Decimal("0.00001")


def exponential(age: Decimal) -> Decimal:
    """Rate 2."""
    return 1 - (-2 * age).exp()


def erlang(age: Decimal) -> Decimal:
    """Two stages, rate 2 each."""
    return 1 - (1 + 2 * age) * (-2 * age).exp()


def uniform(age: Decimal) -> Decimal:
    """From 0 to 1."""
    return min(age, Decimal(1))


def always_four(age: Decimal) -> Decimal:
    """Exactly 4."""
    return Decimal(int(age >= 4))


@pytest.mark.parametrize(
    ("law", "time", "closed_form", "shown"),
    [
        (exponential, 3, lambda: Decimal(6), "6"),
        (erlang, 2, lambda: Decimal(2) * 2 / 2 - Decimal("0.25") + Decimal(-8).exp() / 4, "1.7500839"),
        (uniform, 1, lambda: Decimal(1).exp() - 1, "1.7182818"),
        (always_four, 10, lambda: Decimal(10 // 4), "2"),
    ],
    ids=["exponential", "erlang", "uniform", "deterministic"],
)
def test_6_03_closed_forms(
    law: Callable[[Decimal], Decimal], time: int, closed_form: Callable[[], Decimal], shown: str
) -> None:
    """6.03 (RENEWAL, from memory): within 1E-7."""
    with localcontext(PRECISE):
        expected = closed_form()
    assert abs(expected - Decimal(shown)) <= Decimal("0.00000005")
    assert abs(expected_renewals(law, Decimal(time)) - expected) <= Decimal("1E-7")


def test_6_04_the_cheapest_planned_replacement_age() -> None:
    """6.04 (RELIABILITY): age within 0.5 of both the printed grid point and the exact least, cost rates within 1E-6."""
    life = a_weibull(Decimal(1000), Decimal("2.5"))
    best = replace_by_age(Decimal(1), Decimal(5), life)
    assert best.age is not None
    assert abs(best.age - Decimal("493.19")) <= Decimal("0.5") and abs(best.age - Decimal("493.05")) <= Decimal("0.5")
    assert abs(best.cost_rate - Decimal("0.00346204")) <= Decimal("1E-6")
    assert abs(best.run_to_failure - Decimal("0.00563530")) <= Decimal("1E-6")
    assert round(best.cost_rate, 4) == Decimal("0.0035")
    assert abs(cost_rate(Decimal(1), Decimal(5), life, Decimal("493.19")) - best.cost_rate) <= Decimal("1E-6")


def test_6_05_mean_life_and_reliability() -> None:
    """6.05 (WEIBULL, from memory): 0.005 on the mean, 0.00005 on R."""
    life = a_weibull(Decimal(1000), Decimal("2.5"))
    assert abs(mean_life(life) - Decimal("887.26")) <= Decimal("0.005")
    assert abs(reliability(life, Decimal(500)) - Decimal("0.8380")) <= Decimal("0.00005")


def test_6_07_half_the_load_gives_eight_times_the_life() -> None:
    """6.07 (ISO 281): C / P of 6 and of 12, ball; exact."""
    assert rating_life(Decimal(12), Decimal(1)) / rating_life(Decimal(6), Decimal(1)) == 8
