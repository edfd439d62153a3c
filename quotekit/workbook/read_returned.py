"""A quote that a customer sent back: what was chosen, and whether anything else differs from what was sent.

No total is read: what the choice comes to is worked out again.
"""

from __future__ import annotations

from collections.abc import Iterator
from datetime import date
from pathlib import Path

from quotekit.documents.content_changes import CellChange, Changes, changes_of
from quotekit.model.returned_choice import ReturnedChoice
from quotekit.problems import Place, Problem, error, warning
from quotekit.workbook.addresses import address
from quotekit.workbook.returned_boxes import paper_boxes, read_extras, read_option
from quotekit.workbook.returned_cells import RawCell, read_raw
from quotekit.workbook.returned_facts import ReturnedQuote, cell_at, returned_quote

MOST_LISTED = 20
"""Cells that get a problem of their own; the others are counted."""

MOST_NAMED = 1_000
"""Cells that differ, in the record."""

_AGAIN = "Settle it with the customer, and send the quote again if it should say something else."


def read_returned(path: Path, today: date) -> tuple[ReturnedChoice | None, list[Problem]]:
    """The choice in a returned quote, with all that has to be settled before it is taken."""
    quote, problems = read_quote(path)
    return (None, problems) if quote is None else choice_of(quote, today)


def read_quote(path: Path) -> tuple[ReturnedQuote | None, list[Problem]]:
    """A quote of ours as it stands in a file, or why there is none."""
    raw, problems = read_raw(path)
    return (None, problems) if raw is None else returned_quote(raw)


def choice_of(quote: ReturnedQuote, today: date) -> tuple[ReturnedChoice, list[Problem]]:
    """What was chosen, what differs, and whether the quote still holds today."""
    changes = changes_of(quote.content, quote.marks)
    boxes = paper_boxes(quote, changes.cells)
    by_hand = {box.change for box in boxes}
    changed = [change for change in changes.cells if change not in by_hand]
    option, problems = read_option(quote, boxes)
    extras, more = read_extras(quote, option)
    found = list(_changed_problems(quote, changes, changed, bool(by_hand)))
    expired = None if quote.valid_until is None else today > quote.valid_until
    choice = ReturnedChoice(
        job_number=quote.number,
        version=quote.version,
        quote_date=quote.quote_date,
        valid_until=quote.valid_until,
        expired=expired,
        tier=option.code if option else None,
        option=option.label if option else None,
        extras=tuple(extras),
        fingerprint=quote.fingerprint,
        unchanged=not found,
        changed=_places(quote, changes, changed),
    )
    return choice, [*found, *problems, *more, *_expiry(quote, expired), *_notes(quote)]


def _notes(quote: ReturnedQuote) -> Iterator[Problem]:
    """What the customer wrote beside the cells: it changes nothing, and the shop should read it."""
    for note in quote.raw.notes:
        place = Place(quote.raw.file, note.sheet, note.cell)
        yield warning(place, "note-added", "A note was put here.", "Read it before you take the choice.", note.text)


def _expiry(quote: ReturnedQuote, expired: bool | None) -> Iterator[Problem]:
    if expired and quote.valid_until is not None:
        message = f"The quote was valid until {quote.valid_until.isoformat()}."
        yield warning(quote.place("quote_valid_until"), "quote-expired", message, "Quote again, or agree to hold it.")


def _places(quote: ReturnedQuote, changes: Changes, cells: list[CellChange]) -> tuple[str, ...]:
    """All that differs as short texts: cells, then sheets, then names."""
    sheets = (*changes.sheets_added, *quote.raw.other_sheets, *changes.sheets_missing)
    renamed = (f"{sent} -> {now}" for sent, now in changes.sheets_renamed)
    named = (f"{cell.sheet}!{address(cell.row, cell.column)}" for cell in cells[:MOST_NAMED])
    return (*named, *sheets, *renamed, *changes.names)


def _changed_problems(
    quote: ReturnedQuote, changes: Changes, cells: list[CellChange], by_hand: bool
) -> Iterator[Problem]:
    file = quote.raw.file
    for change in cells[:MOST_LISTED]:
        yield _changed(quote, change)
    if len(cells) > MOST_LISTED:
        message = f"{len(cells) - MOST_LISTED:,} more cells differ from what was sent."
        yield error(Place(file, cells[MOST_LISTED].sheet), "quote-changed", message, _AGAIN)
    for sheet in (*changes.sheets_added, *quote.raw.other_sheets):
        message = "This sheet was not in the quote that was sent."
        yield error(Place(file, sheet), "sheet-added", message, "Look at what the customer put there.")
    for sheet in changes.sheets_missing:
        yield error(Place(file, sheet), "sheet-missing", "This sheet of the quote is gone.", _AGAIN)
    for sent, now in changes.sheets_renamed:
        yield warning(
            Place(file, now), "sheet-renamed", f"This sheet was sent as {sent}.", "Its cells are compared by that."
        )
    for name in changes.names:
        message = f"The name {name} does not stand for the cell it was sent with."
        yield error(quote.place(name), "quote-changed", message, _AGAIN)
    other = cells or changes.sheets_added or changes.sheets_missing or changes.sheets_renamed or changes.names
    if not (changes.same or other or by_hand):
        message = "The marks by which changes are found were changed."
        yield error(quote.place("content_marks"), "quote-changed", message, _AGAIN)


def _changed(quote: ReturnedQuote, change: CellChange) -> Problem:
    place = Place(quote.raw.file, change.sheet, address(change.row, change.column))
    cell: RawCell = cell_at(quote.raw, change.sheet, (change.row, change.column))
    message = {
        "changed": "This cell does not say what was sent.",
        "added": "This cell was empty in the quote that was sent.",
        "missing": "This cell is empty; in the quote that was sent it was not.",
    }[change.change]
    return error(place, "quote-changed", message, _AGAIN, cell.shown)
