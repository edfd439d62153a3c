"""What two files are, and which way they are compared."""

from __future__ import annotations

from dataclasses import dataclass
from datetime import date
from pathlib import Path
from typing import TYPE_CHECKING

from quotekit.model.comparison import ComparedKind, Comparison
from quotekit.problems import Place, Problem, error, has_errors

if TYPE_CHECKING:
    from quotekit.workbook.compared_kind import FileKind

_KINDS: dict[FileKind, ComparedKind] = {
    "shop book": "shop books",
    "job": "jobs",
    "quote": "quotes",
    "costing": "costings",
    "json": "json",
}


@dataclass(frozen=True, kw_only=True)
class Request:
    """What was asked for: two files, and the books and jobs they belong to."""

    old: Path
    new: Path
    day: date
    jobs: tuple[Path, ...] = ()
    books: tuple[Path | None, Path | None] = (None, None)
    jobs_of: tuple[Path | None, Path | None] = (None, None)

    def refused(self, kind: ComparedKind, problems: list[Problem]) -> Comparison:
        """No comparison, and why."""
        return Comparison(
            kind=kind, old=str(self.old), new=str(self.new), cells=(), figures=(), problems=tuple(problems)
        )


def compare(asked: Request) -> Comparison:
    """What changed between two files of one kind; with errors nothing but the problems."""
    from quotekit.workbook.compared_kind import kind_of_file

    old, problems = kind_of_file(asked.old)
    new, found = kind_of_file(asked.new)
    problems += found
    if old is None or new is None:
        return asked.refused(_KINDS[old or new or "quote"], problems)
    if old != new:
        message = f"{asked.old.name} is a {_called(old)}, this is a {_called(new)}: they can't be compared"
        remedy = "Give two files of one kind."
        return asked.refused(_KINDS[old], [error(Place(asked.new.name), "different-kinds", message, remedy)])
    if old == "shop book":
        from quotekit.cli.compare_books import compare_books

        return compare_books((asked.old, asked.new), asked.jobs, asked.day)
    if old == "job":
        return _compare_jobs(asked)
    from quotekit.cli.compare_quotes import compare_quotes

    return compare_quotes(asked, _KINDS[old])


def _called(kind: FileKind) -> str:
    return "JSON file" if kind == "json" else kind


def _compare_jobs(asked: Request) -> Comparison:
    from quotekit.cli.compare_priced import read_pair

    if asked.books[0] is None or asked.books[1] is None:
        message = "two jobs are priced on a shop book, and none was given"
        return asked.refused(
            "jobs", [error(Place(asked.new.name), "book-needed", message, "Add --book and the shop book.")]
        )
    pair, problems = read_pair((asked.books[0], asked.books[1]), (asked.old, asked.new))
    if pair is None or has_errors(problems):
        return asked.refused("jobs", problems)
    settings = pair.quotes[1].book.settings
    return Comparison(
        kind="jobs",
        old=str(asked.old),
        new=str(asked.new),
        cells=pair.cells,
        figures=tuple(pair.moved()),
        currency=settings.currency,
        language=settings.language,
    )
