"""Rows kept on a sheet of their own beside some changed numbers: what the owner made stays, byte for byte."""

from __future__ import annotations

import io
import re
import zipfile
from collections.abc import Mapping, Sequence
from decimal import Decimal
from pathlib import Path

import openpyxl
import pytest
from hypothesis import given, settings
from hypothesis import strategies as st
from openpyxl.chart import BarChart, Reference
from openpyxl.comments import Comment
from openpyxl.styles import Font, PatternFill
from openpyxl.worksheet.datavalidation import DataValidation

from quotekit.workbook.add_rows import Content, with_rows
from quotekit.workbook.in_place.changes import Change
from quotekit.workbook.in_place.edit_workbook import edit_workbook
from quotekit.workbook.new_books import write_new_folder
from quotekit.workbook.package import open_package, package_of
from tests.conformity.open_xml import errors_of, program_in

D = Decimal
TITLES = ("Code", "Was", "Day")


def owners_book(path: Path) -> Path:
    """Colours, a comment, a drop-down, a chart, hidden column, a text number, a blank cell with a look."""
    book = openpyxl.Workbook()
    page = book.active
    page.title = "Operations"
    for row in (["Code", "Net hours"], ["FIT", 0.5], ["TURN", 1], ["BORE", "0.7"]):
        page.append(row)
    page["B2"].font, page["B2"].fill = Font(bold=True), PatternFill("solid", fgColor="FFEE00")
    page["B2"].comment = Comment("timed in spring", "the owner")
    page["B5"].number_format = "0.00"
    page.column_dimensions["C"].hidden = True
    drop = DataValidation(type="list", formula1='"Yes,No"')
    page.add_data_validation(drop)
    drop.add("D2")
    chart = BarChart()
    chart.add_data(Reference(page, min_col=2, min_row=1, max_row=3), titles_from_data=True)
    page.add_chart(chart, "F2")
    book.create_sheet("My own")["A1"] = "keep me"
    book.save(path)
    return path


def copied(path: Path, numbers: Mapping[tuple[str, str], Decimal], rows: int = 1) -> bytes:
    """The copy, with so many rows kept."""
    kept = [TITLES, *[(f"FIT{n}", D("0.5"), "2026-11-28") for n in range(rows)]]
    return kept_beside(path.name, path.read_bytes(), numbers, "Replaced times", kept)


def kept_beside(
    file: str, data: bytes, numbers: Mapping[tuple[str, str], Decimal], sheet: str, rows: Sequence[Sequence[Content]]
) -> bytes:
    """Numbers changed and rows added."""
    edited, problems = edit_workbook(file, data, [Change(*cell, number) for cell, number in numbers.items()])
    assert edited is not None, problems
    return with_rows(package_of(file, edited.data), sheet, rows)


def parts(data: bytes) -> dict[str, bytes]:
    """Every part of a package."""
    with zipfile.ZipFile(io.BytesIO(data)) as package:
        return {name: package.read(name) for name in package.namelist()}


def cell(data: bytes, sheet: str, address: str) -> object:
    """A cell as another library reads it."""
    return openpyxl.load_workbook(io.BytesIO(data))[sheet][address].value


@pytest.mark.parametrize(
    ("address", "number"), [("B2", "0.75"), ("B3", "1.25"), ("B4", "0.9"), ("B2", "12345.6789"), ("B2", "0")]
)
def test_one_number(tmp_path: Path, address: str, number: str) -> None:
    """A number, or text that looked like one, becomes the new number."""
    data = copied(owners_book(tmp_path / "book.xlsx"), {("Operations", address): D(number)})
    assert cell(data, "Operations", address) == float(number)


def test_everything_else_stays(tmp_path: Path) -> None:
    """Only four parts differ: the sheet, the list of sheets, its relations, the types; one part is new."""
    path = owners_book(tmp_path / "book.xlsx")
    before, after = parts(path.read_bytes()), parts(copied(path, {("Operations", "B2"): D("0.75")}))
    changed = {name for name in before if before[name] != after[name]}
    assert changed == {
        "xl/worksheets/sheet1.xml", "xl/workbook.xml", "xl/_rels/workbook.xml.rels", "[Content_Types].xml",
    }  # fmt: skip
    assert set(after) - set(before) == {"xl/worksheets/sheet3.xml"}
    pattern = rb'<c r="B2"[^>]*>.*?</c>'
    assert re.sub(pattern, b"", before["xl/worksheets/sheet1.xml"]) == re.sub(
        pattern, b"", after["xl/worksheets/sheet1.xml"]
    )


def test_other_parts_keep_their_packed_bytes(tmp_path: Path) -> None:
    """And their place; what is new stands behind them."""
    path = owners_book(tmp_path / "book.xlsx")
    before, after = path.read_bytes(), copied(path, {("Operations", "B2"): D("0.75")})
    with zipfile.ZipFile(io.BytesIO(before)) as one, zipfile.ZipFile(io.BytesIO(after)) as other:
        assert other.namelist() == [*one.namelist(), "xl/worksheets/sheet3.xml"]
        changed = {"xl/worksheets/sheet1.xml", "xl/workbook.xml", "xl/_rels/workbook.xml.rels", "[Content_Types].xml"}
        for name in set(one.namelist()) - changed:
            old, new = one.getinfo(name), other.getinfo(name)
            assert (old.date_time, old.CRC, old.compress_size) == (new.date_time, new.CRC, new.compress_size)
            assert before[old.header_offset :][: old.compress_size] == after[new.header_offset :][: new.compress_size]


def test_the_look_of_the_cell_stays(tmp_path: Path) -> None:
    """Colour, font, comment, and the owner's own sheet."""
    data = copied(owners_book(tmp_path / "book.xlsx"), {("Operations", "B2"): D("0.75")})
    book = openpyxl.load_workbook(io.BytesIO(data))
    changed = book["Operations"]["B2"]
    assert changed.font.bold and changed.fill.fgColor.rgb.endswith("FFEE00")
    assert changed.comment.text == "timed in spring"
    assert (book["My own"]["A1"].value, book.sheetnames) == ("keep me", ["Operations", "My own", "Replaced times"])


def test_a_blank_cell_with_a_look(tmp_path: Path) -> None:
    """It is in the file, and takes a number."""
    data = copied(owners_book(tmp_path / "book.xlsx"), {("Operations", "B5"): D("0.3")})
    assert cell(data, "Operations", "B5") == 0.3


def test_an_address_within_another(tmp_path: Path) -> None:
    """B2 is not B22, and a text that reads like a cell is no cell."""
    book = openpyxl.Workbook()
    book.active.title = "Operations"
    book.active["A1"], book.active["B22"], book.active["B2"] = '<c r="B2"><v>9</v></c>', 5, 6
    book.save(tmp_path / "book.xlsx")
    data = copied(tmp_path / "book.xlsx", {("Operations", "B2"): D(7)})
    assert [cell(data, "Operations", at) for at in ("A1", "B2", "B22")] == ['<c r="B2"><v>9</v></c>', 7, 5]


def test_the_kept_sheet_grows(tmp_path: Path) -> None:
    """The second time its rows follow the first ones, without titles again."""
    first = tmp_path / "first.xlsx"
    first.write_bytes(copied(owners_book(tmp_path / "book.xlsx"), {("Operations", "B2"): D("0.75")}, rows=2))
    data = copied(first, {("Operations", "B2"): D("0.8")}, rows=1)
    rows = list(openpyxl.load_workbook(io.BytesIO(data))["Replaced times"].iter_rows(values_only=True))
    assert rows == [
        TITLES,
        ("FIT0", 0.5, "2026-11-28"),
        ("FIT1", 0.5, "2026-11-28"),
        ("FIT0", 0.5, "2026-11-28"),
    ]


def test_text_stays_text(tmp_path: Path) -> None:
    """What looks like a formula or like marks of XML is written as it is."""
    package, _ = open_package(owners_book(tmp_path / "book.xlsx"))
    assert package is not None
    data = with_rows(package, "Replaced times", [("=1+1", "<&>", "a\x01b")])
    row = next(openpyxl.load_workbook(io.BytesIO(data))["Replaced times"].iter_rows())
    assert all(each.data_type != "f" for each in row)
    assert row[0].value == "=1+1" and row[1].value == "<&>"


def test_names_with_a_prefix(tmp_path: Path) -> None:
    """Some writers put a prefix before every name of the format."""
    path = owners_book(tmp_path / "book.xlsx")
    made = {}
    for name, data in parts(path.read_bytes()).items():
        if name in ("xl/worksheets/sheet1.xml", "xl/worksheets/sheet2.xml", "xl/workbook.xml"):
            data = re.sub(rb"<(/?)(?![?!])(?=[a-zA-Z]+[\s>/])", rb"<\1x:", data)
            data = data.replace(b' xmlns="http://schemas.openxml', b' xmlns:x="http://schemas.openxml')
        made[name] = data
    held = io.BytesIO()
    with zipfile.ZipFile(held, "w") as package:
        for name, data in made.items():
            package.writestr(name, data)
    copy = kept_beside("book.xlsx", held.getvalue(), {("Operations", "B2"): D("0.75")}, "Old", [TITLES])
    book = openpyxl.load_workbook(io.BytesIO(copy))
    assert (book["Operations"]["B2"].value, book.sheetnames[-1]) == (0.75, "Old")


def test_the_open_xml_sdk_finds_no_fault(npm_folder: Path, tmp_path: Path) -> None:
    """Neither in the copy of a blank shop book nor in the copy of that copy."""
    path = next(path for path in write_new_folder(tmp_path / "new") if path.name.startswith("shop book"))
    package, _ = open_package(path)
    assert package is not None
    once = with_rows(package, "Replaced times", [TITLES, ("FIT", D("0.5"), "2026-11-28")])
    twice = with_rows(package_of("book.xlsx", once), "Replaced times", [TITLES, ("FIT", D("0.6"), "2026-11-29")])
    assert errors_of(program_in(npm_folder), {"once": once, "twice": twice}, tmp_path) == {}


CONTENTS = st.one_of(
    st.none(),
    st.integers(0, 9999),
    st.decimals(0, 99, places=2).map(float),
    st.sampled_from(["", "text", "0.5", '<c r="A1"/>', "a & b", "=", "</sheetData>"]),
)


@settings(max_examples=25, deadline=None)
@given(
    st.lists(st.lists(CONTENTS, min_size=1, max_size=4), min_size=1, max_size=5),
    st.decimals(0, 999, places=3),
    st.data(),
)
def test_only_the_wanted_cell_changes(rows: list[list[object]], number: Decimal, data: st.DataObject) -> None:
    """Whatever else stands on the sheet, every other cell reads as before."""
    held = io.BytesIO()
    book = openpyxl.Workbook()
    page = book.active
    for place, row in enumerate(rows, start=1):
        for at, content in enumerate(row, start=1):
            cell = page.cell(place, at)
            cell.value = content
            cell.number_format = "0.00"
            if isinstance(content, str):
                cell.data_type = "s"
    book.save(held)
    place = data.draw(st.integers(1, len(rows)))
    at = data.draw(st.integers(1, len(rows[place - 1])))
    address = page.cell(place, at).coordinate
    copy = kept_beside("b.xlsx", held.getvalue(), {("Sheet", address): number}, "Kept", [TITLES])
    before, after = openpyxl.load_workbook(held)["Sheet"], openpyxl.load_workbook(io.BytesIO(copy))["Sheet"]
    assert after[address].value == pytest.approx(float(number))
    assert after[address].number_format == "0.00"
    before[address].value = after[address].value
    assert list(after.iter_rows(values_only=True)) == list(before.iter_rows(values_only=True))
