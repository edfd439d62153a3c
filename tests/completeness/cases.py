"""Workbooks to change: the examples, and random books and jobs typed into workbooks."""

from __future__ import annotations

from collections.abc import Iterator
from dataclasses import replace
from pathlib import Path

from quotekit.model.job import Job
from quotekit.model.shop_book import MachineClass, ShopBook
from tests.completeness.cells_to_change import Workbooks
from tests.completeness.changes import Explained, explained
from tests.random_jobs import a_random_case
from tests.workbook.records_as_workbooks import write_book, write_job

EXAMPLES = Path(__file__).parents[2] / "examples"


def example_files() -> Iterator[tuple[Path, Path]]:
    """Shop book and job of the worked and the tiny example."""
    for folder in ("worked example", "tiny example"):
        for job in sorted((EXAMPLES / folder).glob("*.xlsx")):
            if job.name != "shop book.xlsx":
                yield EXAMPLES / folder / "shop book.xlsx", job


def example_cases() -> Iterator[Workbooks]:
    """The same, read."""
    return (Workbooks.read(*files) for files in example_files())


def random_files(seed: int, folder: Path) -> tuple[Path, Path]:
    """A random book and job, typed; now and then without a sheet that may be missing."""
    book, job = with_all_classes(*a_random_case(seed))
    if seed % 9 == 4 and job.positions == ("left", "right"):
        book = replace(book, machines=None)
    if seed % 7 == 3 and not job.plan and not any(line.tiers for line in job.one_off):
        book = replace(book, tiers=())
    write_book(book, folder / "book.xlsx")
    write_job(job, folder / "job.xlsx")
    return folder / "book.xlsx", folder / "job.xlsx"


def random_workbooks(seed: int, folder: Path) -> Workbooks:
    """The same, read."""
    return Workbooks.read(*random_files(seed, folder))


def random_cases(first: int, folder: Path) -> Iterator[tuple[int, Explained]]:
    """Random cases that read without errors and can be quoted, by seed."""
    seed = first
    while True:
        case = explained(random_workbooks(seed, folder))
        if case is not None:
            yield seed, case
        seed += 1


def with_all_classes(book: ShopBook, job: Job) -> tuple[ShopBook, Job]:
    """The random rows speak of two classes; both are on the Machines sheet."""
    if book.machines is None:
        return book, job
    more = {
        code: MachineClass(code=code, machine_class=code.title(), positions=job.positions)
        for code in ("THROWER", "TRAILER")
        if code not in book.machines
    }
    return replace(book, machines={**book.machines, **more}), job
