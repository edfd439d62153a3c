"""Workers of this computer: all the work is done, whoever dies."""

from __future__ import annotations

import os
import signal
import time
from collections.abc import Callable, Iterator
from multiprocessing import resource_tracker
from multiprocessing.resource_tracker import ResourceTracker
from pathlib import Path

import pytest

from quotekit.batch.outcome import Result, Task, unpack
from quotekit.batch.price_job import BookRead
from quotekit.cli import batch_pool
from quotekit.cli.batch_pool import Pool, WorkersEnd, usable_cores
from quotekit.cli.batch_work import work_all
from tests.batch.small_folder import read_of, small_folder, with_bad_jobs

NOTHING = BookRead(book=None, problems=(), sha256=None)
needs_fork = pytest.mark.skipif(not batch_pool.FORKS, reason="a worker gets the test's own work by fork")

Work = Callable[[BookRead, Task], Result]


def tasks(count: int) -> Iterator[Task]:
    return (Task(number, f"{number:03}.xlsx", b"") for number in range(count))


def echo(read: BookRead, task: Task) -> Result:
    return Result(task.number, f"{task.number}".encode(), True)


def run(count: int, workers: int) -> dict[int, bytes]:
    results = list(Pool(NOTHING, workers).run(tasks(count), count))
    assert len(results) == len({result.number for result in results})
    return {result.number: result.packed for result in results}


@pytest.fixture
def work(monkeypatch: pytest.MonkeyPatch) -> Callable[[Work], None]:
    """Puts other work in place of pricing."""
    return lambda does: monkeypatch.setattr(batch_pool, "work", does)


@needs_fork
@pytest.mark.parametrize("workers", [1, 2, 4])
@pytest.mark.parametrize("count", [0, 1, 3, 100])
def test_every_task_is_answered_once(work: Callable[[Work], None], count: int, workers: int) -> None:
    work(echo)
    assert run(count, workers) == {number: f"{number}".encode() for number in range(count)}


@needs_fork
def test_answers_come_as_they_are_ready(work: Callable[[Work], None]) -> None:
    """One slow job does not hold up the others."""

    def does(read: BookRead, task: Task) -> Result:
        if task.number == 0:
            time.sleep(1.0)
        return echo(read, task)

    work(does)
    order = [result.number for result in Pool(NOTHING, 2).run(tasks(12), 12)]
    assert sorted(order) == list(range(12))
    assert order.index(0) > 3


@needs_fork
def test_a_worker_killed_once_loses_nothing(work: Callable[[Work], None], tmp_path: Path) -> None:
    """kill -9 in the middle of its work, as the system does when memory runs out."""
    killed = tmp_path / "killed"

    def does(read: BookRead, task: Task) -> Result:
        if task.number == 5 and not killed.exists():
            killed.touch()
            os.kill(os.getpid(), signal.SIGKILL)
        return echo(read, task)

    work(does)
    assert run(40, 2) == {number: f"{number}".encode() for number in range(40)}
    assert killed.exists()


@needs_fork
def test_a_job_that_kills_every_worker_is_told_and_the_rest_go_on(work: Callable[[Work], None]) -> None:
    def does(read: BookRead, task: Task) -> Result:
        if task.number in (3, 17):
            os.kill(os.getpid(), signal.SIGKILL)
        return echo(read, task)

    work(does)
    results = {result.number: result for result in Pool(NOTHING, 2).run(tasks(40), 40)}
    assert sorted(results) == list(range(40))
    for number in (3, 17):
        assert not results[number].keep, "another run may have more memory"
        assert '"worker-ended"' in unpack(results[number].packed).line
    assert all(results[number].packed == f"{number}".encode() for number in range(40) if number not in (3, 17))


@needs_fork
def test_workers_that_end_at_once_end_the_run(work: Callable[[Work], None]) -> None:
    """Not for ever new ones: something is wrong with the machine."""

    def does(read: BookRead, task: Task) -> Result:
        os.kill(os.getpid(), signal.SIGKILL)
        raise AssertionError

    work(does)
    with pytest.raises(WorkersEnd) as raised:
        run(200, 2)
    assert raised.value.problem.code == "no-worker"


@needs_fork
def test_a_run_that_is_broken_off_leaves_no_process(work: Callable[[Work], None], tmp_path: Path) -> None:
    def does(read: BookRead, task: Task) -> Result:
        (tmp_path / f"{os.getpid()}").touch()
        time.sleep(0.05)
        return echo(read, task)

    work(does)
    running = Pool(NOTHING, 2).run(tasks(50), 50)
    next(running)
    running.close()
    seen = [int(path.name) for path in tmp_path.iterdir()]
    assert seen and not any(_runs(process) for process in seen)


@pytest.mark.skipif(not hasattr(signal, "pthread_sigmask"), reason="a key press can't be held back here")
@pytest.mark.parametrize("forks", [True, False], ids=["forked", "started anew"])
def test_a_key_press_while_workers_start_is_for_the_run_alone(
    monkeypatch: pytest.MonkeyPatch, capfd: pytest.CaptureFixture[str], forks: bool
) -> None:
    """Ctrl+C goes to every process of a terminal; one that still loads its modules must not end over it."""
    if forks and not batch_pool.FORKS:
        pytest.skip("no worker is forked here")
    monkeypatch.setattr(batch_pool, "FORKS", forks)
    tracker = ResourceTracker()  # as in a process that never started another: the first start begins one of these
    for name in ("ensure_running", "getfd"):
        monkeypatch.setattr(resource_tracker, name, getattr(tracker, name))
    worker = batch_pool._Worker(NOTHING, [])
    try:
        os.kill(worker.process.pid, signal.SIGINT)
        assert worker.give(list(tasks(1)))
        answer = worker.answer()
    finally:
        worker.end()
        tracker._stop()  # type: ignore[attr-defined]
    assert answer is not None and answer.number == 0
    assert capfd.readouterr().err == ""
    assert signal.SIGINT not in signal.pthread_sigmask(signal.SIG_BLOCK, []), "the run itself hears it again"


def test_workers_that_are_started_anew_price_the_same(tmp_path: Path, monkeypatch: pytest.MonkeyPatch) -> None:
    """As on Windows and macOS: the book is sent to a process that knows nothing yet, and it finds its work by name."""
    monkeypatch.setattr(batch_pool, "FORKS", False)
    folder = with_bad_jobs(small_folder(tmp_path, 3))
    read = read_of(folder.book)
    given = [Task(number, path.name, path.read_bytes()) for number, path in enumerate(sorted(folder.jobs.iterdir()))]
    results = sorted(Pool(read, 2).run(iter(given), len(given)))
    assert results == work_all(read, given)


@needs_fork
def test_a_large_answer_and_a_large_task_do_not_wait_for_each_other(work: Callable[[Work], None]) -> None:
    """Neither fits the pipe: both ends writing at once would stand still for ever."""
    large = bytes(3_000_000)

    def does(read: BookRead, task: Task) -> Result:
        return Result(task.number, task.data, True)

    work(does)
    given = (Task(number, "", large) for number in range(20))
    assert sum(len(result.packed) for result in Pool(NOTHING, 2).run(given, 20)) == 20 * len(large)


def test_no_more_workers_than_work(monkeypatch: pytest.MonkeyPatch) -> None:
    started: list[int] = []
    real = batch_pool._Worker

    class Counted(real):  # type: ignore[misc, valid-type]
        def __init__(self, *words: object) -> None:
            started.append(1)
            super().__init__(*words)

    monkeypatch.setattr(batch_pool, "_Worker", Counted)
    assert len(list(Pool(NOTHING, 8).run(tasks(2), 2))) == 2
    assert len(started) == 2


def test_cores_are_those_it_may_use() -> None:
    assert 1 <= usable_cores() <= (os.cpu_count() or 1)


def _runs(process: int) -> bool:
    try:
        os.kill(process, 0)
    except ProcessLookupError:
        return False
    return True
