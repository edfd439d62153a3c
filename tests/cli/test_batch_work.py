"""What a worker does with whatever happens to a job, and what its program is known by."""

from __future__ import annotations

import json
import subprocess
import sys
from collections.abc import Callable
from pathlib import Path

import pytest

from quotekit.batch import price_job
from quotekit.batch.outcome import Task, unpack
from quotekit.batch.price_job import BookRead
from quotekit.cli.batch_work import given_up, program_digest, work, work_all
from quotekit.cli.main import main
from tests.batch.small_folder import Folder, read_of, small_folder
from tests.cli.quote_contract import check_contract


@pytest.fixture(scope="module")
def folder(tmp_path_factory: pytest.TempPathFactory) -> Folder:
    return small_folder(tmp_path_factory.mktemp("shop"), 2)


def task(folder: Folder, number: int = 1) -> Task:
    path = folder.jobs / f"job {number:03}.xlsx"
    return Task(number, path.name, path.read_bytes())


def broken(raised: Exception) -> Callable[..., object]:
    def raises(*_: object) -> object:
        raise raised

    return raises


@pytest.mark.parametrize("raised", [KeyError("x"), RecursionError("deep"), MemoryError(), ValueError("no")])
def test_a_fault_of_the_program_is_the_jobs_problem(
    folder: Folder, raised: Exception, monkeypatch: pytest.MonkeyPatch
) -> None:
    """The others go on, and another run tries again."""
    monkeypatch.setattr(price_job, "build_quote", broken(raised))
    result = work(read_of(folder.book), task(folder))
    value = json.loads(unpack(result.packed).line)
    check_contract(value)
    assert not result.keep
    assert [problem["code"] for problem in value["problems"]] == ["quotekit-fault"]


def test_it_is_told_as_by_quote(
    folder: Folder, monkeypatch: pytest.MonkeyPatch, capsys: pytest.CaptureFixture[str]
) -> None:
    from quotekit import pricing

    monkeypatch.setattr(price_job, "build_quote", broken(KeyError("x")))
    monkeypatch.setattr(pricing, "build_quote", broken(KeyError("x")))
    line = unpack(work(read_of(folder.book), task(folder)).packed).line
    main(["quote", str(folder.book), str(folder.jobs / "job 001.xlsx"), "--json"])
    assert json.loads(line) == json.loads(capsys.readouterr().out)


def test_whoever_looks_for_a_fault_sees_it(folder: Folder, monkeypatch: pytest.MonkeyPatch) -> None:
    monkeypatch.setenv("QUOTEKIT_DEBUG", "1")
    monkeypatch.setattr(price_job, "build_quote", broken(KeyError("x")))
    with pytest.raises(KeyError):
        work(read_of(folder.book), task(folder))


def test_several_in_their_order(folder: Folder) -> None:
    results = work_all(read_of(folder.book), [task(folder, 2), task(folder, 1)])
    assert [result.number for result in results] == [2, 1]
    assert all(result.keep for result in results)


def test_a_costing_that_was_not_read_is_not_kept(folder: Folder, tmp_path: Path) -> None:
    """A run that prints lines reads none; one with a summary, later, must."""
    main(["quote", str(folder.book), str(folder.jobs / "job 001.xlsx"), "--out", str(tmp_path)])
    costing = Task(0, "1-1 costing.xlsx", (tmp_path / "1-1 costing.xlsx").read_bytes())
    kept = [work(read_of(folder.book, costings=costings), costing).keep for costings in (False, True)]
    assert kept == [False, True]


def test_a_job_given_up_says_why() -> None:
    result = given_up(Task(7, "job.xlsx", b""))
    problem = json.loads(unpack(result.packed).line)["problems"][0]
    assert (result.number, result.keep, problem["place"], problem["code"]) == (7, False, "job.xlsx", "worker-ended")


def test_without_a_book_jobs_are_told_all_the_same(folder: Folder) -> None:
    result = work(BookRead(book=None, problems=(), sha256=None), task(folder))
    assert json.loads(unpack(result.packed).line)["tiers"] == []


def test_the_program_is_known_by_its_code(tmp_path: Path) -> None:
    """Another process of the same code says the same; that of a changed copy another."""
    said = "from quotekit.cli.batch_work import program_digest; print(program_digest())"
    here = Path(price_job.__file__).parents[1]

    def digest_in(place: Path) -> str:
        command = [sys.executable, "-c", f"import sys; sys.path.insert(0, {str(place)!r}); {said}"]
        return subprocess.run(command, capture_output=True, text=True, check=True, cwd=place).stdout.strip()

    for name in ("same", "changed"):
        for path in here.rglob("*.py"):
            copy = tmp_path / name / "quotekit" / path.relative_to(here)
            copy.parent.mkdir(parents=True, exist_ok=True)
            copy.write_bytes(path.read_bytes())
    with (tmp_path / "changed" / "quotekit" / "money.py").open("a") as file:
        file.write("# changed\n")
    same, changed = digest_in(tmp_path / "same"), digest_in(tmp_path / "changed")
    assert same == digest_in(tmp_path / "same") and len(same) == len(program_digest()) == 64
    assert changed != same
