"""Who prices what next, and what becomes of the jobs of a worker that died.

Tasks are handed out in order, several at once, fewer towards the end so that no worker is left with the last ones. A
worker answers its tasks one by one, so the first without an answer is the one it died on. That one is handed out again
alone; a job on which a second worker dies is given up and told, as it would take every worker with it. The others were
not begun: they are handed out again as if nothing had happened.

Worked example: tasks 0 1 2 3, two workers, two at a time. The worker of 0 and 1 answers 0 and dies: 1 is handed out
again alone, before 4. Its next worker dies too: 1 is given up.
"""

from __future__ import annotations

from collections import deque
from collections.abc import Iterator, Sequence

from quotekit.batch.outcome import Task

MOST_AT_ONCE = 8
"""Tasks handed to a worker at once: a job takes some hundredth of a second, an exchange a thousandth of that."""
MOST_DEATHS = 2
"""Workers that may die on one job before it is given up."""


class Turns:
    """Tasks to be done, as they are asked for. `total` is how many there are at most."""

    def __init__(self, tasks: Iterator[Task], *, total: int, workers: int) -> None:
        self._tasks, self._left, self._workers = tasks, total, workers
        self._again: deque[Task] = deque()
        self._alone: deque[Task] = deque()
        self._deaths: dict[int, int] = {}

    def next_tasks(self) -> list[Task]:
        """What the next free worker is to do; empty where nothing is left to hand out."""
        if self._alone:
            return [self._alone.popleft()]
        most = max(1, min(MOST_AT_ONCE, (self._left + len(self._again)) // (4 * self._workers)))
        taken: list[Task] = []
        while len(taken) < most:
            task = self._next()
            if task is None:
                break
            taken.append(task)
        return taken

    def died(self, unanswered: Sequence[Task], *, begun: bool = True) -> Task | None:
        """A worker died with these tasks; the one that is given up, if any. `begun`: it had got them before it died."""
        rest = list(unanswered)
        given_up = None
        if rest and begun:
            suspect = rest.pop(0)
            deaths = self._deaths[suspect.number] = self._deaths.get(suspect.number, 0) + 1
            if deaths >= MOST_DEATHS:
                given_up = suspect
            else:
                self._alone.append(suspect)
        self._again.extend(rest)
        return given_up

    def _next(self) -> Task | None:
        if self._again:
            return self._again.popleft()
        task = next(self._tasks, None)
        if task is not None:
            self._left -= 1
        return task
