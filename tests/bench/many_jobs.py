"""Many jobs at once: `quotekit batch` on one worker, on two, and on a cluster of two workers on this machine.

Beside them two commands at once, each with half the jobs: they share nothing, so what they do of what one command does
is what the machine gives to two processes, and no two workers can do more for long.

Whole commands by the clock, each into a folder of its own so that nothing is known from before; what a start costs is
taken off by a run of one job, so that jobs a second are those of a long run.
"""

from __future__ import annotations

import importlib.util
import shutil
import subprocess
import sys
import tempfile
import time
from collections.abc import Callable, Iterator, Sequence
from concurrent.futures import ThreadPoolExecutor
from contextlib import contextmanager
from itertools import count
from pathlib import Path

from tests.bench.paired import Job, Took, in_turn, middle, python, spread
from tests.bench.table import Row, skipped

SECTION = "Many jobs at once, quotekit batch"
SCALING = 1.8
APART = "two commands at once, half the jobs each"
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
        halves = _halves(many, folder)
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
            tried = {name: _net(batch(many, *words), batch(one, *words)) for name, words in ways.items()}
            at_once = _at_once([batch(half, "--workers", "1") for half in halves])
            tried[APART] = _net(at_once, _at_once([batch(one, "--workers", "1") for _ in halves]))
            taken = in_turn(rounds, tried)
        rows = [
            Row(SECTION, f"{jobs} jobs, {name}, each", middle(taken, name, "clock") / (jobs - 1), rounds=rounds,
                by="clock", note=f"{(jobs - 1) / middle(taken, name, 'clock'):.1f} jobs a second")
            for name in taken
        ]  # fmt: skip
        for name in list(tried)[1:]:
            figures = [a.clock / b.clock for a, b in zip(taken["one worker"], taken[name], strict=True)]
            what, aim = f"{name} beside one", None if name == APART else SCALING
            rows.append(Row(SECTION, what, ratio=spread(figures), reads="× as many", rounds=rounds, aim=aim))
        if not address:
            rows.append(skipped(SECTION, "a cluster of two", "distributed is not installed"))
    return rows


def _halves(jobs: Path, folder: Path) -> list[Path]:
    """The same jobs in two folders, every second one in the other."""
    halves = [folder / "half" / "jobs", folder / "other half" / "jobs"]
    for half in halves:
        half.mkdir(parents=True)
    for number, path in enumerate(sorted(jobs.iterdir())):
        shutil.copy(path, halves[number % 2])
    return halves


def _at_once(jobs: Sequence[Job]) -> Job:
    """Several commands at the same time, as one job: from the first start to the last end."""

    def run() -> Took:
        start = time.perf_counter()
        with ThreadPoolExecutor(len(jobs)) as threads:
            done = list(threads.map(lambda job: job(), jobs))
        return Took(time.perf_counter() - start, sum(took.processor for took in done))

    return run


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
