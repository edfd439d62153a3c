"""Two versions of a small shop book and job, as typed: rows as lists, so that a test can change any cell."""

from __future__ import annotations

import copy
from collections.abc import Callable
from pathlib import Path

from quotekit.workbook.read_job import JobSheets, read_job_sheets
from quotekit.workbook.read_shop_book import BookSheets, read_book_sheets
from tests.cli.small_shop import Sheets, job, shop_book, write_book

Edit = Callable[[Sheets], object]


def typed_books(folder: Path, edit: Edit, base: Sheets | None = None) -> tuple[BookSheets, BookSheets]:
    """The small shop's book and the same with an edit, as typed."""
    old, new = (book_file(folder, name, change, base) for name, change in (("old", None), ("new", edit)))
    return typed_book(old), typed_book(new)


def typed_jobs(folder: Path, edit: Edit, base: Sheets | None = None) -> tuple[JobSheets, JobSheets]:
    """The small job and the same with an edit, as typed."""
    old, new = (job_file(folder, name, change, base) for name, change in (("old job", None), ("new job", edit)))
    return typed_job(old), typed_job(new)


def book_file(folder: Path, name: str, edit: Edit | None = None, base: Sheets | None = None) -> Path:
    """The small shop's book, changed, as a file."""
    return _written(folder / f"{name}.xlsx", copy.deepcopy(base or shop_book()), edit)


def job_file(folder: Path, name: str, edit: Edit | None = None, base: Sheets | None = None) -> Path:
    """The small job, changed, as a file."""
    return _written(folder / f"{name}.xlsx", copy.deepcopy(base or job()), edit)


def typed_book(path: Path) -> BookSheets:
    """A shop book as typed; it must read without a problem."""
    sheets, problems = read_book_sheets(path)
    assert sheets is not None and problems == [], problems
    return sheets


def typed_job(path: Path) -> JobSheets:
    """A job as typed; it must read without a problem."""
    sheets, problems = read_job_sheets(path)
    assert sheets is not None and problems == [], problems
    return sheets


def _written(path: Path, sheets: Sheets, edit: Edit | None) -> Path:
    if edit is not None:
        edit(sheets)
    return write_book(path, sheets)


def set_cell(sheet: str, row: int, column: int, value: object) -> Edit:
    """An edit that types into one cell; row 1 is the first under the headings."""

    def edit(sheets: Sheets) -> None:
        line = sheets[sheet][row]
        line.extend([None] * (column + 1 - len(line)))
        line[column] = value

    return edit


def all_of(*edits: Edit) -> Edit:
    """Several edits, one after another."""

    def edit(sheets: Sheets) -> None:
        for each in edits:
            each(sheets)

    return edit
