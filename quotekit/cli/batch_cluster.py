"""Workers of a cluster: the same work on a running Dask scheduler, reached by its address (extra `cluster`).

The workers share no disk with this computer: the bytes of each job are sent to them, the shop book once to each, and
the packed outcomes come back. The book is a task of the cluster itself, so that a worker that comes later, or one that
takes the place of a dead one, gets it from there. What a dead worker had is given to another by the scheduler. Only
workers whose code is the same as here may price: equal bytes come from equal programs.
"""

from __future__ import annotations

import logging
import pickle
import platform
import zlib
from collections.abc import Generator, Iterator
from contextlib import contextmanager
from typing import TYPE_CHECKING, Any

from quotekit.cli.batch_work import given_up, program_digest, work_all

if TYPE_CHECKING:
    from quotekit.batch.cluster_turns import ClusterTurns, Sent
    from quotekit.batch.outcome import Result, Task
    from quotekit.batch.price_job import BookRead
    from quotekit.problems import Problem

PATIENCE = 15
"""Seconds until a scheduler has answered."""
LOOKS = 6
"""How often a cluster that answers nothing is found without a worker before it is given up."""


class ClusterFault(Exception):
    """The cluster can't be used; `problem` says why and what to do."""

    def __init__(self, problem: Problem) -> None:
        super().__init__(problem.message)
        self.problem = problem


class OtherProgram(Exception):
    """A worker's code is not the same as that of the computer that asks."""


class Cluster:
    """A running scheduler and its workers; `most` is how many of their threads may price at once, None for all."""

    def __init__(self, read: BookRead, address: str, *, most: int | None = None) -> None:
        self._read, self._address, self._most = read, address, most

    def run(self, tasks: Iterator[Task], total: int) -> Generator[Result, None, None]:
        """Every task's result, as they are ready. Raises ClusterFault."""
        from quotekit.batch.cluster_turns import ClusterTurns

        with self._client() as client:
            threads = self._checked(client)
            yield from self._results(client, ClusterTurns(tasks, total=total, threads=threads, most=self._most))

    def _results(self, client: Any, turns: ClusterTurns) -> Iterator[Result]:
        packed = zlib.compress(pickle.dumps(self._read))
        book = client.submit(book_of, packed, pure=False)
        running: dict[Any, Sent] = {}
        while True:
            while (sent := turns.next_tasks(len(running))) is not None:
                if book.status == "error":  # it died with the workers that held it
                    book = client.submit(book_of, packed, pure=False)
                running[client.submit(work_for, program_digest(), book, sent.tasks, pure=False)] = sent
            if not running:
                return
            for future in self._finished(client, list(running)):
                try:
                    results = future.result(timeout=PATIENCE)
                except TimeoutError:  # its worker died before it was fetched, and it is worked out again
                    continue
                except Exception as raised:
                    yield from map(given_up, self._unanswered(raised, running.pop(future), turns))
                else:
                    del running[future]
                    yield from results

    def _finished(self, client: Any, futures: list[Any]) -> list[Any]:
        """Some that are finished, or failed. Raises ClusterFault where no worker is left for long."""
        for _ in range(LOOKS):
            try:
                with client.as_current():
                    return list(library().wait(futures, timeout=PATIENCE, return_when="FIRST_COMPLETED").done)
            except TimeoutError:
                if client.nthreads():
                    return []
            except Exception as raised:
                raise ClusterFault(_lost(self._address, raised)) from raised
        raise ClusterFault(_no_worker(self._address))

    def _unanswered(self, raised: Exception, sent: Sent, turns: ClusterTurns) -> list[Task]:
        """Tasks to give up, where workers died. Raises ClusterFault where something else is wrong."""
        if isinstance(raised, library().KilledWorker):
            return turns.died(sent)
        if isinstance(raised, OtherProgram):
            raise ClusterFault(_other_program(self._address, str(raised))) from raised
        raise ClusterFault(_lost(self._address, raised)) from raised

    @contextmanager
    def _client(self) -> Iterator[Any]:
        client_of = library().Client
        _be_quiet()
        try:
            client = client_of(self._address, timeout=PATIENCE, set_as_default=False)
        except (OSError, ValueError, TypeError) as fault:
            raise ClusterFault(_not_reached(self._address, fault)) from fault
        try:
            yield client
        finally:
            client.close(timeout=PATIENCE)

    def _checked(self, client: Any) -> int:
        """How many threads the cluster has; all of its workers run the same program as this one."""
        threads = client.nthreads()
        if not threads:
            raise ClusterFault(_no_worker(self._address))
        digests = client.run(program_digest, on_error="return")
        for worker, digest in sorted(digests.items()):
            if digest != program_digest():
                raise ClusterFault(_other_program(self._address, worker))
        return sum(threads.values())


def library() -> Any:
    """Dask's distributed. Raises ClusterFault where it is not installed."""
    try:
        import distributed
    except ImportError as missing:
        raise ClusterFault(_no_library()) from missing
    return distributed


def _be_quiet() -> None:
    """What the library says of a connection is told by problems, in plain words."""
    for name in ("distributed", *logging.root.manager.loggerDict):
        if name.partition(".")[0] == "distributed":
            logging.getLogger(name).setLevel(logging.CRITICAL + 1)


def book_of(packed: bytes) -> BookRead:
    """The shop book, on a worker."""
    read: BookRead = pickle.loads(zlib.decompress(packed))
    return read


def work_for(program: str, read: BookRead, tasks: list[Task]) -> list[Result]:
    """Price some workbooks, on a worker. Raises OtherProgram."""
    if program != program_digest():
        raise OtherProgram(platform.node())
    return work_all(read, tasks)


def _no_library() -> Problem:
    from quotekit.problems import Place, error

    message = "A cluster is reached through Dask's distributed, and it is not installed."
    return error(Place(""), "no-distributed", message, "Install it beside quotekit: pip install 'quotekit[cluster]'.")


def _not_reached(address: str, fault: Exception) -> Problem:
    from quotekit.problems import Place, error

    said = f": {fault}" if isinstance(fault, ValueError) else ""
    message = f"No scheduler answered at {address}{said}."
    remedy = "Check the address (as tcp://192.0.2.10:8786) and that `dask scheduler` runs there."
    return error(Place(address), "cluster-not-reached", message, remedy)


def _no_worker(address: str) -> Problem:
    from quotekit.problems import Place, error

    message = "The scheduler has no worker."
    return error(
        Place(address), "cluster-empty", message, "Start `dask worker ADDRESS` on the computers that are to work."
    )


def _other_program(address: str, worker: str) -> Problem:
    from quotekit.problems import Place, error

    message = f"The worker {worker} does not have the same quotekit, or the same libraries below it, as this computer."
    remedy = "Install the same versions there: prices must not hang on who works them out."
    return error(Place(address), "cluster-program", message, remedy)


def _lost(address: str, raised: object) -> Problem:
    from quotekit.problems import Place, error

    message = f"The cluster stopped answering ({type(raised).__name__})."
    return error(Place(address), "cluster-lost", message, "Run it again: what was priced is kept.")
