"""Rows of large lists from workbooks: exact texts, cells that cannot be trusted, and files made to harm."""

from __future__ import annotations

import datetime as dt
import io
import zipfile
from pathlib import Path

import pytest
import xlsxwriter
from hypothesis import given
from hypothesis import strategies as st

from quotekit.workbook.list_rows import ListSheet, StoredNumber, choose_sheet, list_sheets, number_cell

ODS = """<?xml version="1.0" encoding="UTF-8"?>
<office:document-content xmlns:office="o" xmlns:table="t" xmlns:text="x" xmlns:calcext="c"><office:body>
<office:spreadsheet><table:table table:name="Prices">{rows}</table:table></office:spreadsheet></office:body>
</office:document-content>"""


def xlsx(*rows: list[object], **formats: str) -> bytes:
    """A workbook of one sheet."""
    held = io.BytesIO()
    book = xlsxwriter.Workbook(held, {"in_memory": True})
    sheet = book.add_worksheet("Prices")
    named = {name: book.add_format({"num_format": code}) for name, code in formats.items()}
    for row, cells in enumerate(rows):
        for column, cell in enumerate(cells):
            if isinstance(cell, tuple):
                sheet.write(row, column, cell[0], named[cell[1]])
            elif cell is not None:
                sheet.write(row, column, cell)
    book.close()
    return held.getvalue()


def ods(rows: str, text: str = ODS) -> bytes:
    held = io.BytesIO()
    with zipfile.ZipFile(held, "w") as package:
        package.writestr("content.xml", text.format(rows=rows))
    return held.getvalue()


def rows_of(data: bytes, kind: str) -> tuple[list[tuple[int, list[str]]], ListSheet]:
    sheets, problems = list_sheets("a", data, kind)
    assert problems == []
    return list(sheets[0].read()), sheets[0]


def cell(value: str, text: str = "", **attributes: str) -> str:
    named = "".join(f' {name.replace("_", ":", 1).replace("_", "-")}="{told}"' for name, told in attributes.items())
    return f'<table:table-cell office:value-type="{value}"{named}><text:p>{text}</text:p></table:table-cell>'


def test_cells_of_an_xlsx() -> None:
    data = xlsx(
        ["Part No", "Net", None, "Day", "Off", "Yes"],
        ["007", 19.99, None, (dt.date(2026, 3, 14), "day"), (0.25, "percent"), True],
        [],
        [12345, 0.1 * 3, "a <&> b\nc"],
        day="yyyy-mm-dd",
        percent="0%",
    )
    found, _ = rows_of(data, "xlsx")
    assert found == [
        (1, ["Part No", "Net", "", "Day", "Off", "Yes"]),
        (2, ["007", "19.99", "", "2026-03-14", "25%", "TRUE"]),
        (4, ["12345", "0.3", "a <&> b\nc"]),
    ]
    assert [isinstance(text, StoredNumber) for text in found[2][1]] == [True, True, False]


def test_cells_that_cannot_be_trusted() -> None:
    """An error, a formula nobody worked out, a number with more digits than a spreadsheet keeps."""
    held = io.BytesIO()
    book = xlsxwriter.Workbook(held)
    sheet = book.add_worksheet()
    sheet.write_formula(0, 0, "=1/0", None, "#DIV/0!")
    sheet.write_formula(0, 1, "=A2", None, "")
    sheet.write_formula(0, 2, "=1+1", None, 2)
    book.close()
    found, sheet_read = rows_of(held.getvalue(), "xlsx")
    assert found == [(1, ["", "", "2"])]
    assert sheet_read.unread.first == [("A1", "shows the error #DIV/0!"), ("B1", "a formula with no stored result")]


def test_reading_again_gives_the_same() -> None:
    data = xlsx(["a"], ["b"])
    _, sheet = rows_of(data, "xlsx")
    assert list(sheet.read()) == list(sheet.read()) == [(1, ["a"]), (2, ["b"])]


def test_many_rows_come_piece_by_piece() -> None:
    """The first row is there before the last is unpacked."""
    data = xlsx(*([f"P{row}", row / 4] for row in range(5000)))
    sheets, _ = list_sheets("a", data, "xlsx")
    rows = sheets[0].read()
    assert next(rows) == (1, ["P0", "0"])
    assert sum(1 for _ in rows) == 4999


@given(st.lists(st.decimals(min_value=0, max_value=10**9, places=4), min_size=1, max_size=30))
def test_amounts_typed_in_a_workbook_are_exact(amounts: list[object]) -> None:
    data = xlsx(*([float(str(amount))] for amount in amounts))
    found, _ = rows_of(data, "xlsx")
    normal = [f"{amount.normalize():f}" for amount in amounts]  # type: ignore[attr-defined]
    assert [cells[0].rstrip("0").rstrip(".") if "." in cells[0] else cells[0] for _, cells in found] == normal


@pytest.mark.parametrize(
    ("raw", "text"),
    [("19.989999999999998", "19.99"), ("1E-3", "0.001"), ("1.2E+05", "120000"), ("0.30000000000000004", "0.3")],
)
def test_stored_numbers(raw: str, text: str) -> None:
    assert number_cell(raw) == text


def test_cells_of_an_ods() -> None:
    cells = (
        cell("string", "007")
        + cell("float", "19,99", office_value="19.99")
        + '<table:table-cell table:number-columns-repeated="2"/>'
        + cell("percentage", "25 %", office_value="0.25")
        + cell("date", "14.3.26", office_date_value="2026-03-14T00:00:00")
        + cell("boolean", "WAHR", office_boolean_value="true")
        + cell("currency", "3,00 €", office_value="3")
    )
    blank = '<table:table-row table:number-rows-repeated="3"><table:table-cell/></table:table-row>'
    twice = f'<table:table-row table:number-rows-repeated="2">{cell("string", "x")}</table:table-row>'
    found, _ = rows_of(ods(f"<table:table-row>{cells}</table:table-row>{blank}{twice}"), "ods")
    assert found == [
        (1, ["007", "19.99", "", "", "25%", "2026-03-14", "TRUE", "3"]),
        (5, ["x"]),
        (6, ["x"]),
    ]


def test_errors_and_remarks_of_an_ods() -> None:
    note = "<office:annotation><text:p>a note</text:p></office:annotation>"
    noted = (
        f'<table:table-cell office:value-type="string">{note}<text:p>a<text:s text:c="2"/>b</text:p></table:table-cell>'
    )
    error = cell("string", "#N/A", calcext_value_type="error")
    found, sheet = rows_of(
        ods(f"<table:table-row>{noted}{error}{cell('float', 'Err:502', office_value='0')}</table:table-row>"), "ods"
    )
    assert found == [(1, ["a  b"])]
    assert [at for at, _ in sheet.unread.first] == ["B1", "C1"]


def test_the_currency_of_a_cell_of_an_ods() -> None:
    found, _ = rows_of(
        ods(
            f"<table:table-row>{cell('currency', '5,00 €', office_value='5', office_currency='EUR')}</table:table-row>"
        ),
        "ods",
    )
    (number,) = found[0][1]
    assert isinstance(number, StoredNumber) and (number, number.currency) == ("5", "EUR")


def test_breaks_and_tabs_within_a_text_of_an_ods() -> None:
    """They part words: `Part No` in two lines is not `PartNo`."""
    found, _ = rows_of(
        ods(f"<table:table-row>{cell('string', 'Part<text:line-break/>No<text:tab/>x')}</table:table-row>"), "ods"
    )
    assert found == [(1, ["Part\nNo\tx"])]


@pytest.mark.parametrize(
    ("rows", "code"),
    [
        (f'<table:table-row table:number-rows-repeated="1000000">{cell("string", "x")}</table:table-row>', "too-large"),
        ('<table:table-row table:number-rows-repeated="9999999"/>', "cell-out-of-bounds"),
        (
            '<table:table-row><table:table-cell office:value-type="string" table:number-columns-repeated="99999">'
            "<text:p>x</text:p></table:table-cell></table:table-row>",
            "cell-out-of-bounds",
        ),
        ("<table:table-row>", "broken-workbook"),
    ],
)
def test_an_ods_that_would_grow(rows: str, code: str) -> None:
    """A small file may say that a filled row is there a million times."""
    from quotekit.workbook.package import BadPackage

    sheets, problems = list_sheets("a", ods(rows), "ods")
    if problems:
        assert problems[0].code == code
        return
    with pytest.raises(BadPackage) as refused:
        list(sheets[0].read())
    assert refused.value.code == code


@pytest.mark.parametrize("kind", ["xlsx", "ods"])
def test_a_document_type_is_refused(kind: str) -> None:
    bomb = '<!DOCTYPE x [<!ENTITY a "aaaa">]>'
    if kind == "ods":
        data = ods("", ODS.replace('"UTF-8"?>', '"UTF-8"?>' + bomb))
    else:
        data = changed(xlsx(["a"]), "xl/worksheets/sheet1.xml", lambda text: text.replace("?>", "?>" + bomb, 1))
    sheets, problems = list_sheets("a", data, kind)
    codes = [problem.code for problem in problems]
    if not problems:
        from quotekit.workbook.package import BadPackage

        with pytest.raises(BadPackage) as refused:
            list(sheets[0].read())
        codes = [refused.value.code]
    assert codes == ["dtd"]


def changed(data: bytes, part: str, change: object) -> bytes:
    """A workbook with one part changed."""
    held = io.BytesIO()
    with zipfile.ZipFile(io.BytesIO(data)) as before, zipfile.ZipFile(held, "w") as after:
        for name in before.namelist():
            text = before.read(name)
            after.writestr(name, change(text.decode()).encode() if name == part else text)  # type: ignore[operator]
    return held.getvalue()


@pytest.mark.parametrize(
    ("old", "new"),
    [
        ('r="A2"', 'r="A1"'),
        ('r="2"', 'r="1"'),
        ('r="B1"', 'r="A1"'),
        ('r="A1"', 'r="ZZZ1"'),
        ("<v>1</v>", "<v>1"),
        ("<v>0</v>", "<v>99</v>"),
    ],
)
def test_a_spoiled_sheet_gives_no_wrong_row(old: str, new: str) -> None:
    """Either it is refused, or the cell is told and counts as blank; a row is never put in another's place."""
    from quotekit.workbook.package import BadPackage

    data = changed(xlsx(["a", 5], ["b", 6]), "xl/worksheets/sheet1.xml", lambda text: text.replace(old, new, 1))
    sheets, problems = list_sheets("a", data, "xlsx")
    assert problems == []
    try:
        found = dict(sheets[0].read())
    except BadPackage:
        return
    assert found in ({1: ["a", "5"], 2: ["b", "6"]}, {1: ["", "5"], 2: ["b", "6"]})


def test_which_sheet() -> None:
    sheets = [ListSheet(name=name, read=lambda: iter(())) for name in ("Prices", "Terms")]
    assert choose_sheet("a", sheets, "prices")[0] is sheets[0]
    assert choose_sheet("a", sheets[:1], "")[0] is sheets[0]
    assert [problem.code for problem in choose_sheet("a", sheets, "")[1]] == ["which-list-sheet"]
    (problem,) = choose_sheet("a", sheets, "Price")[1]
    assert problem.remedy.startswith("Did you mean Prices?")


@pytest.mark.parametrize("kind", ["xlsx", "ods"])
def test_what_is_no_workbook(kind: str, tmp_path: Path) -> None:
    sheets, problems = list_sheets("a", b"PK\x03\x04 no more", kind)
    assert sheets == [] and problems[0].code == "broken-workbook"
