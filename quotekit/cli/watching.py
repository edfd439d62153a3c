"""One look at a watched folder after another: which workbooks were saved, and what is priced because of it.

A job is priced when it was saved, and every job when the shop book was. What is wrong with a job stands in a small text
file beside it, which goes when the job is clean. Nothing a person wrote is touched: quotes, costings and these text
files are the program's own.
"""

from __future__ import annotations

import zipfile
from collections.abc import Callable, Iterator, Mapping
from pathlib import Path
from typing import TYPE_CHECKING, NamedTuple

from quotekit.cli.settled_files import Look, SettledFiles, is_workbook_name
from quotekit.cli.watched_jobs import Priced, WatchedJobs
from quotekit.cli.watched_ods import WatchedOds, is_ods_name

if TYPE_CHECKING:
    from quotekit.workbook.compared_kind import FileKind

WHOLE_WITHIN = 10.0
"""Seconds a file may take to become whole (over a network, from a phone); then it is told as it is."""
AGAIN_AFTER = 30.0
"""Seconds until a job is tried again whose files the disk refused."""


class Content(NamedTuple):
    """What a workbook was when it came to rest."""

    sha256: str
    kind: FileKind | None


class Told(NamedTuple):
    """A job that was priced just now, or tried."""

    job: str
    priced: Priced


class Watching:
    """A folder whose jobs are priced as they are saved."""

    def __init__(self, folder: Path, *, book: Path | None = None, out: Path | None = None) -> None:
        self.folder, self._given, self._out = folder, book, out or folder
        self._settled, self._book_settled = SettledFiles(), SettledFiles()
        self._jobs, self._ods = WatchedJobs(folder), WatchedOds(folder)
        self._contents: dict[str, Content] = {}
        self._given_sha = ""
        self._broken: dict[str, float] = {}
        self._later: dict[str, float] = {}
        self._waits: dict[str, tuple[str, ...]] = {}
        self.with_problems: set[str] = set()
        """Jobs whose text file of problems is there."""

    @property
    def jobs(self) -> list[str]:
        """Names of the jobs that are there."""
        return sorted(name for name, content in self._contents.items() if content.kind == "job")

    @property
    def not_read(self) -> list[str]:
        """Jobs and shop books saved in a format that is not read."""
        return self._ods.waiting

    @property
    def restless(self) -> bool:
        """Whether a file is still being saved."""
        return any(files.restless for files in (self._settled, self._book_settled, self._ods))

    def step(self, now: float) -> Iterator[Told]:
        """Look, and price what is due. `now` is seconds on a clock that does not go back."""
        there = _looks(self.folder, is_workbook_name)
        for name in self._settled.look(there, now):
            self._take(name, now)
        for name, told in self._ods.step(_looks(self.folder, is_ods_name), there, now):
            yield Told(name, told)
        self._contents = {name: content for name, content in self._contents.items() if name in there}
        book = self._book(now)
        if book is None:
            return
        path, sha = book
        for name in self.jobs:
            if self._may_be_priced(name, (self._contents[name].sha256, sha), now):
                yield self._price(name, path, now)

    def why_idle(self) -> str:
        """Why no job can be priced here; empty where one can."""
        if not self.folder.is_dir():
            return f"The folder {self.folder} is not there now."
        if self._given is not None:
            return "" if self._given_sha else f"There is no shop book {self._given}."
        books = self._books()
        if len(books) == 1:
            return ""
        if books:
            return f"There are several shop books here ({', '.join(books)}): say which with --book."
        if self._ods.books:
            return f"The shop book here, {self._ods.books[0]}, is not read: save it as .xlsx."
        return "There is no shop book in this folder: put it there, or name it with --book."

    def _take(self, name: str, now: float) -> None:
        """A workbook that came to rest: what it is; or once more a little later, where it is not whole yet."""
        from quotekit.cli.inputs import file_sha256
        from quotekit.workbook.compared_kind import kind_of_file

        path = self.folder / name
        sha = file_sha256(path)
        if sha is None or not zipfile.is_zipfile(path):
            since = self._broken.setdefault(name, now)
            if sha is None or now - since < WHOLE_WITHIN:
                self._settled.again(name, now)
                return
        self._broken.pop(name, None)
        known = self._contents.get(name)
        if known is None or known.sha256 != sha:
            kind, _ = kind_of_file(path)
            if kind is None and known is not None:
                kind = known.kind  # a job that can't be read any more is still a job, and its problems are told
            self._contents[name] = Content(sha, kind)

    def _books(self) -> list[str]:
        return sorted(name for name, content in self._contents.items() if content.kind == "shop book")

    def _book(self, now: float) -> tuple[Path, str] | None:
        """The shop book and its content, once it is at rest."""
        from quotekit.cli.inputs import file_sha256

        if self._given is None:
            books = self._books()
            return (self.folder / books[0], self._contents[books[0]].sha256) if len(books) == 1 else None
        look = _look(self._given)
        if self._book_settled.look({} if look is None else {self._given.name: look}, now):
            self._given_sha = file_sha256(self._given) or ""
        return (self._given, self._given_sha) if look is not None and self._given_sha else None

    def _may_be_priced(self, name: str, contents: tuple[str, str], now: float) -> bool:
        from quotekit.cli.output_files import is_open_elsewhere

        if now < self._later.get(name, now) or not self._jobs.is_due(name, contents):
            return False
        return not any(is_open_elsewhere(Path(path)) for path in self._waits.get(name, ()))

    def _price(self, name: str, book: Path, now: float) -> Told:
        from quotekit.cli.price_watched import price_watched, tell_problems

        priced = price_watched(book, self.folder / name, self._out)
        self._later.pop(name, None)
        self._waits.pop(name, None)
        try:
            told = tell_problems(self.folder / name, priced)
            self._jobs.keep(name, priced)
        except OSError:
            told, self._later[name] = bool(priced.problems), now + AGAIN_AFTER
        if priced.waits_for:
            self._waits[name] = priced.waits_for
        elif priced.refused_by_disk:
            self._later[name] = now + AGAIN_AFTER
        (self.with_problems.add if told else self.with_problems.discard)(name)
        return Told(name, priced)


def _looks(folder: Path, counts: Callable[[str], bool]) -> Mapping[str, Look]:
    """Every file of a folder whose name counts, as it looks from outside; none while the folder is not there.

    A drive of a network may be gone for a while: what it held is looked at again when it is back.
    """
    try:
        found = [(path.name, _look(path)) for path in folder.iterdir() if counts(path.name)]
    except OSError:
        return {}
    return {name: look for name, look in found if look is not None}


def _look(path: Path) -> Look | None:
    """How a file looks; None where it is gone, or is none."""
    try:
        known = path.stat()
    except OSError:
        return None
    return Look(known.st_size, known.st_mtime_ns, known.st_ino) if path.is_file() else None
