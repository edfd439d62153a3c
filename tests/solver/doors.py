"""The engine made to choose in one way only, so that small jobs prove the way that large ones take."""

from __future__ import annotations

from collections.abc import Iterator
from contextlib import contextmanager

from quotekit.pricing import choose


@contextmanager
def the_engine_with(way: str) -> Iterator[None]:
    """listed: every choice by the integer model; tangled: every group stated by its rules too; else as it is."""
    before = choose.MOST_COMPARED, choose.MOST_LOOKED_THROUGH, choose.MOST_LISTED
    if way:
        choose.MOST_COMPARED = 0
    if way == "tangled":
        choose.MOST_LOOKED_THROUGH = 0
    try:
        yield
    finally:
        choose.MOST_COMPARED, choose.MOST_LOOKED_THROUGH, choose.MOST_LISTED = before
