"""The step at which something turns, whatever the guesses."""

from __future__ import annotations

from hypothesis import given
from hypothesis import strategies as st

from quotekit.pricing.why_boundary import around, boundary


@given(st.integers(-50, 50), st.integers(1, 500), st.integers(1, 500), st.lists(st.integers(-600, 600), max_size=6))
def test_it_is_found_in_both_directions_and_bad_guesses_do_no_harm(
    turn: int, above: int, below: int, guesses: list[int]
) -> None:
    """Holding from `turn` down, then from `turn` up."""
    assert boundary(turn + above, turn - below, lambda step: step <= turn, guesses) == turn
    assert boundary(turn - below, turn + above, lambda step: step >= turn, guesses) == turn


def test_a_good_guess_saves_looking() -> None:
    """Two looks in place of fourteen."""
    looked: list[int] = []

    def holds(step: int) -> bool:
        looked.append(step)
        return step <= 3700

    assert boundary(10_000, 0, holds, around(3700)) == 3700
    assert looked == [3700, 3701]


def test_neighbours_need_no_look() -> None:
    assert boundary(8, 7, lambda step: bool(1 / 0)) == 7
