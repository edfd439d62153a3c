"""What a formula reads, as areas; what can't be told reads everything."""

from __future__ import annotations

import pytest

from quotekit.workbook.in_place.function_names import ANYTHING, CLOCK, NAMES, reads_its_arguments
from quotekit.workbook.in_place.references import Reads, Reference, moved, ordered, reads_of
from quotekit.workbook.in_place.spans import Rectangle

SHEETS = {"s": 0, "my sheet": 1, "it's": 2, "größe".casefold(): 3, "2026": 4}


def read(formula: str) -> Reads:
    """Of a formula on the first sheet."""
    return reads_of(formula, 0, SHEETS)


def areas(formula: str) -> list[str]:
    """Its areas: sheet numbers, first and last cell."""
    return [f"{one.first_sheet}-{one.last_sheet} {tuple(one.area)}" for one in read(formula).areas]


def one(sheet: int, *area: int) -> str:
    """An area of one sheet."""
    return f"{sheet}-{sheet} {area}"


@pytest.mark.parametrize(
    ("formula", "expected"),
    [
        ("A1", [one(0, 1, 1, 1, 1)]),
        ("a1+$B$2", [one(0, 1, 1, 1, 1), one(0, 2, 2, 2, 2)]),
        ("SUM(A1:B9)", [one(0, 1, 1, 9, 2)]),
        ("SUM(B9:A1)", [one(0, 9, 2, 1, 1)]),
        ("SUM(A:A)", [one(0, 1, 1, 1048576, 1)]),
        ("SUM($3:5)", [one(0, 3, 1, 5, 16384)]),
        ("S!A1", [one(0, 1, 1, 1, 1)]),
        ("'My Sheet'!A1:B2", [one(1, 1, 1, 2, 2)]),
        ("'my sheet'!A:A", [one(1, 1, 1, 1048576, 1)]),
        ("'It''s'!C3", [one(2, 3, 3, 3, 3)]),
        ("Größe!A1", [one(3, 1, 1, 1, 1)]),
        ("'2026'!A1", [one(4, 1, 1, 1, 1)]),
        ("SUM(S:Größe!A1)", ["0-3 (1, 1, 1, 1)"]),
        ("SUM('My Sheet:2026'!A1)", ["1-4 (1, 1, 1, 1)"]),
        ("SUM('2026:My Sheet'!A1)", ["1-4 (1, 1, 1, 1)"]),
        ("[0]!A1", []),
        ("[1]S!A1+A2", [one(0, 2, 1, 2, 1)]),
        ("'[1]My Sheet'!A1", []),
        ("'[old prices.xlsx]S'!A1", []),
        ('"A1"&B1', [one(0, 1, 2, 1, 2)]),
        ('"a ""B2"" c"&B1', [one(0, 1, 2, 1, 2)]),
        ("LOG10(2)+ATAN2(1,2)", []),
        ("1E5+2.5E-3+.5", []),
        ("TRUE+FALSE", []),
        ("#REF!+A1", [one(0, 1, 1, 1, 1)]),
        ("S!#REF!", []),
        ("{1,2;3,4}*A1", [one(0, 1, 1, 1, 1)]),
        ("-A1%^2<>B1", [one(0, 1, 1, 1, 1), one(0, 1, 2, 1, 2)]),
        ("SUM((A1,B1) B1)", [one(0, 1, 1, 1, 1), one(0, 1, 2, 1, 2), one(0, 1, 2, 1, 2)]),
        ("_xlfn.XLOOKUP(A1,B:B,C:C)", [one(0, 1, 1, 1, 1), one(0, 1, 2, 1048576, 2), one(0, 1, 3, 1048576, 3)]),
        ("_xlfn.LET(_xlpm.x,A1,_xlpm.x*2)", [one(0, 1, 1, 1, 1)]),
        ("A1048576", [one(0, 1048576, 1, 1048576, 1)]),
        ("XFD1", [one(0, 1, 16384, 1, 16384)]),
    ],
)
def test_areas(formula: str, expected: list[str]) -> None:
    assert areas(formula) == expected
    assert not read(formula).anything or formula == "[0]!A1"


@pytest.mark.parametrize(
    "formula",
    [
        "INDIRECT(A1)",
        "SUM(OFFSET(A1,0,0,3,1))",
        'CELL("contents")',
        "A1:INDEX(B:B,3)",
        "INDEX(A:A,1):B3",
        "S!A1:S!B2",
        "A1:B2:C3",
        "SUM(A1#)",
        "_xlfn.ANCHORARRAY(A1)",
        "MyMacro(1)",
        "Gone!A1",
        "'S:Gone'!A1",
        "[@Cost]",
        "Costs[[Cost]",
        'GETPIVOTDATA("x",A1)',
        "'half",
        "S:'My Sheet'!A1",
        "A1048577:B2",
        "SUM(S:Größe!Rate)",
    ],
)
def test_what_may_read_anything(formula: str) -> None:
    """Better too much than too little: a result that is not found would be left stale."""
    assert read(formula).anything


@pytest.mark.parametrize(
    ("formula", "names"),
    [
        ("Rate*2", [(None, "Rate")]),
        ("S!Rate", [(0, "Rate")]),
        ("'My Sheet'!Local.rate", [(1, "Local.rate")]),
        ("Rate2026_b", [(None, "Rate2026_b")]),
        ("Größenfaktor", [(None, "Größenfaktor")]),
        ("XFE1", [(None, "XFE1")]),
        ("A1.x", [(None, "A1.x")]),
        ("\\odd", [(None, "\\odd")]),
        ("[0]!Rate", [(None, "Rate")]),
        ("[1]!Rate", []),
    ],
)
def test_names(formula: str, names: list[tuple[int | None, str]]) -> None:
    assert [(found.sheet, found.name) for found in read(formula).names] == names


def test_tables() -> None:
    found = read("SUM(Costs[Net cost])+Costs[[#This Row],[a']b]]*2")
    assert [tuple(table) for table in found.tables] == [("Costs", "Net cost"), ("Costs", "[#This Row],[a']b]")]
    assert not found.anything and not found.areas


@pytest.mark.parametrize("formula", ["TODAY()", "A1*NOW()", "RAND()", "_xlfn.RANDARRAY(2)"])
def test_clocks_read_no_cell(formula: str) -> None:
    assert (read(formula).clock, read(formula).anything) == (True, False)


@pytest.mark.parametrize(
    ("formula", "by", "area"),
    [
        ("A1", (2, 3), (3, 4, 3, 4)),
        ("$A$1", (2, 3), (1, 1, 1, 1)),
        ("A$1", (2, 3), (1, 4, 1, 4)),
        ("A1:$B$9", (2, 1), (3, 2, 9, 2)),
        ("A1:$B$9", (20, 20), (9, 2, 21, 21)),
        ("A:$C", (5, 1), (1, 2, 1048576, 3)),
        ("2:$3", (5, 1), (3, 1, 7, 16384)),
        ("A1", (-1, 0), None),
        ("XFD1", (0, 1), None),
    ],
)
def test_moved(formula: str, by: tuple[int, int], area: tuple[int, ...] | None) -> None:
    """As a formula that was written once for many cells is read in another of them."""
    (reference,) = read(formula).areas
    found = moved(reference, *by)
    assert (tuple(found.area) if found else None) == area


def test_ordered() -> None:
    assert ordered(Reference(0, 0, Rectangle(9, 2, 1, 1))).area == Rectangle(1, 1, 9, 2)


def test_the_lists_of_functions() -> None:
    """Those that read anything are not among the plain ones as seen from outside."""
    assert len(NAMES) > 340
    assert not any(reads_its_arguments(name) for name in ANYTHING)
    assert all(reads_its_arguments(name) for name in CLOCK if name in NAMES)
    assert reads_its_arguments("_xlfn.SOMETHING.NEW")
