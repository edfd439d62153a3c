"""A folder of small jobs of one shop, written in a moment: each differs in its measurements, some are bad."""

from __future__ import annotations

from pathlib import Path
from typing import NamedTuple

from quotekit.batch.price_job import BookRead
from quotekit.workbook.read_shop_book import read_shop_book
from tests.cli.small_shop import Sheets, job, shop_book, write_book
from tests.problem_catalogue.broken import BROKEN


class Folder(NamedTuple):
    """A shop book, and the folder of its jobs."""

    book: Path
    jobs: Path


def small_folder(where: Path, count: int = 5) -> Folder:
    """So many jobs without a fault."""
    book = write_book(where / "shop book.xlsx", clean_book())
    jobs = where / "jobs"
    jobs.mkdir()
    for number in range(1, count + 1):
        write_job(jobs / f"job {number:03}.xlsx", number)
    return Folder(book, jobs)


def clean_book(hour: int = 90, bushings: float = 22) -> Sheets:
    """A shop book that gives no warning, at a rate an hour and a cost of four bushings."""
    sheets = shop_book()
    for row, cell in zip(sheets["Parts"], ["Lead days", *[2] * 99], strict=False):
        row.append(cell)
    sheets["Labour rates"][1][2] = hour
    sheets["Parts"][1][3] = bushings
    return sheets


def write_job(path: Path, number: int, *, findings: int = 2) -> Path:
    """A job of its own number and measurement."""
    sheets = job([("WORN", "left", 0.76 + number / 10_000), ("FRAYED", None, None)][:findings])
    sheets["Job"][1][1] = str(number)
    sheets["Job"][2][1] = f"R. Alder {number}"
    return write_book(path, sheets)


def with_bad_jobs(folder: Folder) -> Folder:
    """The same folder with a job of each kind of fault among the others; names as people give them."""
    spoil(folder.jobs / "job 002 locked by a password.xlsx", "encrypted")
    spoil(folder.jobs / "job 002 no workbook.xlsx", "not-a-workbook")
    spoil(folder.jobs / "job 003 error in a cell.xlsx", "error-cell")
    (folder.jobs / "Übung, leer.xlsx").write_bytes(b"")
    sheets = job([("WORM", "left", 0.76)])
    write_book(folder.jobs / "job 004 a code nobody knows.xlsx", sheets)
    return folder


BAD_NAMES = (
    "job 002 locked by a password.xlsx",
    "job 002 no workbook.xlsx",
    "job 003 error in a cell.xlsx",
    "job 004 a code nobody knows.xlsx",
    "Übung, leer.xlsx",
)


def spoil(path: Path, how: str) -> Path:
    """A job that is spoiled in a way the guard knows."""
    sheets = job()
    sheets["Job"][5][0], sheets["Job"][5][1] = "Paid so far", 40
    sheets["Job"].append(["Quote date", "2026-03-02"])
    write_book(path, sheets)
    BROKEN[how](path)
    return path


def read_of(book: Path, *, costings: bool = False) -> BookRead:
    """The shop book as a run reads it."""
    read, problems = read_shop_book(book)
    assert read is not None
    return BookRead(book=read, problems=tuple(problems), sha256=read.sha256, costings=costings)
