"""Where a run writes: never over what somebody else wrote, never into what is open."""

from __future__ import annotations

import resource
import shutil
from collections.abc import Iterator
from contextlib import contextmanager
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


@pytest.fixture
def two(tmp_path: Path) -> tuple[Folder, Folder]:
    """The jobs of two seasons, each in a folder named `jobs`."""
    for season in ("2026", "2027"):
        (tmp_path / "shop" / season).mkdir(parents=True)
    old, new = (small_folder(tmp_path / "shop" / season, 1) for season in ("2026", "2027"))
    write_job(new.jobs / "job 001.xlsx", 2)
    return old, new


def contents(folder: Path) -> dict[str, bytes]:
    return {path.name: path.read_bytes() for path in folder.iterdir() if path.is_file()}


def test_another_folder_of_the_same_name_is_not_written_over(
    two: tuple[Folder, Folder], tmp_path: Path, capsys: pytest.CaptureFixture[str]
) -> None:
    """The second run is refused before anything is priced; the first goes on as often as it likes."""
    old, new = two
    out = tmp_path / "shop" / "out"
    assert batch(old, "--out", out) == 0
    before = contents(out)
    capsys.readouterr()
    assert batch(new, "--out", out) == 3
    said = capsys.readouterr().err
    assert f"{out / SUMMARY}: This is of another folder of the same name" in said and "--out" in said
    assert contents(out) == before
    assert batch(old, "--out", out) == 0 and contents(out) == before
    assert batch(new, "--out", out, "--json") == 3
    assert batch(new, "--out", out / "2027") == 0 and contents(out) == before


def test_not_where_the_other_folder_keeps_its_own(two: tuple[Folder, Folder]) -> None:
    """By `--out` into it, and the other way round: what another folder left there stays as well."""
    old, new = two
    assert batch(old) == 0 and batch(new, "--out", old.jobs) == 3
    assert b'"job": "1"' in (old.jobs / RESULTS).read_bytes() and batch(old) == 0
    assert batch(old, "--out", new.jobs) == 0 and batch(new) == 3
    assert b'"job": "1"' in (new.jobs / RESULTS).read_bytes()


@pytest.mark.parametrize("inside", [True, False])
def test_it_is_the_same_folder_after_everything_was_moved(
    two: tuple[Folder, Folder], tmp_path: Path, *, inside: bool
) -> None:
    """A copy on another computer, by whatever name it is reached there."""
    old, _ = two
    out = old.jobs / "out" if inside else tmp_path / "shop" / "out"
    assert batch(old, "--out", out) == 0
    shutil.copytree(tmp_path / "shop", tmp_path / "elsewhere" / "deep" / "shop")
    (tmp_path / "short").symlink_to(tmp_path / "elsewhere" / "deep" / "shop")
    for shop in (tmp_path / "elsewhere" / "deep" / "shop", tmp_path / "short"):
        moved = Folder(shop / "2026" / "shop book.xlsx", shop / "2026" / "jobs")
        assert batch(moved, "--out", shop / out.relative_to(tmp_path / "shop")) == 0
    assert b"shop" not in (out / ".quotekit batch jobs").read_bytes().split(b"QK1")[1]


def test_results_nobody_knows_the_folder_of_are_kept(
    two: tuple[Folder, Folder], tmp_path: Path, capsys: pytest.CaptureFixture[str]
) -> None:
    """Copied without the hidden file: elsewhere they may be another folder's; in the folder itself they are its own."""
    old, new = two
    assert batch(old) == 0
    out = tmp_path / "archive"
    out.mkdir()
    for name in (SUMMARY, RESULTS):
        shutil.copy(old.jobs / name, out)
    before = contents(out)
    assert batch(new, "--out", out) == 3 and contents(out).items() >= before.items()
    assert "It is not known which folder of this name" in capsys.readouterr().err
    for name in (SUMMARY, RESULTS):
        (out / name).rename(out / f"2026 {name}")
    assert batch(new, "--out", out) == 0
    (old.jobs / ".quotekit batch jobs").unlink()
    assert batch(old) == 0


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


@pytest.mark.parametrize("room", [100, 1_000, 5_000])
@pytest.mark.parametrize("words", [(), ("--json",)])
def test_what_the_disk_complains_of_is_told_of_the_folder(
    folder: Folder, tmp_path: Path, room: int, words: tuple[str, ...], capsys: pytest.CaptureFixture[str]
) -> None:
    """A disk that takes no more names no place itself: neither for what is kept, nor for results or summary."""
    out = tmp_path / "out"
    with no_file_above(room):
        assert batch(folder, "--out", out, *words) == 3
    assert f"{out}: The disk said: File too large." in capsys.readouterr().err
    assert all(name.startswith(".") for name in contents(out))
    assert batch(folder, "--out", out) == 0


@contextmanager
def no_file_above(size: int) -> Iterator[None]:
    """No file can grow above so many bytes, as on a disk that is nearly full."""
    before = resource.getrlimit(resource.RLIMIT_FSIZE)
    resource.setrlimit(resource.RLIMIT_FSIZE, (size, before[1]))
    try:
        yield
    finally:
        resource.setrlimit(resource.RLIMIT_FSIZE, before)


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
