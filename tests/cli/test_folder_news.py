"""What wakes a watch: the system's news of a folder, or the time where the system has none."""

from __future__ import annotations

import time
from collections.abc import Iterator
from itertools import islice
from pathlib import Path

import pytest

from quotekit.cli.folder_news import folder_news


def test_at_once_and_now_and_then(tmp_path: Path) -> None:
    """Without any change it wakes all the same: a network drive may tell nothing."""
    start = time.monotonic()
    assert list(islice(folder_news(tmp_path, idle=50), 3)) == [None] * 3
    assert time.monotonic() - start >= 0.1


@pytest.mark.parametrize("fault", [OSError(28, "no more watches"), RuntimeError("not here"), ImportError("none")])
def test_where_the_system_cannot_tell_the_time_does(
    tmp_path: Path, monkeypatch: pytest.MonkeyPatch, fault: Exception
) -> None:
    def refuse(*_: object, **__: object) -> Iterator[None]:
        raise fault

    monkeypatch.setattr("watchfiles.watch", refuse)
    assert list(islice(folder_news(tmp_path, idle=1), 4)) == [None] * 4


def test_news_that_ends_half_way_is_followed_by_the_time(tmp_path: Path, monkeypatch: pytest.MonkeyPatch) -> None:
    """A drive that goes away takes the system's news with it."""

    def once(*_: object, **__: object) -> Iterator[set[tuple[int, str]]]:
        yield {(1, str(tmp_path / "job.xlsx"))}
        raise OSError(2, "gone")

    monkeypatch.setattr("watchfiles.watch", once)
    assert list(islice(folder_news(tmp_path, idle=1), 5)) == [None] * 5


def test_a_change_wakes_it_before_the_time(tmp_path: Path) -> None:
    news = folder_news(tmp_path, idle=60_000)
    next(news)
    started = time.monotonic()

    def later() -> None:
        for number in range(50):
            time.sleep(0.2)
            (tmp_path / f"{number}.xlsx").write_bytes(b"new")

    import threading

    threading.Thread(target=later, daemon=True).start()
    next(news)
    assert time.monotonic() - started < 30
