"""What a run tells as it goes: lines of JSON, what is wrong with a job, how far it is, and what it came to."""

from __future__ import annotations

import json
import sys
import time
from collections import Counter
from collections.abc import Callable, Iterator
from contextlib import contextmanager
from pathlib import Path
from typing import TYPE_CHECKING, Any

from quotekit.cli.report import say

if TYPE_CHECKING:
    from _typeshed import SupportsWrite

    from quotekit.batch.outcome import Outcome
    from quotekit.batch.price_job import BookRead
    from quotekit.model.batch import BatchedJob, ToldProblem

REFRESH = 0.1
"""Seconds between two pictures of the bar."""


class Told:
    """Takes every outcome in order: counts it, tells it, and keeps what the summary needs."""

    def __init__(self, folder: Path, read: BookRead, *, lines: SupportsWrite[str] | None, printed: bool) -> None:
        from quotekit.batch.read_lines import told

        self._folder, self._lines, self._printed = folder, lines, printed
        self.book_problems: tuple[ToldProblem, ...] = told(read.problems)
        self._of_book = frozenset(self.book_problems)
        self.jobs: list[BatchedJob] = []
        self.passed_over: Counter[str] = Counter()
        self.figures: list[str] = []
        """What costings beside the jobs say."""
        self.count = 0
        self.refused = 0

    def take(self, outcome: Outcome) -> None:
        """One outcome more. Raises OSError."""
        if outcome.kind != "job":
            self.passed_over[outcome.kind] += 1
            self.figures += filter(None, [outcome.figures])
            return
        line, value = self._with_photos(outcome)
        if self._printed:
            print(line, flush=True)
        if self._lines is not None:
            self._lines.write(line + "\n")
            self._keep(outcome, value)
        self.count += 1
        self._tell_errors(value)

    def _with_photos(self, outcome: Outcome) -> tuple[str, dict[str, Any]]:
        """The line, with what is wrong with the photos that lie beside the job now."""
        value: dict[str, Any] = json.loads(outcome.line)
        if not outcome.photos:
            return outcome.line, value
        from quotekit.documents.quote_json import problem_json
        from quotekit.workbook.photos import photo_problems

        found = photo_problems(outcome.photos, self._folder)
        if not found:
            return outcome.line, value
        value["problems"] += [problem_json(problem) for problem in found]
        return json.dumps(value), value

    def _keep(self, outcome: Outcome, value: dict[str, Any]) -> None:
        from quotekit.batch.read_lines import job_of

        self.jobs.append(job_of(outcome, value, self._of_book))

    def _tell_errors(self, value: dict[str, Any]) -> None:
        """What stood in a job's way; warnings are in its line and in the summary."""
        from quotekit.batch.read_lines import told_problem

        errors = [problem for problem in value["problems"] if problem["severity"] == "error"]
        self.refused += bool(errors)
        for problem in errors:
            if told_problem(problem) not in self._of_book:
                say(f"{problem['place']}: {problem['message']}\n    {problem['remedy']}")

    def in_words(self, known: int) -> str:
        """What a run came to, in words."""
        named = ", ".join(f"{count} {_plural(kind, count)}" for kind, count in sorted(self.passed_over.items()))
        passed = f" Passed over: {named}." if named else ""
        if not self.count:
            return f"There is no job in {self._folder}: nothing was priced.{passed}"
        before = f" {known} were priced before, from the same contents." if known else ""
        jobs = f"{self.count} {_plural('job', self.count)}"
        priced = f"{jobs}: {self.count - self.refused} priced, {self.refused} with errors."
        losing = sum(job.loses for job in self.jobs)
        lost = f" {losing} with an option that loses money." if losing else ""
        other = sum(bool(job.other_currency) for job in self.jobs)
        apart = f" {other} with a quote given in another currency, which is not compared." if other else ""
        return f"{priced}{lost}{apart}{before}{passed}"


def _plural(kind: str, count: int) -> str:
    words = "other workbook" if kind == "other" else kind
    return words if count == 1 else f"{words}s"


@contextmanager
def progress(total: int, *, printed: bool) -> Iterator[Callable[[], None]]:
    """A bar where somebody looks at a screen; the block calls what it is given for each workbook that is finished.

    Lines that are printed go to stdout beside it; on the same screen they are enough to see that it goes on.

    The bar has no thread of its own: workers are copies of this process, and a copy has no threads.
    """
    if not sys.stderr.isatty() or not total or (printed and sys.stdout.isatty()):
        yield lambda: None
        return
    from rich.console import Console
    from rich.progress import BarColumn, MofNCompleteColumn, Progress, TextColumn, TimeRemainingColumn

    columns = (TextColumn("Pricing"), BarColumn(), MofNCompleteColumn(), TimeRemainingColumn())
    console = Console(stderr=True)
    shown = Progress(*columns, console=console, auto_refresh=False, transient=True, redirect_stdout=False)
    drawn = [0.0]
    bar = shown.add_task("", total=total)

    def done() -> None:
        shown.advance(bar)
        now = time.monotonic()
        if now - drawn[0] > REFRESH:
            drawn[0] = now
            shown.refresh()

    with shown:
        yield done
