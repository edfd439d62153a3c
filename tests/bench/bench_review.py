"""Time and memory of a review: `python tests/bench/bench_review.py [JOBS] [JOBS OF EARLIER YEARS]`.

Makes a ledger with a year of jobs (2,000 unless told) whose quotes are as large as those of the worked example, some
earlier years of quotes beside it, and reviews the year by the command, in a process of its own.
"""

from __future__ import annotations

import resource
import subprocess
import sys
import tempfile
import time
from dataclasses import replace
from datetime import date, timedelta
from pathlib import Path

sys.path.insert(0, str(Path(__file__).parents[2]))

from quotekit.model.story import Story, Told
from tests.review.in_ledger import write_ledger
from tests.review.season import YEAR, a_season

_TIMES_LARGER = 3
"""Parts of a job against those of a season of the tests."""


def main(jobs: int = 2000, earlier: int = 0) -> None:
    """Make, run, print."""
    with tempfile.TemporaryDirectory() as folder:
        path = Path(folder) / "shop ledger.db"
        stories = [larger(story) for story in a_season(1, jobs).stories]
        write_ledger(path, [*of_earlier_years(stories, earlier), *stories])
        print(f"{jobs} jobs and {earlier} earlier ones, {path.stat().st_size >> 20} MB")
        words = ["review", "--from", YEAR.first.isoformat(), "--to", YEAR.last.isoformat(), "--ledger", str(path)]
        started = time.perf_counter()
        done = subprocess.run(
            [sys.executable, "-m", "quotekit", *words], capture_output=True, text=True, check=False, cwd=folder
        )
        used = resource.getrusage(resource.RUSAGE_CHILDREN)
        print(f"exit {done.returncode}, {time.perf_counter() - started:.1f} s on the clock")
        print(f"{used.ru_utime + used.ru_stime:.1f} s of processor time, {used.ru_maxrss >> 10} MB")
        print(done.stderr[-400:], done.stdout[-200:], sep="\n")


def larger(story: Story) -> Story:
    """The same story with more parts."""
    accepted = []
    for told in story.accepted:
        agreed = told.body.agreed
        parts = tuple(replace(part, part=f"{part.part}-{n}") for part in agreed.parts for n in range(_TIMES_LARGER))
        accepted.append(Told(told.entry, replace(told.body, agreed=replace(agreed, parts=parts))))
    return replace(story, accepted=tuple(accepted))


def of_earlier_years(stories: list[Story], count: int) -> list[Story]:
    """Silent quotes of the years before."""
    found = []
    for number in range(count):
        told = stories[number % len(stories)].issued[0]
        day = date(2025, 12, 1) - timedelta(days=number % 1500)
        job = f"E{number}"
        entry = replace(told.entry, job=job, day=day)
        found.append(Story(job=job, issued=(Told(entry, replace(told.body, quote_date=day)),)))
    return found


if __name__ == "__main__":
    main(*(int(text) for text in sys.argv[1:]))
