"""The marks of a document: few, complete, and exact about what differs."""

from __future__ import annotations

from dataclasses import replace
from datetime import date
from decimal import Decimal

import pytest

from quotekit.documents.content_changes import CellChange, Changes, changes_of
from quotekit.documents.fingerprint import (
    MARKS,
    WORKING,
    Content,
    content_of,
    fingerprint,
    fingerprint_of,
    mark_texts,
    marks_of,
    sealed,
)
from quotekit.documents.sheet import Cell, NamedRange, Properties, Row, Sheet, WorkbookValue, blank, row, text


def a_value(price: object = Decimal("19.90"), chosen: str = "", more: tuple[Row, ...] = ()) -> WorkbookValue:
    rows = (
        row(text("Price"), blank(across=2), Cell(content=price, kind="money", style="body")),  # type: ignore[arg-type]
        row(text("Option"), Cell(content=chosen or None, kind="text", style="body", name="chosen_tier")),
        row(text("Belt"), Cell(content="☐", kind="text", style="body", name="extra_BELT")),
        row(text("Total"), Cell(content="–", kind="text", formula="=Working!A2*2", name="total_to_pay")),
        *more,
    )
    quote = Sheet(name="Quote", rows=rows, widths=(10, 10, 10, 10))
    working = Sheet(name=WORKING, rows=(row(text("117")), row(Cell(content=2, kind="number"))), widths=(10,))
    number = NamedRange(name="quote_number", sheet=WORKING, first_row=0, first_column=0, last_row=0, last_column=0)
    about = Properties(title="", author="Shop", created=date(2026, 1, 1))
    return WorkbookValue(sheets=(quote, working), properties=about, names=(number,))


SENT = content_of(a_value())
TEXTS = mark_texts(SENT)


def changed(sheet: str, row: int, column: int, spelled: str | None) -> Content:
    cells = {name: dict(of_sheet) for name, of_sheet in SENT.sheets.items()}
    if spelled is None:
        del cells[sheet][row, column]
    else:
        cells[sheet][row, column] = spelled
    return Content(sheets=cells, names=SENT.names)


def test_the_marks_stand_at_the_end_of_working_under_their_name() -> None:
    value = sealed(a_value())
    [marks] = [name for name in value.names if name.name == MARKS]
    working = value.sheets[1]
    assert (marks.sheet, marks.first_row, marks.last_row) == (WORKING, 2, len(working.rows) - 1)
    assert (marks.first_column, marks.last_column) == (0, 0)
    assert tuple(line.cells[0].content for line in working.rows[2:]) == TEXTS
    assert fingerprint_of(value) == TEXTS[0] == fingerprint(SENT)


def test_a_workbook_without_the_hidden_sheet_gets_one() -> None:
    value = a_value()
    bare = replace(value, sheets=value.sheets[:1], names=())
    assert [(sheet.name, sheet.hidden) for sheet in sealed(bare).sheets] == [("Quote", False), (WORKING, True)]


def test_the_choice_is_not_sealed() -> None:
    assert fingerprint_of(sealed(a_value(chosen="good"))) == fingerprint_of(sealed(a_value()))


@pytest.mark.parametrize(
    "other", [a_value(price=Decimal("19.91")), a_value(price="19.90"), a_value(more=(row(text("x")),))]
)
def test_everything_else_is(other: WorkbookValue) -> None:
    assert fingerprint_of(sealed(other)) != fingerprint_of(sealed(a_value()))


def test_looks_are_not_sealed() -> None:
    value = a_value()
    wider = replace(value.sheets[0], widths=(50, 50, 50, 50), frozen_rows=2)
    assert fingerprint_of(sealed(replace(value, sheets=(wider, value.sheets[1])))) == TEXTS[0]


def test_the_marks_are_read_as_they_were_written() -> None:
    sent, names, sheets = marks_of(TEXTS)
    assert sent == TEXTS[0] and names.keys() == SENT.names.keys()
    assert {name: set(cells) for name, cells in sheets.items()} == {n: set(c) for n, c in SENT.sheets.items()}


def test_many_cells_make_few_marks_none_too_long() -> None:
    many = tuple(Row(cells=tuple(text(f"{n} {column}") for column in range(30))) for n in range(500))
    texts = mark_texts(content_of(a_value(more=many)))
    assert max(map(len, texts)) <= 8_010 and len(texts) < 12
    assert sum(map(len, texts)) < 4 * 15_000


@pytest.mark.parametrize(
    ("content", "expected"),
    [
        (changed("Quote", 1, 4, "n1"), CellChange(sheet="Quote", row=1, column=4, change="changed")),
        (changed("Quote", 1, 4, None), CellChange(sheet="Quote", row=1, column=4, change="missing")),
        (changed("Quote", 9, 9, "tx"), CellChange(sheet="Quote", row=9, column=9, change="added")),
        (changed(WORKING, 2, 1, "t2"), CellChange(sheet=WORKING, row=2, column=1, change="changed")),
        (changed("Quote", 4, 2, "n5"), CellChange(sheet="Quote", row=4, column=2, change="changed")),
    ],
)
def test_the_very_cell_is_named(content: Content, expected: CellChange) -> None:
    assert changes_of(content, TEXTS) == Changes(same=False, cells=(expected,))


def test_sheets_that_are_new_gone_or_renamed() -> None:
    more = replace(SENT, sheets={**SENT.sheets, "Other": {(1, 1): "ta"}})
    assert changes_of(more, TEXTS).sheets_added == ("Other",)
    fewer = replace(SENT, sheets={"Quote": SENT.sheets["Quote"]})
    assert changes_of(fewer, TEXTS).sheets_missing == (WORKING,)
    quote = {**SENT.sheets["Quote"], (4, 2): "=MYSUMS!A2*2"}
    names = {name: where.replace("Working!", "My sums!") for name, where in SENT.names.items()}
    renamed = Content(sheets={"Quote": quote, "My sums": SENT.sheets[WORKING]}, names=names)
    assert changes_of(renamed, TEXTS) == Changes(same=False, sheets_renamed=((WORKING, "My sums"),))


def test_names_that_were_moved_taken_away_or_put_in() -> None:
    moved = replace(SENT, names={**SENT.names, "total_to_pay": "Quote!1,4"})
    assert changes_of(moved, TEXTS).names == ("total_to_pay",)
    gone = replace(SENT, names={name: where for name, where in SENT.names.items() if name != "chosen_tier"})
    assert changes_of(gone, TEXTS).names == ("chosen_tier",)
    new = replace(SENT, names={**SENT.names, "extra_X": "Quote!1,4", "_xlnm.Print_Area": "Quote!1,1:9,9"})
    assert changes_of(new, TEXTS).names == ("extra_X",)


@pytest.mark.parametrize(
    "texts", [(), ("",), ("x", "y!", "Quote! 1", "Quote! 1.x:abc 1.1:ab", "names a b:c:d"), ("!" * 99,)]
)
def test_odd_marks_are_no_end_of_the_reader(texts: tuple[str, ...]) -> None:
    assert not changes_of(SENT, texts).same
