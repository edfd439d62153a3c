"""Times taken in turn: every round runs each job once, so that a slow moment of the machine hits all of them.

Of a round two jobs are compared with each other, never with another round; what is told is the median of these ratios
and the middle half of them. Processor time is that of this process with its threads, or of a command with all that it
started; the clock counts what else the machine does.
"""

from __future__ import annotations

import gc
import os
import subprocess
import sys
import time
from collections.abc import Callable, Mapping, Sequence
from dataclasses import dataclass
from pathlib import Path
from statistics import median, quantiles
from typing import NamedTuple

ROOT = Path(__file__).parents[2]


class Took(NamedTuple):
    """Seconds of one run."""

    clock: float
    processor: float


Job = Callable[[], Took]
Taken = Mapping[str, Sequence[Took]]
"""Runs by the name of the job, a round at each place."""


@dataclass(frozen=True)
class Spread:
    """The median of several figures, and where the middle half of them lies."""

    middle: float
    low: float
    high: float


class CommandFailed(RuntimeError):
    """A measured command did not end as it should: its time says nothing."""


def spread(figures: Sequence[float]) -> Spread:
    """Median and middle half; with fewer than four figures the least and the greatest.

    >>> spread([3.0, 1.0, 2.0])
    Spread(middle=2.0, low=1.0, high=3.0)
    """
    if len(figures) < 4:
        return Spread(median(figures), min(figures), max(figures))
    low, _, high = quantiles(figures, n=4, method="inclusive")
    return Spread(median(figures), low, high)


def in_turn(rounds: int, jobs: Mapping[str, Job]) -> dict[str, list[Took]]:
    """Each job once a round, every second round the other way round; a first round is not counted."""
    for job in jobs.values():
        job()
    taken: dict[str, list[Took]] = {name: [] for name in jobs}
    for turn in range(rounds):
        for name in sorted(jobs, key=list(jobs).index, reverse=bool(turn % 2)):
            taken[name].append(jobs[name]())
    return taken


def here(work: Callable[[], object], times: int = 1) -> Job:
    """A job of this process, so often in a row; seconds of one time."""

    def run() -> Took:
        gc.collect()
        clock, processor = time.perf_counter(), time.process_time()
        for _ in range(times):
            work()
        return Took((time.perf_counter() - clock) / times, (time.process_time() - processor) / times)

    return run


def command(*words: str, environment: Mapping[str, str] | None = None) -> Job:
    """A job that is a command of its own, from the project's folder; what it prints is thrown away."""

    def run() -> Took:
        start = time.perf_counter()
        started = subprocess.Popen(
            words,
            cwd=ROOT,
            env=environment,
            stdin=subprocess.DEVNULL,
            stdout=subprocess.DEVNULL,
            stderr=subprocess.PIPE,
        )
        assert started.stderr is not None
        said = started.stderr.read()
        _, status, used = os.wait4(started.pid, 0)
        started.returncode = os.waitstatus_to_exitcode(status)
        started.stderr.close()
        if started.returncode:
            raise CommandFailed(f"{' '.join(words[:4])} ended with {started.returncode}: {said.decode()[-400:]}")
        return Took(time.perf_counter() - start, used.ru_utime + used.ru_stime)

    return run


def python(*words: str) -> Job:
    """A command of this Python, with compiled modules kept, as those of an installed program are."""
    return command(sys.executable, *words, environment=_compiled())


def _compiled() -> dict[str, str]:
    environment = {name: value for name, value in os.environ.items() if name != "PYTHONDONTWRITEBYTECODE"}
    return environment | {"PYTHONPYCACHEPREFIX": str(ROOT / "build" / "compiled")}


def ratios(taken: Taken, one: str, other: str, by: str = "processor") -> list[float]:
    """One job's time by the other's, round by round."""
    return [getattr(a, by) / getattr(b, by) for a, b in zip(taken[one], taken[other], strict=True)]


def middle(taken: Taken, name: str, by: str = "processor") -> float:
    """A job's median in seconds."""
    return median(getattr(took, by) for took in taken[name])


def peak_megabytes(words: Sequence[str]) -> float:
    """The most memory a Python program takes, as Linux keeps it for that program alone."""
    script = (
        "import runpy, sys\nsys.argv = sys.argv[1:]\n"
        "try:\n    runpy.run_module(sys.argv[0], run_name='__main__', alter_sys=True)\n"
        "except SystemExit as ended:\n    assert not ended.code, ended.code\n"
        "finally:\n"
        "    (line,) = [line for line in open('/proc/self/status') if line.startswith('VmHWM')]\n"
        "    print(line.split()[1], file=sys.stderr)\n"
    )
    done = subprocess.run([sys.executable, "-c", script, *words], cwd=ROOT, capture_output=True, text=True, check=False)
    if done.returncode:
        raise CommandFailed(f"{' '.join(words[:3])} ended with {done.returncode}: {done.stderr[-400:]}")
    return int(done.stderr.split()[-1]) / 1024
