"""Many jobs at once: `quotekit batch` on one worker, on two, and on a cluster of two workers on this machine.

Whole commands by the clock, each into a folder of its own so that nothing is known from before; what a start costs is
taken off by a run of one job, so that jobs a second are those of a long run.
"""

from __future__ import annotations

import importlib.util
import subprocess
import sys
import tempfile
from collections.abc import Callable, Iterator
from contextlib import contextmanager
from itertools import count
from pathlib import Path

from tests.bench.paired import Job, Took, in_turn, middle, python, spread
from tests.bench.table import Row, skipped

SECTION = "Many jobs at once, quotekit batch"
SCALING = 1.8
CLUSTER = """
import sys
from distributed import LocalCluster
if __name__ == "__main__":
    with LocalCluster(n_workers=2, threads_per_worker=1, dashboard_address=None) as cluster:
        print(cluster.scheduler_address, flush=True)
        sys.stdin.read()
"""


def measure(rounds: int, jobs: int) -> list[Row]:
    """Jobs a second, and how much two workers do of what one does."""
    if importlib.util.find_spec("quotekit.cli.batch") is None:
        return [skipped(SECTION, "jobs a second", "there is no quotekit batch")]
    from tests.bench.make_jobs import make_shop

    with tempfile.TemporaryDirectory() as name:
        folder = Path(name)
        book, many = make_shop(folder / "many", jobs)
        _, one = make_shop(folder / "one", 1)
        new = count()

        def batch(which: Path, *words: str) -> Job:
            def run() -> Took:
                out = folder / f"out {next(new)}"
                out.mkdir()
                return python("-m", "quotekit", "batch", str(book), str(which), "--out", str(out), *words)()

            return run

        with _cluster(folder) as address:
            ways = {"one worker": ("--workers", "1"), "two workers": ("--workers", "2")}
            if address:
                ways["a cluster of two"] = ("--cluster", address)
            taken = in_turn(
                rounds, {name: _net(batch(many, *words), batch(one, *words)) for name, words in ways.items()}
            )
        rows = [
            Row(SECTION, f"{jobs} jobs, {name}, each", middle(taken, name, "clock") / (jobs - 1), rounds=rounds,
                by="clock", note=f"{(jobs - 1) / middle(taken, name, 'clock'):.1f} jobs a second")
            for name in taken
        ]  # fmt: skip
        for name in list(ways)[1:]:
            figures = [a.clock / b.clock for a, b in zip(taken["one worker"], taken[name], strict=True)]
            what = f"{name} beside one"
            rows.append(Row(SECTION, what, ratio=spread(figures), reads="× as many", rounds=rounds, aim=SCALING))
        if not address:
            rows.append(skipped(SECTION, "a cluster of two", "distributed is not installed"))
    return rows


def _net(whole: Callable[[], Took], start: Callable[[], Took]) -> Job:
    """The time of all but the first job."""

    def run() -> Took:
        all_of_it, first = whole(), start()
        return Took(*(max(1e-9, a - b) for a, b in zip(all_of_it, first, strict=True)))

    return run


@contextmanager
def _cluster(folder: Path) -> Iterator[str]:
    """A scheduler with two workers of one thread; no address where the library is not installed."""
    if importlib.util.find_spec("distributed") is None:
        yield ""
        return
    script = folder / "cluster.py"
    script.write_text(CLUSTER, encoding="utf-8")
    words = [sys.executable, str(script)]
    process = subprocess.Popen(
        words, stdin=subprocess.PIPE, stdout=subprocess.PIPE, stderr=subprocess.DEVNULL, text=True
    )
    try:
        assert process.stdout is not None
        yield process.stdout.readline().strip()
    finally:
        assert process.stdin is not None
        process.stdin.close()
        process.wait(60)
