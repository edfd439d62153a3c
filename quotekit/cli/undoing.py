"""Takes back a change of the owner's own workbook: which one, whether that can be, and the entry that says so."""

from __future__ import annotations

import argparse
from collections.abc import Sequence
from dataclasses import replace
from pathlib import Path
from typing import TYPE_CHECKING

from quotekit.problems import Place, Problem, error, has_errors

if TYPE_CHECKING:
    from quotekit.cli.changing_book import Mended
    from quotekit.ledger.ledger import Ledger
    from quotekit.model.book_changes import BookChange
    from quotekit.model.changed_file import Changed, ChangedFile, ChangedWhat
    from quotekit.workbook.in_place.put_in_place import Prepared

_VERBS: dict[ChangedWhat, str] = {"prices": "quotekit prices undo BOOK", "times": "quotekit take-over --undo BOOK"}


def which_change(
    changes: Sequence[BookChange], what: ChangedWhat, number: int | None, path: Path
) -> tuple[BookChange | None, list[Problem]]:
    """The change that is to be taken back: the one that is named, else the last that stands."""
    from quotekit.model.book_changes import last_to_undo

    found = (
        last_to_undo(changes, what) if number is None else next((one for one in changes if one.number == number), None)
    )
    place = Place(path.name)
    if found is None and number is None:
        message = f"the ledger knows no change of {what} in this workbook that stands"
        return None, [error(place, "nothing-to-undo", message, _which(changes, what))]
    if found is None:
        message = f"the ledger knows no change {number} of this workbook"
        return None, [error(place, "no-such-change", message, _which(changes, what))]
    if found.body.what != what:
        message = f"change {found.number} is of {found.body.what}, not of {what}"
        remedy = f"It is taken back by `{_VERBS[found.body.what]} --change {found.number}`."
        return None, [error(place, "change-of-other-kind", message, remedy)]
    if found.undone_by is not None:
        message = f"change {found.number} was taken back already, by change {found.undone_by}"
        remedy = f"To have it again, take that back: `{_VERBS[what]} --change {found.undone_by}`."
        return None, [error(place, "undone-already", message, remedy)]
    if found.state != "made":
        message = f"change {found.number} never reached the workbook"
        return None, [error(place, "undone-already", message, "There is nothing to take back.")]
    return found, []


def _which(changes: Sequence[BookChange], what: ChangedWhat) -> str:
    stand = [_told(one) for one in changes if one.stands and one.body.what == what]
    return (
        f"What stands: {'; '.join(stand)}. Name one with --change."
        if stand
        else "Give the workbook that was changed, by the name it had then, and its ledger. A copy is another workbook."
    )


def _told(one: BookChange) -> str:
    back = f", which took change {one.body.undoes} back" if one.body.undoes is not None else ""
    return f"change {one.number} of {one.entry.day.isoformat()}{back}"


def prepare_back(path: Path, change: BookChange) -> tuple[Prepared | None, Changed | None, list[Problem]]:
    """How it is put back, thought out, and what the ledger is to keep of it.

    A workbook that was saved since is gone through cell by cell: each is found again by the code of its row.
    """
    from quotekit.cli.applying_prices import office_for
    from quotekit.cli.inputs import file_sha256
    from quotekit.workbook.find_changed import find_changed
    from quotekit.workbook.in_place.put_in_place import prepare_undo
    from quotekit.workbook.read_shop_book import read_book_sheets

    file = change.body.file
    sheets, problems = read_book_sheets(path)
    if file_sha256(path) != file.after:
        if sheets is None:
            return None, None, problems
        found, problems = find_changed(sheets, file)
        if has_errors(problems):
            return None, None, problems
        file = found
    prepared, problems = prepare_undo(path, file, work_out=office_for(path, sheets))
    if prepared is None or has_errors(problems):
        return None, None, problems
    body = replace(change.body, file=_labelled(prepared.told(""), file), undoes=change.number)
    return prepared, body, problems


def _labelled(done: ChangedFile, as_changed: ChangedFile) -> ChangedFile:
    """What is put back, with the code and the column that each cell is of."""
    labels = {(one.sheet.casefold(), one.cell): one for one in as_changed.cells}
    cells = []
    for one in done.cells:
        label = labels.get((one.sheet.casefold(), one.cell), one)
        cells.append(replace(one, code=label.code, supplier=label.supplier, column=label.column))
    return replace(done, cells=tuple(cells))


def changes_here(options: argparse.Namespace, ledger: Ledger | None) -> tuple[Sequence[BookChange], list[Mended]]:
    """The changes of the shop book that the ledger knows, after what was left half way is finished."""
    from quotekit.cli.changing_book import known_changes, mend_before

    if ledger is None:
        return (), []
    mended = mend_before(ledger, options.book)
    return known_changes(ledger, options.book), mended


def finished_now(mended: Sequence[Mended], what: ChangedWhat, number: int | None) -> BookChange | None:
    """What this very command had done before it was stopped: else, run again, it would take one more change back."""
    return next(
        (
            one.change
            for one in mended
            if one.made
            and one.change.body.what == what
            and one.change.body.undoes is not None
            and number in (None, one.change.body.undoes)
        ),
        None,
    )
