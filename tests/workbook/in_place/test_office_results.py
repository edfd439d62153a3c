"""Results that LibreOffice works out for temporary copies; the checks against a full recalculation."""

from __future__ import annotations

import random
from collections.abc import Mapping
from datetime import date
from decimal import Decimal
from hashlib import sha256
from pathlib import Path
from typing import Any

import pytest

from quotekit.workbook.in_place.changes import Change
from quotekit.workbook.in_place.office_results import contents_of, office_work_out
from quotekit.workbook.in_place.put_in_place import put_in_place
from quotekit.workbook.in_place.results import CannotWorkOut
from quotekit.workbook.office import PROGRAM_SETTING
from tests.in_place.chains import Book, a_book, alike, round_of, stored, worked_out, written
from tests.workbook import raw_workbooks as raw
from tests.workbook.in_place.small_books import a_book as small_book
from tests.workbook.in_place.small_books import edited, rows_of

D = Decimal


def test_stored_results_equal_a_full_recalculation(soffice: str) -> None:
    """Random chains over four sheets: what hangs on the change is new, all else has kept its bytes."""
    wrong, results = round_of(2, 8, soffice, office_work_out(), changes=4)
    assert wrong == []
    assert results > 20


def test_nothing_that_hangs_on_a_change_is_left(soffice: str) -> None:
    """Without a program: what is left stored equals a full recalculation."""
    wrong, results = round_of(3, 9, soffice, None, changes=2)
    assert wrong == []
    assert results > 60


def test_many_kinds_of_results(soffice: str) -> None:
    """Numbers, texts, an empty text, truth values, errors, and a result that is the same as before."""
    rows = (
        '<row r="1"><c r="A1"><v>3</v></c><c r="B1"><f>A1*1.5</f><v>4.5</v></c>'
        '<c r="C1" t="str"><f>A1&amp;" &lt;pieces&gt;"</f><v>3 &lt;pieces&gt;</v></c>'
        '<c r="D1" t="str"><f>IF(A1&gt;2,"","low")</f><v></v></c><c r="E1" t="b"><f>A1&gt;2</f><v>1</v></c>'
        '<c r="F1"><f>1/(A1-1)</f><v>0.5</v></c><c r="G1"><f>MIN(A1,1)</f><v>1</v></c>'
        '<c r="H1"><f>2*3</f><v>99</v></c><c r="I1"><f>A1*2</f><v>99</v></c></row>'
    )
    found = edited(small_book(rows), {"A1": D(1)}, office_work_out())
    assert {one.cell: str(one.new) for one in found.calculated} == {
        "B1": "1.5",
        "C1": "1 <pieces>",
        "D1": "low",
        "E1": "FALSE",
        "F1": "#DIV/0!",
        "I1": "nothing",
    }
    text = rows_of(found.data)
    assert '<c r="F1" t="e"><f>1/(A1-1)</f><v>#DIV/0!</v></c><c r="G1"><f>MIN(A1,1)</f><v>1</v></c>' in text
    assert '<c r="H1"><f>2*3</f><v>99</v></c><c r="I1"><f>A1*2</f></c>' in text


def test_functions_that_are_not_known_there(soffice: str) -> None:
    """A result that LibreOffice can't work out is taken away, not made an error."""
    rows = (
        '<row r="1"><c r="A1"><v>3</v></c><c r="B1"><f>_xlfn.FUTURE(A1)</f><v>4.5</v></c>'
        '<c r="C1"><f>MyMacro(A1)</f><v>7</v></c></row>'
    )
    found = edited(small_book(rows), {"A1": D(1)}, office_work_out())
    assert [(one.cell, one.emptied) for one in found.calculated] == [("B1", True), ("C1", True)]


def test_the_owners_file(soffice: str, tmp_path: Path) -> None:
    """The whole way, as a command goes it: LibreOffice is found by itself, and no result is missing."""
    path = tmp_path / "shop book.xlsx"
    path.write_bytes(small_book('<row r="1"><c r="A1"><v>1</v></c><c r="B1"><f>A1*2</f><v>2</v></c></row>'))
    found = sha256(path.read_bytes()).hexdigest()
    record, problems = put_in_place(path, [Change("S", "A1", D("2.5"))], expected_sha256=found, day=date(2026, 11, 28))
    assert record is not None and problems == []
    assert rows_of(path.read_bytes()).endswith('<c r="B1"><f>A1*2</f><v>5</v></c></row>')


def test_the_package_formulas_agrees(soffice: str, tmp_path: Path) -> None:
    """A second engine works the changed file out: numbers of simple chains are those that were stored."""
    import formulas

    draw = random.Random(3)
    whole = a_book(draw)
    simple = ("SUM(", "ROUND(", "MAX(", "+", "*")
    odd = (
        "INDIRECT",
        "OFFSET",
        "VLOOKUP",
        "IFERROR",
        "IF(",
        "&",
        ":B)",
        "One:",
        "COUNTIF",
        "SUMIF",
        "INDEX",
        "/",
        "MAX(",
    )
    kept = [
        one
        for one in whole.formulas
        if any(word in one[2] for word in simple) and not any(word in one[2] for word in odd)
    ]
    book = Book(typed=whole.typed, formulas=kept, arrays=[])
    (values,) = worked_out([written(book, {})], soffice)
    change = Change("One", "A1", D("12.34"))
    data = written(book, values)
    from quotekit.workbook.in_place.edit_workbook import edit_workbook

    changed, problems = edit_workbook("b.xlsx", data, [change], office_work_out())
    assert changed is not None, problems
    path = tmp_path / "b.xlsx"
    path.write_bytes(changed.data)
    solution: Mapping[str, Any] = formulas.ExcelModel().loads(str(path)).finish().calculate()
    now = stored(changed.data)
    compared = 0
    for sheet, cell, _ in kept:
        key = f"'[b.xlsx]{sheet.upper().replace(chr(39), chr(39) * 2)}'!{cell}"
        if key in solution:
            value = solution[key].value[0, 0]
            if isinstance(value, (int, float)):
                assert alike(now[sheet, cell], float(value)), (sheet, cell, now[sheet, cell], value)
                compared += 1
    assert compared > 40
    assert len(changed.calculated) > 3


@pytest.mark.parametrize("seconds", [0.01])
def test_no_time(soffice: str, seconds: float) -> None:
    """It is stopped, and the reason is told in words."""
    work_out = office_work_out(seconds=seconds)
    assert work_out is not None
    with pytest.raises(CannotWorkOut, match=r"after 0\.01 seconds"):
        work_out(small_book(), small_book(), frozenset())


def program(folder: Path, text: str, monkeypatch: pytest.MonkeyPatch) -> None:
    """A program in place of LibreOffice."""
    path = folder / "office"
    path.write_text(f"#!/bin/sh\n{text}\n")
    path.chmod(0o755)
    monkeypatch.setenv(PROGRAM_SETTING, str(path))


@pytest.mark.parametrize(
    ("text", "why"),
    [
        ("echo broken; exit 3", "broken"),
        ("exit 0", "made no file"),
        ('for one; do d=$(dirname "$one"); done; mkdir "$d/made"; : >"$d/made/before.xlsx"', "can't be read"),
    ],
)
def test_an_office_that_fails(text: str, why: str, tmp_path: Path, monkeypatch: pytest.MonkeyPatch) -> None:
    program(tmp_path, text, monkeypatch)
    work_out = office_work_out()
    assert work_out is not None
    with pytest.raises(CannotWorkOut, match=why):
        work_out(small_book(), small_book(), frozenset({("s", "A1")}))


def test_no_office(monkeypatch: pytest.MonkeyPatch) -> None:
    monkeypatch.setenv(PROGRAM_SETTING, "/gone/soffice")
    monkeypatch.setenv("PATH", "")
    assert office_work_out() is None


def test_contents_of_cells() -> None:
    """Those that are wanted and there, of sheets by name whatever the case; shared texts are read."""
    data = raw.packed(raw.parts('<row r="1"><c r="A1" t="s"><v>1</v></c><c r="B1"><v>2</v></c></row>'))
    found = contents_of("b.xlsx", data, {("s", "A1"), ("s", "C9"), ("gone", "A1"), ("s", "x")})
    assert {cell: str(one) for cell, one in found.items()} == {("s", "A1"): "second"}
