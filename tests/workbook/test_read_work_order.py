"""A filled work order is read back from its cells, wherever they went, and every wrong cell is named."""

from __future__ import annotations

from datetime import date, time
from decimal import Decimal
from functools import cache
from pathlib import Path
from typing import Any

import openpyxl
import pytest
from hypothesis import HealthCheck, given, settings
from hypothesis import strategies as st

from quotekit.documents.filling import SheetFilling
from quotekit.documents.work_order import fill_work_order
from quotekit.model.filled_work_order import FilledWorkOrder
from quotekit.problems import Problem
from quotekit.workbook.fill_template import fill_template
from quotekit.workbook.find_template import find_template
from quotekit.workbook.read_work_order import read_work_order
from tests import build
from tests.documents.test_work_order import facts
from tests.pricing.work_order.test_build_work_order import a_book, both_sides, ordered
from tests.workbook.filled import cell_at, cells_of, fill_in
from tests.workbook.returned import saved_by_libreoffice


def a_work_order() -> SheetFilling:
    """Bushings on both sides and a belt."""
    parts = [build.a_part("BUSHING"), build.a_part("NUT"), build.a_part("V-BELT", core_charge=5)]
    book = a_book(parts=parts)
    job = both_sides(book, old_parts="keep")
    return fill_work_order(ordered(book, job), facts(book, job))


@cache
def written() -> bytes:
    """A work order of bushings on both sides and a belt, as it is handed to the bench."""
    template, _ = find_template("work order", [])
    assert template is not None
    data, problems = fill_template(template, [a_work_order()])
    assert problems == [] and data is not None
    return data


def sheet_with(folder: Path, **typed: Any) -> Path:
    """The work order filled in: names with `__` for the slash, values as typed."""
    (folder / "wo.xlsx").write_bytes(written())
    return fill_in(
        folder / "wo.xlsx", {name.replace("__", "/"): value for name, value in typed.items()}, folder / "f.xlsx"
    )


def read(folder: Path, **typed: Any) -> FilledWorkOrder:
    filled, problems = read_work_order(sheet_with(folder, **typed))
    assert filled is not None and problems == []
    return filled


def refused(folder: Path, **typed: Any) -> list[Problem]:
    filled, problems = read_work_order(sheet_with(folder, **typed))
    assert filled is None
    return problems


def hours(filled: FilledWorkOrder) -> list[tuple[str, str, str]]:
    return [(one.work, one.person, f"{one.hours:f}") for one in filled.hours]


def test_a_blank_work_order_says_nothing(tmp_path: Path) -> None:
    """As printed, every cell to fill in is blank, and blank is not zero."""
    filled = read(tmp_path)
    assert (filled.job_number, filled.version, filled.agreement) == ("J-1", 2, 7)
    assert (filled.hours, filled.used, filled.more, filled.cores, filled.measured, filled.not_done) == ((),) * 6
    assert (filled.notes, filled.finished_on) == ("", None)
    assert str(filled.place) == "f.xlsx:Work order"


def test_everything_a_technician_writes(tmp_path: Path) -> None:
    filled = read(
        tmp_path,
        technician=" Ann  Alder ",
        steps_hours__BELT=0.35,
        **{"steps_hours/BUSH@left": 0.5, "steps_person/BUSH@left": "Bo"},
        whole_hours__2=1.25,
        whole_person__2="Cy",
        whole_note__2="towing",
        items_not_done__3="yes",
        parts_used__NUT=7,
        parts_core__2=0,
        more_part__1="SPARE",
        more_used__1=2,
        more_note__1="clip was broken",
        **{"measurements_now/WORN@right": 0.754},
        notes="Shaft scored\nsee photo",
        finished_on=date(2026, 11, 30),
    )
    assert hours(filled) == [("BELT", "Ann Alder", "0.35"), ("BUSH@left", "Bo", "0.5"), ("", "Cy", "1.25")]
    assert [one.code for one in filled.not_done] == ["NEW-BUSH@right"]
    assert [(one.code, one.quantity) for one in filled.used] == [("NUT", 7)]
    assert [(one.code, one.quantity) for one in filled.more] == [("SPARE", 2)]
    assert [(one.code, one.quantity) for one in filled.measured] == [("WORN@right", Decimal("0.754"))]
    assert filled.notes == "Shaft scored\nsee photo\nclip was broken\ntowing"
    assert filled.finished_on == date(2026, 11, 30)


def test_each_answer_has_its_cell(tmp_path: Path) -> None:
    path = sheet_with(tmp_path, technician="Ann", steps_hours__BELT=0.35)
    filled, _ = read_work_order(path)
    cell = cell_at(openpyxl.load_workbook(path), "steps_hours/BELT")
    assert filled is not None
    assert str(filled.hours[0].place) == f"f.xlsx:Work order!{cell.coordinate}"


def test_both_lines_of_a_step_count(tmp_path: Path) -> None:
    path = sheet_with(tmp_path, technician="Ann")
    book = openpyxl.load_workbook(path)
    keys, cells = cells_of(book, "steps_key"), cells_of(book, "steps_hours")
    for key, cell in zip(keys, cells, strict=True):
        cell.value = 0.2 if key.value == "COVER" else None
    book.save(path)
    filled, _ = read_work_order(path)
    assert filled is not None and hours(filled) == [("COVER", "Ann", "0.2")] * 2


WRONG: list[tuple[dict[str, Any], str, str]] = [
    ({"steps_hours/BELT": "0.5 h"}, "steps_hours/BELT", "text-number"),
    ({"steps_hours/BELT": "1,5"}, "steps_hours/BELT", "text-number"),
    ({"steps_hours/BELT": time(1, 30)}, "steps_hours/BELT", "time-not-hours"),
    ({"steps_hours/BELT": -1}, "steps_hours/BELT", "negative"),
    ({"steps_hours/BELT": 2000}, "steps_hours/BELT", "too-big"),
    ({"steps_hours/BELT": "#REF!"}, "steps_hours/BELT", "error-cell"),
    ({"steps_hours/BELT": "=1+1"}, "steps_hours/BELT", "no-stored-result"),
    ({"items_not_done/1": "perhaps"}, "items_not_done/1", "not-yes-no"),
    ({"parts_used/NUT": "seven"}, "parts_used/NUT", "not-a-number"),
    ({"parts_core/V-BELT": -1}, "parts_core/V-BELT", "negative"),
    ({"more_part/1": "SPARE"}, "more_used/1", "no-quantity"),
    ({"more_used/2": 1}, "more_part/2", "no-code"),
    ({"measurements_now/WORN@left": "0.754 in"}, "measurements_now/WORN@left", "not-a-number"),
    ({"finished_on": "soon"}, "finished_on", "not-a-date"),
    ({"version": "two"}, "version", "not-a-number"),
    ({"steps_key/1": None, "steps_hours/1": 1}, "steps_key/1", "no-code"),
]


@pytest.mark.parametrize(("typed", "where", "code"), WRONG)
def test_a_wrong_cell_is_named(tmp_path: Path, typed: dict[str, Any], where: str, code: str) -> None:
    """Nothing is guessed about hours: text that looks like a number gets a suggestion."""
    problems = refused(tmp_path, technician="Ann", **typed)
    at = cell_at(openpyxl.load_workbook(tmp_path / "f.xlsx"), where).coordinate
    assert [(one.code, one.place.cell) for one in problems] == [(code, at)]
    assert all(one.remedy for one in problems)


def test_all_wrong_cells_come_at_once(tmp_path: Path) -> None:
    problems = refused(tmp_path, steps_hours__BELT="0.5 h", steps_hours__SAFE=-1, parts_used__NUT="x", notes="y")
    assert [one.code for one in problems] == ["negative", "text-number", "not-a-number"]


def test_hours_of_nobody_are_refused(tmp_path: Path) -> None:
    problems = refused(tmp_path, steps_hours__BELT=0.5, whole_hours__1=1)
    assert [one.code for one in problems] == ["no-person", "no-person"]
    assert "technician" in problems[0].remedy


def test_a_line_put_between_is_read(tmp_path: Path) -> None:
    """Two people at one step: a second line with the same code, inside the table."""
    path = sheet_with(tmp_path, technician="Ann", steps_hours__BELT=0.5)
    book = openpyxl.load_workbook(path)
    last = cells_of(book, "steps_key")[-1]
    sheet = last.parent
    last.value = "BELT"
    hours_cell, person_cell = cells_of(book, "steps_hours")[-1], cells_of(book, "steps_person")[-1]
    hours_cell.value, person_cell.value = 0.25, "Bo"
    sheet["A1"] = "moved about"
    book.save(path)
    filled, _ = read_work_order(path)
    assert filled is not None and hours(filled) == [("BELT", "Ann", "0.5"), ("BELT", "Bo", "0.25")]


def test_names_that_were_lost_are_told(tmp_path: Path) -> None:
    """A deleted column must not look like a job without hours."""
    path = sheet_with(tmp_path, technician="Ann", steps_hours__BELT=0.5)
    book = openpyxl.load_workbook(path)
    del book.active.defined_names["qk_steps_hours"]
    book.save(path)
    filled, problems = read_work_order(path)
    assert filled is None
    assert [one.code for one in problems] == ["filled-name-missing"]
    assert "qk_steps_hours" in problems[0].message


def test_another_workbook_is_refused(tmp_path: Path) -> None:
    book = openpyxl.Workbook()
    book.save(tmp_path / "other.xlsx")
    filled, problems = read_work_order(tmp_path / "other.xlsx")
    assert (filled, [one.code for one in problems]) == (None, ["not-filled"])


ANYTHING = st.one_of(
    st.none(),
    st.booleans(),
    st.integers(-(10**20), 10**20),
    st.floats(allow_nan=False, allow_infinity=False),
    st.text(st.characters(codec="utf-8", exclude_categories=["Cc", "Cs"]), max_size=12),
    st.sampled_from(["=1/0", "=A1", "#N/A", "yes", "1,5", "½", '=HYPERLINK("x")', "-", "☑"]),
    st.dates(date(1999, 1, 1), date(2199, 1, 1)),
    st.times(),
)
ENTRIES = (
    "technician finished_on notes version job_number agreement steps_hours/1 steps_person/1 steps_key/2 whole_hours/1 "
    "whole_person/2 items_not_done/1 items_key/2 measurements_now/1 measurements_key/2 parts_used/1 parts_core/2 "
    "parts_part/3 more_part/1 more_used/1 more_note/2"
).split()


@settings(max_examples=25, suppress_health_check=[HealthCheck.function_scoped_fixture])
@given(st.dictionaries(st.sampled_from(ENTRIES), ANYTHING, min_size=1, max_size=8))
def test_whatever_is_typed_is_read_or_told(tmp_path: Path, typed: dict[str, Any]) -> None:
    """No traceback, and nothing half read: either all of it is understood, or each fault has its cell."""
    filled, problems = read_work_order(sheet_with(tmp_path, **typed))
    assert (filled is None) is any(one.severity == "error" for one in problems)
    assert all(one.place.file == "f.xlsx" and one.remedy for one in problems)
    if filled is not None:
        assert all(one.hours >= 0 and one.person for one in filled.hours)


@pytest.mark.parametrize("name", ["missing.xlsx", "text.xlsx"])
def test_no_workbook_at_all_is_refused(tmp_path: Path, name: str) -> None:
    (tmp_path / "text.xlsx").write_text("hours: 3")
    filled, problems = read_work_order(tmp_path / name)
    assert filled is None and problems


def test_a_sheet_saved_by_an_office_program_reads_the_same(tmp_path: Path, soffice: str) -> None:
    path = sheet_with(tmp_path, technician="Ann", steps_hours__BELT=0.35, whole_hours__1=1, notes="Scored")
    (saved,) = saved_by_libreoffice(soffice, [path], tmp_path)
    filled, problems = read_work_order(saved)
    assert problems == [] and filled is not None
    assert hours(filled) == [("BELT", "Ann", "0.35"), ("", "Ann", "1")]
    assert (filled.job_number, filled.version, filled.notes) == ("J-1", 2, "Scored")
