"""`quotekit batch` as a person and as a program run it: order, equal bytes, bad jobs, stopping and going on."""

from __future__ import annotations

import json
import os
import pty
import shutil
import signal
import subprocess
import sys
import time
from contextlib import suppress
from pathlib import Path
from typing import Any, NamedTuple

import openpyxl
import pytest

from quotekit.cli import batch_places, batch_run
from quotekit.cli.batch_kept import opened_kept
from quotekit.cli.main import main
from tests.batch.small_folder import BAD_NAMES, Folder, clean_book, small_folder, with_bad_jobs, write_job
from tests.cli.quote_contract import check_contract
from tests.cli.small_shop import job, write_book
from tests.workbook.ods_files import write_ods

PATIENCE = 60.0


class Ran(NamedTuple):
    """What a command said."""

    code: int
    out: str
    err: str

    @property
    def lines(self) -> list[Any]:
        """The objects it printed, a line each."""
        return [json.loads(line) for line in self.out.splitlines()]

    @property
    def jobs(self) -> list[str | None]:
        """Their job numbers."""
        return [line["job"] for line in self.lines]


class Runs:
    """Runs the command in this process."""

    def __init__(self, capsys: pytest.CaptureFixture[str]) -> None:
        self._capsys = capsys

    def __call__(self, *words: str | Path | int) -> Ran:
        self._capsys.readouterr()
        code = main(["batch", *map(str, words)])
        said = self._capsys.readouterr()
        return Ran(code, said.out, said.err)


@pytest.fixture
def run(capsys: pytest.CaptureFixture[str]) -> Runs:
    return Runs(capsys)


@pytest.fixture
def folder(tmp_path: Path) -> Folder:
    return small_folder(tmp_path, 4)


@pytest.fixture(scope="module")
def bad_folder(tmp_path_factory: pytest.TempPathFactory) -> Folder:
    return with_bad_jobs(small_folder(tmp_path_factory.mktemp("bad"), 12))


def test_a_line_a_job_in_the_order_of_file_names(run: Runs, folder: Folder) -> None:
    """The names decide, not the job numbers in them."""
    write_job(folder.jobs / "a first.xlsx", 99)
    write_job(folder.jobs / "Z.xlsx", 98)
    ran = run(folder.book, folder.jobs, "--json")
    assert (ran.code, ran.jobs) == (0, ["98", "99", "1", "2", "3", "4"])
    for line in ran.lines:
        check_contract(line)
        assert line["files"] == []


@pytest.mark.parametrize("workers", [1, 2, 4])
def test_lines_are_those_of_quote_whoever_prices(
    run: Runs, bad_folder: Folder, workers: int, tmp_path: Path, capsys: pytest.CaptureFixture[str]
) -> None:
    """Byte for byte, good jobs and bad ones, with any number of workers."""
    ran = run(bad_folder.book, bad_folder.jobs, "--json", "--workers", workers)
    names = sorted(os.listdir(bad_folder.jobs))
    names = [name for name in names if name.endswith(".xlsx")]
    assert ran.code == 1 and len(ran.lines) == len(names) == 12 + len(BAD_NAMES)
    for number in (0, names.index(BAD_NAMES[0]), names.index(BAD_NAMES[3]), len(names) - 1):
        capsys.readouterr()
        main(["quote", str(bad_folder.book), str(bad_folder.jobs / names[number]), "--json", "--out", str(tmp_path)])
        quoted = json.loads(capsys.readouterr().out) | {"files": []}
        assert ran.out.splitlines()[number] == json.dumps(quoted)


def test_a_bad_job_is_told_and_the_others_are_priced(run: Runs, bad_folder: Folder, tmp_path: Path) -> None:
    ran = run(bad_folder.book, bad_folder.jobs, "--out", tmp_path)
    assert ran.code == 1
    assert "17 jobs: 12 priced, 5 with errors." in ran.err
    assert "job 002 locked by a password.xlsx is protected by a password" in ran.err
    assert "`WORM` is not a code of Findings" in ran.err or "WORM" in ran.err
    assert ran.out.splitlines() == [
        str(tmp_path / "jobs batch summary.xlsx"),
        str(tmp_path / "jobs batch results.jsonl"),
    ]


def test_a_figure_that_no_cell_keeps_does_not_stop_the_others(run: Runs, folder: Folder) -> None:
    """A price that was typed far too large: its line says so, and the summary shows every digit."""
    sheets = job()
    sheets["One-off"] = [["Line", "Kind", "Quantity", "Unit price"], ["Typed wrong", "part", 99999999, 99999999.99]]
    write_book(folder.jobs / "job 002.xlsx", sheets)
    ran = run(folder.book, folder.jobs)
    assert ran.code == 0 and "4 jobs: 4 priced, 0 with errors." in ran.err
    listed = openpyxl.load_workbook(folder.jobs / "jobs batch summary.xlsx")["Jobs"]
    totals = {row[0]: row[5] for row in listed.iter_rows(min_row=2, values_only=True)}
    assert totals["job 001.xlsx"] == 130.13 and totals["job 002.xlsx"] == "10699999891930130.14"


def test_results_are_the_lines(run: Runs, bad_folder: Folder, tmp_path: Path) -> None:
    run(bad_folder.book, bad_folder.jobs, "--out", tmp_path)
    printed = run(bad_folder.book, bad_folder.jobs, "--json", "--out", tmp_path)
    assert (tmp_path / "jobs batch results.jsonl").read_text(encoding="utf-8") == printed.out


def test_nothing_of_the_machine_is_in_what_is_written(run: Runs, folder: Folder, tmp_path: Path) -> None:
    """Neither folders nor names of this computer, so that results can be handed on and compared."""
    for place in ("north", "south"):
        shutil.copytree(folder.jobs, tmp_path / place / "jobs")
        shutil.copy(folder.book, tmp_path / place)
        run(tmp_path / place / folder.book.name, tmp_path / place / "jobs", "--workers", 1 + (place == "south"))
    for name in ("jobs batch summary.xlsx", "jobs batch results.jsonl"):
        north, south = ((tmp_path / place / "jobs" / name).read_bytes() for place in ("north", "south"))
        assert north == south
        assert str(tmp_path).encode() not in north


def test_jobs_among_everything_else_of_the_folder(run: Runs, folder: Folder) -> None:
    """The shop book, quotes, costings and other workbooks are passed over, as a person would."""
    for path in sorted(folder.jobs.iterdir()):
        assert main(["quote", str(folder.book), str(path)]) == 0
    shutil.copy(folder.book, folder.jobs / "shop book.xlsx")
    write_book(folder.jobs / "price list.xlsx", {"List": [["Number"], ["1"]]})
    (folder.jobs / "~$job 001.xlsx").write_bytes(b"x")
    (folder.jobs / ".~lock.job 001.xlsx#").write_bytes(b"x")
    (folder.jobs / "notes.txt").write_text("x")
    (folder.jobs / "more").mkdir()
    write_job(folder.jobs / "more" / "job 009.xlsx", 9)
    (folder.jobs / "a folder.xlsx").mkdir()
    ran = run(folder.book, folder.jobs, "--json")
    assert (ran.code, ran.jobs) == (0, ["1", "2", "3", "4"])
    assert "Passed over: 4 costings, 1 other workbook, 4 quotes, 1 shop book." in ran.err


def test_a_second_run_into_the_folder_itself_says_the_same(run: Runs, folder: Folder) -> None:
    """Its own summary lies among the jobs by then, and is no part of what is told."""
    run(folder.book, folder.jobs)
    written = {name: (folder.jobs / f"jobs batch {name}").read_bytes() for name in ("summary.xlsx", "results.jsonl")}
    again = run(folder.book, folder.jobs)
    assert again.code == 0 and "4 were priced before" in again.err
    assert {name: (folder.jobs / f"jobs batch {name}").read_bytes() for name in written} == written


def test_an_ods_job_is_told(run: Runs, folder: Folder) -> None:
    """As `watch` tells it: it is not read, and an older copy beside the .xlsx is nobody's work."""
    write_ods(folder.jobs / "job 009.ods", "Job", "Findings")
    write_ods(folder.jobs / "job 001.ods", "Job", "Findings")
    os.utime(folder.jobs / "job 001.ods", (1, 1))
    write_ods(folder.jobs / "letter.ods", "Sheet1")
    ran = run(folder.book, folder.jobs, "--json")
    assert (ran.code, ran.jobs) == (1, ["1", "2", "3", "4", None])
    assert [problem["code"] for problem in ran.lines[-1]["problems"]] == ["not-a-workbook"]


@pytest.mark.parametrize("as_json", [True, False])
def test_an_empty_folder(run: Runs, folder: Folder, tmp_path: Path, as_json: bool) -> None:
    (tmp_path / "nothing").mkdir()
    ran = run(folder.book, tmp_path / "nothing", "--out", tmp_path / "out", *(["--json"] if as_json else []))
    assert (ran.code, ran.out) == (0, "")
    assert "There is no job in" in ran.err
    assert not list((tmp_path / "out").glob("*.xlsx"))


def test_a_folder_that_is_not_there(run: Runs, folder: Folder, tmp_path: Path) -> None:
    ran = run(folder.book, tmp_path / "jbos")
    assert ran.code == 1 and "There is no such folder." in ran.err


def test_a_shop_book_with_an_error(run: Runs, folder: Folder, tmp_path: Path) -> None:
    """Nothing can be priced: told once. As lines each job says what `quote` would."""
    sheets = clean_book()
    sheets["Parts"][1][3] = -1
    write_book(folder.book, sheets)
    ran = run(folder.book, folder.jobs)
    assert ran.code == 1 and ran.err.count("cannot be negative") == 1 and "Nothing was written." in ran.err
    assert not list(folder.jobs.glob("*batch*"))
    lines = run(folder.book, folder.jobs, "--json")
    assert lines.code == 1 and len(lines.lines) == 4
    assert all("negative" in [problem["code"] for problem in line["problems"]] for line in lines.lines)


def test_a_shop_book_that_is_not_there(run: Runs, folder: Folder) -> None:
    ran = run(folder.book.with_name("none.xlsx"), folder.jobs, "--json")
    assert ran.code == 1 and [line["book_sha256"] for line in ran.lines] == [None] * 4
    assert run(folder.book.with_name("none.xlsx"), folder.jobs).code == 1


@pytest.mark.parametrize(
    "words",
    [
        ("--workers", "0"),
        ("--workers", "-1"),
        ("--workers", "two"),
        ("--workers", "1.5"),
        ("--workers", "0", "--cluster", "tcp://127.0.0.1:1"),
    ],
)
def test_a_wrong_use(run: Runs, folder: Folder, words: tuple[str, ...]) -> None:
    assert run(folder.book, folder.jobs, *words).code == 2


def test_names_as_people_give_them(run: Runs, tmp_path: Path) -> None:
    folder = small_folder(tmp_path, 0)
    names = ["Ärger mit der Fräse.xlsx", "job #3; (new) 'a'.XLSX", "日本.xlsx", "line\nbreak.xlsx"]
    for number, name in enumerate(names, start=1):
        write_job(folder.jobs / name, number)
    where = tmp_path / "Jobs & Übriges"
    folder.jobs.rename(where)
    ran = run(folder.book, where, "--json", "--out", tmp_path / "out ä")
    assert (ran.code, ran.jobs) == (0, [str(1 + names.index(name)) for name in sorted(names)])
    assert (tmp_path / "out ä" / "Jobs & Übriges batch summary.xlsx").is_file()


def test_a_changed_job_is_priced_again_and_no_other(run: Runs, folder: Folder, monkeypatch: pytest.MonkeyPatch) -> None:
    first = run(folder.book, folder.jobs, "--json")
    write_job(folder.jobs / "job 002.xlsx", 222)
    again = run(folder.book, folder.jobs, "--json")
    assert "3 were priced before, from the same contents." in again.err
    assert again.jobs == ["1", "222", "3", "4"]
    assert again.out.splitlines()[2:] == first.out.splitlines()[2:]
    assert "4 were priced before" in run(folder.book, folder.jobs, "--json").err


def test_a_changed_shop_book_prices_every_job_again(run: Runs, folder: Folder) -> None:
    first = run(folder.book, folder.jobs, "--json")
    write_book(folder.book, clean_book(hour=120))
    second = run(folder.book, folder.jobs, "--json")
    assert "priced before" not in second.err
    totals = [[line["tiers"][0]["total"] for line in ran.lines] for ran in (first, second)]
    assert all(float(new) > float(old) for old, new in zip(*totals, strict=True))


def test_another_program_prices_every_job_again(run: Runs, folder: Folder, monkeypatch: pytest.MonkeyPatch) -> None:
    """What an older quotekit worked out is not what this one says."""
    run(folder.book, folder.jobs, "--json")
    monkeypatch.setattr(batch_run, "program_digest", lambda: "of a newer one")
    assert "priced before" not in run(folder.book, folder.jobs, "--json").err


def test_a_renamed_job_is_another(run: Runs, folder: Folder) -> None:
    """Its name stands in its problems."""
    run(folder.book, folder.jobs, "--json")
    (folder.jobs / "job 003.xlsx").rename(folder.jobs / "job 103.xlsx")
    assert "3 were priced before" in run(folder.book, folder.jobs, "--json").err


def test_a_folder_that_can_only_be_read(run: Runs, folder: Folder, monkeypatch: pytest.MonkeyPatch) -> None:
    """Lines alone can be had of it; a place to write is asked for otherwise."""

    def refused(path: Path | None) -> Any:
        raise PermissionError(13, "Permission denied", str(path))

    monkeypatch.setattr(batch_places, "opened_kept", lambda path: opened_kept(path) if path is None else refused(path))
    assert run(folder.book, folder.jobs, "--json").jobs == ["1", "2", "3", "4"]
    ran = run(folder.book, folder.jobs)
    assert ran.code == 3 and "You may not read or write there" in ran.err and ran.out == ""
    assert ran.err.startswith(f"{folder.jobs}: The disk said: Permission denied."), "the folder, not a hidden file"


def test_a_photo_that_is_not_there_is_told_as_by_quote(
    run: Runs, folder: Folder, tmp_path: Path, capsys: pytest.CaptureFixture[str]
) -> None:
    """Also where the job was priced before: the photo may have gone since."""
    sheets = job()
    sheets["Findings"][0].append("Photo")
    sheets["Findings"][1].append("left.jpg")
    path = write_book(folder.jobs / "job 002.xlsx", sheets)
    for _ in range(2):
        line = run(folder.book, folder.jobs, "--json").lines[1]
        main(["quote", str(folder.book), str(path), "--json", "--replace", "--out", str(tmp_path / "quoted")])
        assert line == json.loads(capsys.readouterr().out) | {"files": []}
        assert [problem["code"] for problem in line["problems"]] == ["photo-left-out"]


def test_only_warnings_are_no_error(run: Runs, tmp_path: Path) -> None:
    folder = small_folder(tmp_path, 1)
    write_book(folder.jobs / "job 001.xlsx", job([("WORN", "left", 0.7)]))
    ran = run(folder.book, folder.jobs, "--json")
    assert ran.code == 0
    assert {problem["severity"] for problem in ran.lines[0]["problems"]} == {"warning"}


def started(folder: Folder, out: Path, *words: str, stdout: Any = subprocess.PIPE) -> subprocess.Popen[bytes]:
    """The command as a program of its own."""
    command = [sys.executable, "-m", "quotekit", "batch", str(folder.book), str(folder.jobs), "--json"]
    return subprocess.Popen(
        [*command, "--out", str(out), *words],
        stdout=stdout,
        stderr=subprocess.PIPE,
        preexec_fn=lambda: signal.signal(signal.SIGINT, signal.SIG_DFL),  # a shell's job in the background ignores it
    )


def wait_for_some(running: subprocess.Popen[bytes], out: Path) -> None:
    """Until something is kept, and not everything."""
    kept, until = out / ".quotekit batch jobs", time.monotonic() + PATIENCE
    while not (kept.exists() and kept.stat().st_size > 4000):
        assert running.poll() is None and time.monotonic() < until
        time.sleep(0.002)


def children_of(process: int) -> list[int]:
    path = Path(f"/proc/{process}/task/{process}/children")
    return [int(each) for each in path.read_text().split()]


def runs(process: int) -> bool:
    """Whether a process runs; one that nobody has asked for its end yet does not."""
    try:
        return ") Z " not in Path(f"/proc/{process}/stat").read_text()
    except OSError:
        return False


@pytest.fixture(scope="module")
def many(tmp_path_factory: pytest.TempPathFactory) -> tuple[Folder, bytes, bytes]:
    """A folder of jobs, and the results and the summary of a run that nobody disturbed."""
    where = tmp_path_factory.mktemp("many")
    folder = small_folder(where, 120)
    running = started(folder, where / "out")
    out, _ = running.communicate()
    assert running.returncode == 0 and len(out.splitlines()) == 120
    return folder, out, (where / "out" / "jobs batch summary.xlsx").read_bytes()


needs_proc = pytest.mark.skipif(not Path("/proc/self/task").exists(), reason="children are looked up in /proc")


@needs_proc
def test_a_killed_worker_loses_nothing(many: tuple[Folder, bytes, bytes], tmp_path: Path) -> None:
    """kill -9 of one of two workers in the middle of a run."""
    folder, whole, summary = many
    with (tmp_path / "lines").open("wb") as lines:
        running = started(folder, tmp_path, "--workers", "2", stdout=lines)
        wait_for_some(running, tmp_path)
        os.kill(children_of(running.pid)[0], signal.SIGKILL)
        _, err = running.communicate()
    assert running.returncode == 0, err
    assert (tmp_path / "lines").read_bytes() == whole
    assert (tmp_path / "jobs batch summary.xlsx").read_bytes() == summary


@needs_proc
def test_a_killed_run_goes_on_where_it_was(many: tuple[Folder, bytes, bytes], tmp_path: Path) -> None:
    """kill -9 of the whole run: its workers end with it, and another run ends with the same bytes."""
    folder, whole, summary = many
    with (tmp_path / "lines").open("wb") as lines:
        running = started(folder, tmp_path, "--workers", "2", stdout=lines)
        wait_for_some(running, tmp_path)
        workers = children_of(running.pid)
        running.kill()
        running.communicate()
    assert whole.startswith((tmp_path / "lines").read_bytes()) and not (tmp_path / "jobs batch summary.xlsx").exists()
    until = time.monotonic() + PATIENCE
    while any(map(runs, workers)) and time.monotonic() < until:
        time.sleep(0.02)
    assert workers and not any(map(runs, workers))
    again = started(folder, tmp_path)
    out, err = again.communicate()
    assert again.returncode == 0 and out == whole
    assert b" were priced before, from the same contents." in err
    assert (tmp_path / "jobs batch summary.xlsx").read_bytes() == summary
    assert (tmp_path / "jobs batch results.jsonl").read_bytes() == whole
    assert sorted(path.name for path in tmp_path.glob(".quotekit-*")) == []


def test_a_key_press_ends_it_and_what_is_done_is_kept(many: tuple[Folder, bytes, bytes], tmp_path: Path) -> None:
    folder, whole, _ = many
    with (tmp_path / "lines").open("wb") as lines:
        running = started(folder, tmp_path, stdout=lines)
        wait_for_some(running, tmp_path)
        running.send_signal(signal.SIGINT)
        _, err = running.communicate(timeout=PATIENCE)
    assert running.returncode == 130
    assert b"Stopped. What was priced is kept" in err and b"Traceback" not in err
    assert whole.startswith((tmp_path / "lines").read_bytes())
    out, err = started(folder, tmp_path).communicate()
    assert out == whole and b"priced before" in err


def test_lines_come_while_others_are_priced(many: tuple[Folder, bytes, bytes], tmp_path: Path) -> None:
    """Whoever reads them need not wait for the last job; and may go away."""
    folder, whole, _ = many
    running = started(folder, tmp_path, "--workers", "1")
    assert running.stdout is not None
    assert running.stdout.readline() == whole.splitlines(keepends=True)[0]
    assert running.poll() is None
    running.stdout.close()
    assert running.stderr is not None
    assert b"Traceback" not in running.stderr.read()
    assert running.wait(timeout=PATIENCE) == 3
    running.stderr.close()


def test_two_runs_do_not_write_into_each_other(many: tuple[Folder, bytes, bytes], tmp_path: Path, run: Runs) -> None:
    folder, whole, _ = many
    first = started(folder, tmp_path)
    wait_for_some(first, tmp_path)
    second = run(folder.book, folder.jobs, "--out", tmp_path)
    assert second.code == 3 and "Another `quotekit batch` is writing to this folder." in second.err
    out, _ = first.communicate()
    assert out == whole


def screen_of(ours: int) -> bytes:
    """Everything that is shown until nobody writes to the screen any more."""
    seen = b""
    with os.fdopen(ours, "rb", buffering=0) as screen, suppress(OSError):
        while piece := screen.read(4096):
            seen += piece
    return seen


def test_a_bar_only_where_somebody_looks(many: tuple[Folder, bytes, bytes], tmp_path: Path) -> None:
    folder, whole, _ = many
    quiet = started(folder, tmp_path / "quiet")
    _, err = quiet.communicate()
    assert b"Pricing" not in err and b"\x1b" not in err
    ours, theirs = pty.openpty()
    command = [sys.executable, "-m", "quotekit", "batch", str(folder.book), str(folder.jobs), "--json"]
    with (tmp_path / "lines").open("wb") as lines:
        shown = subprocess.Popen(
            [*command, "--out", str(tmp_path / "shown")],
            stdout=lines,
            stderr=theirs,
            env={**os.environ, "TERM": "xterm", "COLUMNS": "100"},
        )
    os.close(theirs)
    seen = screen_of(ours)
    assert shown.wait() == 0
    assert (tmp_path / "lines").read_bytes() == whole, "the bar is on the screen, the lines are for the program"
    assert b"Pricing" in seen and b"/120" in seen
