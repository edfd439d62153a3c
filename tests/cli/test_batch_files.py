"""Which files of a folder may be jobs, in which order, and how the shop book is read for a run."""

from __future__ import annotations

import hashlib
import os
from pathlib import Path

import pytest

from quotekit.cli import inputs
from quotekit.cli.batch_files import bytes_of, read_book, workbook_names
from tests.batch.small_folder import clean_book
from tests.cli.small_shop import write_book
from tests.workbook.ods_files import write_ods


def test_names_in_text_order(tmp_path: Path) -> None:
    """As `sorted` has them: capitals before small letters, 10 before 9, whatever the system lists."""
    for name in ("b.xlsx", "B.xlsm", "9.xlsx", "10.XLSX", "ä.xlsx", "a b.xlsx"):
        (tmp_path / name).touch()
    assert workbook_names(tmp_path) == ["10.XLSX", "9.xlsx", "B.xlsm", "a b.xlsx", "b.xlsx", "ä.xlsx"]


@pytest.mark.parametrize("name", ["~$a.xlsx", ".~lock.a.xlsx#", ".a.xlsx", "lu12.tmp", "1A2B3C4D", "a.xls", "a.csv"])
def test_names_in_passing_and_others_do_not_count(tmp_path: Path, name: str) -> None:
    (tmp_path / name).touch()
    assert workbook_names(tmp_path) == []


def test_no_folders_but_links_that_lead_nowhere(tmp_path: Path) -> None:
    """What can't be opened may be a job that somebody waits for, so it is told."""
    (tmp_path / "folder.xlsx").mkdir()
    (tmp_path / "gone.xlsx").symlink_to("nowhere.xlsx")
    (tmp_path / "gone.ods").symlink_to("nowhere.ods")
    (tmp_path / "itself.xlsx").symlink_to("itself.xlsx")
    (tmp_path / "there.xlsx").touch()
    (tmp_path / "link.xlsx").symlink_to("there.xlsx")
    os.mkfifo(tmp_path / "pipe.xlsx")
    assert workbook_names(tmp_path) == ["gone.xlsx", "itself.xlsx", "link.xlsx", "pipe.xlsx", "there.xlsx"]
    found = [bytes_of(tmp_path / name) for name in ("gone.xlsx", "itself.xlsx", "pipe.xlsx")]
    codes = [[problem.code for problem in each] for each in found if isinstance(each, list)]
    assert codes == [["missing-file"], ["unreadable-file"], ["not-a-workbook"]]


def test_what_is_no_file_has_no_digest(tmp_path: Path) -> None:
    """A pipe that nobody writes to would be waited for without end."""
    os.mkfifo(tmp_path / "pipe.xlsx")
    assert inputs.file_sha256(tmp_path / "pipe.xlsx") is None
    assert read_book(tmp_path / "pipe.xlsx").sha256 is None


@pytest.mark.parametrize(
    ("sheets", "xlsx_after", "counts"),
    [
        (("Job", "Findings"), None, True),
        (("Job", "Findings"), 10, False),
        (("Job", "Findings"), -10, True),
        (("Shop", "Operations"), None, False),
        (("Sheet1",), None, False),
    ],
    ids=["a job", "an older copy", "a newer copy", "a shop book", "something else"],
)
def test_jobs_saved_as_ods(tmp_path: Path, sheets: tuple[str, ...], xlsx_after: int | None, counts: bool) -> None:
    ods = write_ods(tmp_path / "job.ods", *sheets)
    if xlsx_after is not None:
        (tmp_path / "job.xlsx").touch()
        os.utime(tmp_path / "job.xlsx", ns=(0, ods.stat().st_mtime_ns + xlsx_after))
    assert ("job.ods" in workbook_names(tmp_path)) == counts


def test_the_book_with_its_problems_and_its_digest(tmp_path: Path) -> None:
    path = write_book(tmp_path / "shop book.xlsx", clean_book())
    read = read_book(path, costings=True)
    assert read.book is not None and read.sha256 == read.book.sha256
    assert (read.problems, read.costings) == ((), True)
    missing = read_book(tmp_path / "none.xlsx")
    assert (missing.book, missing.sha256) == (None, None)
    assert [problem.code for problem in missing.problems] == ["missing-file"]


def test_a_book_that_is_saved_while_it_is_read_is_not_taken_for_the_new_one(
    tmp_path: Path, monkeypatch: pytest.MonkeyPatch
) -> None:
    """What is kept hangs on the digest: old prices under that of the new book would be told by the next run."""
    path = write_book(tmp_path / "shop book.xlsx", clean_book())
    before = hashlib.sha256(path.read_bytes()).hexdigest()
    really = inputs.read_inputs

    def read_then_saved(book: Path) -> inputs.Inputs:
        found = really(book)
        write_book(book, clean_book(hour=95))
        return found

    monkeypatch.setattr(inputs, "read_inputs", read_then_saved)
    assert read_book(path).sha256 == before


def test_bytes_or_why_not(tmp_path: Path) -> None:
    (tmp_path / "a.xlsx").write_bytes(b"abc")
    held = bytes_of(tmp_path / "a.xlsx")
    assert held == (b"abc", "ba7816bf8f01cfea414140de5dae2223b00361a396177a9cb410ff61f20015ad")  # FIPS 180-4, "abc"
    gone = bytes_of(tmp_path / "b.xlsx")
    assert isinstance(gone, list) and [problem.code for problem in gone] == ["missing-file"]
