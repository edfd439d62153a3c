"""What became of each change of a shop book, told by entries alone."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import replace
from datetime import date
from typing import Any

import pytest

from quotekit.model.book_changes import BookChange, book_changes, last_to_undo, of_book
from quotekit.model.changed_file import Changed, ChangedFile, ChangedWhat, Content, Unchanged
from quotekit.model.entries import Document, Entry, EntryKind, Written
from quotekit.model.record_json import UnreadableRecord, to_json

Line = tuple[Any, ...]
"""`changed`, what, number it undoes or None; `written`, seq; `unchanged`, seq."""


def entries(lines: Sequence[Line], file: str = "shop book.xlsx") -> list[Entry]:
    """Entries in a row, changes numbered."""
    found, number = [], 0
    for seq, line in enumerate(lines, start=1):
        number += line[0] == "changed"
        found.append(_entry(line[0], seq, number if line[0] == "changed" else None, _body(line, seq, file)))
    return found


def _body(line: Line, seq: int, file: str) -> object:
    if line[0] == "written":
        return Written(of=line[1], folder="/shop", documents=(Document(name=file, sha256="ab"),))
    if line[0] == "unchanged":
        return Unchanged(of=line[1])
    changed = ChangedFile(file=file, before=f"before {seq}", after=f"after {seq}", kept="copy.xlsx")
    return Changed(what=line[1], file=changed, folder="/shop", undoes=line[2])


def _entry(kind: EntryKind, seq: int, number: int | None, body: object) -> Entry:
    return Entry(
        seq=seq, at="", day=date(2026, 12, 2), who="", why="", kind=kind, job="", version=None, number=number,
        body=to_json(body), hash="", before="",
    )  # fmt: skip


PRICES, TIMES = ("changed", "prices", None), ("changed", "times", None)


def undo(number: int, what: str = "prices") -> Line:
    """A change that takes another back."""
    return ("changed", what, number)


def told(lines: Sequence[Line]) -> list[tuple[str, int | None, bool]]:
    """State, who undid it, whether it stands."""
    return [(one.state, one.undone_by, one.stands) for one in book_changes(entries(lines))]


MADE, BEGUN = ("made", None, True), ("begun", None, False)


@pytest.mark.parametrize(
    ("lines", "expected"),
    [
        ([], []),
        ([PRICES], [BEGUN]),
        ([PRICES, ("written", 1)], [MADE]),
        ([PRICES, ("unchanged", 1)], [("not made", None, False)]),
        ([PRICES, ("written", 1), undo(1)], [MADE, BEGUN]),
        ([PRICES, ("written", 1), undo(1), ("unchanged", 3)], [MADE, ("not made", None, False)]),
        ([PRICES, ("written", 1), undo(1), ("written", 3)], [("made", 2, False), MADE]),
        (
            [PRICES, ("written", 1), undo(1), ("written", 3), undo(2), ("written", 5)],
            [MADE, ("made", 3, False), MADE],
        ),
        (
            [PRICES, ("written", 1), undo(1), ("written", 3), undo(2), ("written", 5), undo(1), ("written", 7)],
            [("made", 4, False), ("made", 3, False), MADE, MADE],
        ),
        ([PRICES, ("written", 1), TIMES, ("written", 3)], [MADE, MADE]),
    ],
)
def test_what_became_of_each(lines: Sequence[Line], expected: list[object]) -> None:
    """Begun, made, not made; taken back, and that taken back."""
    assert told(lines) == expected


@pytest.mark.parametrize(
    ("lines", "what", "number"),
    [
        ([], "prices", None),
        ([PRICES], "prices", None),
        ([PRICES, ("written", 1)], "prices", 1),
        ([PRICES, ("written", 1)], "times", None),
        ([PRICES, ("written", 1), PRICES, ("written", 3)], "prices", 2),
        ([PRICES, ("written", 1), TIMES, ("written", 3)], "prices", 1),
        ([PRICES, ("written", 1), PRICES, ("written", 3), undo(2), ("written", 5)], "prices", 1),
        ([PRICES, ("written", 1), undo(1), ("written", 3)], "prices", None),
        ([PRICES, ("written", 1), undo(1), ("written", 3), undo(2), ("written", 5)], "prices", 1),
        ([PRICES, ("written", 1), PRICES, ("unchanged", 3)], "prices", 1),
    ],
)
def test_the_last_to_undo(lines: Sequence[Line], what: ChangedWhat, number: int | None) -> None:
    """The last of its kind that stands, never one that took another back."""
    found = last_to_undo(book_changes(entries(lines)), what)
    assert (None if found is None else found.number) == number


@pytest.mark.parametrize(
    ("file", "folder", "sha256", "made", "begun"),
    [
        ("shop book.xlsx", "/shop", "", True, True),
        ("SHOP BOOK.xlsx", "/shop", "", True, True),
        ("renamed.xlsx", "/shop", "after 1", True, True),
        ("renamed.xlsx", "/moved", "before 1", True, True),
        ("renamed.xlsx", "/shop", "other", False, False),
        ("shop book.xlsx", "/moved", "other", True, False),
        ("shop book.xlsx", "/moved", "after 1", True, True),
    ],
)
def test_of_which_workbook(file: str, folder: str, sha256: str, made: bool, begun: bool) -> None:
    """By its name and folder; where it was moved or renamed, by what is in it; a begun change is never guessed."""
    for lines, there in (([PRICES, ("written", 1)], made), ([PRICES], begun)):
        assert bool(of_book(book_changes(entries(lines)), file, folder, sha256)) is there


def test_two_shops_with_one_ledger() -> None:
    """Each calls its book the same: a change of the other shop is none of this one's, once this one has its own."""
    lines = [PRICES, ("written", 1), PRICES, ("written", 3)]
    changes = book_changes(entries(lines))
    other = replace(changes[1], body=replace(changes[1].body, folder="/other"))
    assert [one.number for one in of_book((changes[0], other), "shop book.xlsx", "/shop", "")] == [1]
    assert [one.number for one in of_book((changes[0], other), "shop book.xlsx", "/other", "")] == [2]
    assert [one.number for one in of_book((changes[0], other), "shop book.xlsx", "/third", "")] == [1, 2]


def test_other_entries_that_wrote_files_are_passed_over() -> None:
    """Orders are of no job too."""
    lines = [("written", 9), PRICES, ("written", 2)]
    assert [(one.number, one.state) for one in book_changes(entries(lines))] == [(1, "made")]


def test_an_entry_that_cannot_be_read() -> None:
    damaged = _entry("changed", 1, 1, Unchanged(of=1))
    with pytest.raises(UnreadableRecord):
        book_changes([damaged])


def test_a_change_without_a_number_is_no_change_at_all() -> None:
    """Number 0 is never given."""
    one = _entry("changed", 1, None, Changed(what="prices", file=ChangedFile(file="", before="", after="", kept="")))
    assert BookChange(entry=one, body=one.told(Changed), state="made").number == 0


@pytest.mark.parametrize(
    ("content", "said"),
    [
        (Content(), "nothing"),
        (Content(kind="boolean", text="1"), "TRUE"),
        (Content(kind="boolean", text="0"), "FALSE"),
        (Content(kind="number", text="8.949999999999999"), "8.95"),
        (Content(kind="number", text="68.40000000000001"), "68.4"),
        (Content(kind="number", text="123456789012345"), "123456789012345"),
        (Content(kind="number", text="1.0000000000000001E-3"), "0.001"),
        (Content(kind="number", text="odd 1234567890123456"), "odd 1234567890123456"),
        (Content(kind="text", text="00123"), "00123"),
        (Content(kind="text", text="half \ud83d"), "half ?"),
    ],
)
def test_contents_in_words(content: Content, said: str) -> None:
    """A spreadsheet stores 17 digits and shows 15."""
    assert str(content) == said
