"""Where a run writes: its results and its summary, and what it keeps for another run.

The summary and the results are the program's own and are written anew by each run; a file of such a name that it did
not write, or one that is open in another program, is left as it is and the run is refused before anything is priced.
So are those of another folder of the same name. Whose they are stands in the hidden file: a digest of the way from
where a run writes to its jobs. It stays the same when both are moved or copied together, and is no path of the machine.
"""

from __future__ import annotations

import hashlib
import os
import unicodedata
from collections.abc import Iterator, Mapping
from contextlib import ExitStack, contextmanager, suppress
from pathlib import Path
from typing import IO, TYPE_CHECKING

from quotekit.cli.batch_kept import closed_in, kept_file, opened_kept, told_of
from quotekit.cli.output_files import check_targets, is_open_elsewhere, put_in_place, safe_file_name

if TYPE_CHECKING:
    from quotekit.cli.batch_kept import Kept, Spot
    from quotekit.problems import Problem

LOCK = ".quotekit batching"
SUMMARY, RESULTS = " batch summary.xlsx", " batch results.jsonl"


class Lines:
    """Results as they come; what the disk complains of is told of the folder that is written to."""

    def __init__(self, file: IO[str], folder: Path) -> None:
        self._file, self._folder = file, folder

    def write(self, text: str) -> None:
        """A line more. Raises OSError."""
        with told_of(self._folder):
            self._file.write(text)


class Places:
    """The files of a run. With `--json` alone nothing but the hidden file of what is kept is written."""

    def __init__(self, folder: Path, out: Path, *, writes: bool) -> None:
        name = safe_file_name(folder.resolve().name)
        self.folder, self.out, self.writes = folder, out, writes
        self.summary, self.results = out / f"{name}{SUMMARY}", out / f"{name}{RESULTS}"
        self._kept_path: Path | None = kept_file(out, folder)
        self._of: list[Spot] = []
        self.hidden = out

    def problems(self, inputs: tuple[Path, ...], before: Path | None = None) -> list[Problem]:
        """What stands in the way of writing; `before` are earlier results to compare with."""
        if not self.writes:
            return []
        if before is not None and before.resolve() == self.results.resolve():
            return [_written_over(before)]
        own = [path for path in (self.summary, self.results) if path.is_file() and _is_own(path)]
        others = [path for path in (self.summary, self.results) if path not in own]
        return [*check_targets(own, inputs, replace=True), *check_targets(others, inputs, replace=False)]

    def is_own_output(self, name: str) -> bool:
        """Whether a workbook of the folder is the summary of an earlier run, written into it."""
        path = self.folder / name
        return name == self.summary.name and _is_own(path)

    @contextmanager
    def opened(self) -> Iterator[Kept | Problem]:
        """What is kept, held for this run alone; a problem where another run has it. Raises OSError."""
        from quotekit.ledger.alone import alone_in_file
        from quotekit.ledger.fault import LedgerFault
        from quotekit.ledger.hidden_folder import hidden_folder

        with ExitStack() as held:
            if self.writes:
                self.out.mkdir(parents=True, exist_ok=True)
            try:
                held.enter_context(alone_in_file(self.out / LOCK, patience=0))
                kept = held.enter_context(opened_kept(self._kept_path))
            except (LedgerFault, OSError) as fault:
                if self.writes:
                    yield _refused(self.out, fault)
                    return
                self._kept_path = None  # only lines are asked for: they are told, and nothing stays behind
                kept = held.enter_context(opened_kept(None))
            if not self.writes:
                yield kept
                return
            self.hidden = held.enter_context(hidden_folder(self.out))
            yield self._others(kept) or kept

    def _others(self, kept: Kept) -> Problem | None:
        """That what stands here is of another folder of this name; else it is this one's from now on. Raises OSError.

        What stands in the folder of jobs itself, with nothing kept that tells whose it is, is the folder's own.
        """
        from quotekit.batch.kept_frames import OF_FOLDER

        spot, own = kept.find(OF_FOLDER), _way(self.out, self.folder)
        known = None if spot is None else kept.packed(spot)
        if known != own and (known is not None or not self.out.samefile(self.folder)):
            there = next((path for path in (self.summary, self.results) if path.exists()), None)
            if there is not None:
                return _of_another(there, known=known is not None)
        self._of = [kept.put(OF_FOLDER, own) if spot is None or known != own else spot]
        return None

    @contextmanager
    def lines(self) -> Iterator[Lines | None]:
        """Where the results are written while they come; None where only lines on stdout are asked for."""
        if not self.writes:
            yield None
            return
        with told_of(self.out):
            file = self.staged(self.results).open("w", encoding="utf-8", newline="\n")
        with closed_in(self.out, file):
            yield Lines(file, self.out)

    def staged(self, target: Path) -> Path:
        """Where a file is written before it takes its place."""
        return self.hidden / target.name

    def finish(self, written: Mapping[Path, Path]) -> list[Problem]:
        """Put what was written in its place; a problem where it was opened meanwhile. Raises OSError."""
        waits = [target for target in written if is_open_elsewhere(target)]
        if waits:
            return check_targets(waits, (), replace=True)
        with told_of(self.out):
            put_in_place(written)
        return []

    def keep_only(self, kept: Kept, used: list[Spot]) -> None:
        """Leave what this run used, where there is more; a system that can't do so now leaves all of it."""
        from quotekit.ledger.hidden_folder import hidden_folder

        used = [*self._of, *used]
        if self._kept_path is None or not kept.holds_more_than(used):
            return
        with suppress(OSError), hidden_folder(self.out) as hidden:
            kept.write_only(used, hidden / "kept")
            os.replace(hidden / "kept", self._kept_path)


def _is_own(path: Path) -> bool:
    """Whether a run wrote this file."""
    if path.suffix == ".jsonl":
        with path.open("rb") as file:
            start = file.read(7)
        return start in (b"", b'{"job":')
    from quotekit.documents.batch_summary import MARK
    from quotekit.workbook.defined_names import read_defined_names
    from quotekit.workbook.package import BadPackage, open_package
    from quotekit.workbook.xml_parts import read_workbook_part

    package, _ = open_package(path)
    try:
        return package is not None and MARK in read_defined_names(package, read_workbook_part(package).part)[0]
    except BadPackage:
        return False


def _way(out: Path, folder: Path) -> bytes:
    """A digest of the way from one folder to another; of the whole path where they are on two drives."""
    try:
        way = os.path.relpath(folder.resolve(), out.resolve())
    except ValueError:
        way = str(folder.resolve())
    told = unicodedata.normalize("NFC", os.path.normcase(way).replace(os.sep, "/"))
    return hashlib.sha256(told.encode("utf-8", "surrogatepass")).digest()


def _of_another(there: Path, *, known: bool) -> Problem:
    """That a run would write over what another folder of the same name came to."""
    from quotekit.problems import Place, error

    place = Place(str(there))
    remedy = "Choose another folder with --out. If the jobs were only moved, rename the summary and the results first."
    if known:
        message = "This is of another folder of the same name; nothing was written over it."
        return error(place, "output-exists", message, remedy)
    message = "It is not known which folder of this name this is of; nothing was written over it."
    return error(place, "output-exists", message, remedy)


def _written_over(before: Path) -> Problem:
    """That a run would write over what it compares with: the next would find no difference any more."""
    from quotekit.problems import Place, error

    message = "These results would be written over."
    return error(
        Place(str(before)), "output-is-input", message, "Rename them first, or choose another folder with --out."
    )


def _refused(out: Path, fault: Exception) -> Problem:
    """Why nothing can be kept in a folder."""
    from dataclasses import replace

    from quotekit.cli.report import stopped_problem
    from quotekit.ledger.fault import LedgerFault
    from quotekit.problems import Place, error

    if isinstance(fault, LedgerFault) and fault.problem.code == "ledger-busy":
        message = "Another `quotekit batch` is writing to this folder."
        return error(Place(str(out)), "batch-already", message, "Wait for it, or choose another folder with --out.")
    problem = stopped_problem(fault.__cause__ if isinstance(fault.__cause__, Exception) else fault)
    return replace(problem, place=Place(str(out)))  # the hidden file that was refused says nothing to a person
