"""What became of each change of the owner's workbook, told by the entries: made, not made, begun, taken back.

A change is *begun* by its entry `changed`, *made* by the entry `written` of it, *not made* by the entry `unchanged`.
A made change with `undoes` takes an earlier one back; where that is itself taken back, the earlier one stands again.
"""

from __future__ import annotations

from collections.abc import Iterable, Sequence
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


def of_book(changes: Iterable[BookChange], file: str, folder: str, sha256: str) -> tuple[BookChange, ...]:
    """Those of one workbook: by its name and folder, or where it was moved or renamed by what is in it.

    Where there is none, those of its name in other folders: the book was moved and saved since.
    """
    named = [one for one in changes if one.body.file.file.casefold() == file.casefold()]
    sure = tuple(
        one
        for one in changes
        if (one in named and one.body.folder == folder) or sha256 in (one.body.file.after, one.body.file.before)
    )
    return sure or tuple(one for one in named if one.state != "begun")


def last_to_undo(changes: Iterable[BookChange], what: ChangedWhat) -> BookChange | None:
    """The last change of a kind that stands and is none that took another back."""
    stand = [one for one in changes if one.stands and one.body.what == what and one.body.undoes is None]
    return stand[-1] if stand else None
