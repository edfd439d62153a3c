"""Outside checks of the shrinkage: published results of the credibility estimator of Buhlmann and Straub.

Fire losses of five risk groups over five years: Buhlmann and Gisler's example of a hierarchy, whose variance within the
lowest level a public R script states as 261.1139 (package actuar, function cm; read in November 2026).
Bodily injury claims of five states over twelve quarters (Hachemeister, 1975): weights and own means of the states, and
the variance within states 139120026, as printed by actuar (read in November 2026). What the flat model makes of them,
a variance between states of 89639 and premiums of 2055, 1524, 1793, 1443, 1603, is from memory.
Reaches of Student's t and shares of the normal distribution: standard tables, from memory.
"""

from __future__ import annotations

from decimal import Decimal
from fractions import Fraction

import pytest

from quotekit.money import round_to
from quotekit.pricing.review.credibility import credibility, draw_together
from quotekit.pricing.review.quantile import standard_errors, within

FIRE = (
    ("729 786 872 951 1019", "0.8 1.4 0.3 0.88 1.6"),
    ("1631 1802 2090 2300 2368", "0.06 0.72 0.16 0.20 0.38"),
    ("796 827 874 917 944", "1.80 0.6 0.8 1.9 1.1"),
    ("3152 3454 3715 3859 4198", "0.56 1.2 0.84 1.07 0.8"),
    ("400 420 422 424 440", "0.1 0 0.4 2.4 0.1"),
)
"""Weights and loss ratios of each group."""

WEIGHTS = [Fraction(weight) for weight in (100155, 19895, 13735, 4152, 36110)]
MEANS = [Fraction(mean) for mean in ("2060.921", "1511.224", "1805.843", "1352.976", "1599.829")]
WITHIN = Fraction(139120026)


def test_the_variance_within_groups() -> None:
    """All five groups and five years, to the four decimals that are printed."""
    groups = [
        [(Fraction(x), Fraction(w)) for x, w in zip(ratios.split(), weights.split(), strict=True)]
        for weights, ratios in FIRE
    ]
    found = credibility(groups).within
    assert found is not None and round_to(found, 4) == Decimal("261.1139")


def test_the_variance_between_groups() -> None:
    """The means are given to three decimals, so the variance agrees to the whole number."""
    assert round_to(draw_together(WEIGHTS, MEANS, WITHIN).between, 0) == 89639


@pytest.mark.parametrize(("state", "premium"), list(enumerate((2055, 1524, 1793, 1443, 1603))))
def test_each_group_drawn_to_the_mean(state: int, premium: int) -> None:
    """Share x own mean + (1 - share) x the mean weighted by shares."""
    found = draw_together(WEIGHTS, MEANS, WITHIN)
    share = found.shares[state]
    assert round_to(share * MEANS[state] + (1 - share) * found.mean, 0) == premium


T_TABLE = (
    (2, "0.95", "4.303"),
    (4, "0.95", "2.776"),
    (10, "0.95", "2.228"),
    (20, "0.95", "2.086"),
    (30, "0.95", "2.042"),
    (60, "0.95", "2.000"),
    (120, "0.95", "1.980"),
    (4, "0.99", "4.604"),
    (10, "0.99", "3.169"),
    (30, "0.99", "2.750"),
    (10, "0.999", "4.587"),
)


@pytest.mark.parametrize(("degrees", "sure", "reach"), T_TABLE)
def test_reaches_of_students_t(degrees: int, sure: str, reach: str) -> None:
    """The two-sided critical values every table gives, to three decimals."""
    assert round_to(standard_errors(1, degrees, Decimal(sure)) - Decimal("0.00005"), 3) == Decimal(reach)


@pytest.mark.parametrize(("reach", "share"), [("1", "0.6827"), ("2", "0.9545"), ("3", "0.9973")])
def test_many_degrees_are_near_the_normal_distribution(reach: str, share: str) -> None:
    """68.27, 95.45 and 99.73 percent, as every table gives them, less a little."""
    assert Decimal(0) < Decimal(share) - within(Decimal(reach), 200) < Decimal("0.002")
