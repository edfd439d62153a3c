"""Outcomes on the disk, so that a run that ended half way goes on where it was.

The file is hidden, in the folder that is written to, and only grows while jobs are priced; a run that comes to its end
leaves what that run used and nothing else. Outcomes are found by what they hang on (`kept_frames.key_of`), so a changed
job, shop book or program finds none of the old ones.
"""

from __future__ import annotations

import os
import tempfile
from collections.abc import Iterable, Iterator, Sequence
from contextlib import contextmanager
from pathlib import Path
from typing import IO, Any, NamedTuple

from quotekit.cli.output_files import safe_file_name

START = ".quotekit batch "


class Spot(NamedTuple):
    """Where a packed outcome stands in the file."""

    key: bytes
    offset: int
    length: int


class Kept:
    """The outcomes of a folder of jobs; all of them can be read again, those that may be kept stay for another run."""

    def __init__(self, file: IO[bytes], folder: Path) -> None:
        self._file, self._folder = file, folder
        self._known: dict[bytes, Spot] = {}
        self._end = 0
        self._read_all()

    def find(self, key: bytes) -> Spot | None:
        """The outcome of an earlier run that hangs on the same."""
        return self._known.get(key)

    def put(self, key: bytes, packed: bytes) -> Spot:
        """One more outcome, at the end of the file. Raises OSError."""
        from quotekit.batch.kept_frames import frame

        framed = frame(key, packed)
        with told_of(self._folder):
            self._file.seek(self._end)
            self._file.write(framed)
            self._file.flush()
        self._end += len(framed)
        return Spot(key, self._end - len(packed), len(packed))

    def packed(self, spot: Spot) -> bytes:
        """An outcome again."""
        self._file.seek(spot.offset)
        return self._file.read(spot.length)

    def holds_more_than(self, used: Sequence[Spot]) -> bool:
        """Whether there is anything beside these outcomes."""
        from quotekit.batch.kept_frames import FRAME_BYTES

        return self._end != sum(FRAME_BYTES + spot.length for spot in used)

    def write_only(self, used: Iterable[Spot], path: Path) -> None:
        """These outcomes, in their order, as a file of their own. Raises OSError."""
        from quotekit.batch.kept_frames import frame

        with path.open("wb") as file:
            for spot in used:
                file.write(frame(spot.key, self.packed(spot)))

    def _read_all(self) -> None:
        """Find every whole frame; what is torn at the end goes."""
        from quotekit.batch.kept_frames import HEAD_BYTES, NOT_KEPT, read_head, read_rest

        size = os.fstat(self._file.fileno()).st_size
        self._file.seek(0)
        while (head := read_head(self._file.read(HEAD_BYTES))) is not None and self._end + head.length <= size:
            whole = read_rest(head, self._file.read(head.length))
            if whole is None:
                break
            key, packed = whole
            self._end += HEAD_BYTES + head.length
            if key != NOT_KEPT:
                self._known[key] = Spot(key, self._end - len(packed), len(packed))
        self._file.truncate(self._end)


@contextmanager
def told_of(folder: Path) -> Iterator[None]:
    """What the disk complains of is told of this folder: a full disk names no place, a hidden file says nothing."""
    try:
        yield
    except Exception as fault:
        from quotekit.cli.report import disk_complaint

        complaint = disk_complaint(fault)
        if complaint is not None and (complaint.filename is None or _is_hidden(Path(str(complaint.filename)))):
            complaint.filename = str(folder)
        raise


@contextmanager
def closed_in(folder: Path, file: IO[Any]) -> Iterator[None]:
    """Closes a file of a folder after the block; what could not be written before is tried, and told, once more."""
    try:
        yield
    finally:
        with told_of(folder):
            file.close()


def _is_hidden(path: Path) -> bool:
    return any(name.startswith(".") for name in path.parts[-2:])


def kept_file(out: Path, folder: Path) -> Path:
    """Where the outcomes of a folder of jobs are kept."""
    return out / f"{START}{safe_file_name(folder.resolve().name)}"


@contextmanager
def opened_kept(path: Path | None) -> Iterator[Kept]:
    """The outcomes kept in a file, made where there is none; without a path they are gone afterwards."""
    if path is None:
        folder, file = Path(tempfile.gettempdir()), tempfile.TemporaryFile()  # noqa: SIM115  closed below
    else:
        descriptor = os.open(path, os.O_RDWR | os.O_CREAT | getattr(os, "O_BINARY", 0), 0o644)
        folder, file = path.parent, os.fdopen(descriptor, "r+b")
    with closed_in(folder, file):
        yield Kept(file, folder)
