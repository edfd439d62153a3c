"""A smaller run of `many_arguments`: the functions over the pipe are those of the engine, to the cent."""

from __future__ import annotations

from fractions import Fraction

import pytest

from tests.addin.many_arguments import an_engine, compare
from tests.oracle import cell_functions

CALLS = 600


def test_functions_over_the_pipe_are_the_engines() -> None:
    """Random shops and arguments; every function is refused sometimes and has a figure sometimes; one process."""
    engine = an_engine()
    try:
        differences, seen = compare(engine, CALLS, seed=7)
    finally:
        engine.stop()
    assert differences == []
    assert seen["calls"] == CALLS and engine.starts == 1
    for name in ("SELLING_PRICE", "SHARED_HOURS", "TAX_ON", "REMEDY_PRICE"):
        assert seen[f"{name} with a figure"] > 20 and seen[f"{name} refused"] > 2


def test_a_cent_of_difference_is_seen(monkeypatch: pytest.MonkeyPatch) -> None:
    """A comparison that can't fail proves nothing: the other reckoning is made to differ by the least it can."""
    right = cell_functions.selling_price
    monkeypatch.setattr(
        cell_functions, "selling_price", lambda book, cost, listed: right(book, cost, listed) + Fraction(1, 1000)
    )
    engine = an_engine()
    try:
        differences, seen = compare(engine, 100, seed=7)
    finally:
        engine.stop()
    assert len(differences) == seen["SELLING_PRICE with a figure"] > 10
