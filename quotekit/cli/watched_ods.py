"""Jobs and shop books of a watched folder that are saved as .ods: never priced, and never passed over in silence.

What is read is .xlsx: a job saved as .ods is told on the screen and in `job.ods problems.txt` beside it, until it is
gone, or until an .xlsx of the same name was saved after it: then that one is the job, and the .ods an older copy.
"""

from __future__ import annotations

from collections.abc import Iterator, Mapping
from contextlib import suppress
from pathlib import Path
from typing import TYPE_CHECKING, Literal

from quotekit.cli.settled_files import Look, SettledFiles, is_passing
from quotekit.cli.watched_jobs import Priced

if TYPE_CHECKING:
    from quotekit.problems import Problem

ODS, TOLD = ".ods", " problems.txt"
Kind = Literal["job", "shop book"]


def is_ods_name(name: str) -> bool:
    """Whether a name is that of an .ods workbook, and none that a program uses in passing.

    >>> [is_ods_name(name) for name in ("job.ods", "JOB.ODS", ".~lock.job.ods#", ".job.ods", "job.xlsx")]
    [True, True, False, False, False]
    """
    return name.lower().endswith(ODS) and not is_passing(name)


class WatchedOds:
    """The .ods workbooks of a folder, and which of them wait to be saved as .xlsx."""

    def __init__(self, folder: Path) -> None:
        self._folder, self._settled = folder, SettledFiles()
        told_before = (path.name.removesuffix(TOLD) for path in folder.glob(f"*{ODS}{TOLD}"))
        self._kinds: dict[str, Kind | None] = dict.fromkeys(told_before)
        self._at_rest: dict[str, Look] = {}
        self._told: set[str] = set()

    @property
    def restless(self) -> bool:
        """Whether one is still being saved."""
        return self._settled.restless

    @property
    def waiting(self) -> list[str]:
        """Those that are told."""
        return sorted(self._told)

    @property
    def books(self) -> list[str]:
        """Shop books among them."""
        return [name for name in self.waiting if self._kinds[name] == "shop book"]

    def step(
        self, there: Mapping[str, Look], workbooks: Mapping[str, Look], now: float
    ) -> Iterator[tuple[str, Priced]]:
        """Look, and give each that is to be told now. `workbooks` are those that are read."""
        from quotekit.workbook.ods_kind import kind_of_ods

        for name in self._settled.look(there, now):
            self._kinds[name], self._at_rest[name] = kind_of_ods(self._folder / name), there[name]
            self._told.discard(name)
        for name in [name for name in self._kinds if name not in there]:
            self._tell(name)
            del self._kinds[name]
        for name, kind in sorted(self._kinds.items()):
            if self._at_rest.get(name) != there[name]:
                continue  # being saved: what it was is no longer so, what it will be is not known
            if kind is None or _is_older(there[name], workbooks.get(f"{name[: -len(ODS)]}.xlsx")):
                self._tell(name)
            elif name not in self._told:
                problem = saved_as_ods(name, kind)
                self._tell(name, problem)
                yield name, Priced(contents=("", ""), problems=(problem,))

    def _tell(self, name: str, *problems: Problem) -> None:
        """Keep the text file beside it; without a problem it goes, also where an earlier run wrote it."""
        from quotekit.cli.price_watched import tell_problems

        (self._told.add if problems else self._told.discard)(name)
        with suppress(OSError):  # the screen tells it all the same
            tell_problems(self._folder / name, Priced(contents=("", ""), problems=problems))


def _is_older(ods: Look, workbook: Look | None) -> bool:
    return workbook is not None and workbook.changed >= ods.changed


def saved_as_ods(name: str, kind: Kind) -> Problem:
    """A job or shop book in a format that is not read."""
    from quotekit.problems import Place, error

    so = "it is not priced" if kind == "job" else "its prices do not count"
    message = f"this {kind} is saved as .ods, and only .xlsx is read: {so}"
    remedy = "In LibreOffice: File, Save As, file type Excel 2007-365 (.xlsx). Then work in that one, not in this."
    return error(Place(name), "saved-as-ods", message, remedy)
