"""What the guard refuses, and which cells it reports: nothing wrong is ever read as blank or as another value."""

from __future__ import annotations

import subprocess
import sys
from pathlib import Path

import pytest
import xlsxwriter

from quotekit.problems import Problem
from quotekit.workbook import guard
from quotekit.workbook.grid import read_grid
from tests.workbook.raw_workbooks import (
    BOOK,
    BOOK_RELATIONS,
    MAIN,
    RELATIONS,
    SHEET,
    STRINGS,
    STYLES,
    Part,
    codes,
    number,
    one_cell,
    parts,
    read,
    sheet,
    strings,
    style,
    values,
    write,
)

DTD = '<!DOCTYPE a [<!ENTITY b "bbbbbbbbbb"><!ENTITY c "&b;&b;&b;&b;">]>'
TEXT = one_cell("<v>0</v>", 't="s"')


def refused(folder: Path, of: dict[str, Part] | str) -> Problem:
    """The one problem a whole workbook is refused with."""
    grid, problems = read(folder, of)
    assert grid is None and len(problems) == 1, problems
    codes(problems)
    return problems[0]


def changed(name: str, old: str, new: str, rows: str = TEXT) -> dict[str, Part]:
    """A workbook with one text of a part replaced."""
    held = parts(rows)
    whole = str(held[name])
    assert old in whole
    return held | {name: whole.replace(old, new, 1)}


@pytest.mark.parametrize("name", [SHEET, STRINGS, STYLES, BOOK, BOOK_RELATIONS, "_rels/.rels"])
def test_a_document_type_is_refused_in_every_part_that_is_read(tmp_path: Path, name: str) -> None:
    """Entities can grow a hundred bytes to gigabytes or fetch a file; no spreadsheet writes them."""
    held = parts(TEXT)
    problem = refused(tmp_path, held | {name: DTD + str(held[name])})
    assert problem.code == "dtd" and "Save it" in problem.remedy


@pytest.mark.parametrize("name", [SHEET, STRINGS, STYLES, BOOK, BOOK_RELATIONS, "_rels/.rels"])
@pytest.mark.parametrize("way", ["cut short", "no markup", "gone", "empty", "UTF-16", "Latin-1"])
def test_a_part_that_cannot_be_read_refuses_the_workbook(tmp_path: Path, name: str, way: str) -> None:
    """The reading library takes UTF-16 for nothing at all: such a sheet would be read as empty."""
    held = parts(TEXT)
    whole = str(held[name])
    latin = '<?xml version="1.0" encoding="ISO-8859-1"?>' + whole.replace("first", "größe")
    spoiled: dict[str, Part | None] = {
        "cut short": whole[:-9],
        "no markup": "Part;Cost",
        "gone": None,
        "empty": "",
        "UTF-16": whole.encode("utf-16"),
        "Latin-1": latin.encode("latin-1"),
    }
    left = {key: part for key, part in (held | {name: spoiled[way]}).items() if part is not None}
    assert refused(tmp_path, left).code in ("broken-workbook", "not-a-workbook")


def test_utf_16_without_a_mark_is_no_blank_sheet(tmp_path: Path) -> None:
    """A declaration in UTF-16 may come without the mark at its beginning."""
    for encoding in ("utf-16-le", "utf-16-be"):
        text = '<?xml version="1.0" encoding="UTF-16"?>' + sheet(one_cell("<v>5</v>"))
        assert refused(tmp_path, parts() | {SHEET: text.encode(encoding)}).code == "broken-workbook"


BROKEN_FRAMES: dict[str, tuple[str, str, str]] = {
    "a sheet without a relation": (BOOK, 'r:id="s1"', 'r:id="s9"'),
    "a sheet whose part is not there": (BOOK_RELATIONS, "sheet1.xml", "sheet9.xml"),
    "strings that are not there": (BOOK_RELATIONS, "sharedStrings.xml", "gone.xml"),
    "styles that are not there": (BOOK_RELATIONS, "styles.xml", "gone.xml"),
    "a workbook part that is not there": ("_rels/.rels", BOOK, "xl/gone.xml"),
    "no workbook part at all": ("_rels/.rels", '/officeDocument"', '/other"'),
    "a binary workbook": ("_rels/.rels", BOOK, "xl/workbook.bin"),
    "two relations of one name": (BOOK_RELATIONS, 'Id="f"', 'Id="s1"'),
    "two sheets of one name": (BOOK, "</sheets>", '<sheet name="S" sheetId="2" r:id="s1"/></sheets>'),
}


@pytest.mark.parametrize(("name", "old", "new"), BROKEN_FRAMES.values(), ids=BROKEN_FRAMES)
def test_frames_that_do_not_hold_together(tmp_path: Path, name: str, old: str, new: str) -> None:
    """A workbook whose parts do not find each other is not half read."""
    assert refused(tmp_path, changed(name, old, new)).code in ("broken-workbook", "not-a-workbook")


def test_strings_and_styles_elsewhere_are_read_right_or_refused(tmp_path: Path) -> None:
    """The reading library looks under fixed names: a planted part there must not take the place of the right one."""
    for name, rows in ((STRINGS, TEXT), (STYLES, one_cell("<v>45000</v>", style("yyyy-mm-dd")))):
        good = values(read(tmp_path, rows)[0])
        held = parts(rows)
        planted = strings("<t>planted</t>") if name == STRINGS else f'<styleSheet xmlns="{MAIN}"/>'
        moved = changed(BOOK_RELATIONS, name.partition("/")[2], "elsewhere.xml", rows)
        grid, problems = read(tmp_path, moved | {"xl/elsewhere.xml": held[name], name: planted})
        assert problems or values(grid) == good


OUT_OF_BOUNDS = [
    '<row r="1"><c r="XFE1"><v>1</v></c></row>',
    '<row r="1"><c r="ZZZ1"><v>1</v></c></row>',
    '<row r="1048577"><c r="A1048577"><v>1</v></c></row>',
    '<row r="9999999"><c r="A9999999"><v>1</v></c></row>',
    '<row r="1"><c r="A0"><v>1</v></c></row>',
    '<row r="1"><c r="AAAA1"><v>1</v></c></row>',
    '<row r="1"><c r="A99999999999999999999"><v>1</v></c></row>',
    '<row r="1048576"><c r="A1048576"><v>1</v></c></row><row><c><v>1</v></c></row>',
]


@pytest.mark.parametrize("rows", OUT_OF_BOUNDS)
def test_cells_that_no_spreadsheet_has(tmp_path: Path, rows: str) -> None:
    problem = refused(tmp_path, rows)
    assert problem.code == "cell-out-of-bounds" and problem.place.sheet == "S"


BROKEN_SHEETS: dict[str, str] = {
    "rows out of order": f'<row r="2">{number("A2")}</row><row r="1">{number("A1")}</row>',
    "a row twice": f'<row r="1">{number("A1")}</row><row r="1">{number("B1")}</row>',
    "a cell twice": f'<row r="1">{number("A1", 1)}{number("A1", 2)}</row>',
    "cells out of order": f'<row r="1">{number("B1")}{number("A1")}</row>',
    "a cell in another row": f'<row r="1">{number("A2")}</row>',
    "a row of no number": f'<row r="x">{number("A1")}</row>',
    "row 0": f'<row r="0">{number("A1")}</row>',
    "row -1": f'<row r="-1">{number("A1")}</row>',
    "an address of no letters": '<row r="1"><c r="1"><v>1</v></c></row>',
    "an address with signs": '<row r="1"><c r="$A$1"><v>1</v></c></row>',
    "an empty address": '<row r="1"><c r=""><v>1</v></c></row>',
    "a range as an address": '<row r="1"><c r="A1:B2"><v>1</v></c></row>',
    "a cell without a row": number("A1"),
    "a cell in a cell": '<row r="1"><c r="A1"><c r="B1"><v>7</v></c></c></row>',
    "a row in a row": f'<row r="1">{number("A1")}<row r="2">{number("A2")}</row></row>',
    "an address in other digits": '<row r="1"><c r="A١"><v>1</v></c></row>',
}


@pytest.mark.parametrize("rows", BROKEN_SHEETS.values(), ids=BROKEN_SHEETS)
def test_sheets_that_hold_one_cell_twice_or_out_of_order(tmp_path: Path, rows: str) -> None:
    """Programs differ in which of two cells they show, so none of them is priced."""
    grid, problems = read(tmp_path, rows)
    assert {code for code, _ in codes(problems)} <= {"broken-workbook", "cell-out-of-bounds"}
    assert problems or values(grid) in ({"A1": 1}, {"B1": 7}, {"A1": 1, "A2": 1}), values(grid)


FAR: dict[str, tuple[str, str]] = {
    "two corners": (f'<row r="1">{number("A1")}</row><row r="1048576">{number("XFD1048576")}</row>', "XFD1048576"),
    "far to the right": (
        "".join(f'<row r="{row}">{number(f"A{row}")}</row>' for row in range(1, 2_000))
        + f'<row r="2000">{number("XFD2000")}</row>',
        "XFD2000",
    ),
    "far below": (
        f'<row r="1">{"".join(number(f"{letter}1") for letter in "ABCDEFGHIJKLMNOP")}</row>'
        f'<row r="1000000">{number("A1000000")}</row>',
        "A1000000",
    ),
}


@pytest.mark.parametrize(("rows", "cell"), FAR.values(), ids=FAR)
def test_cells_far_outside_the_data(tmp_path: Path, rows: str, cell: str) -> None:
    """The reading library takes 32 bytes for each cell of the used rectangle, and aborts the process on too many."""
    problem = refused(tmp_path, rows)
    assert problem.code == "far-cell" and cell in problem.message + problem.place.cell


def test_a_far_cell_never_aborts_the_process(tmp_path: Path) -> None:
    """An abort cannot be caught, so this is run in a process of its own, which must end well."""
    path = write(tmp_path, FAR["two corners"][0])
    program = "import sys; from quotekit.workbook.grid import read_grid; print(read_grid(sys.argv[1])[1][0].code)"
    done = subprocess.run([sys.executable, "-c", program, str(path)], capture_output=True, text=True, check=False)
    assert (done.returncode, done.stdout.strip()) == (0, "far-cell"), done.stderr


def test_honest_sheets_may_be_sparse(tmp_path: Path) -> None:
    """One note at the very bottom, a formatted but empty far cell, a wrong dimension: none of them does harm."""
    rows = f'<row r="1">{number("A1")}</row><row r="1048576"><c r="XFD1048576" s="1"/></row>'
    dimension = {SHEET: sheet(rows, before='<dimension ref="A1:XFD1048576"/>')}
    grid, problems = read(tmp_path, parts() | dimension)
    assert problems == [] and values(grid) == {"A1": 1}
    bottom = f'<row r="1">{number("A1")}</row><row r="1048576">{number("A1048576", 2)}</row>'
    grid, problems = read(tmp_path, bottom)
    assert problems == [] and values(grid) == {"A1": 1, "A1048576": 2}


FAULTY_CELLS: dict[str, tuple[str, str, set[str]]] = {
    "an error, typed": ("<v>#N/A</v>", 't="e"', {"error-cell"}),
    "an error from a formula": ("<f>1/0</f><v>#DIV/0!</v>", 't="e"', {"error-cell"}),
    "an error without its name": ("<v></v>", 't="e"', {"error-cell"}),
    "an error without a value": ("<f>NA()</f>", 't="e"', {"error-cell", "no-stored-result"}),
    "a formula never computed": ("<f>1+1</f>", "", {"no-stored-result"}),
    "a formula with an empty result": ("<f>1+1</f><v></v>", "", {"no-stored-result"}),
    "a formula with a closed result": ("<f>1+1</f><v/>", "", {"no-stored-result"}),
    "a text formula never computed": ("<f>A2</f>", 't="str"', {"no-stored-result"}),
    "a shared formula never computed": ('<f t="shared" si="0"/>', "", {"no-stored-result"}),
    "an array formula never computed": ('<f t="array" ref="A1">SUM(B1:B9)</f>', "", {"no-stored-result"}),
    "a yes/no formula never computed": ("<f>TRUE()</f>", 't="b"', {"no-stored-result"}),
    "a text that is not there": ("<v>2</v>", 't="s"', {"broken-workbook"}),
    "a text of a negative number": ("<v>-1</v>", 't="s"', {"broken-workbook"}),
    "a text of a huge number": ("<v>99999999999999999999</v>", 't="s"', {"broken-workbook"}),
    "a text by a word": ("<v>first</v>", 't="s"', {"broken-workbook"}),
    "a text by other digits": ("<v>١</v>", 't="s"', {"broken-workbook"}),
    "a text by a character reference": ("<v>&#48;</v>", 't="s"', {"broken-workbook"}),
    "yes by a character reference": ("<v>&#x31;</v>", 't="b"', {"broken-workbook"}),
    "a number with a character reference": ("<v>1&#50;</v>", "", {"broken-workbook"}),
    "an unknown type": ("<v>2</v>", 't="number"', {"broken-workbook"}),
    "an empty type": ("<v>2</v>", 't=""', {"broken-workbook"}),
    "a type in capitals": ("<v>2</v>", 't="N"', {"broken-workbook"}),
    "neither yes nor no": ("<v>2</v>", 't="b"', {"broken-workbook"}),
    "a number that is none": ("<v>abc</v>", "", {"broken-workbook"}),
    "a number with a comma": ("<v>1,5</v>", "", {"broken-workbook"}),
    "a number with underscores": ("<v>1_000</v>", "", {"broken-workbook"}),
    "a number in other digits": ("<v>١٢</v>", "", {"broken-workbook"}),
    "a number in hexadecimal": ("<v>0x10</v>", "", {"broken-workbook"}),
    "a number with spaces": ("<v> 12 </v>", "", {"broken-workbook"}),
    "not a number": ("<v>NaN</v>", "", {"broken-workbook", "too-many-digits"}),
    "infinity": ("<v>INF</v>", "", {"broken-workbook", "too-many-digits"}),
    "more than the largest number": ("<v>1E+400</v>", "", {"too-many-digits"}),
    "less than the least number": ("<v>-1E+400</v>", "", {"too-many-digits"}),
    "a calculated infinity": ("<f>9E307*10</f><v>1E+400</v>", "", {"too-many-digits"}),
    "16 digits": ("<v>1234567890123456</v>", "", {"too-many-digits"}),
    "20 digits": ("<v>12345678901234567890</v>", "", {"too-many-digits"}),
    "16 digits with decimals": ("<v>12.34567890123456</v>", "", {"too-many-digits"}),
    "17 negative digits": ("<v>-123456789012345.67</v>", "", {"too-many-digits"}),
    "16 digits in a power": ("<v>1.234567890123456E+15</v>", "", {"too-many-digits"}),
    "a comment in a number": ("<v>1<!-- x -->2</v>", "", {"broken-workbook"}),
    "an instruction in a number": ("<v>1<?a b?>2</v>", "", {"broken-workbook"}),
    "an element in a number": ("<v>1<x>3</x>2</v>", "", {"broken-workbook"}),
    "two values": ("<v>1</v><v>2</v>", "", {"broken-workbook"}),
    "the value before its formula": ("<v>3</v><f>1+2</f>", "", {"broken-workbook"}),
    "the text before its formula": ("<v>abc</v><f>A2</f>", 't="str"', {"broken-workbook"}),
    "a text in place and a value": ("<is><t>hi</t></is><v>3</v>", 't="inlineStr"', {"broken-workbook"}),
    "a number in the place of a text": ("<v>hi</v>", 't="inlineStr"', {"broken-workbook"}),
    "a marked section": ("<v><![CDATA[12]]></v>", "", {"broken-workbook"}),
    "a marked section in a text": ("<v><![CDATA[ab]]></v>", 't="str"', {"broken-workbook"}),
    "a date before all dates": ("<v>-5</v>", style("yyyy-mm-dd"), {"not-a-date"}),
    "a date after all dates": ("<v>2958466</v>", style("yyyy-mm-dd"), {"not-a-date"}),
    "a duration of millions of years": ("<v>1E+12</v>", style("[h]:mm"), {"not-a-date"}),
    "a day that never was": ("<v>60</v>", style("yyyy-mm-dd"), {"not-a-date"}),
    "a written date that is none": ("<v>hello</v>", 't="d"', {"not-a-date"}),
    "a written date of no calendar": ("<v>2026-13-45</v>", 't="d"', {"not-a-date", "broken-workbook"}),
}


@pytest.mark.parametrize(("inside", "attributes", "expected"), FAULTY_CELLS.values(), ids=FAULTY_CELLS)
def test_a_cell_that_cannot_be_trusted_is_reported(
    tmp_path: Path, inside: str, attributes: str, expected: set[str]
) -> None:
    """The reading library gives most of these as blank, as another value, or fails the sheet without an address."""
    after = '<row r="2"><c r="A2" t="s"><v>1</v></c><c r="B2"><v>7.5</v></c></row>'
    grid, problems = read(tmp_path, one_cell(inside, attributes) + after)
    (found,) = codes(problems)
    assert found[0] in expected
    if grid is not None:
        assert found[1] == "A1" and (1, 1) in grid.sheets["S"].faulty
        assert {address: str(value) for address, value in values(grid).items()} == {"A2": "second", "B2": "7.5"}


TRUSTED_NUMBERS: list[tuple[str, str]] = [
    ("19.989999999999998", "19.99"),
    ("0.30000000000000004", "0.3"),
    ("0.1", "0.1"),
    ("1.1000000000000001", "1.1"),
    ("5", "5"),
    ("5.0", "5"),
    ("-0", "0"),
    ("+12", "12"),
    ("1E+2", "100"),
    ("1.5e-3", "0.0015"),
    ("123456789012345", "123456789012345"),
    ("12345678.9012345", "12345678.9012345"),
    ("0.000001", "0.000001"),
    ("999999999999.99", "999999999999.99"),
    ("00012", "12"),
    (".5", "0.5"),
    ("5.", "5"),
]


@pytest.mark.parametrize(("stored", "expected"), TRUSTED_NUMBERS)
def test_the_noise_of_a_spreadsheet_is_no_fault(tmp_path: Path, stored: str, expected: str) -> None:
    """Spreadsheets store 17 digits, so 19.99 is stored as 19.989999999999998; it is 19.99 all the same."""
    grid, problems = read(tmp_path, one_cell(f"<v>{stored}</v>"))
    assert problems == [] and f"{values(grid)['A1']:f}" == expected


def test_a_calculated_number_may_have_more_digits_than_can_be_typed(tmp_path: Path) -> None:
    """One third is no typing slip: a formula's result keeps its first 15 digits."""
    grid, problems = read(tmp_path, one_cell("<f>1/3</f><v>0.33333333333333331</v>"))
    assert problems == [] and str(values(grid)["A1"]) == "0.333333333333333"


def test_every_fault_of_every_sheet_comes_in_one_pass(tmp_path: Path) -> None:
    """The owner mends a workbook once, not fault by fault."""
    faulty = sheet(one_cell("<v>#REF!</v>", 't="e"') + '<row r="9"><c r="C9"><f>1</f></c></row>')
    grid, problems = read(tmp_path, parts(sheets={"Parts": faulty, "Fees": faulty}))
    assert grid is not None
    assert [(p.place.sheet, p.place.cell, p.code) for p in problems] == [
        (name, cell, code)
        for name in ("Parts", "Fees")
        for cell, code in (("A1", "error-cell"), ("C9", "no-stored-result"))
    ]
    assert [len(grid.problems_of[name]) for name in ("Parts", "Fees")] == [2, 2]


def test_two_broken_sheets_are_both_named(tmp_path: Path) -> None:
    broken = sheet(f'<row r="1">{number("A1")}{number("A1")}</row>')
    grid, problems = read(tmp_path, parts(sheets={"Parts": broken, "Fees": broken, "Good": sheet("")}))
    assert grid is None and [problem.place.sheet for problem in problems] == ["Parts", "Fees"]


def test_sheets_that_hold_too_much_together(tmp_path: Path, monkeypatch: pytest.MonkeyPatch) -> None:
    """Each sheet may be within its limit and all of them fill the memory; the first beyond the limit is named."""
    monkeypatch.setattr(guard, "MOST_CELLS", 3)
    two = sheet(f'<row r="1">{number("A1")}{number("B1")}<c r="C1" s="1"/></row>')
    grid, problems = read(tmp_path, parts(sheets={"Parts": two, "Fees": sheet(one_cell("<v>1</v>"))}))
    assert grid is not None and problems == []
    grid, problems = read(tmp_path, parts(sheets={"Parts": two, "Fees": two}))
    assert grid is None and [(p.code, p.place.sheet) for p in problems] == [("too-large", "Fees")]


def test_the_text_of_a_faulty_cell_is_shown_but_never_at_length(tmp_path: Path) -> None:
    _grid, problems = read(tmp_path, one_cell(f"<v>{'9' * 5_000}</v>"))
    assert problems[0].text.startswith("999") and len(problems[0].text) <= 400
    assert len(problems[0].message) < 300


def test_a_trailing_row_of_faults_alone_does_not_vanish(tmp_path: Path) -> None:
    """The reading library drops rows at the end that hold only errors; here the row stays, with its fault."""
    rows = f'<row r="1">{number("A1")}</row><row r="2"><c r="A2" t="e"><v>#N/A</v></c></row>'
    grid, problems = read(tmp_path, rows)
    assert grid is not None and codes(problems) == [("error-cell", "A2")]
    assert (2, 1) in grid.sheets["S"].faulty and list(grid.sheets["S"].rows) == [1, 2]


def test_elements_of_other_programs_around_the_cells_do_no_harm(tmp_path: Path) -> None:
    """Sparklines, controls and comments hold elements named f, row and col that are no formula, row or column."""
    after = (
        '<extLst><ext xmlns:xm="urn:x"><xm:f>Sheet1!A1</xm:f><xm:sqref>A1</xm:sqref></ext></extLst>'
        '<controls><from xmlns:d="urn:d"><d:col>0</d:col><d:row>5</d:row></from></controls>'
    )
    rows = f'<row r="1048576">{number("A1048576", 4)}</row>'
    grid, problems = read(tmp_path, parts() | {SHEET: sheet(rows, after=after)})
    assert problems == [] and values(grid) == {"A1048576": 4}


def test_cells_under_another_name_space_are_not_lost(tmp_path: Path) -> None:
    """Some programs write every element with a prefix; a far cell must not hide behind one."""
    good = sheet(one_cell("<v>7</v>")).replace("<", "<x:").replace("<x:/", "</x:").replace("xmlns=", "xmlns:x=")
    grid, problems = read(tmp_path, parts() | {SHEET: good})
    assert problems == [] and values(grid) == {"A1": 7}
    far = sheet(FAR["two corners"][0]).replace("<", "<x:").replace("<x:/", "</x:").replace("xmlns=", "xmlns:x=")
    assert refused(tmp_path, parts() | {SHEET: far}).code == "far-cell"


def test_a_second_table_of_cells_is_not_left_out_in_silence(tmp_path: Path) -> None:
    """The reading library stops at the end of the first; what follows would be lost without a word."""
    second = f'<sheetData><row r="2">{number("A2", 6)}</row></sheetData>'
    grid, problems = read(tmp_path, parts() | {SHEET: sheet(one_cell("<v>5</v>"), after=second)})
    assert problems or values(grid) == {"A1": 5, "A2": 6}


def test_a_second_table_of_texts_is_not_left_out_either(tmp_path: Path) -> None:
    second = '<sheetData><row r="2"><c r="A2" t="s"><v>1</v></c></row></sheetData>'
    grid, problems = read(tmp_path, parts() | {SHEET: sheet(TEXT, after=second)})
    assert problems or values(grid) == {"A1": "first", "A2": "second"}


def test_texts_in_texts_do_not_shift_the_others(tmp_path: Path) -> None:
    """If two programs count the shared texts differently, every code after that is another code."""
    shifted = strings("<x><si><t>in</t></si></x>", "<t>second</t>")
    grid, problems = read(tmp_path, parts(one_cell("<v>1</v>", 't="s"')) | {STRINGS: shifted})
    assert problems or values(grid) == {"A1": "second"}


def test_a_formula_given_an_empty_text_by_xlsxwriter(tmp_path: Path) -> None:
    """XlsxWriter stores an empty value for it, which no spreadsheet has computed."""
    path = tmp_path / "made.xlsx"
    with xlsxwriter.Workbook(str(path)) as book:
        made = book.add_worksheet("S")
        made.write_formula("A1", "=1+1", None, "")
        made.write_formula("A2", "=1+1", None, 2)
        made.write_formula("A3", '="a"&"b"', None, "ab")
        made.write_formula("A4", "=1/0", None, "#DIV/0!")
        made.write_array_formula("A5:A5", "{=SUM(B1:B2)}", None, 7)
        made.write_formula("A6", "=TRUE()", None, True)
    grid, problems = read_grid(path)
    assert codes(problems) == [("no-stored-result", "A1"), ("error-cell", "A4")]
    assert values(grid) == {"A2": 2, "A3": "ab", "A5": 7, "A6": True}


def test_a_chart_sheet_is_no_table(tmp_path: Path) -> None:
    """A sheet that is only a chart holds no cells; the sheets beside it are read."""
    held = changed(BOOK, "</sheets>", '<sheet name="Chart" sheetId="2" r:id="c"/></sheets>')
    link = f'<Relationship Id="c" Type="{RELATIONS}/chartsheet" Target="chartsheets/sheet1.xml"/></Relationships>'
    held[BOOK_RELATIONS] = str(held[BOOK_RELATIONS]).replace("</Relationships>", link)
    grid, problems = read(tmp_path, held | {"xl/chartsheets/sheet1.xml": f'<chartsheet xmlns="{MAIN}"/>'})
    assert grid is not None and problems == [] and list(grid.sheets) == ["S"]


def test_a_link_to_the_outside_is_not_followed(tmp_path: Path) -> None:
    """A part that lies outside the package is no part: the sheet that names it is refused."""
    held = changed(
        BOOK_RELATIONS, 'Target="worksheets/sheet1.xml"', 'Target="http://example.org/a" TargetMode="External"'
    )
    assert refused(tmp_path, held).code == "broken-workbook"
