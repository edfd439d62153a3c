"""Which tasks a cluster gets next, and which job it is that kills workers.

A scheduler says of a set of tasks only that workers died while they held it, and they hold more than they work on. So
after such deaths the sets are looked at more closely, once everything that runs has ended:

    stage   at once                              a set that workers died on is
    sets    several jobs, some sets a thread     sent again job by job, apart
    apart   one job a thread                     sent again alone
    alone   one job in the whole cluster         given up: no other job can have done it

Worked example: of two workers one dies on job 5, which was sent with 4 to 7, while 8 to 11 waited there: 4 to 11 go
apart. Now workers die on 5, and on 9, which happened to be beside it: both go alone. 9 is priced, 5 is given up.
"""

from __future__ import annotations

from collections import deque
from collections.abc import Iterator
from typing import Literal, NamedTuple

from quotekit.batch.outcome import Task
from quotekit.batch.turns import Turns

AHEAD = 3
"""Sets for each thread of the cluster: one in work, and those that wait there already."""

Stage = Literal["sets", "apart", "alone"]


class Sent(NamedTuple):
    """Tasks that are sent together, and how closely they are looked at."""

    tasks: list[Task]
    stage: Stage


class ClusterTurns:
    """Tasks for a cluster with so many threads. `total` is how many there are at most.

    `most` is how many threads may be asked at once, None for all. Then no set waits ahead of its turn: the scheduler
    would give it to a thread that is free, or that comes later.
    """

    def __init__(self, tasks: Iterator[Task], *, total: int, threads: int, most: int | None = None) -> None:
        asked = threads if most is None else min(most, threads)
        self._turns = Turns(tasks, total=total, workers=asked)
        at_once = AHEAD * threads if most is None else min(most, AHEAD * threads)
        self._running: dict[Stage, int] = {"sets": at_once, "apart": asked, "alone": 1}
        self._apart: deque[Task] = deque()
        self._alone: deque[Task] = deque()
        self._stage: Stage = "sets"

    def next_tasks(self, running: int) -> Sent | None:
        """What is to be sent while so many sets run; None where nothing is, now or at all."""
        stage: Stage = "apart" if self._apart else "alone" if self._alone else "sets"
        if running and stage != self._stage:
            return None
        self._stage = stage
        if running >= self._running[stage]:
            return None
        if stage != "sets":
            return Sent([(self._apart if stage == "apart" else self._alone).popleft()], stage)
        tasks = self._turns.next_tasks()
        return Sent(tasks, stage) if tasks else None

    def died(self, sent: Sent) -> list[Task]:
        """Workers died while they held this set; the tasks that are given up."""
        if sent.stage == "alone":
            return sent.tasks
        (self._apart if sent.stage == "sets" else self._alone).extend(sent.tasks)
        return []
