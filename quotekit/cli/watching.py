"""One look at a watched folder after another: which workbooks were saved, and what is priced because of it.

A job is priced when it was saved, and every job when the shop book was. What is wrong with a job stands in a small text
file beside it, which goes when the job is clean. Nothing a person wrote is touched: quotes, costings and these text
files are the program's own.
"""

from __future__ import annotations

from collections.abc import Callable, Iterator, Mapping
from contextlib import suppress
from pathlib import Path
from typing import TYPE_CHECKING, NamedTuple

from quotekit.cli.gone_files import GoneFiles
from quotekit.cli.price_watched import price_watched, tell_problems, told_before
from quotekit.cli.settled_files import Look, SettledFiles, is_workbook_name
from quotekit.cli.watched_jobs import Priced, WatchedJobs
from quotekit.cli.watched_ods import WatchedOds, is_ods_name
from quotekit.cli.whole_file import is_whole

if TYPE_CHECKING:
    from quotekit.problems import Problem
    from quotekit.workbook.compared_kind import FileKind

WHOLE_WITHIN = 10.0
"""Seconds a file may take to become whole (over a network, from a phone); then it is told as it is."""
LET_IN_WITHIN = 60.0
"""Seconds in which a file may be kept shut by a program that writes it; then it is told that it can't be read."""
AGAIN_AFTER = 30.0
"""Seconds until a job is tried again whose files the disk refused."""
LOOK_AGAIN = 1.0
"""Seconds until a job is tried again that another one stands in the way of, which is not there just now."""
OF_ANOTHER_KIND = "not-comparable"
"""The problem of a workbook that can be read, and is none of ours: the owner's own."""


class Content(NamedTuple):
    """What a workbook was when it came to rest."""

    sha256: str
    kind: FileKind | None
    look: Look
    """How it looked from outside then: while it looks otherwise it is being saved."""
    rested: float
    """When that was."""


class Told(NamedTuple):
    """A job that was priced just now, or tried."""

    job: str
    priced: Priced


class Watching:
    """A folder whose jobs are priced as they are saved."""

    def __init__(self, folder: Path, *, book: Path | None = None, out: Path | None = None) -> None:
        self.folder, self._given = folder, book
        self._out = folder if out is None else out.absolute()
        self._settled, self._book_settled = SettledFiles(), SettledFiles()
        self._jobs, self._ods = WatchedJobs(folder, self._out), WatchedOds(folder)
        self._gone = GoneFiles(told_before(folder))
        self._contents: dict[str, Content] = {}
        self._given_content: Content | None = None
        self._broken: dict[str, float] = {}
        self._shut: dict[str, float] = {}
        self._later: dict[str, float] = {}
        self._waits: dict[str, tuple[str, ...]] = {}
        self._refused: dict[str, tuple[Problem, ...]] = {}
        self.with_problems: set[str] = self._jobs.told
        """Jobs with problems that are told."""
        self.due = 0
        """How many jobs are still to be priced."""

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
        """Look, and price the next job that is due. `now` is seconds on a clock that does not go back.

        One job a step: what is saved while many are priced is seen, and goes first.
        """
        there = _looks(self.folder, is_workbook_name)
        self._try_shut_ones(now)
        for name in self._settled.look(there, now):
            self._take(name, there[name], now)
        for name, told in self._ods.step(_looks(self.folder, is_ods_name), there, now):
            yield Told(name, told)
        self._contents = {name: content for name, content in self._contents.items() if name in there}
        self._let_go(there, now)
        priced_now = self._next(now)
        if priced_now is not None:
            yield priced_now

    def why_idle(self) -> str:
        """Why no job can be priced here; empty where one can."""
        if not self.folder.is_dir():
            return f"The folder {self.folder} is not there now."
        if self._given is not None:
            return "" if self._given_content is not None else f"There is no shop book {self._given}."
        books = self._books()
        if len(books) == 1:
            return ""
        if books:
            return f"There are several shop books here ({', '.join(books)}): say which with --book."
        if self._ods.books:
            return f"The shop book here, {self._ods.books[0]}, is not read: save it as .xlsx."
        return "There is no shop book in this folder: put it there, or name it with --book."

    def _take(self, name: str, look: Look, now: float) -> None:
        """A workbook that came to rest: what it is; or once more a little later, where it is not whole yet."""
        sha = self._whole(self.folder / name, now)
        if sha is None:
            self._settled.again(name, now)
            return
        known = self._contents.get(name)
        if known is None or known.sha256 != sha:
            kind = _kind(self.folder / name, None if known is None else known.kind)
            self._contents[name] = Content(sha, kind, look, now)
        else:
            self._contents[name] = known._replace(look=look)

    def _whole(self, path: Path, now: float) -> str | None:
        """The content of a workbook; None where it is not whole, and may yet become so; empty where it stays shut."""
        from quotekit.cli.inputs import file_sha256

        sha = file_sha256(path)
        if sha is None or not is_whole(path):
            since = self._broken.setdefault(path.name, now)
            if now - since < (LET_IN_WITHIN if sha is None else WHOLE_WITHIN):
                return None
        self._broken.pop(path.name, None)
        if sha is None:
            self._shut[path.name] = now + AGAIN_AFTER
        return sha or ""

    def _try_shut_ones(self, now: float) -> None:
        """A file that could not be read may be open to us now, without having changed."""
        for name in [name for name, at in self._shut.items() if now >= at]:
            del self._shut[name]
            self._settled.again(name, now)
            self._book_settled.again(name, now)

    def _let_go(self, there: Mapping[str, Look], now: float) -> None:
        """Of a job that is gone nothing is wrong any more."""
        if not self.folder.is_dir():
            return
        for name in self._gone.look(there, now):
            if name in self.with_problems:
                self.with_problems.discard(name)
                self._jobs.forget(name)
            with suppress(OSError):
                tell_problems(self.folder / name, Priced(contents=("", "")))

    def _books(self) -> list[str]:
        from quotekit.workbook.kept_copies import is_kept_copy

        books = (name for name, content in self._contents.items() if content.kind == "shop book")
        return sorted(name for name in books if not is_kept_copy(name))

    def _book(self, now: float) -> tuple[Path, Content] | None:
        """The shop book and its content, once it is at rest."""
        if self._given is None:
            books = self._books()
            return (self.folder / books[0], self._contents[books[0]]) if len(books) == 1 else None
        look = _look(self._given)
        if look is None:
            self._given_content = None
        for name in self._book_settled.look({} if look is None else {self._given.name: look}, now):
            sha = self._whole(self._given, now)
            if sha is None:
                self._book_settled.again(name, now)
            elif look is not None:
                self._given_content = Content(sha, "shop book", look, now)
        return None if self._given_content is None else (self._given, self._given_content)

    def _next(self, now: float) -> Told | None:
        """Price the first job that can be priced now; None where there is none."""
        book = self._book(now)
        if book is None:
            self.due = 0
            return None
        due = self._due(book[1].sha256, now)
        told = next(filter(None, (self._price(name, *book, now) for name in due)), None)
        self.due = len(due) - (told is not None)
        return told

    def _due(self, book_sha: str, now: float) -> list[str]:
        """Jobs that are to be priced: what came to rest last goes first."""
        due = [name for name in self.jobs if self._may_be_priced(name, (self._contents[name].sha256, book_sha), now)]
        return sorted(due, key=lambda name: -self._contents[name].rested)

    def _may_be_priced(self, name: str, contents: tuple[str, str], now: float) -> bool:
        from quotekit.cli.output_files import is_open_elsewhere

        if now < self._later.get(name, now) or not self._jobs.is_due(name, contents, self._gone.is_gone):
            return False
        return not any(is_open_elsewhere(Path(path)) for path in self._waits.get(name, ()))

    def _price(self, name: str, book: Path, book_content: Content, now: float) -> Told | None:
        """Price a job; None where it or the shop book is being saved: it is priced when both have come to rest."""
        job, as_rested = self.folder / name, self._contents[name].look
        at_rest = {job: as_rested, book: book_content.look}
        if any(_look(path) != look for path, look in at_rest.items()):
            return None
        priced = price_watched(book, job, self._out, self._taken(name))
        if not priced.files and any(_look(path) != look for path, look in at_rest.items()):
            return None
        if priced.behind and not (self.folder / priced.behind).exists():
            self._later[name] = now + LOOK_AGAIN  # that one may be in the middle of a save
            return None
        return self._keep(name, priced, now)

    def _taken(self, name: str) -> dict[str, str]:
        """Files that another job wrote, which is there or has just been; not one that was renamed to this."""
        content = self._contents[name].sha256
        return {
            file: other
            for file, other in self._jobs.writers().items()
            if other != name
            and not self._gone.is_gone(other)
            and (other in self._contents or self._jobs.content(other) != content)
        }

    def _keep(self, name: str, priced: Priced, now: float) -> Told | None:
        """What is told of it; None where the same refusal as before was told already."""
        self._later.pop(name, None)
        self._waits.pop(name, None)
        try:
            told = tell_problems(self.folder / name, priced)
            self._jobs.keep(name, priced)
        except OSError:
            told, self._later[name] = bool(priced.problems), now + AGAIN_AFTER
        if priced.waits_for:
            self._waits[name] = priced.waits_for
        elif priced.refused_for_now:
            self._later[name] = now + AGAIN_AFTER
        (self.with_problems.add if told else self.with_problems.discard)(name)
        again = priced.refused_for_now and self._refused.get(name) == priced.problems
        self._refused[name] = priced.problems
        return None if again else Told(name, priced)


def _kind(path: Path, known: FileKind | None) -> FileKind | None:
    """What a workbook is; one that can't be read is what it was before, else a job, so that its problems are told."""
    from quotekit.workbook.compared_kind import kind_of_file

    kind, problems = kind_of_file(path)
    if kind is None and any(problem.code != OF_ANOTHER_KIND for problem in problems):
        return known or "job"
    return kind or known


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
    return Look(known.st_size, known.st_mtime_ns, known.st_ino, known.st_ctime_ns) if path.is_file() else None
