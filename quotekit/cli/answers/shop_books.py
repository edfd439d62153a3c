"""Which shop book the functions of a spreadsheet's cells are of, and its records, read once for thousands of cells.

The book is the one that the last argument names; else the document itself, where it is a shop book; else the only one
in its folder, or in the folder above where it has none; else the only one that is open. A book that is open counts as
it stands on the screen: the spreadsheet gives a copy of it whenever it has come to rest, and says when it is closed.
"""

from __future__ import annotations

import os
import time
from collections.abc import Callable, Mapping
from functools import cached_property
from pathlib import Path
from typing import TYPE_CHECKING, Any

from quotekit.record import record

if TYPE_CHECKING:
    from quotekit.model.shop_book import ShopBook
    from quotekit.pricing.functions.asked import Reason
    from quotekit.problems import Problem

LOOKS_AGAIN = 0.5
"""Seconds for which what lies on the disk is not looked at again: cells of one recalculation see one shop book."""

Stamp = tuple[int, int]
"""When a file was changed, and its size."""

OPEN_IT = "Open it, so that it is seen as it stands, or save it as .xlsx."


@record
class ReadBook:
    """A shop book as it was read; None where the file is none."""

    name: str
    book: ShopBook | None
    problems: tuple[Problem, ...]
    reading: int = 0
    """Tells it from every other reading of this process."""

    @cached_property
    def errors(self) -> tuple[Problem, ...]:
        """What stops a figure that depends on it."""
        return tuple(problem for problem in self.problems if problem.severity == "error")

    @property
    def content(self) -> Any:
        """What its answers depend on: all but the file it came from."""
        from dataclasses import replace

        plain = None if self.book is None else replace(self.book, file="", sha256="")
        return plain, self.problems


class ShopBooks:
    """The shop books of the folders that are worked in, and those that are open."""

    def __init__(self, clock: Callable[[], float] = time.monotonic) -> None:
        self._clock = clock
        self._open: dict[str, ReadBook] = {}
        self._read: dict[Path, tuple[Stamp, ReadBook]] = {}
        self._kinds: dict[Path, tuple[Stamp, bool]] = {}
        self._found: dict[tuple[str, str], tuple[float, ReadBook | Reason]] = {}
        self.reads = 0
        """How often a workbook was read."""

    def of(self, document: str, given: str) -> ReadBook | Reason:
        """The book for a document, by its path or another name of it, and for what the last argument says."""
        now = self._clock()
        until, found = self._found.get((document, given), (now, None))
        if found is None or until <= now:
            found = self._named(document, given) if given else self._unnamed(document)
            self._found[document, given] = (now + LOOKS_AGAIN, found)
        return found

    def reading_of(self, document: str, given: str) -> int | None:
        """Which reading the last answer for a document came from; None where there was no book."""
        _, found = self._found.get((document, given), (0, None))
        return found.reading if isinstance(found, ReadBook) else None

    def opened(self, document: str, copy: Path) -> bool:
        """A document is open and stands as this copy says; True where that says something new."""
        before = self._open.get(document) or self._on_disk(Path(document))
        now = self._open[document] = self._reading(copy)
        self._found.clear()
        return before is None or before.content != now.content

    def closed(self, document: str) -> bool:
        """A document is no longer open: what lies on the disk counts. True where that says something else."""
        before = self._open.pop(document, None)
        self._found.clear()
        on_disk = self._on_disk(Path(document))
        return before is not None and (on_disk is None or on_disk.content != before.content)

    def _named(self, document: str, given: str) -> ReadBook | Reason:
        path = Path(given).expanduser()
        if not path.is_absolute():
            path = Path(os.path.normpath(Path(document).parent / path))
        for name in (path, path.parent / f"{path.name}.xlsx"):
            found = self._open.get(str(name)) or self._on_disk(name)
            if found is not None:
                return found
        return _reason(f"There is no shop book {given}.", "Check the name: it is looked for beside this workbook.")

    def _unnamed(self, document: str) -> ReadBook | Reason:
        own = self._open.get(document)
        if own is not None:
            return own
        path = Path(document)
        if not path.is_absolute():
            return _only_one(self._open, "open")
        if self._is_shop_book(path):
            return self._on_disk(path) or _unreadable(path.name)
        for folder in (path.parent, path.parent.parent):
            found = self._in_folder(folder)
            if found:
                return _only_one(found, f"in {folder.name or folder}")
        return _only_one(self._open, "beside this workbook")

    def _in_folder(self, folder: Path) -> dict[str, ReadBook | Reason]:
        """Its shop books by name: those that are open, and those on the disk."""
        from quotekit.workbook.kept_copies import is_kept_copy

        found: dict[str, ReadBook | Reason] = {
            name: book
            for name, book in self._open.items()
            if Path(name).parent == folder and not is_kept_copy(Path(name).name)
        }
        for path in workbooks_in(folder):
            if str(path) not in found and not is_kept_copy(path.name) and self._is_shop_book(path):
                found[str(path)] = self._on_disk(path) or _unreadable(path.name)
        return found

    def _is_shop_book(self, path: Path) -> bool:
        from quotekit.workbook.compared_kind import kind_of_file

        stamp = _stamp(path)
        if stamp is None:
            return False
        known = self._kinds.get(path)
        if known is None or known[0] != stamp:
            known = self._kinds[path] = (stamp, kind_of_file(path)[0] == "shop book")
        return known[1]

    def _on_disk(self, path: Path) -> ReadBook | None:
        """A file as it was read; None where there is no such file, or it is of another program."""
        stamp = _stamp(path) if path.is_absolute() and path.suffix.lower() in (".xlsx", ".xlsm") else None
        if stamp is None:
            return None
        known = self._read.get(path)
        if known is None or known[0] != stamp:
            known = self._read[path] = (stamp, self._reading(path))
        return known[1]

    def _reading(self, path: Path) -> ReadBook:
        from quotekit.workbook.read_shop_book import read_shop_book

        self.reads += 1
        book, problems = read_shop_book(path)
        return ReadBook(name=path.name, book=book, problems=tuple(problems), reading=self.reads)


def workbooks_in(folder: Path) -> list[Path]:
    """The workbooks of a folder that the engine reads, by name; none that a program uses in passing."""
    from quotekit.cli.settled_files import is_workbook_name

    try:
        return sorted(path for path in folder.iterdir() if is_workbook_name(path.name))
    except OSError:
        return []


def _only_one(found: Mapping[str, ReadBook | Reason], where: str) -> ReadBook | Reason:
    if len(found) == 1:
        return next(iter(found.values()))
    if found:
        names = "; ".join(sorted(one.name if isinstance(one, ReadBook) else Path(at).name for at, one in found.items()))
        return _reason(f"There are several shop books {where}: {names}.", "Name one as the last argument.")
    advice = "Save this workbook in the folder of the shop book (.xlsx), or name the book as the last argument."
    return _reason(f"There is no shop book {where}.", advice)


def _unreadable(name: str) -> Reason:
    return _reason(f"{name} can't be read.", OPEN_IT)


def _reason(why: str, advice: str) -> Reason:
    from quotekit.pricing.functions.asked import Reason

    return Reason(why=why, advice=advice)


def _stamp(path: Path) -> Stamp | None:
    try:
        status = path.stat()
    except OSError:
        return None
    return status.st_mtime_ns, status.st_size
