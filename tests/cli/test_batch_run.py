"""A run over a folder with an engine of any kind: order, what is due, and what is taken as it is."""

from __future__ import annotations

from collections.abc import Generator, Iterator
from pathlib import Path
from random import Random

import pytest
from hypothesis import given
from hypothesis import strategies as st

from quotekit.batch.outcome import Outcome, Result, Task, pack
from quotekit.batch.price_job import BookRead
from quotekit.cli.batch_cluster import Cluster
from quotekit.cli.batch_kept import opened_kept
from quotekit.cli.batch_pool import Pool
from quotekit.cli.batch_run import Run, engine_of
from tests.batch.small_folder import Folder, read_of, small_folder


class Shuffled:
    """Answers in an order of its own, some tasks at a time; remembers what it was asked."""

    def __init__(self, seed: int = 0, *, keep: bool = True, kind: str = "job") -> None:
        self._draw, self._keep, self._kind = Random(seed), keep, kind
        self.asked: list[str] = []

    def run(self, tasks: Iterator[Task], total: int) -> Generator[Result, None, None]:
        held: list[Task] = []
        for task in tasks:
            self.asked.append(task.file)
            held.append(task)
            while held and self._draw.random() < 0.5:
                yield self._answer(held.pop(self._draw.randrange(len(held))))
        self._draw.shuffle(held)
        yield from map(self._answer, held)

    def _answer(self, task: Task) -> Result:
        outcome = Outcome(file=task.file, kind="job" if self._kind == "job" else "quote", line="{}")
        return Result(task.number, pack(outcome), self._keep)


@pytest.fixture(scope="module")
def folder(tmp_path_factory: pytest.TempPathFactory) -> Folder:
    return small_folder(tmp_path_factory.mktemp("shop"), 9)


@pytest.fixture(scope="module")
def read(folder: Folder) -> BookRead:
    return read_of(folder.book)


def names(folder: Folder) -> list[str]:
    return sorted(path.name for path in folder.jobs.glob("*.xlsx"))


def told(folder: Folder, read: BookRead, engine: Shuffled, kept_in: Path | None = None) -> tuple[list[str], Run, int]:
    """Files in the order they are told, the run, and how often it said that one was finished."""
    finished: list[int] = []
    with opened_kept(kept_in) as kept:
        run = Run(folder.jobs, names(folder), read, kept)
        files = [outcome.file for outcome in run.outcomes(engine, lambda: finished.append(1))]
    return files, run, len(finished)


@given(st.integers(0, 10_000))
def test_the_order_is_that_of_names_whoever_is_first(folder: Folder, read: BookRead, seed: int) -> None:
    files, _, finished = told(folder, read, Shuffled(seed))
    assert files == names(folder) and finished == len(files)


def test_a_second_run_asks_for_nothing(folder: Folder, read: BookRead, tmp_path: Path) -> None:
    told(folder, read, Shuffled(), tmp_path / "kept")
    again = Shuffled()
    files, run, finished = told(folder, read, again, tmp_path / "kept")
    assert (files, again.asked, finished) == (names(folder), [], len(files))
    assert run.known == len(run.used) == len(files)


def test_what_may_not_be_kept_is_asked_for_again(folder: Folder, read: BookRead, tmp_path: Path) -> None:
    _, first, _ = told(folder, read, Shuffled(keep=False), tmp_path / "kept")
    again = Shuffled()
    told(folder, read, again, tmp_path / "kept")
    assert again.asked == names(folder) and first.used == []


def test_what_is_no_job_is_not_counted_as_one(folder: Folder, read: BookRead, tmp_path: Path) -> None:
    told(folder, read, Shuffled(kind="quote"), tmp_path / "kept")
    _, run, _ = told(folder, read, Shuffled(), tmp_path / "kept")
    assert run.known == 0 and len(run.used) == len(names(folder))


def test_without_a_shop_book_nothing_is_kept(folder: Folder, tmp_path: Path) -> None:
    """The name of the file that is missing is all that is known of it."""
    none = BookRead(book=None, problems=(), sha256=None)
    told(folder, none, Shuffled(), tmp_path / "kept")
    again = Shuffled()
    told(folder, none, again, tmp_path / "kept")
    assert again.asked == names(folder)


def test_a_file_that_went_meanwhile_is_told(folder: Folder, read: BookRead) -> None:
    """It was there when the folder was listed: the line says that there is no such file, and the others are told."""
    with opened_kept(None) as kept:
        run = Run(folder.jobs, ["gone.xlsx", *names(folder)], read, kept)
        outcomes = list(run.outcomes(Shuffled(), lambda: None))
    assert [outcome.file for outcome in outcomes] == ["gone.xlsx", *names(folder)]
    assert '"missing-file"' in outcomes[0].line


def test_stopping_half_way_keeps_what_came(folder: Folder, read: BookRead, tmp_path: Path) -> None:
    """Also what came early and was not told yet."""
    with opened_kept(tmp_path / "kept") as kept:
        outcomes = Run(folder.jobs, names(folder), read, kept).outcomes(Shuffled(3), lambda: None)
        next(outcomes)
        outcomes.close()
    again = Shuffled()
    files, run, _ = told(folder, read, again, tmp_path / "kept")
    assert files == names(folder)
    assert 0 < run.known < len(files) and len(again.asked) + run.known == len(files)


def test_who_prices(read: BookRead) -> None:
    from argparse import Namespace

    for workers in (None, 2):
        assert isinstance(engine_of(Namespace(cluster="tcp://127.0.0.1:1", workers=workers), read), Cluster)
    assert isinstance(engine_of(Namespace(cluster=None, workers=None), read), Pool)
    assert isinstance(engine_of(Namespace(cluster=None, workers=3), read), Pool)
