"""Small counts are drawn toward the mean of all; large ones and those that differ speak for themselves."""

from __future__ import annotations

from fractions import Fraction

import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

from quotekit.pricing.review.credibility import Credibility, credibility

RATIOS = st.fractions(min_value=Fraction(1, 10), max_value=4, max_denominator=50)
WEIGHTS = st.fractions(min_value=Fraction(1, 10), max_value=3, max_denominator=20)
GROUPS = st.lists(st.lists(st.tuples(RATIOS, WEIGHTS), min_size=1, max_size=6), min_size=1, max_size=5)


def of(*groups: str) -> Credibility:
    """Groups of ratios of weight one each: `1.1 0.9`."""
    return credibility([[(Fraction(text), Fraction(1)) for text in group.split()] for group in groups])


def test_the_ratio_is_a_ratio_of_sums() -> None:
    """1.0 h and 2.0 h standard, 1.5 and 2.1 actual: 3.6 / 3.0, not the mean of 1.5 and 1.05."""
    found = credibility([[(Fraction("1.5"), Fraction(2, 3)), (Fraction("1.05"), Fraction(4, 3))]])
    assert found.groups[0].ratio == Fraction("1.2")


def test_groups_that_differ_without_spread() -> None:
    """Nothing is chance, so each ratio counts in full."""
    found = of("1 1", "3 3")
    assert [(group.credibility, group.shrunk) for group in found.groups] == [(1, 1), (1, 3)]
    assert (found.within, found.between, found.prior) == (0, 2, 0)


def test_groups_that_differ_by_chance_only() -> None:
    """Their own ratios count nothing: all are drawn to the mean."""
    found = of("0.5 1.5", "0.6 1.4")
    assert (found.between, found.prior) == (0, None)
    assert [(group.credibility, group.shrunk) for group in found.groups] == [(0, 1), (0, 1)]


def test_by_hand() -> None:
    """Ratios 1 and 2 of two observations each, 0.8 and 1.2, 1.8 and 2.2: within 0.16 / 2 = 0.08;
    between 4 / (16 - 8) x (2 x 0.25 x 2 - 0.08) = 0.46; prior 0.08 / 0.46; weight 2 / (2 + prior) = 0.92.
    """
    found = of("0.8 1.2", "1.8 2.2")
    assert (found.within, found.between, found.prior) == (Fraction("0.08"), Fraction("0.46"), Fraction(4, 23))
    share = Fraction(2) / (2 + Fraction(4, 23))
    assert share == Fraction("0.92")
    assert [group.shrunk for group in found.groups] == [
        share + (1 - share) * Fraction(3, 2),
        2 * share + (1 - share) * Fraction(3, 2),
    ]


@pytest.mark.parametrize("groups", [("1.4",), ("1.4", "0.9")], ids=["one job", "one job each"])
def test_single_observations_tell_no_spread(groups: tuple[str, ...]) -> None:
    """Without a second observation anywhere, no variance is known; all are drawn to the mean of all."""
    found = of(*groups)
    mean = sum(map(Fraction, groups)) / len(groups)
    assert (found.within, found.prior, found.mean) == (None, None, mean)
    assert [(group.variance, group.shrunk) for group in found.groups] == [(None, mean)] * len(groups)


def test_more_jobs_count_for_more() -> None:
    """The same spread with more observations is drawn less."""
    found = of("1.3 1.7", "1.3 1.7 1.3 1.7 1.3 1.7", "0.8 1.2", "0.8 1.2 0.8 1.2")
    few, many = found.groups[0], found.groups[1]
    assert few.ratio == many.ratio == Fraction("1.5")
    assert few.credibility < many.credibility
    assert few.shrunk < many.shrunk < Fraction("1.5")
    assert few.variance is not None and many.variance is not None and few.variance > many.variance


def test_the_variance_of_its_own_ratio_by_hand() -> None:
    """Two of 0.8 and 1.2: 0.08, and ten observations' worth of the common 0.08, over 11 degrees, by a weight of 2.
    The two groups have two degrees between them.
    """
    found = of("0.8 1.2", "1.8 2.2")
    assert [(group.variance, group.degrees) for group in found.groups] == [(Fraction("0.04"), 2)] * 2
    many = of(" ".join(["0.8 1.2"] * 30), "1 1 1 1 1 1 1 1 1")
    assert [group.degrees for group in many.groups] == [67, 18]


@settings(max_examples=15)
@given(GROUPS)
def test_a_shrunk_ratio_lies_between_its_own_and_the_mean(groups: list[list[tuple[Fraction, Fraction]]]) -> None:
    """It is drawn toward the mean and never past it; weights lie between 0 and 1."""
    found = credibility(groups)
    for group in found.groups:
        low, high = sorted((group.ratio, found.mean))
        assert low <= group.shrunk <= high
        assert 0 <= group.credibility <= 1
        assert group.variance is None or group.variance >= 0


@settings(max_examples=15)
@given(GROUPS, st.fractions(min_value=Fraction(1, 5), max_value=5, max_denominator=7))
def test_other_units_change_nothing_but_the_unit(
    groups: list[list[tuple[Fraction, Fraction]]], factor: Fraction
) -> None:
    """Ratios in other units give the same weights and the ratios in that unit."""
    found = credibility(groups)
    scaled = credibility([[(factor * x, w) for x, w in group] for group in groups])
    assert [group.credibility for group in scaled.groups] == [group.credibility for group in found.groups]
    assert [group.shrunk for group in scaled.groups] == [factor * group.shrunk for group in found.groups]


@settings(max_examples=15)
@given(GROUPS, st.randoms(use_true_random=False))
def test_the_order_of_jobs_moves_nothing(groups: list[list[tuple[Fraction, Fraction]]], random: object) -> None:
    """Exact sums do not hang on their order."""
    mixed = [list(group) for group in groups]
    for group in mixed:
        random.shuffle(group)  # type: ignore[attr-defined]
    assert credibility(mixed) == credibility(groups)
