"""Workers of this computer: processes that get the shop book once and tasks as they are free.

Each worker has a pipe of its own, so that a worker that ends (killed, out of memory) takes nothing with it but the one
job it was at, and it is known which. Where the system can fork, a worker is a copy of this process as it is, with the
shop book read; elsewhere the book is sent to it.
"""

from __future__ import annotations

import contextlib
import gc
import multiprocessing
import os
import signal
import sys
from collections import deque
from collections.abc import Generator, Iterator
from multiprocessing.connection import Connection, wait
from typing import TYPE_CHECKING, Any

from quotekit.cli.batch_work import given_up, work

if TYPE_CHECKING:
    from quotekit.batch.outcome import Result, Task
    from quotekit.batch.price_job import BookRead

FORKS = sys.platform == "linux"
IDLE_DEATHS = 8
"""Workers that may end one after the other without a single answer between: then something else is wrong."""


def usable_cores() -> int:
    """How many cores this process may use."""
    if hasattr(os, "sched_getaffinity"):
        return len(os.sched_getaffinity(0))
    return os.cpu_count() or 1


class WorkersEnd(Exception):
    """Workers end as soon as they are started."""

    def __init__(self) -> None:
        from quotekit.problems import Place, error

        message = "The processes that price jobs end as soon as they are started."
        self.problem = error(
            Place(""), "no-worker", message, "Run it again with fewer --workers, or close other programs."
        )
        super().__init__(message)


class _Worker:
    """A process, the pipe to it, and the tasks it has not answered yet."""

    def __init__(self, read: BookRead, others: list[Connection]) -> None:
        context: Any = multiprocessing.get_context("fork" if FORKS else "spawn")
        self.pipe, theirs = context.Pipe()
        inherited = [*others, self.pipe] if FORKS else []
        sys.stdout.flush()
        sys.stderr.flush()
        self.process = context.Process(target=_serve, args=(theirs, inherited, read), daemon=True)
        with _no_key_press():
            self.process.start()
        theirs.close()
        self.tasks: deque[Task] = deque()

    def give(self, tasks: list[Task]) -> bool:
        """Hand tasks over; False where it has ended."""
        self.tasks.extend(tasks)
        try:
            self.pipe.send(tasks)
        except OSError:
            return False
        return True

    def answer(self) -> Result | None:
        """Its next answer; None where it has ended."""
        try:
            result: Result = self.pipe.recv()
        except (EOFError, OSError):
            return None
        self.tasks.popleft()
        return result

    def end(self) -> None:
        """End it, whatever it does."""
        self.pipe.close()
        self.process.kill()
        self.process.join()
        self.process.close()


class Pool:
    """So many workers, started when there is work for them."""

    def __init__(self, read: BookRead, workers: int) -> None:
        self._read, self._most = read, workers
        self._workers: list[_Worker] = []
        self._idle_deaths = 0

    def run(self, tasks: Iterator[Task], total: int) -> Generator[Result, None, None]:
        """Every task's result, as they are ready. Raises WorkersEnd."""
        from quotekit.batch.turns import Turns

        turns = Turns(tasks, total=total, workers=self._most)
        gc.freeze()  # what is there now is shared with the workers and not searched for cycles
        try:
            while True:
                yield from self._hand_out(turns)
                busy = [worker for worker in self._workers if worker.tasks]
                if not busy:
                    return
                ready = set(wait([worker.pipe for worker in busy]))
                for worker in busy:
                    if worker.pipe in ready:
                        yield from self._take(worker, turns)
        finally:
            gc.unfreeze()
            for worker in self._workers:
                worker.end()
            self._workers.clear()

    def _hand_out(self, turns: Any) -> Iterator[Result]:
        """Give every free worker something to do, starting workers while there is work for more."""
        while True:
            free = next((worker for worker in self._workers if not worker.tasks), None)
            if free is None and len(self._workers) >= self._most:
                return
            tasks = turns.next_tasks()
            if not tasks:
                return
            if free is None:
                free = _Worker(self._read, [worker.pipe for worker in self._workers])
                self._workers.append(free)
            if not free.give(tasks):
                yield from self._bury(free, turns, begun=False)

    def _take(self, worker: _Worker, turns: Any) -> Iterator[Result]:
        result = worker.answer()
        if result is None:
            yield from self._bury(worker, turns, begun=True)
        else:
            self._idle_deaths = 0
            yield result

    def _bury(self, worker: _Worker, turns: Any, *, begun: bool) -> Iterator[Result]:
        """A worker has ended: what it had goes to others."""
        self._workers.remove(worker)
        task = turns.died(list(worker.tasks), begun=begun)
        worker.end()
        self._idle_deaths += 1
        if self._idle_deaths > IDLE_DEATHS + 2 * self._most:
            raise WorkersEnd
        if task is not None:
            yield given_up(task)


@contextlib.contextmanager
def _no_key_press() -> Iterator[None]:
    """A key press waits until the block ends: a process that is begun in it hears none before it is asked to.

    Where the system has no signals to hold back (Windows), nothing is held back.
    """
    if not hasattr(signal, "pthread_sigmask"):
        yield
        return
    if not FORKS:
        from multiprocessing import resource_tracker

        resource_tracker.ensure_running()  # begun in the block, as the first start would, it lets key presses through
    before = signal.pthread_sigmask(signal.SIG_BLOCK, {signal.SIGINT})
    try:
        yield
    finally:
        signal.pthread_sigmask(signal.SIG_SETMASK, before)


def _serve(pipe: Connection, inherited: list[Connection], read: BookRead) -> None:
    """A worker's life: tasks in, results out one by one, until the other end is closed."""
    signal.signal(signal.SIGINT, signal.SIG_IGN)  # a key press ends the run; the run ends its workers
    for other in inherited:
        other.close()
    gc.set_threshold(20_000)  # what hangs together in circles is a quarter of a megabyte a job
    with contextlib.suppress(EOFError, OSError):
        while True:
            for task in pipe.recv():
                pipe.send(work(read, task))
