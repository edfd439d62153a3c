"""Cells found by pattern are what a parser finds: the same facts, the same refusals, the same bytes for the library."""

from __future__ import annotations

import zipfile
from pathlib import Path
from unittest import mock

import pytest
from hypothesis import example, given, settings
from hypothesis import strategies as st

from quotekit.workbook import sheet_scan
from quotekit.workbook.number_formats import ShownStyles
from quotekit.workbook.ordinary_cells import NotOrdinary, ordinary_rows, table_of_cells
from quotekit.workbook.package import BadPackage
from quotekit.workbook.sheet_facts import ScanRules
from quotekit.workbook.sheet_scan import scan_sheet
from tests.recalculation.examples import EXAMPLES

RULES = ScanRules(styles=ShownStyles(percent=frozenset({0, 3}), dates=frozenset({2})), strings=5)
KINDS = st.sampled_from(["", "", *(f' t="{kind}"' for kind in "s n str inlineStr b e d x".split())])
STYLES = st.sampled_from(["", ' s="0"', ' s="1"', ' s="2"', ' s="3"'])
ODD_STYLES = st.sampled_from([' s="03"', ' s="1" s="2"', ' s=""', ' s="-1"', " s='1'"])
RAW = st.sampled_from("0 4 7 12.5 5. .5 -3 46000.25 60 2026-03-15 true 1 a Größe 123456789012345".split())
ODD_RAW = st.sampled_from(
    [
        *". 1e3 1E400 1234567890123456 #N/A ² ٣ +4 5.5.5 -0 &#52; ]]> \ufffe \x7f".split(),
        *["", " 4", "1 &lt; 2", "a\nb", "a\r\nb", "x" * 450],
    ]
)
ADDRESSES = ["A1", "C1", "A2", "AA2", "XFE1", "A01", "a1", "D2000", "A", "1"]
FORMULAS = ["", "", "<f>A1&gt;2</f>", '<f t="shared" ref="A1:B2" si="0"/>', '<f aca="false">1</f>']
ODD_FORMULAS = ["<f><b/></f>", '<f a="1"/>', "<f>&#52;</f>", "<f/><f/>", "<f>]]></f>"]
MORE = ["", ' spans="1:3"', ' hidden="1"', ' ht="15" x14ac:dyDescent="0.25"']
ODD_MORE = [' ht="15" ht="15"', " a='1'", ' r="2"', ' a="&lt;"', ' a="1"b="2"', " "]
OTHERS = st.sampled_from(
    ["<v/>", "<v />", "<is/>", "<!-- -->", "<![CDATA[1]]>", "<extLst/>", " ", "<is><r><t>a</t></r></is>"]
)


def seldom(often: st.SearchStrategy[str], odd: st.SearchStrategy[str]) -> st.SearchStrategy[str]:
    """Mostly what is usual, so that whole sheets are."""
    return st.integers(0, 11).flatmap(lambda dice: odd if dice == 0 else often)


@st.composite
def cells(draw: st.DrawFn, usual: str) -> str:
    """A cell at its usual address or at another."""
    address = draw(seldom(st.just(usual), st.sampled_from(ADDRESSES)))
    begun = f'<c r="{address}"{draw(seldom(STYLES, ODD_STYLES))}{draw(KINDS)}'
    if draw(st.integers(0, 5)) == 0:
        return begun + draw(st.sampled_from(["/>", " />"]))
    formula = draw(seldom(st.sampled_from(FORMULAS), st.sampled_from(ODD_FORMULAS)))
    raw = draw(seldom(RAW, ODD_RAW))
    text = draw(st.sampled_from([f"<is><t>{raw}</t></is>", f'<is><t xml:space="preserve">{raw}</t></is>']))
    value = draw(st.sampled_from([f"<v>{raw}</v>", f"<v>{raw}</v>", text, "<v/>", ""]))
    odd = draw(st.sampled_from([value + formula, formula + value + value, formula + value + draw(OTHERS)]))
    return f"{begun}>{draw(seldom(st.just(formula + value), st.just(odd)))}</c>"


@st.composite
def rows(draw: st.DrawFn, usual: int) -> str:
    """A row with its usual number or another one."""
    number = draw(seldom(st.just(str(usual)), st.sampled_from(["1", "01", "x", "2000", "1048577"])))
    more = draw(seldom(st.sampled_from(MORE), st.sampled_from(ODD_MORE)))
    if draw(st.integers(0, 9)) == 0:
        return f'<row r="{number}"{more}{draw(st.sampled_from(["/>", " />"]))}'
    letters = draw(st.lists(st.sampled_from(["A", "B", "C", "D", "AA", "XFD"]), max_size=4, unique=True))
    inside = "".join(draw(cells(f"{letter}{number}")) for letter in sorted(letters, key=lambda one: (len(one), one)))
    return f'<row r="{number}"{more}>{inside}</row>{draw(st.sampled_from(["", " ", chr(10)]))}'


@st.composite
def tables(draw: st.DrawFn) -> str:
    """The inside of a table of cells."""
    numbers = sorted(draw(st.sets(st.sampled_from([1, 2, 3, 4, 2000]), max_size=3)))
    return "".join(draw(rows(number)) for number in numbers)


def sheet(inside: str, before: str = "", after: str = "") -> bytes:
    return f"<worksheet>{before}<sheetData>{inside}</sheetData>{after}</worksheet>".encode()


def by_pattern(data: bytes) -> bool:
    """Whether the pattern takes the whole sheet."""
    try:
        found = table_of_cells(data)
        list(ordinary_rows(data.decode("latin-1"), found.begin, found.end))
    except NotOrdinary:
        return False
    return True


def told(data: bytes) -> tuple[object, ...]:
    """What a scan says, or why it refuses."""
    try:
        facts, readable = scan_sheet("book.xlsx", "Parts", "sheet1.xml", data, RULES)
    except BadPackage as fault:
        return fault.code, str(fault), fault.remedy, fault.cell
    rows = range(1, 2100)
    shown = [(facts.percent.columns_of(row), facts.calculated.columns_of(row)) for row in rows]
    return (
        facts.faults,
        shown,
        facts.hidden_rows,
        facts.hidden_columns,
        facts.merged,
        facts.cells,
        facts.values,
        readable,
    )


def told_by_the_parser(data: bytes) -> tuple[object, ...]:
    with mock.patch.object(sheet_scan, "table_of_cells", side_effect=NotOrdinary):
        return told(data)


TELLING = {
    "a text, a percentage, a short number": 'A1" t="s"><v>1</v>|B1" s="3"><v>4</v>|C1"><v>5.</v>',
    "a style that is not said": 'A1"><v>0.5</v>',
    "a text that is not there": 'A1" t="s"><v>5</v>',
    "no text": 'A1" t="inlineStr"><is><t></t></is>',
    "other letters": 'A1" t="inlineStr"><is><t>Größe</t></is>',
    "a formula without a result": 'A1"><f>1</f><v/>',
    "a formula with one": 'A1"><f>1</f><v>5</v>|B1" t="s"><f>1</f><v>1</v>',
    "a text and a value": 'A1" t="inlineStr"><v>1</v><is><t>a</t></is>',
    "a day that never was": 'A1" s="2"><v>60</v>',
    "too many digits": 'A1"><v>1234567890123456</v>',
    "a cell twice": 'A1"><v>5</v>|A1"><v>6</v>',
    "a cell of another row": 'A1"><v>5</v>|B2"><v>6</v>',
    "an error": 'A1" t="e"><v>#N/A</v>|B1"><v>1e3</v>',
}


@pytest.mark.parametrize("written", TELLING.values(), ids=TELLING.keys())
def test_cells_that_tell_the_rules_apart(written: str) -> None:
    """Also in a second row, whose columns are known, and beside a character that is written by its number."""
    cells = "".join(f'<c r="{cell}</c>' for cell in written.split("|"))
    rows = f'<row r="1">{cells}</row>'
    again = f'<row r="1">{cells.replace("2", "1")}</row><row r="2"><c r="A2"><v>1</v></c></row><row r="3">{cells}</row>'
    for data in (sheet(rows), sheet(again), sheet(rows, after='<v a="&#10;"/>')):
        assert told(data) == told_by_the_parser(data)


def test_cells_far_apart_are_refused_alike() -> None:
    far = (
        '<row r="1"><c r="A1"><v>1</v></c><c r="XFD1"><v>1</v></c></row><row r="2000"><c r="XFD2000"><v>1</v></c></row>'
    )
    assert told(sheet(far)) == told_by_the_parser(sheet(far)) and told(sheet(far))[0] == "far-cell"
    near = far.replace("A1", "XFC1")
    assert told(sheet(near)) == told_by_the_parser(sheet(near)) and len(told(sheet(near))) == 8


@settings(max_examples=600, deadline=None)
@given(tables())
@example('<row r="1"><c r="A1" t="s"><v>1</v></c><c r="B1" s="3"><v>4</v></c><c r="C1"><v>5.</v></c></row>')
@example('<row r="1"><c r="A1"><v>5</v></c></row><row r="2"><c r="A1"><v>6</v></c></row>')
@example('<row r="1" spans="1:2" spans="1:2"><c r="A1"><v>5</v></c></row>')
def test_random_rows(inside: str) -> None:
    assert told(sheet(inside)) == told_by_the_parser(sheet(inside))


@pytest.mark.parametrize(
    ("before", "after"),
    [
        ("", '<mergeCells><mergeCell ref="A1:B1"/></mergeCells>'),
        ('<cols><col min="2" max="3" hidden="1"/></cols>', ""),
        ("<!-- <sheetData> -->", ""),
        ("", '<!--<sheetData><row r="1"><c r="B1"><v>5</v></c></row></sheetData>-->'),
        ("", "<sheetData/>"),
        ("", "</x>"),
        ("<a>", "</b></a>"),
        ("\ud7ff\ufffe", ""),
        ("<?a <sheetData>?>", ""),
        ("", '<v a="&#10;"/>'),
    ],
)
def test_what_is_around_the_table_of_cells(before: str, after: str) -> None:
    data = sheet('<row r="1"><c r="A1"><v>5</v></c></row>', before, after)
    assert told(data) == told_by_the_parser(data)


@settings(max_examples=150, deadline=None)
@given(st.data())
def test_a_sheet_with_a_byte_changed(data: st.DataObject) -> None:
    """Cut, doubled or exchanged anywhere in the parts of a real shop book."""
    whole = _parts_sheet()
    at = data.draw(st.integers(0, len(whole) - 1))
    length = data.draw(st.sampled_from([0, 1, 3]))
    other = data.draw(
        st.sampled_from([b"", b"<", b'"', b"&", b"\x00", b"\xff", b"1", b"s", b"/", b" ", whole[at : at + 7]])
    )
    changed = whole[:at] + other + whole[at + length :]
    assert told(changed) == told_by_the_parser(changed)


def test_what_spreadsheets_and_libraries_write_is_taken_by_pattern() -> None:
    """Else a sheet is read slowly and nobody notices."""
    with zipfile.ZipFile(_book()) as package:
        sheets = [package.read(name) for name in package.namelist() if name.startswith("xl/worksheets/sheet")]
    assert len(sheets) > 20 and all(map(by_pattern, sheets))
    written = {
        "XlsxWriter": '<row r="1" spans="1:3" ht="27.75" customHeight="1"><c r="A1" s="3" t="s"><v>2</v></c></row>',
        "openpyxl": '<row r="1"><c r="A1" s="26" t="inlineStr"><is><t>a &amp; b</t></is></c><c r="B1" s="2" /></row>',
        "LibreOffice": '<row r="1" ht="12.8"><c r="A1" s="0" t="n"><f aca="false">1+1</f><v>2</v></c></row>',
        "Excel": '<row r="1" x14ac:dyDescent="0.2"><c r="B1" t="str"><f>A1&amp;"x"</f><v>x</v></c></row>',
    }
    assert [name for name, inside in written.items() if not by_pattern(sheet(inside))] == []


def _book() -> Path:
    return EXAMPLES[1].parent / "shop book.xlsx"


def _parts_sheet() -> bytes:
    with zipfile.ZipFile(_book()) as package:
        return package.read("xl/worksheets/sheet8.xml")
