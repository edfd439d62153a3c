"""Where a run writes: never over what somebody else wrote, never into what is open."""

from __future__ import annotations

from pathlib import Path

import pytest

from quotekit.cli.batch_places import LOCK, Places
from quotekit.cli.main import main
from quotekit.problems import Problem
from tests.batch.small_folder import Folder, small_folder, write_job
from tests.cli.small_shop import write_book

SUMMARY, RESULTS = "jobs batch summary.xlsx", "jobs batch results.jsonl"


@pytest.fixture
def folder(tmp_path: Path) -> Folder:
    return small_folder(tmp_path, 1)


def batch(folder: Folder, *words: str | Path) -> int:
    return main(["batch", str(folder.book), str(folder.jobs), *map(str, words)])


@pytest.mark.parametrize("name", [SUMMARY, RESULTS])
def test_a_file_of_the_owners_stays_as_it_is(folder: Folder, name: str, capsys: pytest.CaptureFixture[str]) -> None:
    """It may bear the name by chance: the run is refused before anything is priced."""
    path = folder.jobs / name
    if name == SUMMARY:
        write_book(path, {"Mine": [["Notes"], ["keep me"]]})
    else:
        path.write_text("my own notes\n")
    before = path.read_bytes()
    assert batch(folder) == 3
    assert "nothing was written over it" in capsys.readouterr().err
    assert path.read_bytes() == before
    assert not (folder.jobs / ".quotekit batch jobs").exists()


def test_its_own_files_are_written_anew(folder: Folder) -> None:
    assert batch(folder) == 0
    (folder.jobs / RESULTS).write_bytes(b"")
    assert batch(folder) == 0
    assert (folder.jobs / RESULTS).read_bytes().startswith(b'{"job": "1"')


def test_results_to_compare_with_are_not_written_over(
    folder: Folder, tmp_path: Path, capsys: pytest.CaptureFixture[str]
) -> None:
    """The next run would find no difference any more. By whatever way they are named; elsewhere all is well."""
    assert batch(folder) == 0
    before = (folder.jobs / RESULTS).read_bytes()
    (tmp_path / "last.jsonl").symlink_to(folder.jobs / RESULTS)
    write_job(folder.jobs / "job 001.xlsx", 2)
    for named in (folder.jobs / RESULTS, folder.jobs / ".." / "jobs" / RESULTS, tmp_path / "last.jsonl"):
        assert batch(folder, "--before", named) == 3
        assert "These results would be written over." in capsys.readouterr().err
        assert (folder.jobs / RESULTS).read_bytes() == before
    assert batch(folder, "--before", folder.jobs / RESULTS, "--out", tmp_path / "out") == 0
    assert batch(folder, "--before", folder.jobs / RESULTS, "--json") == 0


@pytest.mark.parametrize("lock", [f".~lock.{SUMMARY}#", f"~${SUMMARY}"])
def test_an_open_summary_is_not_replaced(folder: Folder, lock: str, capsys: pytest.CaptureFixture[str]) -> None:
    """A spreadsheet that has it open would write its own over it later, without a word."""
    assert batch(folder) == 0
    before = (folder.jobs / SUMMARY).read_bytes()
    (folder.jobs / lock).touch()
    assert batch(folder) == 3
    assert "open in another program" in capsys.readouterr().err
    assert (folder.jobs / SUMMARY).read_bytes() == before


def test_one_that_is_opened_meanwhile(folder: Folder, tmp_path: Path) -> None:
    places = Places(folder.jobs, tmp_path, writes=True)
    (tmp_path / f"~${SUMMARY}").touch()
    problems = places.finish({places.summary: tmp_path / "staged"})
    assert [problem.code for problem in problems] == ["output-open"]


def test_a_folder_to_write_to_is_made(folder: Folder, tmp_path: Path) -> None:
    assert batch(folder, "--out", tmp_path / "new" / "place") == 0
    names = {path.name for path in (tmp_path / "new" / "place").iterdir()}
    assert {SUMMARY, RESULTS, ".quotekit batch jobs"} <= names
    assert sorted(path.name for path in folder.jobs.iterdir()) == ["job 001.xlsx"]


def test_a_file_where_the_folder_should_be(folder: Folder, tmp_path: Path, capsys: pytest.CaptureFixture[str]) -> None:
    (tmp_path / "out").touch()
    assert batch(folder, "--out", tmp_path / "out") == 3
    assert "Traceback" not in capsys.readouterr().err


def test_lines_alone_write_nothing_that_is_seen(folder: Folder) -> None:
    assert batch(folder, "--json") == 0
    assert [path.name for path in folder.jobs.iterdir() if not path.name.startswith(".")] == ["job 001.xlsx"]


def test_one_run_at_a_time(folder: Folder, tmp_path: Path) -> None:
    """The second is told; one that only prints lines goes on and keeps nothing."""
    with Places(folder.jobs, tmp_path, writes=True).opened() as first:
        assert not isinstance(first, Problem)
        with Places(folder.jobs, tmp_path, writes=True).opened() as second:
            assert isinstance(second, Problem) and second.code == "batch-already"
        with Places(folder.jobs, tmp_path, writes=False).opened() as lines:
            assert not isinstance(lines, Problem)
    with Places(folder.jobs, tmp_path, writes=True).opened() as third:
        assert not isinstance(third, Problem)
    assert any(path.name.startswith(LOCK) for path in tmp_path.iterdir())


def test_the_summary_is_known_as_the_programs_own(folder: Folder) -> None:
    batch(folder)
    places = Places(folder.jobs, folder.jobs, writes=True)
    assert places.is_own_output(SUMMARY) and not places.is_own_output("job 001.xlsx")
    (folder.jobs / SUMMARY).write_bytes(b"PK")
    assert not places.is_own_output(SUMMARY)
