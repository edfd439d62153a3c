"""Work that may not come to an end is given up."""

from __future__ import annotations

import threading

import pytest

from quotekit.pricing.exact import in_time


@pytest.fixture(autouse=True)
def no_patience(monkeypatch: pytest.MonkeyPatch) -> None:
    monkeypatch.setattr(in_time, "PATIENCE", 0)


def test_work_that_ends_is_done() -> None:
    done: list[str] = []
    assert in_time.ends_in_time(lambda: done.append("done"), 60)
    assert done == ["done"]


def test_work_that_does_not_end_is_left_to_itself() -> None:
    """It goes on beside, and ends with the program."""
    stop, running = threading.Event(), threading.Event()

    def work() -> None:
        running.set()
        stop.wait(60)

    assert not in_time.ends_in_time(work, 0.01)
    assert running.is_set()
    stop.set()
