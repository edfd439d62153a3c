"""The same work on a Dask cluster of two processes on this computer: equal bytes, and no work lost."""

from __future__ import annotations

import json
import logging
import os
import signal
import subprocess
import sys
import time
from collections.abc import Iterator
from pathlib import Path
from typing import Any

import pytest

from quotekit.batch.outcome import Result, Task, unpack
from quotekit.batch.price_job import BookRead
from quotekit.cli import batch_cluster
from quotekit.cli.batch_cluster import Cluster, ClusterFault, book_of, work_for
from quotekit.cli.batch_pool import Pool
from quotekit.cli.batch_work import program_digest, work_all
from quotekit.cli.main import main
from tests.batch.small_folder import Folder, read_of, small_folder, with_bad_jobs
from tests.cli.test_batch import started

distributed: Any = pytest.importorskip("distributed")
cloudpickle: Any = pytest.importorskip("cloudpickle")


def two_workers(workers: int = 2) -> Any:
    """A scheduler and its workers, each a process; no page to look at. Workers that die are started again, however long
    a busy machine takes for it."""
    import dask

    logging.getLogger("distributed").setLevel(logging.CRITICAL)
    dask.config.set({"distributed.scheduler.allowed-failures": 1, "distributed.deploy.lost-worker-timeout": "600s"})
    return distributed.LocalCluster(
        n_workers=workers,
        threads_per_worker=1,
        processes=True,
        host="127.0.0.1",
        dashboard_address=None,
        silence_logs=logging.CRITICAL,
    )


@pytest.fixture(scope="module")
def cluster() -> Iterator[Any]:
    with two_workers() as running:
        yield running


@pytest.fixture(scope="module")
def folder(tmp_path_factory: pytest.TempPathFactory) -> Folder:
    return with_bad_jobs(small_folder(tmp_path_factory.mktemp("shop"), 40))


def tasks_of(folder: Folder) -> list[Task]:
    paths = sorted(folder.jobs.glob("*.xlsx"))
    return [Task(number, path.name, path.read_bytes()) for number, path in enumerate(paths)]


def by_number(results: Iterator[Result]) -> dict[int, Result]:
    found = list(results)
    assert len(found) == len({result.number for result in found})
    return {result.number: result for result in found}


def test_results_are_byte_equal_to_those_of_this_computer(cluster: Any, folder: Folder) -> None:
    """In whatever order they come: good jobs, bad jobs and what is passed over."""
    tasks, read = tasks_of(folder), read_of(folder.book)
    here = by_number(Pool(read, 2).run(iter(tasks), len(tasks)))
    there = by_number(Cluster(read, cluster.scheduler_address).run(iter(tasks), len(tasks)))
    assert len(here) == 45 and there == here


def test_the_command_says_the_same(cluster: Any, folder: Folder, tmp_path: Path) -> None:
    """Lines, results and summary, with every file sent to workers that see none of them."""
    asked = ["--cluster", cluster.scheduler_address]
    for out, words in (("here", []), ("there", asked), ("some", [*asked, "--workers", "1"])):
        running = started(folder, tmp_path / out, *words)
        told, err = running.communicate()
        (tmp_path / out / "lines").write_bytes(told)
        assert running.returncode == 1 and b"45 jobs: 40 priced, 5 with errors." in err, err
    for name in ("lines", "jobs batch results.jsonl", "jobs batch summary.xlsx"):
        here = (tmp_path / "here" / name).read_bytes()
        assert here == (tmp_path / "there" / name).read_bytes() == (tmp_path / "some" / name).read_bytes()


def test_no_more_threads_than_were_named(
    cluster: Any, folder: Folder, tmp_path: Path, monkeypatch: pytest.MonkeyPatch
) -> None:
    """`--workers 1` on a cluster of two: one set at a time, and the same bytes."""
    began = tmp_path / "began"

    def noting(program: str, read: BookRead, tasks: list[Task]) -> list[Result]:
        began.mkdir()  # fails where another set is in work
        results = work_all(read, tasks)
        began.rmdir()
        return results

    cloudpickle.register_pickle_by_value(sys.modules[__name__])
    monkeypatch.setattr(batch_cluster, "work_for", noting)
    tasks, read = tasks_of(folder), read_of(folder.book)
    there = by_number(Cluster(read, cluster.scheduler_address, most=1).run(iter(tasks), len(tasks)))
    assert there == {result.number: result for result in work_all(read, tasks)}


def test_a_killed_worker_loses_nothing(cluster: Any, folder: Folder) -> None:
    """kill -9 of a worker's process once it has answered something."""
    tasks, read = tasks_of(folder) * 4, read_of(folder.book)
    tasks = [task._replace(number=number) for number, task in enumerate(tasks)]
    running = Cluster(read, cluster.scheduler_address).run(iter(tasks), len(tasks))
    found = [next(running)]
    os.kill(next(iter(cluster.workers.values())).pid, signal.SIGKILL)
    found += running
    there = by_number(iter(found))
    here = {result.number: result for result in work_all(read, tasks_of(folder))}
    assert {number: result.packed for number, result in there.items()} == {
        task.number: here[task.number % 45].packed for task in tasks
    }


def test_a_job_that_kills_every_worker_is_told(cluster: Any, folder: Folder, monkeypatch: pytest.MonkeyPatch) -> None:
    """The jobs that were sent together with it are priced all the same."""

    def killing(program: str, read: BookRead, tasks: list[Task]) -> list[Result]:
        if any(task.file == "job 003.xlsx" for task in tasks):
            os.kill(os.getpid(), signal.SIGKILL)
        return work_all(read, tasks)

    cloudpickle.register_pickle_by_value(sys.modules[__name__])
    monkeypatch.setattr(batch_cluster, "work_for", killing)
    tasks, read = tasks_of(folder), read_of(folder.book)
    found = by_number(Cluster(read, cluster.scheduler_address).run(iter(tasks), len(tasks)))
    assert sorted(found) == list(range(45))
    lost = [result for result in found.values() if not result.keep]
    assert [unpack(result.packed).file for result in lost] == ["job 003.xlsx"]
    assert '"worker-ended"' in unpack(lost[0].packed).line


def test_workers_of_another_program_price_nothing(
    cluster: Any, folder: Folder, monkeypatch: pytest.MonkeyPatch
) -> None:
    def of_this_process() -> str:
        return str(os.getpid())

    cloudpickle.register_pickle_by_value(sys.modules[__name__])
    monkeypatch.setattr(batch_cluster, "program_digest", of_this_process)
    with pytest.raises(ClusterFault, match="does not have the same quotekit") as raised:
        list(Cluster(read_of(folder.book), cluster.scheduler_address).run(iter(tasks_of(folder)), 45))
    assert raised.value.problem.code == "cluster-program"


def test_a_worker_that_comes_later_is_looked_at_too(folder: Folder) -> None:
    with pytest.raises(batch_cluster.OtherProgram):
        work_for("of another program", read_of(folder.book), [])
    assert work_for(program_digest(), read_of(folder.book), []) == []


def test_a_scheduler_without_workers(folder: Folder) -> None:
    with two_workers(0) as empty, pytest.raises(ClusterFault) as raised:
        list(Cluster(read_of(folder.book), empty.scheduler_address).run(iter([]), 0))
    assert raised.value.problem.code == "cluster-empty"


@pytest.mark.parametrize("address", ["tcp://127.0.0.1:1", "nowhere", "mail://127.0.0.1:9"])
def test_no_scheduler(
    folder: Folder, address: str, tmp_path: Path, monkeypatch: pytest.MonkeyPatch, capsys: pytest.CaptureFixture[str]
) -> None:
    monkeypatch.setattr(batch_cluster, "PATIENCE", 1)
    words = ["batch", str(folder.book), str(folder.jobs), "--out", str(tmp_path), "--cluster", address]
    assert main(words) == 3
    said = capsys.readouterr()
    assert f"No scheduler answered at {address}" in said.err and "dask scheduler" in said.err  # "cluster-not-reached"
    assert said.out == "" and "Traceback" not in said.err
    assert not list(tmp_path.glob("*.xlsx"))


def test_the_library_is_not_installed(
    folder: Folder, tmp_path: Path, monkeypatch: pytest.MonkeyPatch, capsys: pytest.CaptureFixture[str]
) -> None:
    monkeypatch.setitem(sys.modules, "distributed", None)
    words = ["batch", str(folder.book), str(folder.jobs), "--json", "--out", str(tmp_path), "--cluster", "tcp://x:1"]
    assert main(words) == 3
    assert "pip install 'quotekit[cluster]'" in capsys.readouterr().err  # "no-distributed"


def test_without_a_cluster_the_library_is_not_loaded(folder: Folder, tmp_path: Path) -> None:
    """It takes longer to load than a job to price, and a shop without a cluster need not have it."""
    program = (
        "import sys; from quotekit.cli.main import main; "
        f"main(['batch', {str(folder.book)!r}, {str(folder.jobs)!r}, '--out', {str(tmp_path)!r}]); "
        "sys.exit('distributed' in sys.modules)"
    )
    assert subprocess.run([sys.executable, "-c", program], capture_output=True).returncode == 0


def test_a_cluster_that_goes_away_is_told_and_what_was_priced_is_kept(folder: Folder, tmp_path: Path) -> None:
    with two_workers(1) as leaving:
        big = small_folder(tmp_path, 200)
        running = started(big, tmp_path / "out", "--cluster", leaving.scheduler_address, stdout=subprocess.DEVNULL)
        kept, until = tmp_path / "out" / ".quotekit batch jobs", time.monotonic() + 60
        while not (kept.exists() and kept.stat().st_size > 4000):
            assert running.poll() is None and time.monotonic() < until
            time.sleep(0.01)
    _, err = running.communicate(timeout=90)
    assert running.returncode == 3 and b"The cluster stopped answering" in err and b"Traceback" not in err
    again, err = started(big, tmp_path / "out").communicate()  # after "cluster-lost"
    assert len(again.splitlines()) == 200 and b" were priced before" in err


def test_the_book_travels_whole(folder: Folder) -> None:
    import pickle
    import zlib

    read = read_of(folder.book)
    assert book_of(zlib.compress(pickle.dumps(read))) == read
    assert json.loads(unpack(work_all(read, tasks_of(folder)[:1])[0].packed).line)["job"] == "1"
