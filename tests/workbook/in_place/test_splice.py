"""The one cell that is changed, as bytes: what stood there, what stands there now."""

from __future__ import annotations

from datetime import date
from decimal import Decimal

import pytest
from hypothesis import given
from hypothesis import strategies as st

from quotekit.workbook.in_place.contents import NOTHING, Content, NewValue, content_of
from quotekit.workbook.in_place.sheet_cells import find_cells
from quotekit.workbook.in_place.spans import Rectangle, Span, rectangle_of
from quotekit.workbook.in_place.splice import put_in, with_cells
from quotekit.workbook.package import BadPackage
from tests.workbook.in_place.small_books import a_book, edit, edited, part_of, rows_of

D = Decimal
RICH = "<r><rPr><b/></rPr><t>bo</t></r><r><t>ld</t></r>"


@pytest.mark.parametrize(
    ("before", "value", "after"),
    [
        ('<c r="A1"><v>1</v></c>', D("2.50"), '<c r="A1"><v>2.5</v></c>'),
        ('<c r="A1" s="2"><v>1</v></c>', D("2"), '<c r="A1" s="2"><v>2</v></c>'),
        ('<c r="A1" s="1"/>', D("2"), '<c r="A1" s="1"><v>2</v></c>'),
        ('<c r="A1" s="1" />', D("2"), '<c r="A1" s="1"><v>2</v></c>'),
        ('<c r="A1"></c>', D("2"), '<c r="A1"><v>2</v></c>'),
        ("<c><v>1</v></c>", D("2"), "<c><v>2</v></c>"),
        ('<c r="A1" t="s"><v>0</v></c>', D("2"), '<c r="A1"><v>2</v></c>'),
        ('<c r="A1"><v>1</v></c>', True, '<c r="A1" t="b"><v>1</v></c>'),
        ('<c r="A1" t="b"><v>1</v></c>', False, '<c r="A1" t="b"><v>0</v></c>'),
        ('<c r="A1" t="b" s="1"><v>1</v></c>', D("1"), '<c r="A1" s="1"><v>1</v></c>'),
        ("<c t='e' r='A1' s='1'><v>#N/A</v></c>", D("1"), "<c r='A1' s='1'><v>1</v></c>"),
        ('<c r="A1"><v>1</v></c>', None, '<c r="A1"></c>'),
        ('<c r="A1" s="1" t="s"><v>0</v></c>', None, '<c r="A1" s="1"></c>'),
        ('<c r="A1"><v/></c>', D("3"), '<c r="A1"><v>3</v></c>'),
        ('<c r="A1" t="d"><v>2026-01-01</v></c>', D("3"), '<c r="A1"><v>3</v></c>'),
        (
            '<c r="A1" t="inlineStr"><is><t>a</t><phoneticPr/></is></c>',
            D("3"),
            '<c r="A1"><v>3</v></c>',
        ),
        (
            '<c r="A1"><!-- why --><v>1</v><extLst><ext uri="{B}"/></extLst></c>',
            D("3"),
            '<c r="A1"><!-- why --><v>3</v><extLst><ext uri="{B}"/></extLst></c>',
        ),
        (
            '<c r="A1" t="s"><v>0</v></c>',
            "belt & <hub>",
            '<c r="A1" t="inlineStr"><is><t xml:space="preserve">belt &amp; &lt;hub&gt;</t></is></c>',
        ),
        ('<c r="A1" s="5"><v>1</v></c>', date(2026, 11, 28), '<c r="A1" s="5"><v>46354</v></c>'),
    ],
)
def test_a_cell_that_is_there(before: str, value: NewValue, after: str) -> None:
    """Its style and what it holds beside the value stay; only `t` follows the kind."""
    found = edited(a_book(f'<row r="1">{before}</row>'), {"A1": value})
    assert rows_of(found.data) == f'<row r="1">{after}</row>'


@pytest.mark.parametrize(
    ("before", "cell", "after"),
    [
        ("", "B2", '<row r="2"><c r="B2"><v>7</v></c></row>'),
        ('<row r="2"/>', "B2", '<row r="2"><c r="B2"><v>7</v></c></row>'),
        ('<row r="2" ht="30"></row>', "B2", '<row r="2" ht="30"><c r="B2"><v>7</v></c></row>'),
        ('<row r="1"/><row r="3"/>', "B2", '<row r="1"/><row r="2"><c r="B2"><v>7</v></c></row><row r="3"/>'),
        ('<row r="1"/>', "A9", '<row r="1"/><row r="9"><c r="A9"><v>7</v></c></row>'),
        ('<row r="4"/>', "A2", '<row r="2"><c r="A2"><v>7</v></c></row><row r="4"/>'),
        (
            '<row r="2"><c r="A2"/><c r="D2"/></row>',
            "B2",
            '<row r="2"><c r="A2"/><c r="B2"><v>7</v></c><c r="D2"/></row>',
        ),
        (
            '<row r="2" spans="1:1"><c r="A2"/></row>',
            "D2",
            '<row r="2" spans="1:4"><c r="A2"/><c r="D2"><v>7</v></c></row>',
        ),
        (
            '<row r="2" spans="3:3 5:6"><c r="C2"/></row>',
            "A2",
            '<row r="2" spans="1:6"><c r="A2"><v>7</v></c><c r="C2"/></row>',
        ),
        (
            '<row r="2" spans="1:9"><c r="A2"/></row>',
            "D2",
            '<row r="2" spans="1:9"><c r="A2"/><c r="D2"><v>7</v></c></row>',
        ),
        ("<row><c/></row><row><c/></row>", "B2", '<row><c/></row><row><c/><c r="B2"><v>7</v></c></row>'),
        (
            '<row r="2" s="3" customFormat="1"/>',
            "A2",
            '<row r="2" s="3" customFormat="1"><c r="A2" s="3"><v>7</v></c></row>',
        ),
        ('<row r="2" s="3"/>', "A2", '<row r="2" s="3"><c r="A2"><v>7</v></c></row>'),
        ('<row r="2"/>', "G2", '<row r="2"><c r="G2" s="4"><v>7</v></c></row>'),
    ],
)
def test_a_cell_that_is_not_there(before: str, cell: str, after: str) -> None:
    """Made in its place, with the style that the row or the column has."""
    columns = '<cols><col min="7" max="8" width="9" style="4"/></cols>'
    found = edited(a_book(before, before=columns), {cell: D("7")})
    assert rows_of(found.data) == after


@pytest.mark.parametrize(
    ("used", "cell", "after"),
    [
        ("A1:C3", "B2", "A1:C3"),
        ("A1:C3", "D9", "A1:D9"),
        ("B2", "A1", "A1:B2"),
        ("B2:C3", "E1", "B1:E3"),
        ("A:C", "F9", "A:C"),
    ],
)
def test_the_used_area(used: str, cell: str, after: str) -> None:
    """Widened only where a new cell lies outside; one that is not understood is left."""
    found = edited(a_book('<row r="2"><c r="B2"/></row>', before=f'<dimension ref="{used}"/>'), {cell: D("7")})
    assert f'<dimension ref="{after}"/>' in part_of(found.data)


def test_an_empty_sheet() -> None:
    """The table of cells is one closed tag, and becomes two around the first cell."""
    data = b'<x:worksheet xmlns:x="m"><x:dimension ref="A1"/><x:sheetData a="b" /></x:worksheet>'
    cells = find_cells("S", data, {(2, 3)})
    assert with_cells(cells, {(2, 3): content_of(True)}, {}) == (
        b'<x:worksheet xmlns:x="m"><x:dimension ref="C2:C2"/><x:sheetData a="b">'
        b'<x:row r="2"><x:c r="C2" t="b"><x:v>1</x:v></x:c></x:row></x:sheetData></x:worksheet>'
    )


def test_prefixes() -> None:
    """Those of the sheet, and where a cell has one of its own, that."""
    data = b'<a:s xmlns:a="m" xmlns:b="m"><a:sheetData><a:row r="1"><b:c r="A1"/></a:row></a:sheetData></a:s>'
    cells = find_cells("S", data, {(1, 1), (1, 2)})
    made = with_cells(cells, {(1, 1): content_of(D(1)), (1, 2): content_of("x")}, {})
    assert b'<b:c r="A1"><b:v>1</b:v></b:c><a:c r="B1" t="inlineStr"><a:is><a:t xml:space' in made


@pytest.mark.parametrize(
    ("before", "content", "after"),
    [
        ("<c r='A1'><f>1+1</f><v>2</v></c>", NOTHING, "<c r='A1'><f>1+1</f></c>"),
        ('<c r="A1" t="str"><f>B1</f><v>a</v></c>', NOTHING, '<c r="A1"><f>B1</f></c>'),
        ('<c r="A1" t="str"><f>B1</f><v></v></c>', content_of(D(4)), '<c r="A1"><f>B1</f><v>4</v></c>'),
        ('<c r="A1"><f>B1</f></c>', content_of("a<b"), '<c r="A1" t="str"><f>B1</f><v>a&lt;b</v></c>'),
        ('<c r="A1"><f>B1</f></c>', content_of(""), '<c r="A1" t="str"><f>B1</f><v></v></c>'),
        (
            '<c r="A1" t="e" vm="3"><f>B1</f><v>#VALUE!</v></c>',
            content_of(True),
            '<c r="A1" t="b"><f>B1</f><v>1</v></c>',
        ),
        (
            '<c r="A1" cm="1"><f t="shared" si="0"/><v>1</v></c>',
            content_of(D(2)),
            '<c r="A1" cm="1"><f t="shared" si="0"/><v>2</v></c>',
        ),
        ('<c r="A1"><f/></c>', Content(kind="error", text="#N/A"), '<c r="A1" t="e"><f/><v>#N/A</v></c>'),
        ('<c r="A1"><f>B1</f><v>1</v><extLst/></c>', NOTHING, '<c r="A1"><f>B1</f><extLst/></c>'),
    ],
)
def test_a_stored_result(before: str, content: Content, after: str) -> None:
    """The formula stays as it is written; the value of its value (`vm`) does not outlive it."""
    data = f'<s><sheetData><row r="1">{before}</row></sheetData></s>'.encode()
    made = with_cells(find_cells("S", data, ()), {}, {(1, 1): content})
    assert made == f'<s><sheetData><row r="1">{after}</row></sheetData></s>'.encode()


def test_a_result_of_a_cell_that_an_array_fills() -> None:
    """Only the first cell of an array holds its formula."""
    data = b'<s><sheetData><row r="1"><c r="A1"><f t="array" ref="A1:C1">X</f></c><c r="B1"/><c r="C1"><v>3</v></c></row></sheetData></s>'  # noqa: E501
    cells = find_cells("S", data, ())
    assert sorted(cells.cells) == [(1, 1), (1, 2), (1, 3)]
    made = with_cells(cells, {}, {(1, 2): content_of("b"), (1, 3): NOTHING})
    assert b'<c r="B1" t="str"><v>b</v></c><c r="C1"></c>' in made


@pytest.mark.parametrize(
    "rows",
    [
        '<row r="2"/><row r="1"/>',
        '<row r="1"/><row r="1"/>',
        '<row r="0"/>',
        '<row r="1048577"/>',
        '<row r="1"><c r="B1"/><c r="A1"/></row>',
        '<row r="1"><c r="B1"/><c r="B1"/></row>',
        '<row r="1"><c r="B2"/></row>',
        '<row r="1"><c r="XFE1"/></row>',
        '<row r="1"><c r="b1"/></row>',
        '<c r="A1"/>',
        '<row r="1"><row r="2"><c r="A2"/></row></row>',
        "</sheetData><sheetData>",
    ],
)
def test_a_sheet_that_is_not_followed(rows: str) -> None:
    """Where cells are out of order nobody can say which one is meant."""
    found, problems = edit(a_book(rows), {"A1": D(1)})
    assert found is None
    assert [one.code for one in problems] == ["broken-workbook"]


def test_a_greater_than_sign_within_an_attribute() -> None:
    """It does not end a tag."""
    rows = """<row r="1" x='a>b'><c r="A1" x="c>d" y='"'/><c r="B1"><f x="e>f">1</f><v>1</v></c></row>"""
    found = edited(a_book(rows), {"A1": D(1)})
    assert """<c r="A1" x="c>d" y='"'><v>1</v></c><c r="B1"><f x="e>f">1</f><v>1</v></c>""" in rows_of(found.data)


def test_two_pieces_of_the_same_bytes() -> None:
    with pytest.raises(ValueError, match="same bytes"):
        put_in(b"abcd", [(Span(0, 2), b"x"), (Span(1, 3), b"y")])


def test_a_part_in_another_writing() -> None:
    """UTF-16 is not read; nothing is written into it."""
    text = '<?xml version="1.0" encoding="utf-16"?><worksheet><sheetData/></worksheet>'
    with pytest.raises(BadPackage):
        find_cells("S", text.encode("utf-16"), ())


@given(
    st.sets(st.tuples(st.integers(1, 9), st.integers(1, 9)), max_size=30),
    st.dictionaries(st.tuples(st.integers(1, 11), st.integers(1, 11)), st.integers(-99, 99), max_size=12),
)
def test_any_cells_into_any_sheet(there: set[tuple[int, int]], new: dict[tuple[int, int], int]) -> None:
    """What is there afterwards is what was there and what was put in, each once and in order."""
    cells_in: dict[int, str] = {}
    for row, column in sorted(there):
        cells_in[row] = cells_in.get(row, "") + f'<c r="{name(row, column)}"><v>0</v></c>'
    rows = "".join(f'<row r="{row}">{cells_in[row]}</row>' for row in sorted(cells_in))
    found = edited(a_book(rows), {name(*at): D(value) for at, value in new.items()})
    cells = find_cells("S", part_of(found.data).encode(), {*there, *new}).cells
    assert {at: int(cell.value or "") for at, cell in cells.items()} == dict.fromkeys(there, 0) | new


def name(row: int, column: int) -> str:
    """An address of one letter."""
    return f"{chr(64 + column)}{row}"


@pytest.mark.parametrize(
    ("text", "area"),
    [
        ("B2:D9", Rectangle(2, 2, 9, 4)),
        ("$D$9:B2", Rectangle(2, 2, 9, 4)),
        ("b2", Rectangle(2, 2, 2, 2)),
        ("A1048577", None),
        ("XFE1", None),
        ("A1:B", None),
        ("", None),
    ],
)
def test_areas(text: str, area: Rectangle | None) -> None:
    assert rectangle_of(text) == area
