"""Many jobs at once: `quotekit batch` on one worker, on two, and on a cluster of this machine."""

from __future__ import annotations

import importlib.util

from tests.bench.table import Row, skipped

SECTION = "Many jobs at once, quotekit batch"


def measure(rounds: int, jobs: int) -> list[Row]:
    """Jobs a second on one worker and on two, by the clock; two workers should be nearly twice one."""
    if importlib.util.find_spec("quotekit.cli.batch") is None:
        return [skipped(SECTION, "jobs a second", "there is no quotekit batch")]
    return []
