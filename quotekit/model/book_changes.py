"""What became of each change of the owner's workbook, told by the entries: made, not made, begun, taken back.

A change is *begun* by its entry `changed`, *made* by the entry `written` of it, *not made* by the entry `unchanged`.
A made change with `undoes` takes an earlier one back; where that is itself taken back, the earlier one stands again.
"""

from __future__ import annotations

from collections.abc import Collection, Iterable, Sequence
from typing import Literal

from quotekit.model.changed_file import Changed, ChangedWhat, Unchanged
from quotekit.model.entries import Entry, EntryKind, Written
from quotekit.record import record

KINDS: tuple[EntryKind, ...] = ("changed", "unchanged", "written")
"""The entries that tell of changes; all of them are of no job."""

ChangeState = Literal["begun", "made", "not made"]


@record
class BookChange:
    """A change with what became of it."""

    entry: Entry
    body: Changed
    state: ChangeState
    undone_by: int | None = None
    """Number of the made change that takes it back, unless that is taken back itself."""

    @property
    def number(self) -> int:
        """As people name it: change 3."""
        return self.entry.number or 0

    @property
    def stands(self) -> bool:
        """Made and not taken back."""
        return self.state == "made" and self.undone_by is None


def book_changes(entries: Iterable[Entry]) -> tuple[BookChange, ...]:
    """Every change in order, by the entries of `KINDS`. Raises UnreadableRecord."""
    listed = [*entries]
    written = {one.told(Written).of for one in listed if one.kind == "written"}
    never = {one.told(Unchanged).of for one in listed if one.kind == "unchanged"}
    found: list[BookChange] = []
    for entry in (one for one in listed if one.kind == "changed"):
        state: ChangeState = "made" if entry.seq in written else "not made" if entry.seq in never else "begun"
        found.append(BookChange(entry=entry, body=entry.told(Changed), state=state))
    return _with_undone(found)


def _with_undone(changes: Sequence[BookChange]) -> tuple[BookChange, ...]:
    """The last change is never taken back, so from the end each knows who takes it back."""
    from dataclasses import replace

    undone: dict[int, int] = {}
    for one in reversed(changes):
        if one.state == "made" and one.body.undoes is not None and one.number not in undone:
            undone.setdefault(one.body.undoes, one.number)
    return tuple(replace(one, undone_by=undone.get(one.number)) for one in changes)


def place_of(change: BookChange) -> tuple[str, str]:
    """Folder and name of the workbook when it was changed."""
    return change.body.folder, change.body.file.file


def of_book(
    changes: Sequence[BookChange], file: str, folder: str, sha256: str, others: Collection[tuple[str, str]] = ()
) -> tuple[BookChange, ...]:
    """Those of one workbook: by its name and folder, or where it was moved or renamed by what is in it.

    `others` are places where another workbook stands: a copy of it says the same and is not the one that was changed.
    Where there is none, those of its name in other folders: the book was moved and saved since.
    """
    named = [one for one in changes if one.body.file.file.casefold() == file.casefold()]
    own = [one for one in changes if place_of(one) not in others]
    sure = [one for one in named if one.body.folder == folder]
    sure += [one for one in own if sha256 in (one.body.file.after, one.body.file.before)]
    known = _with_earlier_names(sure, own)
    return tuple(one for one in changes if one in known) or tuple(one for one in named if one.state != "begun")


def _with_earlier_names(sure: Iterable[BookChange], own: Sequence[BookChange]) -> list[BookChange]:
    """With all others of these names, and those that led to them under a name from before the book was renamed."""
    found = [*sure]
    while True:
        places = {place_of(one) for one in found}
        begins = {one.body.file.before for one in found}
        more = [one for one in own if one not in found and (place_of(one) in places or one.body.file.after in begins)]
        if not more:
            return found
        found += more


def last_to_undo(changes: Iterable[BookChange], what: ChangedWhat) -> BookChange | None:
    """The last change of a kind that stands and is none that took another back."""
    stand = [one for one in changes if one.stands and one.body.what == what and one.body.undoes is None]
    return stand[-1] if stand else None
