"""Reads the two workbooks a command was given, with every problem of both."""

from __future__ import annotations

from pathlib import Path
from typing import TYPE_CHECKING

from quotekit.cli.report import step
from quotekit.record import record

if TYPE_CHECKING:
    from collections.abc import Iterable

    from quotekit.model.job import Job
    from quotekit.model.shop_book import ShopBook
    from quotekit.problems import Problem


@record
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
        problems = [_with_names(problem, book_path) for problem in problems]
    job = None
    if job_path is not None:
        with step(f"Reading {job_path.name}"):
            job, more = read_job(job_path, book)
            problems += [_with_names(problem, job_path) for problem in more]
    return Inputs(book=book, job=job, problems=tuple(problems))


def with_engine_problems(inputs: Inputs, engine: Iterable[Problem]) -> list[Problem]:
    """What was wrong in the workbooks and what the engine found in them, once each, in reading order."""
    from quotekit.workbook.all_problems import all_problems

    book = inputs.book.file if inputs.book is not None else ""
    return all_problems(inputs.problems, engine, book=book, job=inputs.job.file if inputs.job is not None else None)


def _with_names(problem: Problem, path: Path) -> Problem:
    """Of a file that is not there: the most alike names of its folder, and the quotes a name with spaces needs."""
    if problem.code != "missing-file":
        return problem
    import difflib
    from dataclasses import replace

    folder = path.resolve().parent
    there = sorted(found.name for found in folder.glob("*.xlsx")) if folder.is_dir() else []
    alike = difflib.get_close_matches(path.name, there, n=1, cutoff=0.3)
    if not folder.is_dir():
        remedy = f"There is no folder {folder} either: check the name."
    elif alike:
        remedy = f'In {folder} there is "{alike[0]}". A name with spaces is typed between quotes.'
    else:
        remedy = f"No workbook in {folder} has a name like it. Check the name and the folder."
    return replace(problem, remedy=remedy)


def file_sha256(path: Path) -> str | None:
    """The digest of a file's bytes, None where it can't be read or is no file: a pipe may never end."""
    import hashlib

    try:
        return hashlib.sha256(path.read_bytes()).hexdigest() if path.is_file() else None
    except OSError:
        return None
