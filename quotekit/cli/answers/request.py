"""What a spreadsheet asks and how it is answered: values, before they are lines of JSON.

A request names what to `do` and its words. It is answered by a result, or refused with problems.
"""

from __future__ import annotations

from collections.abc import Callable, Iterable, Mapping
from pathlib import Path
from typing import Any

from quotekit.problems import Place, Problem, error
from quotekit.record import record

PROTOCOL = 1
"""Counts changes of the requests and answers that an older extension would not understand."""

Words = Mapping[str, Any]
Answer = Callable[[Words], dict[str, Any]]
"""What answers a kind of request. Raises Refused, and whatever the disk raises."""


class Refused(Exception):
    """A request that can't be carried out; the problems say why, with their cells."""

    def __init__(self, problems: Iterable[Problem]) -> None:
        self.problems = list(problems)
        super().__init__(*self.problems)


@record
class Document:
    """A workbook that is open in a spreadsheet: a temporary copy to read, and where the real one lies.

    `path` is None where it was never saved. The copy has the real one's name, so that places read right.
    """

    copy: Path
    path: Path | None = None

    @property
    def folder(self) -> Path:
        """Where what belongs to it lies. Raises Refused where it was never saved."""
        if self.path is None:
            message = "This workbook was never saved, so there is no folder to write to."
            raise Refused([error(Place(self.copy.name), "never-saved", message, "Save it first, then do this again.")])
        return self.path.parent


def document(words: Words, name: str) -> Document:
    """The document under a name of a request: `{"copy": ..., "path": ... or null}`."""
    given = words[name]
    return Document(copy=Path(given["copy"]), path=Path(given["path"]) if given.get("path") else None)


def told(problems: Iterable[Problem]) -> list[dict[str, str]]:
    """Problems as a spreadsheet shows them: the parts of the place apart, so that it can find the cell."""
    return [
        {
            "file": problem.place.file,
            "sheet": problem.place.sheet,
            "cell": problem.place.cell,
            "code": problem.code,
            "severity": problem.severity,
            "message": problem.message,
            "remedy": problem.remedy,
            "text": problem.text,
        }
        for problem in problems
    ]
