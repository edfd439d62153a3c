"""The step at which something turns, between one where it does not hold and one where it does.

Source: bisection. Worked example: it holds from 37 down and is known to hold at 0 and not at 100: 37.
"""

from __future__ import annotations

from collections.abc import Callable, Iterable


def boundary(loses: int, wins: int, holds: Callable[[int], bool], guesses: Iterable[int] = ()) -> int:
    """The winning step next to a losing one, between a step known to lose and one known to win.

    >>> boundary(100, 0, lambda n: n <= 37), boundary(0, 100, lambda n: n >= 37, guesses=[37, 36])
    (37, 37)
    """
    for guess in guesses:
        if min(loses, wins) < guess < max(loses, wins):
            loses, wins = (loses, guess) if holds(guess) else (guess, wins)
    while abs(wins - loses) > 1:
        middle = (wins + loses) // 2
        loses, wins = (loses, middle) if holds(middle) else (middle, wins)
    return wins


def around(guess: int) -> list[int]:
    """A guess and its neighbours, the guess first."""
    return [guess, guess + 1, guess - 1, guess + 2, guess - 2]
