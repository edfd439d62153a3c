"""What is due in a watched folder: each job once for each pair of contents, its own and its shop book's."""

from __future__ import annotations

import json
import os
from collections.abc import Callable
from pathlib import Path
from typing import TYPE_CHECKING, Any

from quotekit.record import record

if TYPE_CHECKING:
    from quotekit.problems import Problem

KEPT = ".quotekit watched.json"
"""Hidden, in the watched folder: what was priced from which contents, so that starting again prices nothing again."""


@record
class Priced:
    """What pricing a job came to."""

    contents: tuple[str, str]
    """SHA-256 of the job and of the shop book, as they were read."""
    files: tuple[str, ...] = ()
    """What was written: names beside the job, else whole paths."""
    problems: tuple[Problem, ...] = ()
    waits_for: tuple[str, ...] = ()
    """Paths that stand open in another program: it is tried again when they are closed."""
    behind: str = ""
    """Another job, whose quote has the names this one's would have: it is tried again when that one gives them up."""
    wants: str = ""
    """The name they both would have, where it is behind another."""
    stands: str = ""
    """A file that stands in the way until a person takes it away."""
    lacks: tuple[str, ...] = ()
    """Names of photos that were not there: it is priced again when one comes."""

    @property
    def refused_for_now(self) -> bool:
        """Whether it is worth another try though nothing changes: the disk or the ledger could not be used."""
        return any(problem.code == "disk" or problem.code.startswith("ledger-") for problem in self.problems)


class WatchedJobs:
    """Which job was priced from what, and where that was written."""

    def __init__(self, folder: Path, out: Path) -> None:
        self._folder, self._file, self._out = folder, folder / KEPT, _seen_from(folder, out)
        self._done: dict[str, dict[str, Any]] = _read(self._file)

    @property
    def told(self) -> set[str]:
        """Jobs whose problems were told when they were priced last."""
        return {job for job, done in self._done.items() if done["told"]}

    def is_due(self, job: str, contents: tuple[str, str], is_gone: Callable[[str], bool]) -> bool:
        """Whether these contents were not priced yet for this folder, or what was written from them is gone."""
        done = self._done.get(job)
        if done is None or (done["contents"], done["out"]) != (list(contents), self._out):
            return True
        if done["behind"]:
            other = self._done.get(done["behind"])
            return other is None or is_gone(done["behind"]) or done["wants"] not in other["files"]
        if any((self._folder / name).exists() for name in done["lacks"]):
            return True
        return not all((self._folder / name).exists() for name in (*done["files"], done["stands"]))

    def writers(self) -> dict[str, str]:
        """Which job wrote which file."""
        return {file: job for job, done in self._done.items() for file in done["files"]}

    def content(self, job: str) -> str:
        """SHA-256 of a job as it was priced last; empty where it was not."""
        return str(self._done[job]["contents"][0]) if job in self._done else ""

    def forget(self, job: str) -> None:
        """Price it again should it come back."""
        self._done.pop(job, None)

    def keep(self, job: str, priced: Priced) -> None:
        """Remember what was priced; nothing of a job that is to be tried again. Raises OSError."""
        from quotekit.cli.output_files import these_bytes, write_together

        if priced.waits_for or priced.refused_for_now:
            self.forget(job)
        else:
            self._done[job] = {
                "contents": list(priced.contents),
                "files": list(priced.files),
                "out": self._out,
                "told": bool(priced.problems),
                "behind": priced.behind,
                "wants": priced.wants,
                "lacks": list(priced.lacks),
                "stands": priced.stands,
            }
        write_together({self._file: these_bytes(json.dumps(self._done, indent=1).encode())})


def _seen_from(folder: Path, out: Path) -> str:
    """Where a folder is from another, so that both may be moved together; its whole path from another drive."""
    try:
        return os.path.relpath(out.resolve(), folder.resolve())
    except ValueError:
        return str(out)


def _read(file: Path) -> dict[str, dict[str, Any]]:
    """What was kept of jobs that are there; nothing where it can't be read, so that all is priced once more."""
    try:
        kept = json.loads(file.read_text(encoding="utf-8"))
        return {str(job): _done(done) for job, done in kept.items() if (file.parent / job).exists()}
    except (OSError, ValueError, KeyError, TypeError, AttributeError):
        return {}


def _done(kept: dict[str, Any]) -> dict[str, Any]:
    """An entry with all it must have; those of an earlier version say less."""
    less = {"out": ".", "told": False, "behind": "", "wants": "", "lacks": [], "stands": ""}
    return less | kept | {"contents": list(kept["contents"]), "files": list(kept["files"])}
