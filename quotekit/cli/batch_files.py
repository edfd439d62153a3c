"""The workbooks of a folder that may be jobs, in the order of their names, and their bytes.

One folder, as `watch` looks at one, not those within it. What a workbook is is decided by its content (`price_job`).
"""

from __future__ import annotations

import hashlib
from pathlib import Path
from typing import TYPE_CHECKING

from quotekit.cli.settled_files import is_workbook_name
from quotekit.cli.watched_ods import ODS, is_ods_name

if TYPE_CHECKING:
    from quotekit.batch.price_job import BookRead
    from quotekit.problems import Problem


def workbook_names(folder: Path) -> list[str]:
    """Names of workbooks, in text order; a job saved as .ods is among them unless a newer .xlsx of its name is there.

    A link that leads nowhere is among them: it may be a job, and nobody else tells that it is gone. Raises OSError.
    """
    from quotekit.workbook.ods_kind import kind_of_ods

    there = {path.name: path for path in folder.iterdir() if is_workbook_name(path.name) or is_ods_name(path.name)}
    files = {name: path for name, path in there.items() if path.is_file()}
    names = [name for name, path in there.items() if is_workbook_name(name) and not path.is_dir()]
    for name, path in files.items():
        newer = files.get(f"{name[: -len(ODS)]}.xlsx")
        if is_ods_name(name) and not _is_older(path, newer) and kind_of_ods(path) == "job":
            names.append(name)
    return sorted(names)


def read_book(path: Path, *, costings: bool = False) -> BookRead:
    """The shop book of a run, with its problems; `costings` as in `BookRead`."""
    from quotekit.batch.price_job import BookRead
    from quotekit.cli.inputs import file_sha256, read_inputs

    inputs = read_inputs(path)
    sha = inputs.book.sha256 if inputs.book is not None else file_sha256(path)  # of what was read, not of a later save
    return BookRead(book=inputs.book, problems=inputs.problems, sha256=sha, costings=costings)


def bytes_of(path: Path) -> tuple[bytes, str] | list[Problem]:
    """A workbook's bytes and their digest, or why they can't be had."""
    from quotekit.workbook.package import read_file

    data, problems = read_file(path)
    return problems if data is None else (data, hashlib.sha256(data).hexdigest())


def _is_older(ods: Path, workbook: Path | None) -> bool:
    return workbook is not None and workbook.stat().st_mtime_ns >= ods.stat().st_mtime_ns
