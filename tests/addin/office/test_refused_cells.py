"""Cells that were refused: the engine is asked ever more seldom, and cells that do not come back are left alone."""

from __future__ import annotations

import threading
from collections.abc import Callable
from typing import Any

import pytest

from quotekit.addin.office import refused_cells
from quotekit.addin.office.refused_cells import FIRST_PAUSE, LONGEST_PAUSE, MOST_TRIES, Refused


class Waits:
    """In place of the clock: what is to be done later is kept, with the pause, until the test does it."""

    def __init__(self) -> None:
        self.pauses: list[float] = []
        self.works: list[Callable[[], None]] = []
        self.come = threading.Event()

    def after(self, _: Any, seconds: float, work: Callable[[], None]) -> None:
        self.pauses.append(seconds)
        self.works.append(work)
        self.come.set()

    def next(self) -> None:
        """Do what is due; what it does in a thread is over when something else is due or all are back."""
        self.come.clear()
        self.works.pop(0)()
        assert self.come.wait(10)


class Engine:
    there = False

    def ask_quickly(self, words: dict[str, Any], seconds: float) -> dict[str, Any]:
        assert words == {"do": "functions", "asked": []} and seconds > 0
        if not self.there:
            raise OSError("no such program")
        return {"done": {"answers": []}}


@pytest.fixture
def engine(monkeypatch: pytest.MonkeyPatch) -> Engine:
    one = Engine()
    monkeypatch.setattr(refused_cells, "engine", lambda: one)
    return one


@pytest.fixture
def waits(monkeypatch: pytest.MonkeyPatch) -> Waits:
    one = Waits()
    monkeypatch.setattr(refused_cells, "after", one.after)
    return one


def test_asked_more_and_more_seldom_until_it_is_back(engine: Engine, waits: Waits) -> None:
    """Thousands of refused cells are one wait; the program returns, and all are worked out again, once."""
    back: list[int] = []
    refused = Refused(lambda: (back.append(1), waits.come.set()))  # type: ignore[func-returns-value]
    desk: Any = object()
    for _ in range(2000):
        refused.one(desk)
    for _ in range(6):
        waits.next()
    assert back == [] and waits.pauses == sorted(waits.pauses)
    assert (waits.pauses[0], waits.pauses[-1], len(waits.pauses)) == (FIRST_PAUSE, LONGEST_PAUSE, 7)
    engine.there = True
    waits.next()
    assert back == [1] and waits.works == []
    refused.one(desk)
    assert waits.pauses[-1] == FIRST_PAUSE, "the next fault is a new one"


def test_cells_that_do_not_come_back_are_left_alone(engine: Engine, waits: Waits) -> None:
    """An engine that hangs over one cell and answers else would hold the office up for ever; a change is a new try."""
    refused = Refused(waits.come.set)
    engine.there = True
    desk: Any = object()
    for _ in range(MOST_TRIES):
        refused.one(desk)
        waits.next()
    refused.one(desk)
    assert waits.works == []
    refused.new_start()
    refused.one(desk)
    assert len(waits.works) == 1
