"""A template that does not fit what is to go into it: each fault named with the mark, the file and what to do."""

from __future__ import annotations

from collections.abc import Callable
from typing import Any

import pytest
from openpyxl.workbook.defined_name import DefinedName

from quotekit.documents.filling import SheetFilling
from quotekit.workbook.template_check import check_filling, is_empty
from quotekit.workbook.template_marks import Lines, MarkedRows, SheetMarks, Spot, find_marks
from tests.workbook.a_template import LINES, a_filling, fill, restyled

Change = Callable[[Any], object]


def without_name(name: str) -> Change:
    return lambda book: book.defined_names.pop(name)


def typed(cell: str, text: str | None) -> Change:
    return lambda book: book["My bill"].__setitem__(cell, text)


def named(name: str, area: str) -> Change:
    return lambda book: book.defined_names.__setitem__(name, DefinedName(name, attr_text=f"'My bill'!{area}"))


CASES = [
    (without_name("qk_job_number"), "My bill", "template-mark-missing", "lacks the mark qk_job_number", "Type qk_job"),
    (typed("D9", None), "My bill", "template-mark-missing", "lacks the mark qk_total", "Type qk_total"),
    (without_name("qk_sheet_bill"), "", "template-mark-missing", "the mark qk_sheet_bill", "the name qk_sheet_bill"),
    (typed("D5", None), "My bill!A5", "template-mark-missing", "template lacks the mark qk_amount", "Type qk_amount"),
    (typed("B9", "qk_totl"), "My bill!B9", "template-mark-unknown", "by the mark qk_totl", "Did you mean qk_total?"),
    (typed("B9", "qk_zzz"), "My bill!B9", "template-mark-unknown", "by the mark qk_zzz", "Take the mark out"),
    (typed("D5", "qk_amont"), "My bill!D5", "template-mark-unknown", "by the mark qk_amont", "Did you mean qk_amount?"),
    (named("qk_rows_line", "$A$11:$B$11"), "My bill!A11", "template-mark-unknown", "qk_rows_line", "qk_rows_lines?"),
    (named("qk_block_lefts", "$A$11"), "My bill!A11", "template-mark-unknown", "qk_block_lefts", "qk_block_left?"),
    (named("qk_block_left", "$A$7:$A$9"), "My bill!A7", "template-block-holds", "hold qk_total", "its own lines"),
    (named("qk_block_left", "$A$5:$A$8"), "My bill!A5", "template-block-holds", "hold qk_rows_lines", "its own lines"),
    (named("qk_rows_left", "$A$5:$E$6"), "My bill!A5", "template-rows-overlap", "share a row", "a row of its own"),
]  # fmt: skip


@pytest.mark.parametrize(("change", "place", "code", "message", "remedy"), CASES)
def test_a_fault_of_a_template_is_named(change: Change, place: str, code: str, message: str, remedy: str) -> None:
    book = restyled()
    change(book)
    data, problems = fill(book)
    assert data is None
    found = [one for one in problems if one.code == code and message in one.message]
    assert found, [one.message for one in problems]
    assert str(found[0].place) == ("bill.xlsx:" + place).rstrip(":")
    assert remedy in found[0].remedy


def test_all_faults_come_at_once() -> None:
    book = restyled()
    for name in ("qk_job_number", "qk_rows_lines"):
        book.defined_names.pop(name)
    book["My bill"]["D9"] = None
    _, problems = fill(book)
    assert {one.message.split()[-1] for one in problems} >= {"qk_job_number", "qk_rows_lines", "qk_total"}


def test_marks_of_a_lost_row_are_not_told_apart() -> None:
    """They are in place and only their row lost its name: one fault, told once."""
    book = restyled()
    book.defined_names.pop("qk_rows_lines")
    _, problems = fill(book)
    assert [(one.code, one.message.split()[-1]) for one in problems] == [("template-mark-missing", "qk_rows_lines")]


def test_one_fault_of_many_sheets_is_told_once() -> None:
    book = restyled()
    book.defined_names.pop("qk_job_number")
    _, problems = fill(book, a_filling(), a_filling(), a_filling())
    assert len(problems) == 1


def test_what_may_be_missing_is_no_fault() -> None:
    book = restyled()
    book.defined_names.pop("qk_job_number")
    book.defined_names.pop("qk_rows_left")
    book.defined_names.pop("qk_block_left")
    book["My bill"]["A8"] = None
    book["My bill"]["D5"] = None
    data, problems = fill(book, a_filling(optional=frozenset({"job_number", "rows_left", "rows_lines.amount"})))
    assert problems == [] and data is not None


def test_a_mark_in_a_footer_comes_on_top() -> None:
    """The sheet is read back from its cells, so a mark must stand in one; an unknown one is told wherever it is."""
    book = restyled()
    book["My bill"]["D9"] = None
    book["My bill"].oddFooter.right.text = "qk_total, qk_sum_of_all"
    _, problems = fill(book)
    assert [(one.code, str(one.place)) for one in problems] == [
        ("template-mark-missing", "bill.xlsx:My bill"), ("template-mark-unknown", "bill.xlsx:My bill")
    ]  # fmt: skip
    assert "qk_sum_of_all" in problems[1].message


def test_a_name_that_points_nowhere_is_missing() -> None:
    book = restyled()
    book.defined_names["qk_job_number"].attr_text = "#REF!"
    _, problems = fill(book)
    assert [one.code for one in problems] == ["template-mark-missing"]


def test_a_row_that_is_a_whole_sheet_is_missing() -> None:
    """Three times a million rows is no document."""
    book = restyled()
    book.defined_names["qk_rows_lines"].attr_text = "'My bill'!$1:$1048576"
    _, problems = fill(book)
    assert ("template-mark-missing", "qk_rows_lines") in {(one.code, one.message.split()[-1]) for one in problems}


def test_two_sheets_of_one_role_are_refused() -> None:
    book = restyled()
    other = book.copy_worksheet(book["My bill"])
    other.defined_names["qk_sheet_bill"] = DefinedName("qk_sheet_bill", attr_text=f"'{other.title}'!$A$1")
    _, problems = fill(book)
    assert [(one.code, one.place.sheet) for one in problems] == [("template-sheet-twice", other.title)]


@pytest.mark.parametrize(
    ("name", "empty"),
    [("note", False), ("blank", True), ("none", True), ("lines", False), ("left", True), ("zero", False)],
)
def test_what_is_empty(name: str, empty: bool) -> None:
    """Nothing owed is still something to say; a blank text is not."""
    filling = a_filling(values={"note": "x", "blank": "  ", "none": None, "zero": 0})
    assert is_empty(name, filling) is empty


def test_marks_of_a_template() -> None:
    marks, problems = find_marks("bill.xlsx", restyled())
    assert problems == []
    assert marks == [
        SheetMarks(
            sheet="My bill",
            role="bill",
            values={
                "job_number": (Spot(2, 2),), "shop_name": (Spot(1, 1),), "total": (Spot(9, 4),), "note": (Spot(10, 1),)
            },
            tables={
                "lines": MarkedRows(
                    lines=Lines(5, 5), columns={"text": Spot(5, 1), "side": Spot(5, 3), "amount": Spot(5, 4)}
                ),
                "left": MarkedRows(lines=Lines(8, 8), columns={"text": Spot(8, 1)}),
            },
            blocks={"left": Lines(7, 8)},
        )
    ]  # fmt: skip


def test_a_mark_named_and_typed_in_one_cell_is_one() -> None:
    book = restyled()
    book["My bill"]["B2"] = "qk_job_number"
    book["My bill"]["C11"] = "QK_JOB_NUMBER "
    marks, _ = find_marks("bill.xlsx", book)
    assert marks[0].values["job_number"] == (Spot(2, 2), Spot(11, 3))


def test_a_sheet_without_a_role_is_the_owners_own() -> None:
    """Where somebody typed a mark in it, to explain it to a colleague, it stays, and that is said once."""
    book = restyled()
    book["Terms"]["A5"], book["Terms"]["A6"] = "qk_total", "qk_note"
    data, problems = fill(book)
    assert data is not None
    assert [(one.code, one.severity, str(one.place)) for one in problems] == [
        ("template-mark-astray", "warning", "bill.xlsx:Terms!A5")
    ]


def test_no_marks_at_all() -> None:
    filling = SheetFilling(role="bill", values={}, tables={"lines": LINES})
    (problem,) = check_filling("empty.xlsx", [], [filling])
    assert (problem.code, str(problem.place)) == ("template-mark-missing", "empty.xlsx")
