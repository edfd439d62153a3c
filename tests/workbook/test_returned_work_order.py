"""A work order as a technician hands it back: lines put in, sheets copied, ticks, times of day, names of two people."""

from __future__ import annotations

from collections.abc import Callable
from decimal import Decimal
from io import BytesIO
from pathlib import Path
from typing import Any

import openpyxl
import pytest
from openpyxl.workbook.defined_name import DefinedName

from quotekit.model.filled_work_order import FilledWorkOrder
from quotekit.problems import Problem
from quotekit.workbook.find_template import default_template
from quotekit.workbook.read_work_order import read_work_order
from tests.workbook.filled import cell_at, cells_of
from tests.workbook.returned import saved_by_libreoffice
from tests.workbook.test_read_work_order import hours, read, refused, sheet_with, written

Change = Callable[[Any, Any], object]


def changed(folder: Path, change: Change) -> tuple[FilledWorkOrder | None, list[Problem]]:
    """The sheet filled in by Ann, changed in the spreadsheet, and read."""
    path = sheet_with(folder, technician="Ann", steps_hours__BELT=0.5)
    book = openpyxl.load_workbook(path)
    change(book, book.active)
    book.save(path)
    return read_work_order(path)


def shrunk(table: str, top: int, bottom: int) -> Change:
    """Names that hold fewer rows: what an office program leaves of them where a line is put in beside the table."""

    def change(book: Any, sheet: Any) -> None:
        for name in list(sheet.defined_names):
            if name.startswith(f"qk_{table}_") or name == f"qk_rows_{table}":
                cells = cells_of(book, name.removeprefix("qk_"))
                first, last = cells[top], cells[len(cells) - 1 - bottom]
                area = f"'{sheet.title}'!${first.column_letter}${first.row}:${last.column_letter}${last.row}"
                sheet.defined_names[name] = DefinedName(name, attr_text=area)

    return change


def typed(*cells: tuple[str, int, object]) -> Change:
    """Values in cells of the tables' columns, by the row of the table as it was written."""

    def change(book: Any, _: Any) -> None:
        for name, row, value in cells:
            cells_of(book, name)[row].value = value

    return change


def both(*changes: Change) -> Change:
    return lambda book, sheet: [change(book, sheet) for change in changes]


def test_a_line_put_in_below_the_last_counts(tmp_path: Path) -> None:
    """The name of the table does not grow there; the hours of the second person must not be lost for it."""
    lines = typed(("steps_key", -1, "BELT"), ("steps_hours", -1, 0.75), ("steps_person", -1, "Bo"))
    filled, problems = changed(tmp_path, both(lines, shrunk("steps", 0, 1)))
    assert filled is not None and problems == []
    assert hours(filled) == [("BELT", "Ann", "0.5"), ("BELT", "Bo", "0.75")]


def test_more_lines_than_were_printed(tmp_path: Path) -> None:
    lines = typed(
        *((f"more_{column}", row, value) for row in range(3) for column, value in (("part", "NUT"), ("used", 1)))
    )
    filled, problems = changed(tmp_path, both(lines, shrunk("more", 0, 2)))
    assert filled is not None and problems == []
    assert [(one.code, one.quantity) for one in filled.more] == [("NUT", 1)] * 3
    whole = typed(("whole_hours", 1, 2), ("whole_person", 1, "Cy"))
    filled, _ = changed(tmp_path, both(whole, shrunk("whole", 0, 1)))
    assert filled is not None and hours(filled)[-1] == ("", "Cy", "2")


def test_a_number_alone_below_a_table_is_told(tmp_path: Path) -> None:
    """The sum of the hours, written where a sum belongs: not read, and not lost in silence."""
    lines = both(typed(("steps_key", -1, None), ("steps_hours", -1, 6.5)), shrunk("steps", 0, 1))
    filled, problems = changed(tmp_path, lines)
    assert filled is not None and hours(filled) == [("BELT", "Ann", "0.5")]
    at = cells_of(openpyxl.load_workbook(tmp_path / "wo.xlsx"), "steps_hours")[-1].coordinate
    assert [(one.code, one.severity, one.place.cell) for one in problems] == [("not-read", "warning", at)]


def test_a_line_above_the_first_is_refused(tmp_path: Path) -> None:
    lines = both(typed(("steps_hours", 0, 0.25)), shrunk("steps", 1, 0))
    filled, problems = changed(tmp_path, lines)
    at = cells_of(openpyxl.load_workbook(tmp_path / "wo.xlsx"), "steps_hours")[0].coordinate
    assert filled is None
    assert [(one.code, one.severity, one.place.cell) for one in problems] == [("not-read", "error", at)]


def test_the_owners_sum_below_a_table_is_no_line(tmp_path: Path, soffice: str) -> None:
    """A formula is the template's; only what was typed can be a line that somebody put in."""
    lines = both(typed(("steps_hours", -1, "=1+1")), shrunk("steps", 0, 1))
    changed(tmp_path, lines)
    (saved,) = saved_by_libreoffice(soffice, [tmp_path / "f.xlsx"], tmp_path)
    filled, problems = read_work_order(saved)
    assert filled is not None and problems == [] and hours(filled) == [("BELT", "Ann", "0.5")]


def test_lines_taken_out_are_no_fault(tmp_path: Path) -> None:
    filled, problems = changed(tmp_path, both(shrunk("steps", 2, 3), shrunk("parts", 0, 1)))
    assert filled is not None and problems == []


def copy_of_the_sheet(book: Any, sheet: Any) -> None:
    """As the spreadsheet copies a sheet: its names come along."""
    copy = book.copy_worksheet(sheet)
    for name, defined in sheet.defined_names.items():
        copy.defined_names[name] = DefinedName(name, attr_text=defined.attr_text.replace(sheet.title, copy.title))


def test_a_copied_sheet_is_refused(tmp_path: Path) -> None:
    """Whichever was filled in, the other would have been read."""
    filled, problems = changed(tmp_path, copy_of_the_sheet)
    assert filled is None
    assert [(one.code, str(one.place)) for one in problems] == [("filled-twice", "f.xlsx:Work order Copy")]


def test_names_of_the_whole_workbook_are_read_too(tmp_path: Path) -> None:
    """Some programs know names of the workbook alone."""

    def change(book: Any, sheet: Any) -> None:
        for name in list(sheet.defined_names):
            book.defined_names[name] = sheet.defined_names.pop(name)

    filled, problems = changed(tmp_path, change)
    assert filled is not None and problems == [] and hours(filled) == [("BELT", "Ann", "0.5")]


@pytest.mark.parametrize("name", ["bill", "parts order"])
def test_another_document_is_called_what_it_is_not(tmp_path: Path, name: Any) -> None:
    (tmp_path / "other.xlsx").write_bytes(default_template(name))
    filled, problems = read_work_order(tmp_path / "other.xlsx")
    assert (filled, [one.code for one in problems]) == (None, ["not-filled"])


TIMES = {
    0.0625: ("1:30", "1.5"),
    0.0416666666666667: ("1:00", "1"),
    0.0208333333333333: ("0:30", "0.5"),
    0.0104166666666667: ("0:15", "0.25"),
    0.3125: ("7:30", "7.5"),
    0.114583333333333: ("2:45", "2.75"),
    0.00347222222222222: ("0:05", "0.08"),
}


def test_a_time_in_a_cell_that_shows_numbers(tmp_path: Path) -> None:
    """1:30 typed where the owner's template shows 0.00 is kept as 0.0625: not four minutes, but an hour and a half."""
    cells = {f"steps_hours/{row}": value for row, value in enumerate(TIMES, start=1)}
    problems = refused(tmp_path, technician="Ann", **cells)
    assert {one.code for one in problems} == {"time-not-hours"} and len(problems) == len(TIMES)
    for problem, (time, meant) in zip(problems, TIMES.values(), strict=True):
        assert problem.message.endswith(f": {time}") and f"Type {meant} if it means hours" in problem.remedy


def test_hours_that_are_hours(tmp_path: Path) -> None:
    values = [0.1, 0.25, 0.125, 0.375, 0.333, 0.3333, 0.0833, 0.75, 1.5, 0.67, 0.005]
    cells = {f"steps_hours/{row}": value for row, value in enumerate(values, start=1)}
    filled = read(tmp_path, technician="Ann", **cells)
    assert [one.hours for one in filled.hours] == [Decimal(str(value)) for value in values]


def test_the_first_template_lets_a_time_be_seen_as_one() -> None:
    """In a cell without a format of its own the spreadsheet shows 1:30, and saves a time."""
    book = openpyxl.load_workbook(BytesIO(written()))
    formats = {cell_at(book, where).number_format for where in ("steps_hours/1", "whole_hours/1")}
    assert formats == {"General"}


@pytest.mark.parametrize(
    ("marks", "count"),
    [
        (("x", "✓", "✔"), 3),
        (("☑", "Yes", "y"), 3),
        ((True, 1, "ja"), 3),
        (("☐", "no", "-"), 0),
        ((False, 0, "nein"), 0),
    ],
)
def test_not_done_by_a_tick(tmp_path: Path, marks: tuple[object, ...], count: int) -> None:
    cells = {f"items_not_done/{row}": mark for row, mark in enumerate(marks, start=1)}
    assert len(read(tmp_path, **cells).not_done) == count


def test_what_may_mean_either_is_asked(tmp_path: Path) -> None:
    cells = {f"items_not_done/{row}": mark for row, mark in enumerate(("✗", "half", 0.5), start=1)}
    assert [one.code for one in refused(tmp_path, **cells)] == ["not-yes-no"] * 3


TWO = ["Ann & Bo", "Ann/Bo", "Ann + Bo", "Ann and Bo", "Ann; Bo"]
ONE = ["Ann", "Ann Alder", "Alder, Ann", "Andy", "Anders And-Berg", "安"]


def test_two_people_in_one_cell_are_told(tmp_path: Path) -> None:
    """Hours by person are for one person; a second line gives the other hers."""
    typed_in = {}
    for row, person in enumerate([*TWO, *ONE], start=1):
        typed_in |= {f"steps_hours/{row}": row, f"steps_person/{row}": person}
    filled, problems = read_work_order(sheet_with(tmp_path, **typed_in))
    assert filled is not None and [one.person for one in filled.hours] == [*TWO, *ONE]
    assert [(one.code, one.severity) for one in problems] == [("two-people", "warning")] * len(TWO)


def test_notes_with_any_letters_come_back_from_an_office_program(tmp_path: Path, soffice: str) -> None:
    said = "Fertig 👍🏽 — müde 😴\nzweite Zeile; =1+1, ½ in"
    path = sheet_with(tmp_path, technician="Ann Ωmega", steps_hours__BELT=1.25, notes=said)
    (saved,) = saved_by_libreoffice(soffice, [path], tmp_path)
    filled, problems = read_work_order(saved)
    assert filled is not None and problems == []
    assert (filled.notes, hours(filled)) == (said, [("BELT", "Ann Ωmega", "1.25")])
