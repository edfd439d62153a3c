"""What is read of a sound workbook: values, addresses, formats, and what the sheet hides."""

from __future__ import annotations

import datetime as dt
import random
import zipfile
from collections.abc import Iterator
from decimal import Decimal
from pathlib import Path

import openpyxl
import pytest
import xlsxwriter

from quotekit.problems import Problem
from quotekit.workbook import scan_by_parser
from quotekit.workbook.grid import Grid, Value, read_grid, shown
from tests.workbook.raw_workbooks import (
    BOOK,
    MAIN,
    RELATIONS,
    SHEET,
    STRICT_MAIN,
    STRICT_RELATIONS,
    STRINGS,
    STYLES,
    cells,
    codes,
    number,
    one_cell,
    packed,
    parts,
    read,
    sheet,
    strings,
    style,
    values,
)

ONE_CELL: dict[str, tuple[str, str, Value]] = {
    "a number": ("<v>12.5</v>", "", Decimal("12.5")),
    "a number with its type": ("<v>12.5</v>", 't="n"', Decimal("12.5")),
    "zero": ("<v>0</v>", "", Decimal(0)),
    "a shared text": ("<v>1</v>", 't="s"', "second"),
    "a text in place": ("<is><t>hi</t></is>", 't="inlineStr"', "hi"),
    "a text in place, in pieces": (
        '<is><r><t xml:space="preserve">a </t></r><r><rPr/><t>b</t></r></is>',
        't="inlineStr"',
        "a b",
    ),
    "a text with how it is spoken": ("<is><t>字</t><rPh sb='0' eb='1'><t>ji</t></rPh></is>", 't="inlineStr"', "字"),
    "a text with marks": ("<is><t>5 &lt; 6 &amp; 7</t></is>", 't="inlineStr"', "5 < 6 & 7"),
    "a text that looks like a number": ("<is><t>0417</t></is>", 't="inlineStr"', "0417"),
    "a text that looks like an error": ("<is><t>#N/A</t></is>", 't="inlineStr"', "#N/A"),
    "a formula's text with marks": ("<f>B1</f><v>5 &lt; 6&#10;&#65;&amp;</v>", 't="str"', "5 < 6\nA&"),
    "a text in place with references": ("<is><t>&#65;&#10;B</t></is>", 't="inlineStr"', "A\nB"),
    "yes": ("<v>1</v>", 't="b"', True),
    "no": ("<v>0</v>", 't="b"', False),
    "a formula's number": ("<f>B1*2</f><v>3.5</v>", "", Decimal("3.5")),
    "a formula's text": ("<f>B1</f><v>abc</v>", 't="str"', "abc"),
    "a formula's yes": ("<f>TRUE()</f><v>1</v>", 't="b"', True),
    "an array formula": ('<f t="array" ref="A1:A2">SUM(B1:B2)</f><v>3</v>', "", Decimal(3)),
    "the first of shared formulas": ('<f t="shared" ref="A1:A2" si="0">B1*2</f><v>2</v>', "", Decimal(2)),
    "another of shared formulas": ('<f t="shared" si="0"/><v>4</v>', "", Decimal(4)),
    "a date": ("<v>46096</v>", style("yyyy-mm-dd"), dt.date(2026, 3, 15)),
    "a formula's date": ("<f>TODAY()</f><v>46096</v>", style("yyyy-mm-dd"), dt.date(2026, 3, 15)),
    "the first day": ("<v>1</v>", style("yyyy-mm-dd"), dt.date(1900, 1, 1)),
    "the day after the one that never was": ("<v>61</v>", style("yyyy-mm-dd"), dt.date(1900, 3, 1)),
    "the last day": ("<v>2958465</v>", style("yyyy-mm-dd"), dt.date(9999, 12, 31)),
    "a day and a time": ("<v>46096.5</v>", style("yyyy-mm-dd hh:mm"), dt.datetime(2026, 3, 15, 12)),
    "a time": ("<v>0.0625</v>", style("hh:mm"), dt.time(1, 30)),
    "a duration": ("<v>1.25</v>", style("[h]:mm"), dt.timedelta(hours=30)),
    "a written date": ("<v>2026-03-15</v>", 't="d"', dt.date(2026, 3, 15)),
    "a number in red": ("<v>45000</v>", style("[Red]0.00"), Decimal(45000)),
    "a text with the format of a date": ("<v>0</v>", f't="s" {style("yyyy-mm-dd")}', "first"),
    "a style that is not there": ("<v>5</v>", 's="99"', Decimal(5)),
}


@pytest.mark.parametrize(("inside", "attributes", "expected"), ONE_CELL.values(), ids=ONE_CELL)
def test_each_kind_of_cell_is_read_as_what_it_is(tmp_path: Path, inside: str, attributes: str, expected: Value) -> None:
    """The kind matters as much as the value: 0417 as text is a code, 1 as yes is no quantity."""
    grid, problems = read(tmp_path, one_cell(inside, attributes))
    assert problems == []
    found = values(grid)["A1"]
    assert found == expected and type(found) is type(expected)
    assert cells(grid)["A1"].calculated == ("<f" in inside)


BLANK = [
    (inside, attributes) for inside in ("", "<v/>", "<v></v>") for attributes in ("", 't="str"', 't="s"', style("0%"))
] + [(inside, 't="inlineStr"') for inside in ("<is><t></t></is>", "<is><t> </t></is>", "<is/>", "")]


@pytest.mark.parametrize(("inside", "attributes"), BLANK)
def test_blank_is_blank(tmp_path: Path, inside: str, attributes: str) -> None:
    """A formatted cell, an empty text and a formula's empty text hold nothing, and are no zero."""
    grid, problems = read(tmp_path, one_cell(inside, attributes) + f'<row r="2">{number("A2")}</row>')
    assert problems == [] and values(grid) == {"A2": 1}


def test_any_number_of_blank_cells_is_no_fault(tmp_path: Path, monkeypatch: pytest.MonkeyPatch) -> None:
    """Some programs write an empty value into every cell of a formatted table."""
    monkeypatch.setattr(scan_by_parser, "MOST_FAULTS", 5)
    blanks = "".join(f'<row r="{row}"><c r="A{row}"><v></v></c></row>' for row in range(2, 40))
    grid, problems = read(tmp_path, one_cell("<v>1</v>") + blanks)
    assert problems == [] and values(grid) == {"A1": 1}


def test_a_formula_that_gives_an_empty_text_is_blank(tmp_path: Path) -> None:
    """`=IF(A2="","",A2)` down a whole column is common; its empty results are stored ones."""
    rows = one_cell('<f>IF(B1="","",B1)</f><v></v>', 't="str"') + f'<row r="2">{number("A2")}</row>'
    grid, problems = read(tmp_path, rows)
    assert problems == [] and values(grid) == {"A2": 1}


@pytest.mark.parametrize(
    ("form", "expected"),
    [
        ("0%", "45%"), ("0.00%", "45%"), ("0.0%", "45%"), ('0" %"', "0.45"), ("0\\%", "0.45"), ("[Red]0.00", "0.45"),
        ("General", "0.45"),
    ],
)  # fmt: skip
def test_a_percentage_is_known_by_its_number_format(tmp_path: Path, form: str, expected: str) -> None:
    """0.45 formatted as percent is 45%; a percent sign in quotes is only text beside the number."""
    grid, problems = read(tmp_path, one_cell("<v>0.45</v>", style(form)))
    assert problems == []
    cell = cells(grid)["A1"]
    assert (cell.percent, cell.text, cell.value) == (expected == "45%", expected, Decimal("0.45"))


def test_dates_count_from_1904_where_the_workbook_says_so(tmp_path: Path) -> None:
    """Old workbooks of another system are four years and a day off otherwise."""
    rows = (
        one_cell("<v>44634</v>", style("yyyy-mm-dd"))
        + f'<row r="2"><c r="A2" {style("yyyy-mm-dd")}><v>60</v></c></row>'
    )
    grid, problems = read(tmp_path, parts(rows, date_1904=True))
    assert problems == [] and values(grid) == {"A1": dt.date(2026, 3, 15), "A2": dt.date(1904, 3, 1)}


@pytest.mark.parametrize("shared", [True, False])
def test_texts_in_pieces_with_speech_and_escapes(tmp_path: Path, shared: bool) -> None:
    """Half a cell in bold splits its text; phonetic runs are no part of it; `_x000D_` is a line end."""
    inside = {
        "A1": '<r><t xml:space="preserve">SEAL</t></r><r><rPr><b/></rPr><t>-19</t></r>',
        "B1": '<t>漢字</t><rPh sb="0" eb="1"><t>kan</t></rPh><phoneticPr fontId="1"/>',
        "C1": "<t>one_x000D_&#10;two</t>",
        "D1": "<t>_x005F_x000D_</t>",
        "E1": '<t xml:space="preserve"> two  spaces </t>',
    }
    if shared:
        row = "".join(f'<c r="{at}" t="s"><v>{i}</v></c>' for i, at in enumerate(inside))
        held = parts(f'<row r="1">{row}</row>') | {STRINGS: strings(*inside.values())}
    else:
        row = "".join(f'<c r="{at}" t="inlineStr"><is>{xml}</is></c>' for at, xml in inside.items())
        held = parts(f'<row r="1">{row}</row>')
    grid, problems = read(tmp_path, held)
    assert problems == []
    assert values(grid) == {
        "A1": "SEAL-19", "B1": "漢字", "C1": "one\r\ntwo", "D1": "_x000D_", "E1": " two  spaces ",
    }  # fmt: skip


def test_data_that_begins_in_the_middle_keeps_its_addresses(tmp_path: Path) -> None:
    """A problem that points to the wrong cell is worse than none."""
    rows = f'<row r="3">{number("B3", 1)}{number("D3", 2)}</row><row r="7">{number("C7", 3)}</row>'
    grid, problems = read(tmp_path, rows)
    assert problems == [] and values(grid) == {"B3": 1, "D3": 2, "C7": 3}
    assert grid is not None and list(grid.sheets["S"].rows) == [3, 7]


def test_faults_beside_data_that_begins_in_the_middle(tmp_path: Path) -> None:
    """An emptied cell at the left or the top must not move the others."""
    error = "<v>#N/A</v>"
    rows = f'<row r="3"><c r="B3" t="e">{error}</c></row><row r="4"><c r="C4" t="e">{error}</c>{number("D4", 2)}</row>'
    grid, problems = read(tmp_path, rows)
    assert codes(problems) == [("error-cell", "B3"), ("error-cell", "C4")]
    assert values(grid) == {"D4": 2}


def test_rows_and_cells_without_addresses_count_on(tmp_path: Path) -> None:
    """Addresses may be left out: a cell then follows the one before it."""
    rows = (
        "<row><c><v>1</v></c><c><v>2</v></c></row>"
        '<row r="4"><c r="C4"><v>3</v></c><c><v>4</v></c></row><row><c><v>5</v></c></row>'
    )
    grid, problems = read(tmp_path, rows)
    assert problems == [] and values(grid) == {"A1": 1, "B1": 2, "C4": 3, "D4": 4, "A5": 5}


def test_hidden_and_merged_are_known_and_read(tmp_path: Path) -> None:
    """Hidden rows count, so their numbers are read, and the table can warn."""
    path = tmp_path / "made.xlsx"
    with xlsxwriter.Workbook(str(path)) as book:
        made = book.add_worksheet("S")
        for row in range(4):
            made.write_row(row, 0, [row, row])
        made.set_row(2, None, None, {"hidden": True})
        made.set_column("B:C", None, None, {"hidden": True})
        made.merge_range("D1:E2", "together")
        book.add_worksheet("Hidden").hide()
        very = book.add_worksheet("Very hidden")
        very.very_hidden()
        very.write("A1", "still read")
    grid, problems = read_grid(path)
    assert grid is not None and problems == [] and list(grid.sheets) == ["S", "Hidden", "Very hidden"]
    found = grid.sheets["S"]
    assert found.hidden_rows == {3} and found.hidden_columns == {2, 3} and found.merged == ("D1:E2",)
    assert values(grid)["A3"] == 2 and values(grid)["D1"] == "together" and "E2" not in values(grid)
    assert values(grid, "Very hidden") == {"A1": "still read"}


def test_hidden_columns_that_overlap_or_lie_nowhere(tmp_path: Path) -> None:
    """Ranges may be huge, turned round or repeated without end; each column counts once."""
    ranges = [("2", "3"), ("3", "4"), ("9", "8"), ("0", "0"), ("16384", "99999")] + [("2", "4")] * 500
    columns = "".join(f'<col min="{low}" max="{high}" hidden="1"/>' for low, high in ranges)
    shown_too = '<col min="6" max="7"/><col min="7" max="7" hidden="0"/>'
    text = sheet(one_cell("<v>1</v>"), before=f"<cols>{columns}{shown_too}</cols>")
    grid, problems = read(tmp_path, parts() | {SHEET: text})
    assert grid is not None and problems == []
    assert grid.sheets["S"].hidden_columns == {2, 3, 4, 16384}


def test_an_empty_sheet_and_one_without_cells(tmp_path: Path) -> None:
    for text in (sheet(""), f'<worksheet xmlns="{MAIN}"/>'):
        grid, problems = read(tmp_path, parts() | {SHEET: text})
        assert grid is not None and problems == [] and dict(grid.sheets["S"].rows) == {}


def test_the_strict_form_of_the_format_is_read_too(tmp_path: Path) -> None:
    """Spreadsheets can save under other name spaces that mean the same."""
    held = {
        name: str(part).replace(MAIN, STRICT_MAIN).replace(RELATIONS, STRICT_RELATIONS)
        for name, part in parts(one_cell("<v>0.45</v>", style("0%"))).items()
    }
    grid, problems = read(tmp_path, held)
    assert problems == [] and cells(grid)["A1"].text == "45%"


def test_sheets_come_in_the_order_of_the_workbook(tmp_path: Path) -> None:
    names = ["Parts", "Shop", "größe & Co"]
    named = {name.replace("&", "&amp;"): sheet(one_cell(f"<v>{i}</v>")) for i, name in enumerate(names)}
    grid, problems = read(tmp_path, parts(sheets=named))
    assert grid is not None and problems == [] and list(grid.sheets) == names
    assert [values(grid, name)["A1"] for name in names] == [0, 1, 2]


def test_sheets_that_nobody_wants_are_there_without_cells(tmp_path: Path) -> None:
    """The owner's own sheets and our lists to pick from: whatever stands in them, even what no library could read."""
    path = tmp_path / "book.xlsx"
    spoiled = sheet('<row r="1"><c r="A1"><v>1</v></c></row><row r="1048576"><c r="XFD1048576"><v>1</v></c></row>')
    path.write_bytes(packed(parts(sheets={"Parts": sheet(one_cell("<v>7</v>")), "Far": spoiled})))
    assert read_grid(path)[0] is None
    grid, problems = read_grid(path, lambda name: name == "Parts")
    assert grid is not None and problems == [] and list(grid.sheets) == ["Parts", "Far"]
    assert values(grid, "Parts")["A1"] == 7 and not grid.sheets["Far"].rows


SHOWN: list[tuple[Value, bool, str]] = [
    (Decimal("12.50"), False, "12.50"),
    (Decimal("1E+3"), False, "1000"),
    (Decimal("0.075"), True, "7.5%"),
    (Decimal(1), True, "100%"),
    (True, False, "TRUE"),
    (False, False, "FALSE"),
    ("SEAL-19", False, "SEAL-19"),
    (dt.date(2026, 3, 15), False, "2026-03-15"),
]


@pytest.mark.parametrize(("value", "percent", "expected"), SHOWN)
def test_the_text_of_a_cell_is_what_the_owner_sees(value: Value, percent: bool, expected: str) -> None:
    assert shown(value, percent=percent) == expected


def test_two_libraries_agree_on_a_workbook_of_every_kind(tmp_path: Path) -> None:
    """A second opinion: openpyxl reads the same 400 cells, at the same addresses."""
    path = tmp_path / "made.xlsx"
    draw = random.Random(7)
    with xlsxwriter.Workbook(str(path)) as book:
        dates, percent = book.add_format({"num_format": "yyyy-mm-dd"}), book.add_format({"num_format": "0%"})
        made = book.add_worksheet("S")
        for row in range(2, 42):
            for column in range(3, 13):
                kind = draw.randrange(5)
                if kind == 0:
                    made.write_number(row, column, draw.randrange(10**6) / 100)
                elif kind == 1:
                    made.write_string(row, column, f"CODE-{draw.randrange(50)}")
                elif kind == 2:
                    made.write_datetime(row, column, dt.date(2020, 1, 1) + dt.timedelta(draw.randrange(3000)), dates)
                elif kind == 3:
                    made.write_number(row, column, draw.randrange(200) / 100, percent)
    grid, problems = read_grid(path)
    assert problems == []
    other = openpyxl.load_workbook(path, data_only=True)["S"]
    told = {cell.coordinate: cell for row in other.iter_rows() for cell in row if cell.value is not None}
    found = cells(grid)
    assert found.keys() == told.keys() and len(found) > 200
    for at, cell in found.items():
        theirs = told[at].value
        theirs = theirs.date() if isinstance(theirs, dt.datetime) else theirs
        assert cell.value == (Decimal(str(theirs)) if isinstance(theirs, int | float) else theirs), at
        assert cell.percent == ("%" in told[at].number_format), at


def good_workbook() -> dict[str, str]:
    """A small workbook with a cell of each kind."""
    rows = (
        '<row r="1"><c r="A1" t="s"><v>0</v></c><c r="B1" t="s"><v>1</v></c></row>'
        f'<row r="2">{number("A2", "19.99")}<c r="B2" {style("0%")}><v>0.45</v></c><c r="C2" t="b"><v>1</v></c></row>'
        f'<row r="3" hidden="1"><c r="A3" {style("yyyy-mm-dd")}><v>46096</v></c>'
        '<c r="C3" t="inlineStr"><is><t>in place</t></is></c><c r="D3"><f>A2*2</f><v>39.98</v></c></row>'
    )
    return {name: str(part) for name, part in parts(rows).items()}


def outcome(path: Path) -> tuple[Grid | None, list[Problem]]:
    """Reading ends with a grid or with problems that say something; anything else fails the test."""
    grid, problems = read_grid(path)
    codes(problems)
    assert grid is not None or problems
    return grid, problems


def spoiled_bytes(data: bytes, draw: random.Random) -> bytes:
    """A file cut short, or with some bytes changed, taken out or repeated."""
    held = bytearray(data)
    way = draw.randrange(4)
    at = draw.randrange(len(held))
    if way == 0:
        return bytes(held[:at])
    if way == 1:
        del held[at : at + draw.randrange(1, 40)]
    elif way == 2:
        held[at:at] = held[at : at + draw.randrange(1, 40)]
    else:
        for _ in range(draw.randrange(1, 6)):
            held[draw.randrange(len(held))] = draw.randrange(256)
    return bytes(held)


PIECES = [
    "<v>", "</v>", "<c>", "</c>", "<f>", '<f t="shared" si="9"/>', "<row>", "</row>", 't="e"', 't="s"', 't="str"',
    ' r="A1"', ' r="XFD1048576"', ' r="ZZZ9"', ' s="1"', ' s="-1"', "<!-- -->", "<![CDATA[", "]]>", "<?x y?>", "&#49;",
    "&lt;", "&x;", "NaN", "1E+400", "-1", "99999999999", "\ufeff", "é", "\t", "<sheetData>", "</sheetData>", "<is>",
    '<mergeCell ref="B2:A1"/>', '<col min="1" max="99999" hidden="1"/>', " ", '"', "<", ">", "0", "9",
]  # fmt: skip


def spoiled_xml(text: str, draw: random.Random) -> str:
    """A part with pieces of markup put in, or some of its text taken out or repeated."""
    for _ in range(draw.randrange(1, 4)):
        at = draw.randrange(len(text) + 1)
        way = draw.randrange(3)
        length = draw.randrange(1, 30)
        if way == 0:
            text = text[:at] + draw.choice(PIECES) + text[at:]
        elif way == 1:
            text = text[:at] + text[at + length :]
        else:
            text = text[:at] + text[at : at + length] + text[at:]
    return text


def test_damaged_files_give_problems_and_nothing_else(tmp_path: Path) -> None:
    """A bad disk, a broken download: whatever the bytes, no traceback and no end of the process."""
    draw, path, refused = random.Random(41), tmp_path / "book.xlsx", 0
    good = packed(good_workbook())
    for _ in range(300):
        path.write_bytes(spoiled_bytes(good, draw))
        refused += outcome(path)[0] is None
    assert refused > 150


def changed_parts(draw: random.Random, times: int) -> Iterator[dict[str, str]]:
    """Workbooks with one part spoiled, packed anew so that every checksum is right."""
    names = [SHEET] * 5 + [STRINGS, STYLES, BOOK, "xl/_rels/workbook.xml.rels", "_rels/.rels", "[Content_Types].xml"]
    for _ in range(times):
        held = good_workbook()
        name = draw.choice(names)
        yield held | {name: spoiled_xml(held[name], draw)}


def test_damaged_parts_give_problems_and_nothing_else(tmp_path: Path) -> None:
    """What another program writes wrong passes every checksum; the cells must still be right or reported."""
    read_well = 0
    for held in changed_parts(random.Random(43), 300):
        path = tmp_path / "book.xlsx"
        path.write_bytes(packed(held, zipfile.ZIP_STORED))
        read_well += outcome(path)[0] is not None
    assert read_well > 20


def test_damaged_numbers_are_read_as_written_or_reported(tmp_path: Path) -> None:
    """No change to the text of a number may give another number in silence: Python's float is the second opinion."""
    draw, path = random.Random(47), tmp_path / "book.xlsx"
    for _ in range(300):
        text = spoiled_xml("19.99", draw)
        path.write_bytes(packed(parts(one_cell(f"<v>{text}</v>")), zipfile.ZIP_STORED))
        grid, problems = outcome(path)
        if grid is None or problems or not values(grid):
            assert problems or not text.strip(), text
            continue
        assert values(grid)["A1"] == Decimal(format(float(text), ".15g")), text
