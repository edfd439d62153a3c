"""Two shop books: every cell that changed, what follows from the book alone, and each job priced on both."""

from __future__ import annotations

from collections import defaultdict
from collections.abc import Iterator, Mapping, Sequence
from dataclasses import dataclass, field
from datetime import date
from functools import cached_property
from pathlib import Path
from typing import TYPE_CHECKING

from quotekit.cli.compare_priced import Typed, by_place, errors_of, most_put_back, priced_pair, with_folders
from quotekit.cli.report import step
from quotekit.model.comparison import ChangedCell, Comparison, FigureName, Figures, MovedFigure
from quotekit.problems import Problem, has_errors

if TYPE_CHECKING:
    from quotekit.model.shop_book import ShopBook
    from quotekit.workbook.read_shop_book import BookSheets
    from quotekit.workbook.typed_changes import TypedChange

_FOR_ALL_WORK = frozenset({"Labour rates", "Markup", "Machines", "Fees", "Parts used", "Findings"})
"""Sheets that may reach any remedy's work."""

_RATES = "Rate builder"
"""The sheet that the shop's own rate comes from, and nothing else."""


def compare_books(paths: tuple[Path, Path], jobs: Sequence[Path], day: date) -> Comparison:
    """What changed between two shop books, on a day, and for some jobs."""
    from quotekit.workbook.put_back import changes_of_books

    old, new = str(paths[0]), str(paths[1])
    sheets, books, problems = read_books(paths)
    if len(books) < 2 or has_errors(problems):
        return Comparison(kind="shop books", old=old, new=new, cells=(), figures=(), problems=tuple(problems))
    changes = by_place(changes_of_books(*sheets))
    figures = BookPair(sheets=sheets, books=books, changes=changes, day=day).moved()
    notes = tuple(_rates_not_told(books)) if any(change.sheet == _RATES for change in changes.values()) else ()
    for path in jobs:
        moved, found = _of_job(sheets, path)
        figures += moved
        problems += found
    return Comparison(
        kind="shop books",
        old=old,
        new=new,
        cells=tuple(change.cell for change in changes.values()),
        figures=tuple(figures),
        currency=books[1].settings.currency,
        language=books[1].settings.language,
        notes=notes,
        problems=tuple(problems),
    )


def read_books(paths: tuple[Path, Path]) -> tuple[tuple[BookSheets, ...], tuple[ShopBook, ...], list[Problem]]:
    """Shop books as typed and as records, with every error in them."""
    from quotekit.workbook.read_shop_book import book_of_sheets, read_book_sheets

    sheets: list[BookSheets] = []
    books: list[ShopBook] = []
    problems: list[Problem] = []
    for path in paths:
        with step(f"Reading {path.name}"):
            typed, found = read_book_sheets(path)
            if typed is not None:
                book, more = book_of_sheets(typed)
                found += more
                sheets.append(typed)
                books.append(book)
        problems += with_folders(found, path, paths[1] if path is paths[0] else paths[0])
    return tuple(sheets), tuple(books), errors_of(problems)


def _rates_not_told(books: tuple[ShopBook, ...]) -> Iterator[str]:
    """Which of the books gives no rate to break even, and why."""
    from quotekit.pricing.compare_book import no_rate_of

    for book, which in zip(books, ("old", "new"), strict=True):
        why = no_rate_of(book)
        if why:
            yield f"The {which} shop book {why}, so it gives no rate to break even."


def _of_job(sheets: tuple[BookSheets, ...], path: Path) -> tuple[list[MovedFigure], list[Problem]]:
    from quotekit.workbook.read_job import read_job_sheets

    job, problems = read_job_sheets(path)
    if job is None or has_errors(problems):
        return [], errors_of(problems)
    with step(f"Pricing {path.name}"):
        pair, found = priced_pair(Typed(book=sheets[0], job=job), Typed(book=sheets[1], job=job))
    return ([], errors_of(found)) if pair is None else (pair.moved(), [])


@dataclass(kw_only=True)
class BookPair:
    """Two shop books, as typed and as records, and every change by its place."""

    sheets: tuple[BookSheets, ...]
    books: tuple[ShopBook, ...]
    changes: Mapping[str, TypedChange]
    day: date
    _codes: dict[str, frozenset[str]] = field(default_factory=dict)

    def moved(self) -> list[MovedFigure]:
        """What follows from the books alone."""
        from quotekit.pricing.compare import Tries, causes_of
        from quotekit.pricing.compare_book import book_figures

        cells = [change.cell for change in self.changes.values()]
        old, new = (book_figures(book, self.day) for book in self.books)
        tries = Tries(
            names=self._names,
            without=self._without,
            alone=self._alone,
            most=most_put_back(self.sheets[1]),
            candidates=self._candidates,
        )
        with step("Putting each change back"):
            return causes_of(old, new, cells, tries)

    def _names(self, name: FigureName, cell: ChangedCell) -> bool:
        change = self.changes[cell.place]
        group, _, rest = name.figure.partition(".")
        code, on = rest.rpartition(".")[0], _code(change)
        if change.sheet == "Shop":
            return group in ("remedies", "extras") or change.name == "Currency"
        if group == "rate" or change.sheet == _RATES:
            return group == "rate" and change.sheet == _RATES
        if group == "parts":
            return change.sheet == "Markup" or (change.sheet == "Parts" and code == on)
        if group == "labour":
            return change.sheet == "Labour rates" and code == on
        return change.sheet in _FOR_ALL_WORK or on in self._codes_of(code)

    def _candidates(self, name: FigureName) -> Sequence[ChangedCell]:
        """For the price of a part its own rows, the markup and the shop; for anything else every change."""
        group, _, rest = name.figure.partition(".")
        if group != "parts":
            return [change.cell for change in self.changes.values()]
        code = rest.rpartition(".")[0]
        return [*self._by_sheet["Shop", ""], *self._by_sheet["Parts", code], *self._by_sheet["Markup", ""]]

    @cached_property
    def _by_sheet(self) -> Mapping[tuple[str, str], list[ChangedCell]]:
        found: dict[tuple[str, str], list[ChangedCell]] = defaultdict(list)
        for change in self.changes.values():
            found[change.sheet, _code(change)].append(change.cell)
        return found

    def _codes_of(self, code: str) -> frozenset[str]:
        from quotekit.pricing.compare_book import codes_behind

        if code not in self._codes:
            self._codes[code] = frozenset().union(*(codes_behind(book, code) for book in self.books))
        return self._codes[code]

    def _without(self, cell: ChangedCell) -> Figures | None:
        """The figures as they are, with one cell as it was."""
        from quotekit.workbook.put_back import put_back_in_book

        return self._mixed(put_back_in_book(self.sheets[0], self.sheets[1], self.changes[cell.place]))

    def _alone(self, cell: ChangedCell) -> Figures | None:
        """The figures as they were, with one cell as it is."""
        from quotekit.workbook.put_back import put_back_in_book
        from quotekit.workbook.typed_changes import the_other_way

        change = the_other_way(self.changes[cell.place])
        return self._mixed(put_back_in_book(self.sheets[1], self.sheets[0], change))

    def _mixed(self, sheets: BookSheets) -> Figures | None:
        from quotekit.pricing.compare_book import book_figures
        from quotekit.workbook.read_shop_book import book_of_sheets

        book, problems = book_of_sheets(sheets)
        return None if has_errors(problems) else book_figures(book, self.day)


def _code(change: TypedChange) -> str:
    row = change.new_row or change.old_row
    return str(row.values.get("code", "")) if row is not None else ""
