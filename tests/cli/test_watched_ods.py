"""A job saved as .ods in a watched folder: told, never priced, and no longer told once it is mended."""

from __future__ import annotations

import os
from pathlib import Path

import pytest

from quotekit.cli.price_watched import HEADING, problems_file
from quotekit.cli.watch_screen import status_text
from tests.cli.small_shop import job, write_book
from tests.cli.test_watching import WRITTEN, Clock, clean_shop, visible
from tests.workbook.ods_files import write_ods

JOB, BOOK = ("Job", "Findings"), ("Shop", "Operations")


@pytest.fixture
def folder(tmp_path: Path) -> Path:
    return clean_shop(tmp_path)


def after(path: Path, other: Path, seconds: int) -> None:
    """Set when a file was saved, against another."""
    moment = other.stat().st_mtime_ns + seconds * 1_000_000_000
    os.utime(path, ns=(moment, moment))


def text(folder: Path, name: str) -> str:
    return (folder / f"{name} problems.txt").read_text(encoding="utf-8")


def test_a_job_saved_as_ods_is_told_once(folder: Path) -> None:
    """On the screen, in the text file beside it, and in the status line; the other job is priced as ever."""
    write_ods(folder / "job 118.ods", *JOB)
    clock = Clock(folder)
    assert sorted(clock.told()) == [("job 118.ods", []), ("job.xlsx", WRITTEN)]
    assert text(folder, "job 118.ods").startswith(HEADING)
    assert "job 118.ods: this job is saved as .ods" in text(folder, "job 118.ods")
    assert "File, Save As" in text(folder, "job 118.ods")  # "saved-as-ods"
    assert clock.watching.not_read == ["job 118.ods"]
    assert "jobs 1, with problems 0, saved as .ods 1." in status_text(clock.watching)
    assert clock.told(30) == []


def test_saved_as_xlsx_it_is_priced_and_no_longer_told(folder: Path) -> None:
    """LibreOffice leaves the .ods lying there: it is an older copy then, and the .xlsx is the job."""
    ods = write_ods(folder / "job 118.ods", *JOB)
    clock = Clock(folder)
    clock.told()
    sheets = job()
    sheets["Job"][1] = ["Job number", "118"]
    saved = write_book(folder / "job 118.xlsx", sheets)
    after(ods, saved, -5)
    assert clock.told() == [("job 118.xlsx", ["118-1 costing.xlsx", "118-1 quote.xlsx"])]
    assert not problems_file(ods).exists() and clock.watching.not_read == []


def test_one_saved_after_its_xlsx_is_told(folder: Path) -> None:
    """Somebody works on in the .ods, and the .xlsx that is priced is the older one."""
    ods = write_ods(folder / "job.ods", *JOB)
    after(ods, folder / "job.xlsx", -5)
    clock = Clock(folder)
    assert [name for name, _ in clock.told()] == ["job.xlsx"]
    after(ods, folder / "job.xlsx", 5)
    assert clock.told() == [("job.ods", [])]
    assert visible(folder) == [*WRITTEN, "job.ods", "job.ods problems.txt", "job.xlsx", "shop book.xlsx"]


def test_put_away_it_is_no_longer_told(folder: Path) -> None:
    ods = write_ods(folder / "job 118.ods", *JOB)
    clock = Clock(folder)
    clock.told()
    ods.unlink()
    clock.told()
    assert not problems_file(ods).exists() and clock.watching.not_read == []


def test_put_away_while_nobody_watched(folder: Path) -> None:
    """The text file of an earlier watch goes; one that a person wrote stays."""
    ods = write_ods(folder / "job 118.ods", *JOB)
    Clock(folder).told()
    ods.unlink()
    mine = folder / "job 5.ods problems.txt"
    mine.write_text("my own remarks")
    Clock(folder).told()
    assert not problems_file(ods).exists()
    assert mine.read_text() == "my own remarks"


def test_other_ods_files_are_nobodys_business(folder: Path) -> None:
    write_ods(folder / "wages.ods", "Sheet1")
    (folder / "torn.ods").write_bytes(b"PK")
    write_ods(folder / ".~lock.job.ods", *JOB)
    clock = Clock(folder)
    assert clock.told() == [("job.xlsx", WRITTEN)]
    assert visible(folder) == [*WRITTEN, "job.xlsx", "shop book.xlsx", "torn.ods", "wages.ods"]


def test_half_written_it_is_told_when_it_is_whole(folder: Path) -> None:
    data = write_ods(folder / "next.ods", *JOB).read_bytes()
    (folder / "next.ods").unlink()
    clock = Clock(folder)
    clock.told()
    (folder / "job 118.ods").write_bytes(data[: len(data) // 2])
    assert clock.told() == []
    (folder / "job 118.ods").write_bytes(data)
    assert clock.told() == [("job 118.ods", [])]


def test_a_shop_book_saved_as_ods(folder: Path) -> None:
    """Without another one the folder can't be priced at all, and the status line says why."""
    (folder / "shop book.xlsx").unlink()
    write_ods(folder / "shop book.ods", *BOOK)
    clock = Clock(folder)
    assert clock.told() == [("shop book.ods", [])]
    assert status_text(clock.watching) == "The shop book here, shop book.ods, is not read: save it as .xlsx."
    assert "its prices do not count" in text(folder, "shop book.ods")


def test_a_full_disk_does_not_end_the_watch(folder: Path, monkeypatch: pytest.MonkeyPatch) -> None:
    def refuse(*_: object) -> bool:
        raise OSError(28, "No space left on device")

    monkeypatch.setattr("quotekit.cli.price_watched.tell_problems", refuse)
    write_ods(folder / "job 118.ods", *JOB)
    clock = Clock(folder)
    assert ("job 118.ods", []) in clock.told()
    assert clock.watching.not_read == ["job 118.ods"]
