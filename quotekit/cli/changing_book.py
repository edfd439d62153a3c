"""Changes the owner's own file and records it, so that neither stands without the other for long.

The order: the change is thought out; the dated copy and the new bytes are on the disk; then, with the ledger held, one
more look at the file, the entry `changed`, the one rename, the entry `written`. Killed before the first entry, nothing
happened. Killed between the two, the next command that changes this workbook looks at the file: where it has the
change, `written` is added, else `unchanged`, and the change may be made again.
"""

from __future__ import annotations

import argparse
from contextlib import suppress
from dataclasses import replace
from hashlib import sha256
from pathlib import Path
from typing import TYPE_CHECKING, NamedTuple

from quotekit.cli.report import say
from quotekit.problems import Place, Problem, warning

if TYPE_CHECKING:
    from quotekit.cli.which_ledger import Facts
    from quotekit.ledger.ledger import Ledger
    from quotekit.model.book_changes import BookChange
    from quotekit.model.changed_file import Changed, ChangedFile
    from quotekit.model.entries import Draft, Entry
    from quotekit.workbook.in_place.put_in_place import Prepared


def change_recorded(
    options: argparse.Namespace, prepared: Prepared | None, changed: Changed | None
) -> tuple[Entry | None, list[Problem]]:
    """Make a change and record it in the shop's ledger, which is made beside the shop book where there is none.

    No entry, and why, where the file is no longer the one that was read.
    """
    from quotekit.cli.which_ledger import address_of_book, facts_of, ledger_of_book
    from quotekit.workbook.in_place.replace_file import ChangedMeanwhile

    assert prepared is not None and changed is not None

    place = address_of_book(options, options.book)
    new = "://" not in str(place) and not Path(place).exists()
    with ledger_of_book(options, options.book, create=True) as ledger:
        assert ledger is not None
        try:
            made = make_change(ledger, prepared, changed, facts_of(options))
        except ChangedMeanwhile as fault:
            return None, [fault.problem]
    if new:
        say(f"A ledger was made: {place}")
    return made


def mended_before(options: argparse.Namespace) -> list[Problem]:
    """What is told of changes of the shop book that an earlier command left half way; they are finished."""
    from quotekit.cli.which_ledger import ledger_of_book

    with ledger_of_book(options, options.book, create=False) as ledger:
        return [] if ledger is None else [one.problem for one in mend_before(ledger, options.book)]


def make_change(ledger: Ledger, prepared: Prepared, changed: Changed, facts: Facts) -> tuple[Entry, list[Problem]]:
    """Record and make a change, all of it or nothing; also what an earlier command had left half way.

    Raises ChangedMeanwhile where the file is no longer the one that was read, OSError and LedgerFault.
    """
    from quotekit.workbook.in_place.replace_file import ready_to_replace

    new = prepared.edited.data
    with ready_to_replace(prepared.path, prepared.data, new, facts.day) as ready, ledger.alone():
        told = [one.problem for one in mend(ledger, prepared.path)]
        ready.last_look()
        folder = str(prepared.path.resolve().parent)
        body = replace(changed, file=replace(changed.file, kept=ready.kept), folder=folder)
        entry = _record(ledger, facts.draft("changed", body, number=ledger.next_number("changed")))
        try:
            ready.take_place()
        except Exception as fault:
            if _digest(prepared.path) != changed.file.after:
                with suppress(Exception):  # the fault itself is told; the next command mends what is not recorded
                    _record(ledger, _never(entry, str(fault)))
            raise
        _record(ledger, _written(entry, body.file, prepared.path))
        return entry, told


class Mended(NamedTuple):
    """A change that was stopped half way, and what became of it."""

    change: BookChange
    made: bool
    problem: Problem


def mend_before(ledger: Ledger, path: Path) -> list[Mended]:
    """Finish in the ledger what an earlier command left half way; the ledger is held only where there is something."""
    if not _begun(ledger, path):
        return []
    with ledger.alone():
        return mend(ledger, path)


def mend(ledger: Ledger, path: Path) -> list[Mended]:
    """The same while the ledger is held: each change that was begun is looked for in the file."""
    from quotekit.workbook.in_place.took_place import took_place

    found = []
    for one in _begun(ledger, path):
        made = took_place(path.name, path.read_bytes(), one.body.file)
        if made:
            _record(ledger, _written(one.entry, one.body.file, path))
            what, remedy = "the workbook has it, and that is recorded now", "Look at the workbook before you go on."
        else:
            _record(ledger, _never(one.entry, "stopped half way"))
            what, remedy = "it never reached the workbook, and that is recorded now", "Make it again if it is wanted."
        message = f"change {one.number} of {one.entry.day.isoformat()} was stopped half way: {what}"
        problem = warning(Place(path.name), "change-stopped-half-way", message, remedy)
        found.append(Mended(one, made, problem))
    return found


def known_changes(ledger: Ledger, path: Path) -> tuple[BookChange, ...]:
    """The changes of a workbook, by its name or by what is in it; a link stands for the file that it leads to.

    Raises LedgerFault where one can't be read.
    """
    from quotekit.model.book_changes import KINDS, book_changes, of_book, place_of

    if not ledger.entries(kinds=("changed",)):
        return ()
    with ledger.readable():
        changes = book_changes(ledger.entries("", KINDS))
        real, digest = path.resolve(), _digest(path)
        others = {place for place in map(place_of, changes) if _is_another(place, real)}
        return of_book(changes, real.name, str(real.parent), digest, others)


def _is_another(place: tuple[str, str], real: Path) -> bool:
    """Whether another workbook than this one stands where a change was made."""
    there = Path(*place)
    return there.is_absolute() and there.is_file() and there.resolve() != real


def _begun(ledger: Ledger, path: Path) -> list[BookChange]:
    return [one for one in known_changes(ledger, path) if one.state == "begun"] if path.is_file() else []


def _record(ledger: Ledger, draft: Draft) -> Entry:
    with ledger.writing() as writing:
        return writing.append(draft)


def _written(entry: Entry, file: ChangedFile, path: Path) -> Draft:
    """That the workbook and the copy of the old one stand in their folder."""
    from quotekit.model.entries import Document, Draft, Written

    kept = (Document(name=file.kept, sha256=file.before),) if file.kept else ()
    documents = (Document(name=file.file, sha256=file.after), *kept)
    body = Written(of=entry.seq, folder=str(path.resolve().parent), documents=documents)
    return Draft(kind="written", job="", body=body, day=entry.day, who=entry.who)


def _never(entry: Entry, reason: str) -> Draft:
    from quotekit.model.entries import Draft, Unchanged

    body = Unchanged(of=entry.seq, reason=reason)
    return Draft(kind="unchanged", job="", body=body, day=entry.day, who=entry.who)


def _digest(path: Path) -> str:
    return sha256(path.read_bytes()).hexdigest() if path.is_file() else ""
