"""Numbers that look drawn: the same on every machine, fair to every outcome."""

from __future__ import annotations

from collections import Counter
from itertools import islice

import pytest

from quotekit.pricing.review.draws import numbers_below


def first(count: int, below: int, seed: str = "season") -> list[int]:
    """So many numbers."""
    return list(islice(numbers_below(below, seed), count))


def test_the_sequence_never_changes() -> None:
    """Figures of past reviews stay what they were: the digest of `season|0`, as sha256sum prints it, in eights."""
    digest = "47babc8f 5f40a440 5ed12a90 29b49a81 3d8aa7f0 c9b339c1 eafa7b4a 52e871c1"
    assert first(8, 10) == [int(word, 16) % 10 for word in digest.split()]


@pytest.mark.parametrize("below", [1, 2, 7, 200, 2**31 + 5])
def test_all_lie_below(below: int) -> None:
    """Also where most numbers of 32 bits have to be passed over."""
    assert all(0 <= number < below for number in first(300, below))


def test_another_seed_gives_another_sequence() -> None:
    """And the same seed the same one."""
    assert first(50, 1000) == first(50, 1000)
    assert first(50, 1000) != first(50, 1000, "other")


def test_every_outcome_is_about_as_likely() -> None:
    """Of 20,000 numbers below 8, each outcome has 2,500 within five standard deviations of 47."""
    counts = Counter(first(20_000, 8))
    assert all(abs(counts[outcome] - 2500) < 5 * 47 for outcome in range(8))
