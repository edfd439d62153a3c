"""Puts finished workbooks in a folder: all of them or none, and never over something a person would miss.

Workbooks are written in a hidden folder beside their place and then renamed into it, so that nobody sees half a file.
"""

from __future__ import annotations

import os
import shutil
from collections.abc import Callable, Iterable, Iterator, Mapping
from contextlib import contextmanager
from errno import ENOTDIR
from pathlib import Path

from quotekit.problems import Place, Problem, error

WriteTo = Callable[[Path], None]


def these_bytes(data: bytes) -> WriteTo:
    """What writes these bytes."""

    def write(path: Path) -> None:
        path.write_bytes(data)

    return write


def safe_file_name(text: str) -> str:
    """A job number as the start of a file name: letters a file name can't hold become a dash.

    >>> safe_file_name("2026/117 "), safe_file_name("..")
    ('2026-117', 'job')
    """
    cleaned = "".join("-" if letter in '<>:"/\\|?*' or ord(letter) < 32 else letter for letter in text)
    return cleaned.strip(" .") or "job"


def file_start(job_number: str, version: int) -> str:
    """How the names of a version's files begin.

    >>> file_start("2026/117", 2)
    '2026-117-2'
    """
    return safe_file_name(f"{job_number}-{version}")


def check_targets(targets: Iterable[Path], inputs: Iterable[Path], *, replace: bool) -> list[Problem]:
    """What stands in the way of writing each target: a problem each, none when all is clear."""
    from quotekit.workbook.owner_file import open_elsewhere, owner_file

    sources = [path.resolve() for path in inputs]
    found: list[Problem] = []
    for target in targets:
        owner = owner_file(target)
        if target.resolve() in sources:
            found.append(
                _in_the_way(target, "output-is-input", "This name is the shop book or the job itself.", _RENAME)
            )
        elif owner is not None:
            found.append(open_elsewhere(Place(str(target)), owner))
        elif target.is_dir():
            found.append(_in_the_way(target, "output-exists", "A folder of this name is in the way.", _RENAME))
        elif target.exists() and not replace:
            message = "The file exists already; nothing was written over it."
            found.append(_in_the_way(target, "output-exists", message, _REPLACE))
    return found


def write_together(writers: Mapping[Path, WriteTo]) -> None:
    """Write every target, all in one folder; when anything fails, the folder is as it was before."""
    with staged_together(writers) as staged:
        put_in_place(staged)


@contextmanager
def staged_together(writers: Mapping[Path, WriteTo]) -> Iterator[Mapping[Path, Path]]:
    """Every target written in a hidden folder beside its place: where each stands, until the block ends."""
    from quotekit.ledger.hidden_folder import hidden_folder

    folder = next(iter(writers)).parent
    try:
        folder.mkdir(parents=True, exist_ok=True)
    except FileExistsError as fault:
        raise NotADirectoryError(ENOTDIR, os.strerror(ENOTDIR), str(folder)) from fault
    with hidden_folder(folder) as hidden:
        staged = {target: hidden / target.name for target in writers}
        for target, write in writers.items():
            write(staged[target])
        yield staged


_RENAME = "Choose another folder with --out."
_REPLACE = "Move it away, give the job a new Version, choose another folder with --out, or add --replace."


def _in_the_way(target: Path, code: str, message: str, remedy: str) -> Problem:
    return error(Place(str(target)), code, message, remedy)


def is_open_elsewhere(target: Path) -> bool:
    """Whether an office program has a workbook open, as far as the file it leaves beside tells."""
    from quotekit.workbook.owner_file import owner_file

    return owner_file(target) is not None


def put_in_place(staged: Mapping[Path, Path]) -> None:
    """Rename each file into place; a failure half way puts back what was there."""
    hidden = next(iter(staged.values())).parent
    moved: list[tuple[Path, Path | None]] = []
    try:
        for target, finished in staged.items():
            moved.append((target, _keep_old(target, hidden)))
            os.replace(finished, target)
    except BaseException:
        for target, old in reversed(moved):
            _put_back(target, old, untouched=staged[target].exists())
        raise


def _keep_old(target: Path, hidden: Path) -> Path | None:
    if not target.exists():
        return None
    kept = hidden / f"before {target.name}"
    shutil.copy2(target, kept)
    return kept


def _put_back(target: Path, old: Path | None, *, untouched: bool) -> None:
    if untouched:
        return
    if old is None:
        target.unlink(missing_ok=True)
    else:
        os.replace(old, target)
