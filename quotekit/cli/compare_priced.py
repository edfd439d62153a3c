"""Prices a job before and after, and with each changed cell put back: what moved and why."""

from __future__ import annotations

from collections.abc import Callable, Iterable, Mapping
from dataclasses import dataclass, replace
from functools import cache, cached_property
from pathlib import Path
from typing import TYPE_CHECKING, TypeVar

from quotekit.cli.report import step
from quotekit.model.comparison import ChangedCell, FigureName, Figures, MovedFigure
from quotekit.problems import Place, Problem, error, has_errors

if TYPE_CHECKING:
    from quotekit.model.quote import Quote
    from quotekit.workbook.read_job import JobSheets
    from quotekit.workbook.read_shop_book import BookSheets
    from quotekit.workbook.typed_changes import TypedChange

Sheets = TypeVar("Sheets", "BookSheets", "JobSheets")
Pair = tuple[tuple[Sheets | None, list[Problem]], tuple[Sheets | None, list[Problem]]]
Behind = Callable[[FigureName], frozenset[Place]]
"""The cells that a figure hangs on, as its explanation names them."""


@dataclass(frozen=True, kw_only=True)
class Typed:
    """A shop book and a job as they are typed."""

    book: BookSheets
    job: JobSheets


@dataclass(kw_only=True)
class PricedPair:
    """One job, before and after: what is typed, the quotes, and every change of both workbooks."""

    old: Typed
    new: Typed
    quotes: tuple[Quote, Quote]
    changes: Mapping[str, TypedChange]
    in_book: frozenset[str]

    @property
    def cells(self) -> tuple[ChangedCell, ...]:
        """Every change, in reading order."""
        return tuple(change.cell for change in self.changes.values())

    @cached_property
    def _behind(self) -> tuple[Behind, ...]:
        return tuple(_behind(quote) for quote in self.quotes)

    def moved(self) -> list[MovedFigure]:
        """Every figure that moved, with its causes."""
        from quotekit.pricing.compare import Tries, causes_of

        old, new = (quote_figures(quote) for quote in self.quotes)
        tries = Tries(names=self.names, without=self._without, alone=self._alone, most=most_put_back(self.new.book))
        with step("Putting each change back"):
            return causes_of(old, new, self.cells, tries)

    def names(self, name: FigureName, cell: ChangedCell) -> bool:
        """True where a figure's explanation names a cell, as it was or as it is."""
        from quotekit.pricing.compare import names_cell

        sides = zip((True, False), self._behind, strict=True)
        return any(names_cell(behind(name), cell, old=old) for old, behind in sides)

    def _without(self, cell: ChangedCell) -> Figures | None:
        """The figures as they are, with one cell as it was."""
        return self._mixed(self.changes[cell.place], self.old, self.new)

    def _alone(self, cell: ChangedCell) -> Figures | None:
        """The figures as they were, with one cell as it is."""
        from quotekit.workbook.typed_changes import the_other_way

        return self._mixed(the_other_way(self.changes[cell.place]), self.new, self.old)

    def _mixed(self, change: TypedChange, there: Typed, here: Typed) -> Figures | None:
        from quotekit.workbook.put_back import put_back_in_book, put_back_in_job

        if change.cell.place in self.in_book:
            mixed = Typed(book=put_back_in_book(there.book, here.book, change), job=here.job)
        else:
            mixed = Typed(book=here.book, job=put_back_in_job(there.job, here.job, change))
        quote, problems = quote_of(mixed)
        return None if quote is None or has_errors(problems) else quote_figures(quote)


def priced_pair(old: Typed, new: Typed) -> tuple[PricedPair | None, list[Problem]]:
    """A job priced before and after; None with the problems where one of the two can't be priced."""
    from quotekit.workbook.put_back import changes_of_books, changes_of_jobs

    quotes: list[Quote] = []
    problems: list[Problem] = []
    for typed in (old, new):
        quote, found = quote_of(typed)
        problems += found
        quotes += [quote] if quote is not None else []
    if has_errors(problems) or len(quotes) < 2:
        return None, list(dict.fromkeys(problems))
    of_book = changes_of_books(old.book, new.book) if old.book is not new.book else []
    of_job = changes_of_jobs(old.job, new.job) if old.job is not new.job else []
    return PricedPair(
        old=old,
        new=new,
        quotes=(quotes[0], quotes[1]),
        changes=by_place([*of_book, *of_job]),
        in_book=frozenset(change.cell.place for change in of_book),
    ), []


def read_pair(books: tuple[Path, Path], jobs: tuple[Path, Path]) -> tuple[PricedPair | None, list[Problem]]:
    """A job before and after, from its files; a book or job that stands for both is read once."""
    from quotekit.workbook.read_job import read_job_sheets
    from quotekit.workbook.read_shop_book import read_book_sheets

    typed_books = _each(read_book_sheets, books)
    typed_jobs = _each(read_job_sheets, jobs)
    problems = [problem for _, found in (*typed_books, *typed_jobs) for problem in found]
    (old_book, _), (new_book, _) = typed_books
    (old_job, _), (new_job, _) = typed_jobs
    if has_errors(problems) or None in (old_book, new_book, old_job, new_job):
        return None, errors_of(problems)
    assert old_book is not None and new_book is not None and old_job is not None and new_job is not None
    numbers = [job.fields.values.get("Job number") if job.fields else None for job in (old_job, new_job)]
    if numbers[0] != numbers[1]:
        return None, [different_jobs(new_job.file, str(numbers[0]), str(numbers[1]))]
    with step("Pricing the job"):
        pair, problems = priced_pair(Typed(book=old_book, job=old_job), Typed(book=new_book, job=new_job))
    return pair, errors_of(problems)


def different_jobs(file: str, old: str, new: str) -> Problem:
    """Two files that are of two jobs."""
    message = f"this is of job {new}, the other one of job {old}: figures of two jobs are not compared"
    return error(Place(file), "different-jobs", message, "Give two files of one job.")


def errors_of(problems: Iterable[Problem]) -> list[Problem]:
    """Errors alone, each once: warnings about what did not change are for `check`."""
    return list(dict.fromkeys(problem for problem in problems if problem.severity == "error"))


def _each(read: Callable[[Path], tuple[Sheets | None, list[Problem]]], paths: tuple[Path, Path]) -> Pair[Sheets]:
    with step(f"Reading {paths[0].name}"):
        old = read(paths[0])
    if paths[0] == paths[1]:
        return old, old
    with step(f"Reading {paths[1].name}"):
        new = read(paths[1])
    return (old[0], with_folders(old[1], *paths)), (new[0], with_folders(new[1], *paths[::-1]))


def with_folders(problems: Iterable[Problem], path: Path, other: Path) -> list[Problem]:
    """Problems of a file, with its folder where the other file has the same name."""
    file = str(path) if path.name == other.name else path.name
    return [
        replace(problem, place=problem.place._replace(file=file)) if problem.place.file == path.name else problem
        for problem in problems
    ]


def by_place(changes: Iterable[TypedChange]) -> dict[str, TypedChange]:
    """Changes by where they are."""
    return {change.cell.place: change for change in changes}


def quote_of(typed: Typed) -> tuple[Quote | None, list[Problem]]:
    """The quote of what is typed, or every problem that stops it."""
    from quotekit.pricing import build_quote
    from quotekit.workbook.read_job import job_of_sheets
    from quotekit.workbook.read_shop_book import book_of_sheets

    book, problems = book_of_sheets(typed.book)
    job, found = job_of_sheets(typed.job, book)
    problems = [*problems, *found]
    if job is None or has_errors(problems):
        return None, problems
    quote = build_quote(book, job)
    return (None if has_errors(quote.problems) else quote), [*problems, *quote.problems]


def quote_figures(quote: Quote) -> Figures:
    """Every figure of a quote by name."""
    from quotekit.documents.compare_figures import figures_of
    from quotekit.documents.quote_json import lay_out_quote_json

    return figures_of(lay_out_quote_json(quote))


def _behind(quote: Quote) -> Behind:
    """The cells behind each figure of a quote; those of the job itself are with any tier."""
    from quotekit.pricing.compare import paths_to
    from quotekit.pricing.explain.cells import cells_behind

    found = {tier.code: cells_behind(quote.book, quote.job, tier.code) for tier in quote.tiers}

    @cache
    def behind(name: FigureName) -> frozenset[Place]:
        of_tier = found.get(name.tier or "", next(iter(found.values()), None))
        if of_tier is None:
            return frozenset()
        known = next((path for path in paths_to(name.figure) if path in of_tier), name.figure)
        return of_tier.all_of(known)

    return behind


_MOST_ROWS_READ = 60_000
"""Rows of the shop book that are read again in all, so that a large price list does not take minutes."""


def most_put_back(book: BookSheets) -> int:
    """How many changes are put back one by one."""
    from quotekit.pricing.compare import MOST_PUT_BACK

    rows = sum(len(of_sheet) for of_sheet in book.rows.values())
    return max(3, min(MOST_PUT_BACK, _MOST_ROWS_READ // max(rows, 1)))
