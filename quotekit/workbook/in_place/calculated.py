"""The stored results that hang on a change: what each was, and what becomes of it."""

from __future__ import annotations

from collections.abc import Callable, Mapping

from quotekit.record import record
from quotekit.workbook.addresses import Position, address
from quotekit.workbook.in_place.changes import CalculatedCell
from quotekit.workbook.in_place.contents import NOTHING, Content
from quotekit.workbook.in_place.dependents import Spot, dependent_on, formulas_of, with_a_clock
from quotekit.workbook.in_place.owners_book import OwnersBook
from quotekit.workbook.in_place.results import CannotWorkOut, WorkedOut, WorkOut, new_result
from quotekit.workbook.in_place.spans import CellSpan
from quotekit.workbook.in_place.stored import shared_texts, stored_content, wanted_texts

Contents = Mapping[int, Mapping[Position, Content]]
"""New contents by sheet number and cell."""


@record
class Results:
    """What becomes of the stored results that hang on a change."""

    new: dict[int, dict[Position, Content]]
    """Results to store, or NOTHING, by sheet number and cell; those that stay are left out."""
    cells: tuple[CalculatedCell, ...] = ()
    why: str = ""
    """Why results were taken away, in words."""
    reached: frozenset[Spot] = frozenset()
    """Every cell that changed or may have."""


def results_after(
    book: OwnersBook, changed: Contents, work_out: WorkOut | None, made: Callable[[Contents], bytes]
) -> Results:
    """New results for the cells that hang on the changes; `made` gives the workbook with changes and results."""
    formulas = formulas_of(book)
    start = {(number, *at) for number, cells in changed.items() for at in cells}
    spots = {spot for one in dependent_on(start, formulas) for spot in one.spots()} - start
    stored = _stored(book, spots)
    reached = frozenset(start | spots)
    if not stored:
        return Results(new={}, reached=reached)
    told, why = None, "LibreOffice, which would work them out, was not found on this computer"
    if work_out is not None:
        try:
            told = work_out(book.package.data, made(_emptied(stored)), frozenset(_named(book, one) for one in stored))
            why = "LibreOffice does not work them out as they were stored before"
        except CannotWorkOut as fault:
            why = str(fault)
    clocks = with_a_clock(formulas) if told is not None else set()
    new: dict[int, dict[Position, Content]] = {}
    cells = []
    for spot, old in sorted(stored.items()):
        result = _result(book, spot, old, told, clock=spot in clocks)
        if result is None or (result.kind == "none" and old.kind == "none"):
            continue
        new.setdefault(spot[0], {})[spot[1:]] = result
        cells.append(CalculatedCell(sheet=book.name_of(spot[0]), cell=address(*spot[1:]), old=old, new=result))
    return Results(new=new, cells=tuple(cells), why=why, reached=reached)


def _result(book: OwnersBook, spot: Spot, old: Content, told: WorkedOut | None, *, clock: bool) -> Content | None:
    if told is None:
        return NOTHING
    key = _named(book, spot)
    return new_result(old, told.before.get(key, NOTHING), told.after.get(key, NOTHING), clock=clock)


def _named(book: OwnersBook, spot: Spot) -> tuple[str, str]:
    return book.name_of(spot[0]).casefold(), address(*spot[1:])


def _stored(book: OwnersBook, spots: set[Spot]) -> dict[Spot, Content]:
    """What is stored in those of the cells that are there."""
    found: dict[Spot, Content] = {}
    for number, cells in book.cells.items():
        spans: dict[Position, CellSpan] = {at: span for at, span in cells.cells.items() if (number, *at) in spots}
        texts = shared_texts(book.package, book.parts.strings, wanted_texts(spans.values()))
        found |= {(number, *at): stored_content(cells, span, texts) for at, span in spans.items()}
    return found


def _emptied(stored: Mapping[Spot, Content]) -> dict[int, dict[Position, Content]]:
    new: dict[int, dict[Position, Content]] = {}
    for number, *at in stored:
        new.setdefault(number, {})[at[0], at[1]] = NOTHING
    return new
