"""Wakes whoever watches a folder: when the system tells of a change there, and now and then all the same."""

from __future__ import annotations

import time
from collections.abc import Iterator
from pathlib import Path


def folder_news(folder: Path, *, idle: int) -> Iterator[None]:
    """At once, then after each change in the folder, at the latest every `idle` milliseconds.

    Which files changed is not passed on: systems tell it differently and not always (network drives, some
    containers), so that a look at the folder is what counts. Where the system can't tell at all the folder is looked at
    every `idle` milliseconds.
    """
    yield
    try:
        from watchfiles import watch

        for _ in watch(folder, recursive=False, debounce=100, step=50, rust_timeout=idle, yield_on_timeout=True):
            yield
    except (ImportError, OSError, RuntimeError):
        while True:
            time.sleep(idle / 1000)
            yield
