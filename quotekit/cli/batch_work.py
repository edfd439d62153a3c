"""What a worker does: one workbook after another, whatever happens to one of them. Runs in other processes."""

from __future__ import annotations

import os
from functools import cache
from typing import TYPE_CHECKING

if TYPE_CHECKING:
    from collections.abc import Sequence

    from quotekit.batch.outcome import Result, Task
    from quotekit.batch.price_job import BookRead
    from quotekit.problems import Problem

LIBRARIES = ("Babel", "highspy", "numpy", "python-calamine")
"""What a price or a message may hang on besides quotekit itself."""


def work(read: BookRead, task: Task) -> Result:
    """Price one workbook; a fault of quotekit's own is told as that job's problem and not kept."""
    from quotekit.batch.outcome import Result, pack
    from quotekit.batch.price_job import broken_off, price_file
    from quotekit.cli.report import stopped_problem

    try:
        outcome = price_file(read, task.file, task.data)
        unread = outcome.kind == "costing" and not read.costings
        return Result(task.number, pack(outcome), not unread)
    except Exception as fault:  # one bad job must not end the others
        if os.environ.get("QUOTEKIT_DEBUG") == "1":
            raise
        return Result(task.number, pack(broken_off(task.file, stopped_problem(fault))), False)


def work_all(read: BookRead, tasks: Sequence[Task]) -> list[Result]:
    """Several workbooks in their order."""
    return [work(read, task) for task in tasks]


def given_up(task: Task) -> Result:
    """A job on which two workers ended."""
    from quotekit.batch.outcome import Result, pack
    from quotekit.batch.price_job import broken_off

    return Result(task.number, pack(broken_off(task.file, worker_ended(task.file))), False)


def worker_ended(file: str) -> Problem:
    """That pricing a job ends the process it is done in."""
    from quotekit.problems import Place, error

    message = "The process that priced this job ended without an answer, twice: it was killed, or ran out of memory."
    remedy = (
        "Price it by itself with `quotekit quote`; with less on the machine, or fewer --workers, it may go through."
    )
    return error(Place(file), "worker-ended", message, remedy)


@cache
def program_digest() -> str:
    """A digest of everything that prices: quotekit's own code, and the versions of the libraries below it.

    Outcomes are kept, and given to other machines to work out, under this: equal programs give equal bytes.
    """
    import hashlib
    from importlib.metadata import PackageNotFoundError, version
    from pathlib import Path

    told = hashlib.sha256()
    folder = Path(__file__).parents[1]
    for path in sorted(folder.rglob("*.py")):
        data = path.read_bytes()
        told.update(f"{path.relative_to(folder).as_posix()}\0{len(data)}\0".encode() + data)
    for library in LIBRARIES:
        try:
            told.update(f"{library}\0{version(library)}\0".encode())
        except PackageNotFoundError:
            told.update(f"{library}\0\0".encode())
    return told.hexdigest()
