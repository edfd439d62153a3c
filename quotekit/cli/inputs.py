"""Reads the two workbooks a command was given, with every problem of both."""

from __future__ import annotations

from dataclasses import dataclass
from pathlib import Path
from typing import TYPE_CHECKING

from quotekit.cli.report import step

if TYPE_CHECKING:
    from quotekit.model.job import Job
    from quotekit.model.shop_book import ShopBook
    from quotekit.problems import Problem


@dataclass(frozen=True, kw_only=True)
class Inputs:
    """What was read; a workbook that could not be read is None and its problems say why."""

    book: ShopBook | None
    job: Job | None
    problems: tuple[Problem, ...]


def read_inputs(book_path: Path, job_path: Path | None = None) -> Inputs:
    """The shop book, then the job in its light; all problems of both in reading order."""
    from quotekit.workbook.read_job import read_job
    from quotekit.workbook.read_shop_book import read_shop_book

    with step(f"Reading {book_path.name}"):
        book, problems = read_shop_book(book_path)
    job = None
    if job_path is not None:
        with step(f"Reading {job_path.name}"):
            job, more = read_job(job_path, book)
            problems = [*problems, *more]
    return Inputs(book=book, job=job, problems=tuple(problems))


def file_sha256(path: Path) -> str | None:
    """The digest of a file's bytes, None where it can't be read."""
    import hashlib

    try:
        return hashlib.sha256(path.read_bytes()).hexdigest()
    except OSError:
        return None
