"""A file replaced in one step by another of its name, with a dated copy of the old one beside it.

The new bytes are written beside under a hidden name and are on the disk before they take the name of the old ones, so
that whoever is stopped at any moment leaves the old file or the new one, whole. The copy is there first.
"""

from __future__ import annotations

import os
import shutil
import stat
from collections.abc import Iterator
from contextlib import contextmanager, suppress
from datetime import date
from hashlib import sha256
from pathlib import Path

from quotekit.problems import Place, Problem, error
from quotekit.record import record
from quotekit.workbook.kept_copies import copy_paths
from quotekit.workbook.owner_file import open_elsewhere, owner_file

_ENDING = ".quotekit"
_MOST_OF_NAME = 60
"""Letters of the name that a hidden file takes, so that no disk finds it too long."""


class ChangedMeanwhile(Exception):
    """The file is no longer the one that was read, or was opened by another program."""

    def __init__(self, problem: Problem) -> None:
        super().__init__(problem.message)
        self.problem = problem


def cannot_replace(path: Path) -> Iterator[Problem]:
    """What keeps a file from being replaced: open in another program, or not to be written to."""
    real = path.resolve()
    owner = next(filter(None, map(owner_file, dict.fromkeys((path, real)))), None)
    place = Place(path.name)
    if owner is not None:
        yield open_elsewhere(place, owner)
    mode = real.stat().st_mode
    if not mode & (stat.S_IWUSR | stat.S_IWGRP | stat.S_IWOTH) or not os.access(real, os.W_OK):
        yield error(
            place, "file-read-only", "the file is set to be read only", "Allow writing to it, if that is meant."
        )
    elif not os.access(real.parent, os.W_OK):
        message = "the folder of the file allows no writing"
        yield error(place, "file-read-only", message, "Allow writing in the folder, if that is meant.")


def changed_since(path: Path, expected_sha256: str, data: bytes) -> Problem | None:
    """A refusal where the file is not the one that was read before."""
    if sha256(data).hexdigest() == expected_sha256:
        return None
    message = "the file was changed since it was read; nothing was written over that"
    return error(Place(path.name), "file-changed", message, "Run this again with the file as it is now.")


def replace_file(path: Path, old: bytes, new: bytes, day: date) -> str:
    """Put new bytes in place of a file and keep the old ones beside it: the name of that copy.

    Raises ChangedMeanwhile where the file is no longer the old one, OSError where the disk refuses.
    """
    with ready_to_replace(path, old, new, day) as ready:
        ready.take_place()
    return ready.kept


@record
class Ready:
    """New bytes that are on the disk beside a file, and the copy of the old ones."""

    path: Path
    staged: Path
    kept: str
    """Name of the copy."""
    before: str
    """SHA-256 of the file as it must be."""

    def last_look(self) -> None:
        """Raises ChangedMeanwhile where the file is no longer the old one, or is open elsewhere."""
        if not self.path.exists():
            message = "the file is gone since it was read"
            raise ChangedMeanwhile(
                error(Place(self.path.name), "file-changed", message, "Put it back, then try again.")
            )
        data = self.path.read_bytes()
        found = next(cannot_replace(self.path), None) or changed_since(self.path, self.before, data)
        if found is not None:
            raise ChangedMeanwhile(found)

    def take_place(self) -> None:
        """The new bytes take the file's place. Raises ChangedMeanwhile, or OSError where the disk refuses."""
        real = self.path.resolve()
        with _alone(real):
            self.last_look()
            os.replace(self.staged, real)
        _on_disk(real.parent)


@contextmanager
def ready_to_replace(path: Path, old: bytes, new: bytes, day: date) -> Iterator[Ready]:
    """All that can be done before a file is replaced; what is not used is cleared away, the copy stays.

    Raises OSError where the disk refuses.
    """
    real = path.resolve()
    _sweep(real)
    kept = _keep(real, old, day)
    staged = _staged(real)
    try:
        _write(staged, new)
        _like(staged, real)
        yield Ready(path=path, staged=staged, kept=kept.name, before=sha256(old).hexdigest())
    finally:
        with suppress(OSError):  # what is left is cleared away by the next change
            staged.unlink(missing_ok=True)


def _keep(real: Path, old: bytes, day: date) -> Path:
    """The dated copy: one that is there with these very bytes, or a new one, never over another file."""
    staged = _staged(real)
    try:
        _write(staged, old)
        _like(staged, real)
        kept = next(one for one in copy_paths(real, day) if _is_copy(one, old) or _named(staged, one))
    finally:
        staged.unlink(missing_ok=True)
    _on_disk(real.parent)
    return kept


def _is_copy(path: Path, data: bytes) -> bool:
    return path.is_file() and path.stat().st_size == len(data) and path.read_bytes() == data


def _named(staged: Path, path: Path) -> bool:
    """Give a finished file its name, unless that is taken."""
    if path.exists():
        return False
    try:
        os.link(staged, path)
    except FileExistsError:
        return False
    except OSError:  # a disk that knows no second name for a file
        os.replace(staged, path)
    return True


@contextmanager
def _alone(real: Path) -> Iterator[None]:
    """One at a time from the last look at a file to its replacement, where the system and the disk know how."""
    with real.open("rb") as held:
        if os.name == "posix":
            import fcntl

            with suppress(OSError):
                fcntl.flock(held, fcntl.LOCK_EX)
        yield


def _staged(path: Path) -> Path:
    """Where a file is written before it takes its name: hidden, and of this process."""
    return path.with_name(f".{path.name[:_MOST_OF_NAME]}.{os.getpid()}{_ENDING}")


def _sweep(real: Path) -> None:
    """Clear away what stopped runs left of this file, where their process no longer runs."""
    for left in real.parent.glob(f".*{_ENDING}"):
        if left.name.startswith(f".{real.stem[:_MOST_OF_NAME]}"):
            process = left.name.removesuffix(_ENDING).rpartition(".")[2]
            if process.isdecimal() and int(process) != os.getpid() and not _runs(int(process)):
                left.unlink(missing_ok=True)


def _runs(process: int) -> bool:
    """Whether a process of this number runs; where that can't be asked, it is taken to."""
    if os.name != "posix":
        return True
    try:
        os.kill(process, 0)
    except ProcessLookupError:
        return False
    except OSError:
        return True
    return True


def _write(path: Path, data: bytes) -> None:
    with path.open("wb") as out:
        out.write(data)
        out.flush()
        os.fsync(out.fileno())


def _like(path: Path, real: Path) -> None:
    """Owner, mode and further attributes of the file that is replaced, as far as they may be set; the time is now's."""
    about = real.stat()
    if hasattr(os, "chown"):
        with suppress(OSError):
            os.chown(path, about.st_uid, about.st_gid)
    shutil.copystat(real, path)
    os.utime(path)


def _on_disk(folder: Path) -> None:
    """Wait until what a folder lists is on the disk."""
    if os.name != "posix":
        return
    descriptor = os.open(folder, os.O_RDONLY)
    try:
        os.fsync(descriptor)
    finally:
        os.close(descriptor)
