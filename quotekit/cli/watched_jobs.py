"""What is due in a watched folder: each job once for each pair of contents, its own and its shop book's."""

from __future__ import annotations

import json
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
    """Names of what was written."""
    problems: tuple[Problem, ...] = ()
    waits_for: tuple[str, ...] = ()
    """Paths that stand open in another program: it is tried again when they are closed."""

    @property
    def refused_by_disk(self) -> bool:
        """Whether it is worth another try though nothing changes."""
        return any(problem.code == "disk" for problem in self.problems)


class WatchedJobs:
    """Which job was priced from what."""

    def __init__(self, folder: Path) -> None:
        self._file = folder / KEPT
        self._done: dict[str, dict[str, Any]] = _read(self._file)

    def is_due(self, job: str, contents: tuple[str, str]) -> bool:
        """Whether these contents were not priced yet, or what was written from them is gone."""
        done = self._done.get(job)
        if done is None or done["contents"] != list(contents):
            return True
        return not all((self._file.parent / name).exists() for name in done["files"])

    def keep(self, job: str, priced: Priced) -> None:
        """Remember what was priced; nothing of a job that is to be tried again. Raises OSError."""
        from quotekit.cli.output_files import these_bytes, write_together

        if priced.waits_for or priced.refused_by_disk:
            self._done.pop(job, None)
        else:
            self._done[job] = {"contents": list(priced.contents), "files": list(priced.files)}
        write_together({self._file: these_bytes(json.dumps(self._done, ensure_ascii=False, indent=1).encode())})


def _read(file: Path) -> dict[str, dict[str, Any]]:
    """What was kept of jobs that are there; nothing where it can't be read, so that all is priced once more."""
    try:
        kept = json.loads(file.read_text(encoding="utf-8"))
        return {
            str(job): {"contents": list(done["contents"]), "files": list(done["files"])}
            for job, done in kept.items()
            if (file.parent / job).exists()
        }
    except (OSError, ValueError, KeyError, TypeError, AttributeError):
        return {}
