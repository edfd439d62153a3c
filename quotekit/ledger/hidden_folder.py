"""A hidden folder beside what is being written, so that nobody sees half a file; gone afterwards.

Its name tells the machine and the process, so that the next command can clear away what a killed one left.
"""

from __future__ import annotations

import os
import platform
import shutil
import tempfile
import zlib
from collections.abc import Iterator
from contextlib import contextmanager
from pathlib import Path


@contextmanager
def hidden_folder(beside: Path) -> Iterator[Path]:
    """A new hidden folder in a folder, until the block ends. Raises OSError that names the folder a person knows."""
    sweep(beside)
    try:
        hidden = Path(tempfile.mkdtemp(prefix=f"{_start()}{os.getpid()}-", dir=beside))
    except OSError as fault:
        fault.filename = str(beside)
        raise
    try:
        yield hidden
    finally:
        shutil.rmtree(hidden, ignore_errors=True)


def sweep(folder: Path) -> None:
    """Clear away hidden folders of commands that were killed: of this machine, and no longer running."""
    for left in folder.glob(f"{_start()}*"):
        process = left.name.removeprefix(_start()).partition("-")[0]
        if process.isdecimal() and not _runs(int(process)):
            shutil.rmtree(left, ignore_errors=True)


def keep_on_disk(path: Path) -> None:
    """Wait until a file, or what a folder lists, is on the disk: a power cut then finds it there."""
    if path.is_dir() and os.name != "posix":
        return
    descriptor = os.open(path, os.O_RDONLY if path.is_dir() else os.O_RDWR)
    try:
        os.fsync(descriptor)
    finally:
        os.close(descriptor)


def _start() -> str:
    """How the names of hidden folders of this machine begin; what follows is the number of the process."""
    return f".quotekit-{zlib.crc32(platform.node().encode(errors='replace')):08x}-"


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
