"""The changes that are asked for, by sheet and cell, each checked against what is there."""

from __future__ import annotations

from collections import defaultdict
from collections.abc import Iterable, Iterator
from dataclasses import dataclass, field
from datetime import date

from quotekit.problems import Place, Problem, error, has_errors
from quotekit.workbook.addresses import Position, address
from quotekit.workbook.in_place.changes import Change
from quotekit.workbook.in_place.contents import CannotStore, Content, content_of, same_content
from quotekit.workbook.in_place.forbidden import cells_refused
from quotekit.workbook.in_place.owners_book import OwnersBook, look_at_cells
from quotekit.workbook.in_place.spans import position_of
from quotekit.workbook.in_place.splice import style_of_new
from quotekit.workbook.in_place.stored import shared_texts, stored_content, wanted_texts
from quotekit.workbook.in_place.told import against_rules, protected

_NAMES = "See the names of the sheets and the addresses of the cells."


@dataclass(kw_only=True)
class WantedChanges:
    """New contents and what is there, by sheet number and cell."""

    new: dict[int, dict[Position, Content]] = field(default_factory=lambda: defaultdict(dict))
    old: dict[int, dict[Position, Content]] = field(default_factory=lambda: defaultdict(dict))
    dates: set[tuple[int, Position]] = field(default_factory=set)

    def different(self, number: int) -> dict[Position, Content]:
        """Those of a sheet that say anything new."""
        old = self.old[number]
        return {at: new for at, new in self.new[number].items() if new != old[at] and not _same(new, old[at])}


def _same(new: Content, old: Content) -> bool:
    return same_content(new, old) and not new.rich


def read_wanted(book: OwnersBook, changes: Iterable[Change]) -> tuple[WantedChanges, list[Problem]]:
    """The changes, and what stands in their way or is to be known. Raises BadPackage."""
    wanted, problems = WantedChanges(), list[Problem]()
    for change in changes:
        problem = _put(book, wanted, change)
        problems += [problem] if problem is not None else []
    look_at_cells(book, wanted.new)
    for number, new in wanted.new.items():
        problems += cells_refused(book, number, sorted(new))
        problems += _without_date(book, wanted, number)
    if has_errors(problems):
        return wanted, problems
    for number in sorted(wanted.new):
        _read_old(book, wanted, number)
        if wanted.different(number):
            problems += [*protected(book, number), *against_rules(book, number, wanted.different(number))]
    return wanted, problems


def _put(book: OwnersBook, wanted: WantedChanges, change: Change) -> Problem | None:
    """Put one change with the others, or say what is wrong with it."""
    place = Place(book.package.file, change.sheet, change.cell)
    number = book.number_of(change.sheet)
    if number is None:
        message = f"the workbook has no sheet {change.sheet} with cells"
        return error(place._replace(cell=""), "missing-sheet", message, _NAMES)
    at = position_of(change.cell)
    if at is None:
        return error(place._replace(cell=""), "not-a-cell", f"{change.cell[:20]!r} is no address of a cell", _NAMES)
    try:
        value = change.value
        content = value if isinstance(value, Content) else content_of(value, date_1904=book.parts.date_1904)
    except CannotStore as fault:
        return error(place, "value-not-kept", str(fault), "Give another value.")
    if wanted.new[number].get(at, content) != content:
        return error(place, "changed-twice", "two new values are given for this cell", "Leave one of the two.")
    wanted.new[number][at] = content
    if isinstance(change.value, date):
        wanted.dates.add((number, at))
    return None


def _without_date(book: OwnersBook, wanted: WantedChanges, number: int) -> Iterator[Problem]:
    """Cells that are to show a date and have a format that would show a number."""
    cells = book.cells[number]
    for at in wanted.new[number]:
        if (number, at) not in wanted.dates:
            continue
        cell = cells.cells.get(at)
        style = style_of_new(cells, at) if cell is None else cell.attributes.get("s", "")
        if (int(style) if style.isdecimal() else 0) not in book.styles.dates:
            place = Place(book.package.file, book.name_of(number), address(*at))
            message = "a date would show as a number here, by the format of the cell"
            yield error(place, "no-date-format", message, "Give the cell a date format in the spreadsheet.")


def _read_old(book: OwnersBook, wanted: WantedChanges, number: int) -> None:
    """What the cells to be changed hold."""
    cells = book.cells[number]
    spans = {at: cells.cells.get(at) for at in wanted.new[number]}
    texts = shared_texts(book.package, book.parts.strings, wanted_texts([one for one in spans.values() if one]))
    for at, span in spans.items():
        wanted.old[number][at] = stored_content(cells, span, texts)
