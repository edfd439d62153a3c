"""What applying accepted prices changes: the cells found again, the change thought out, and the new book read."""

from __future__ import annotations

from collections.abc import Iterable, Iterator
from dataclasses import replace
from pathlib import Path
from typing import TYPE_CHECKING

from quotekit.problems import Place, Problem, error, has_errors, warning
from quotekit.record import record

if TYPE_CHECKING:
    from quotekit.model.changed_file import Changed, ChangedFile
    from quotekit.model.proposed_prices import PriceProposals
    from quotekit.workbook.in_place.changes import Change
    from quotekit.workbook.in_place.put_in_place import Prepared
    from quotekit.workbook.in_place.results import WorkOut
    from quotekit.workbook.place_accepted import PlacedChange, PlacedPrices
    from quotekit.workbook.read_shop_book import BookSheets


@record
class Applying:
    """Accepted prices on their way into the shop book; `prepared` is None where nothing is left to be changed."""

    prepared: Prepared | None
    placed: PlacedPrices
    body: Changed | None = None


def prepare(path: Path, proposals: PriceProposals, file: Path) -> tuple[Applying | None, list[Problem]]:
    """The change thought out, and what is to be known of it; None with an error, and then nothing may be changed."""
    from quotekit.workbook.place_accepted import place_accepted
    from quotekit.workbook.read_shop_book import read_book_sheets

    sheets, before = read_book_sheets(path)
    if sheets is None:
        return None, before
    unread = _unread(sheets, proposals, before)
    if unread:
        return None, unread
    placed, problems = place_accepted(sheets, (*proposals.accepted, *proposals.must_hold))
    if has_errors(problems):
        return None, problems
    if not placed.changes:
        return Applying(prepared=None, placed=placed), problems
    problems += _saved_since(sheets, proposals, placed)
    prepared, placed, found = _prepared(path, sheets, placed)
    problems += found
    if prepared is None or has_errors(problems):
        return None, problems
    if not prepared.changes:
        return Applying(prepared=None, placed=placed), problems
    problems += _read_again(sheets, before, prepared, placed)
    if has_errors(problems):
        return None, problems
    return Applying(prepared=prepared, placed=placed, body=_body(prepared, placed, proposals, file)), problems


def _unread(sheets: BookSheets, proposals: PriceProposals, before: list[Problem]) -> list[Problem]:
    """Why a sheet that is to be changed could not be read at all; nothing where all were, or are simply not there."""
    from quotekit.workbook.find_row import table_of
    from quotekit.workbook.names import name_key

    missing = {name_key(one.sheet) for one in proposals.accepted if table_of(sheets, one.sheet) is None}
    return [one for one in before if one.severity == "error" and name_key(one.place.sheet) in missing]


def _prepared(
    path: Path, sheets: BookSheets, placed: PlacedPrices
) -> tuple[Prepared | None, PlacedPrices, list[Problem]]:
    """The change; days whose cells would show a number are left out and told, all else is made or nothing."""
    from quotekit.workbook.in_place.put_in_place import prepare_change

    program = office_for(path, sheets)
    told: list[Problem] = []
    while True:
        changes = [_change(one) for one in placed.changes]
        prepared, problems = prepare_change(path, changes, expected_sha256=sheets.sha256, work_out=program)
        no_days = [one for one in problems if one.code == "no-date-format"]
        if prepared is not None or not no_days:
            return prepared, placed, [*told, *(_with_tick(one, placed) for one in problems)]
        cells = {(one.place.sheet.casefold(), one.place.cell) for one in no_days}
        placed = replace(placed, changes=tuple(one for one in placed.changes if one.key not in cells))
        told.append(_days_left_out(no_days))


def office_for(path: Path, sheets: BookSheets | None) -> WorkOut | None:
    """What works out the results that hang on a change, in the shop's language; None where it is not installed."""
    from quotekit.workbook.in_place.office_results import office_work_out
    from quotekit.workbook.read_shop_book import book_of_sheets

    language = "en_US" if sheets is None else book_of_sheets(sheets)[0].settings.language
    return office_work_out(ending=path.suffix.lower(), language=language)


def _change(one: PlacedChange) -> Change:
    from quotekit.workbook.in_place.changes import Change

    return Change(one.sheet, one.cell, one.value)


def _days_left_out(problems: list[Problem]) -> Problem:
    cells = ", ".join(one.place.cell for one in problems[:_NAMED])
    more = f" and {len(problems) - _NAMED} more" if len(problems) > _NAMED else ""
    message = f"the format of these cells shows no dates, so their days were not put in: {cells}{more}"
    remedy = "Give them a date format in the spreadsheet, save, and apply the proposals again."
    return warning(problems[0].place._replace(cell=""), "value-not-placed", message, remedy)


_NAMED = 12


def _with_tick(problem: Problem, placed: PlacedPrices) -> Problem:
    """A refusal of a cell says which tick to take away; all ticked cells are changed or none."""
    from quotekit.workbook.place_accepted import untick

    if problem.severity != "error" or not problem.place.cell:
        return problem
    found = placed.of_cell(problem.place.sheet, problem.place.cell)
    found = found or placed.of_row(problem.place.sheet, problem.place.cell)
    if found is None:
        return problem
    return replace(problem, remedy=f"{untick(found.change)} Or: {problem.remedy}")


def _saved_since(sheets: BookSheets, proposals: PriceProposals, placed: PlacedPrices) -> Iterator[Problem]:
    """A word where the book is no longer the one that the proposals were made from."""
    from quotekit.workbook.place_accepted import moved_rows

    if sheets.sha256 == proposals.book_sha256:
        return
    moved = len([*moved_rows(placed.changes)])
    message = "the shop book was saved since the proposals were made of it; the cells to be changed say still the same"
    message += f", {moved} of the rows stand elsewhere now" if moved else ""
    if sheets.file != proposals.book_file:
        message += f" (the proposals are of {proposals.book_file})"
    yield warning(Place(sheets.file), "book-saved-since", message, "Propose again to see figures of the book as it is.")


def _read_again(
    sheets: BookSheets, before: list[Problem], prepared: Prepared, placed: PlacedPrices
) -> Iterator[Problem]:
    """What is wrong in the changed book and was not before: an error stops the change."""
    from quotekit.cli.read_changed import read_changed
    from quotekit.workbook.read_shop_book import book_of_sheets

    if any(one.emptied for one in prepared.edited.calculated):
        return  # it can't be read before it was opened and saved, which is told
    _, new = read_changed(prepared, [*before, *book_of_sheets(sheets)[1]])
    yield from (_with_tick(one, placed) for one in new)
    if has_errors(new):
        message = "with the ticked values the shop book would hold errors that it does not hold now"
        remedy = "Take away the ticks that are named, or mend what is wrong there."
        yield error(Place(prepared.path.name), "book-would-be-wrong", message, remedy)


def _body(prepared: Prepared, placed: PlacedPrices, proposals: PriceProposals, file: Path) -> Changed:
    """What the ledger keeps of it; the copy's name comes when it is made."""
    from quotekit.cli.inputs import file_sha256
    from quotekit.model.changed_file import Changed

    suppliers = {one.change.supplier for one in placed.changes}
    return Changed(
        what="prices",
        file=with_labels(prepared.told(""), ((one.key, one) for one in placed.changes)),
        proposals=file.name,
        proposals_sha256=file_sha256(file) or "",
        sources=tuple(one for one in proposals.sources if one.supplier in suppliers) or proposals.sources,
    )


def with_labels(changed: ChangedFile, labels: Iterable[tuple[tuple[str, str], PlacedChange]]) -> ChangedFile:
    """The changed cells with the part, the supplier and the column that each is of."""
    by_cell = dict(labels)
    cells = []
    for one in changed.cells:
        label = by_cell.get((one.sheet.casefold(), one.cell))
        if label is not None:
            one = replace(one, code=label.change.part, supplier=label.change.supplier, column=label.column)
        cells.append(one)
    return replace(changed, cells=tuple(cells))
