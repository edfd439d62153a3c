"""What taking times over changes in the owner's own shop book: by the same door as prices, and taken back the same way.

The sheet Replaced times is not written there, since nothing but the ticked cells may change: the ledger keeps the old
values, and the dated copy beside the shop book is the whole old file.
"""

from __future__ import annotations

from dataclasses import replace
from pathlib import Path
from typing import TYPE_CHECKING

from quotekit.cli.taking_over import cannot, differs, place_of, read_ticked, value_of
from quotekit.problems import Place, Problem, error, has_errors
from quotekit.record import record

if TYPE_CHECKING:
    from quotekit.model.changed_file import Changed, ChangedFile
    from quotekit.model.shop_book import ShopBook
    from quotekit.workbook.in_place.put_in_place import Prepared
    from quotekit.workbook.read_proposals import TickedTime


@record
class TakingHere:
    """Ticked times on their way into the shop book; `prepared` is None where nothing is left to be changed."""

    prepared: Prepared | None
    already: tuple[TickedTime, ...] = ()
    body: Changed | None = None


def prepare_here(path: Path, file: Path) -> tuple[TakingHere | None, list[Problem]]:
    """The change thought out, and what is to be known of it; None with an error, and then nothing may be changed."""
    from quotekit.workbook.in_place.changes import Change
    from quotekit.workbook.in_place.office_results import office_work_out
    from quotekit.workbook.in_place.put_in_place import prepare_change
    from quotekit.workbook.read_shop_book import read_shop_book

    ticked, problems = read_ticked(file)
    book, before = read_shop_book(path)
    if book is None or has_errors([*problems, *before]):
        return None, [*problems, *before]
    already = tuple(one for one in ticked if value_of(one, book) == one.new)
    wanted = [one for one in ticked if one not in already]
    problems += [problem for one in wanted if (problem := differs(one, book)) is not None]
    if has_errors(problems):
        return None, problems
    if not wanted:
        return TakingHere(prepared=None, already=already), problems
    places = {place: one for one in wanted if (place := place_of(one, book)) is not None}
    changes = [Change(place.sheet, place.cell, one.new) for place, one in places.items()]
    program = office_work_out(ending=path.suffix.lower(), language=book.settings.language)
    prepared, told = prepare_change(path, changes, expected_sha256=book.sha256, work_out=program)
    if prepared is None:
        return None, [*problems, *map(cannot, told)]
    problems += [*told, *_wrong_then(prepared, book, wanted, before)]
    if has_errors(problems):
        return None, problems
    body = _body(_labelled(prepared.told(""), places), file)
    return TakingHere(prepared=prepared, already=already, body=body), problems


def _wrong_then(prepared: Prepared, book: ShopBook, wanted: list[TickedTime], before: list[Problem]) -> list[Problem]:
    """What is wrong in the changed book and was not before; an error where a value does not reach its cell."""
    from quotekit.cli.read_changed import read_changed

    if any(one.emptied for one in prepared.edited.calculated):
        return []  # it can't be read before it was opened and saved, which is told
    changed, new = read_changed(prepared, before)
    found = [*new]
    for one in wanted:
        if changed is not None and value_of(one, changed) != one.new:
            place = place_of(one, book) or Place(prepared.path.name)
            remedy = "Untick it in the proposals and change the shop book by hand."
            found.append(error(place, "time-not-taken-over", "the new value does not reach this cell", remedy))
    return found


def _labelled(changed: ChangedFile, places: dict[Place, TickedTime]) -> ChangedFile:
    """The changed cells with the code and the column that each is of."""
    by_cell = {(place.sheet.casefold(), place.cell): one for place, one in places.items()}
    cells = []
    for one in changed.cells:
        label = by_cell.get((one.sheet.casefold(), one.cell))
        cells.append(one if label is None else replace(one, code=label.code, column=label.column))
    return replace(changed, cells=tuple(cells))


def _body(file: ChangedFile, proposals: Path) -> Changed:
    from quotekit.cli.inputs import file_sha256
    from quotekit.model.changed_file import Changed

    return Changed(what="times", file=file, proposals=proposals.name, proposals_sha256=file_sha256(proposals) or "")
