"""Planted times are found, and nothing else: a few seasons here, 200 by `python -m tests.review.many 200`."""

from __future__ import annotations

from functools import cache

import pytest

from quotekit.model.review import Review
from quotekit.pricing.review.review import Kept, review_of
from tests.review.many import Tally, found_times, tally
from tests.review.season import RUST, YEAR, Season, a_season

SEEDS = (1, 2, 3)


@cache
def reviewed(seed: int) -> tuple[Season, Review]:
    """A season and its review."""
    season = a_season(seed)
    return season, review_of(Kept(stories=season.stories), YEAR)


@pytest.mark.parametrize("seed", SEEDS)
def test_exactly_the_planted_times_are_found(seed: int) -> None:
    """Three operations or steps that take longer, two that take less, among 32."""
    season, review = reviewed(seed)
    assert len(season.planted) == 5
    assert found_times(review) == season.planted.keys()


@pytest.mark.parametrize("seed", SEEDS)
def test_a_season_without_planted_times_proposes_none(seed: int) -> None:
    """Chance alone moves no time."""
    season = a_season(seed, under=0, over=0)
    assert found_times(review_of(Kept(stories=season.stories), YEAR)) == set()


@pytest.mark.parametrize("seed", SEEDS)
def test_proposed_times_are_near_the_truth(seed: int) -> None:
    """Within a quarter of it, on the right side of the standard, and the truth within the interval."""
    season, review = reviewed(seed)
    for one in review.proposals:
        truth = season.planted.get((one.kind, one.code))
        if truth is None:
            continue
        assert abs(float(one.shrunk) / truth - 1) < 0.25
        assert (one.new > one.in_force) == (truth > 1)


def test_a_larger_season_tells_what_rust_adds() -> None:
    """45 % where the shop's own technicians meet it; the interval of the ratio of rusty jobs is about that."""
    season = a_season(1, 900)
    rust = [one for one in review_of(Kept(stories=season.stories), YEAR).shop if one.circumstance == "rust"]
    assert abs(float(rust[0].mean) - RUST) < 0.25


def test_the_tally_counts() -> None:
    """What `many` prints: found, missed, found without being planted."""
    found = tally(2)
    assert (found.seasons, found.planted) == (2, 10)
    assert found.found + len(found.missed) == 10
    assert any("10 planted times" in line for line in found.lines())


def test_a_false_finding_is_told() -> None:
    """Held against another season's plants, every finding is wrong."""
    season, review = reviewed(1)
    told = Tally()
    told.add(1, Season(stories=season.stories, planted={("operation", "NONE"): 1.5}), review)
    assert (told.found, len(told.wrong), told.seasons_with_wrong, told.missed) == (0, 5, 1, ["seed 1: NONE"])
