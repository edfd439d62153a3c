"""A returned workbook as saved: every kind of cell and formula, and packages that must not be read."""

from __future__ import annotations

import zipfile
from decimal import Decimal
from pathlib import Path

import pytest

from quotekit.workbook import returned_cells
from quotekit.workbook.defined_names import area_of
from quotekit.workbook.read_returned import read_returned
from quotekit.workbook.returned_cells import RawCell, RawWorkbook, read_raw
from tests.workbook.raw_workbooks import BOOK, SHEET, STRINGS, number, packed, parts, sheet, strings, write
from tests.workbook.returned import IN_TIME, sent

DTD = '<!DOCTYPE a [<!ENTITY b "bbbbbbbbbb">]>'
ROWS = (
    '<row r="1"><c r="A1" t="s"><v>0</v></c><c r="B1" t="inlineStr"><is><r><t>rich </t></r><r><t>text</t></r>'
    '<rPh sb="0" eb="1"><t>aid</t></rPh></is></c><c r="C1" t="str"><f>A1&amp;"x"</f><v>firstx</v></c></row>'
    '<row r="2"><c r="A2"><v>19.989999999999998</v></c><c r="B2" t="b"><v>1</v></c><c r="C2" t="e"><v>#N/A</v></c>'
    '<c r="D2" s="5"><v>46351</v></c><c r="E2" t="d"><v>2026-11-25</v></c></row>'
    '<row r="3"><c r="A3"><f t="shared" ref="A3:B4" si="0">A2*$D$2</f></c>'
    '<c r="B3"><f t="shared" si="0"/><v>9</v></c></row>'
    '<row r="4"><c r="A4"><f t="shared" si="0"/></c><c r="B4"><f t="array" ref="B4">SUM(A1:A3*2)</f><v>1</v></c>'
    '<c r="C4"><f>TRUE()</f></c><c r="D4"><f aca="false">1/0</f></c></row>'
)


def raw(folder: Path, rows: str = ROWS) -> RawWorkbook:
    found, problems = read_raw(write(folder, rows))
    assert found is not None, problems
    return found


def test_every_kind_of_cell(tmp_path: Path) -> None:
    cells = {at: cell.canonical for at, cell in raw(tmp_path).sheets["S"].items()}
    assert cells == {
        (1, 1): "tfirst", (1, 2): "trich text", (1, 3): '=A1&"x"',
        (2, 1): "n19.99", (2, 2): "b1", (2, 3): "e#N/A", (2, 4): "n46351", (2, 5): "n46351",
        (3, 1): "=A2*D2", (3, 2): "=B2*D2",
        (4, 1): "=A3*D2", (4, 2): "=SUM(A1:A3*2)", (4, 3): "b1", (4, 4): "=1/0",
    }  # fmt: skip


def test_what_cells_show(tmp_path: Path) -> None:
    cells = raw(tmp_path).sheets["S"]
    values = [cells[at].value for at in ((1, 1), (1, 3), (2, 1), (2, 2), (2, 3), (3, 1))]
    assert values == ["first", "firstx", Decimal("19.99"), True, None, None]


@pytest.mark.parametrize("text", ["nan", "inf", "1e999", "1_0", "", "x", "0x1", "1 2"])
def test_a_number_that_is_none(text: str) -> None:
    assert RawCell("n", text).value is None
    assert RawCell("n", text).canonical == f"?{text}"


def test_names_are_those_of_the_workbook(tmp_path: Path) -> None:
    held = parts(ROWS)
    names = (
        '<definedNames><definedName name="one">S!$B$2</definedName>'
        "<definedName name=\"many\">'S'!$A$1:$B$3</definedName>"
        '<definedName name="local" localSheetId="0">S!$A$1</definedName><definedName name="lost">#REF!</definedName>'
        '<definedName name="one">S!$C$9</definedName></definedNames></workbook>'
    )
    held[BOOK] = str(held[BOOK]).replace("</workbook>", names)
    found, _ = read_raw(write(tmp_path, held))
    assert found is not None and found.names == {"one": ("S", 2, 2, 2, 2), "many": ("S", 1, 1, 3, 2)}


@pytest.mark.parametrize(
    "text", ["", "A1", "S!A0", "S!A1:B", "S!B2:A1", "S!XFE1", "1+S!A1", "S!A1,S!B1", "OFFSET(S!A1,0,0)"]
)
def test_what_is_no_area(text: str) -> None:
    assert area_of(text) is None


@pytest.mark.parametrize("part", [SHEET, STRINGS, BOOK, "xl/styles.xml"])
def test_a_document_type_is_refused(part: str, tmp_path: Path) -> None:
    held = parts(ROWS)
    path = write(tmp_path, held | {part: DTD + str(held[part])})
    assert [problem.code for problem in read_raw(path)[1]] == ["dtd"]


@pytest.mark.parametrize(
    ("rows", "code"),
    [
        ('<row r="1"><c r="A2"><v>1</v></c></row>', "broken-workbook"),
        ('<row r="1"><c r="A1"><v>1</v></c><c r="A1"><v>2</v></c></row>', "broken-workbook"),
        ('<row r="2"/><row r="1"/>', "broken-workbook"),
        (f'<row r="1">{number("A1")}</row><row r="1048576">{number("XFD1048576")}</row>', "far-cell"),
        ('<row r="1048577"><c r="A1048577"><v>1</v></c></row>', "cell-out-of-bounds"),
        ('<row r="x"><c><v>1</v></c></row>', "broken-workbook"),
        ("<row r='1'><c r='A1'><v>1</v></c>", "broken-workbook"),
    ],
)
def test_a_sheet_that_cannot_be_trusted_is_refused(rows: str, code: str, tmp_path: Path) -> None:
    found, problems = read_raw(write(tmp_path, rows))
    assert found is None and [problem.code for problem in problems] == [code]


def test_more_cells_than_any_quote_has_are_refused(tmp_path: Path, monkeypatch: pytest.MonkeyPatch) -> None:
    monkeypatch.setattr(returned_cells, "MOST_CELLS", 5)
    assert [problem.code for problem in read_raw(write(tmp_path, ROWS))[1]] == ["too-large"]


def test_a_part_that_unpacks_to_gigabytes_is_refused(tmp_path: Path) -> None:
    path = tmp_path / "bomb.xlsx"
    path.write_bytes(packed(parts(ROWS) | {STRINGS: strings("<t>" + "0" * (30 << 20) + "</t>")}, zipfile.ZIP_DEFLATED))
    assert [problem.code for problem in read_returned(path, IN_TIME)[1]] == ["too-large"]


@pytest.mark.parametrize("data", [b"", b"PK\x03\x04", b"hello", b"\xd0\xcf\x11\xe0\xa1\xb1\x1a\xe1" + b"\0" * 600])
def test_what_is_no_workbook(data: bytes, tmp_path: Path) -> None:
    path = tmp_path / "returned.xlsx"
    path.write_bytes(data)
    assert [problem.code for problem in read_returned(path, IN_TIME)[1]] == ["not-a-workbook"]


def test_a_file_cut_short_anywhere_gives_a_problem(tmp_path: Path) -> None:
    whole = sent(tmp_path).read_bytes()
    path = tmp_path / "cut.xlsx"
    for end in range(0, len(whole), len(whole) // 23):
        path.write_bytes(whole[:end])
        choice, problems = read_returned(path, IN_TIME)
        assert choice is None and problems


def test_a_damaged_byte_gives_a_problem_or_the_same_quote(tmp_path: Path) -> None:
    whole = sent(tmp_path).read_bytes()
    unhurt, _ = read_returned(sent(tmp_path), IN_TIME)
    path = tmp_path / "damaged.xlsx"
    for at in range(11, len(whole), len(whole) // 60):
        path.write_bytes(whole[:at] + bytes([whole[at] ^ 0x55]) + whole[at + 1 :])
        choice, problems = read_returned(path, IN_TIME)
        assert problems and choice in (None, unhurt)


def test_one_long_formula_shared_by_many_cells_is_refused(tmp_path: Path) -> None:
    first = f'<row r="1"><c r="A1"><f t="shared" ref="A1:A2000" si="0">{"A1+" * 2_000}1</f></c></row>'
    rest = "".join(f'<row r="{n}"><c r="A{n}"><f t="shared" si="0"/></c></row>' for n in range(2, 2_000))
    assert [problem.code for problem in read_raw(write(tmp_path, {**parts(), SHEET: sheet(first + rest)}))[1]] == [
        "too-large"
    ]
