"""A restyled template keeps its looks when it is filled, and all that stands below a table moves with it."""

from __future__ import annotations

import os
import subprocess
import sys
import zipfile
from datetime import date
from decimal import Decimal
from io import BytesIO
from pathlib import Path
from typing import Any

import openpyxl
import pytest
from openpyxl.cell.rich_text import CellRichText, TextBlock
from openpyxl.cell.text import InlineFont
from openpyxl.styles import Alignment

from quotekit.documents.filling import Shown
from quotekit.workbook.fill_template import fill_template, template_of
from tests.workbook.a_template import LINES, a_filling, a_logo, as_bytes, column, fill, filled, restyled
from tests.workbook.returned import saved_by_libreoffice


@pytest.fixture(scope="module")
def sheet() -> Any:
    """The restyled template, filled with three lines; what is left undone is empty, so its two rows go."""
    return filled(restyled())["My bill"]


def test_values_and_lines_stand_where_their_marks_were(sheet: Any) -> None:
    assert (sheet["A1"].value, sheet["B2"].value) == ("Alder Creek", "2611-01")
    assert column(sheet, "A")[4:8] == ["New belt", "Bushing, left", "Bushing, right", "Together"]
    assert [sheet[f"D{row}"].value for row in (5, 6, 7)] == [28.5, 14.2, 14.2]
    assert [sheet[f"C{row}"].value for row in (5, 6, 7)] == [None, "left", "right"]


def test_what_stands_below_moves(sheet: Any) -> None:
    """Two rows more for the lines, two less for the block that goes: the total is where it was."""
    assert (sheet["A9"].value, sheet["D9"].value, sheet["A10"].value) == ("Total", 56.9, "Mind the nuts")
    assert "Left undone" not in column(sheet, "A")
    assert sheet["A12"].hyperlink.ref == "A12"


def test_formulas_follow(sheet: Any) -> None:
    assert sheet["D8"].value == "=SUM(D5:D7)"
    assert [sheet[f"E{row}"].value for row in (5, 6, 7)] == ["=D5*2", "=D6*2", "=D7*2"]
    assert sheet.parent["Terms"]["A2"].value == "='My bill'!D9"
    assert sheet.parent.defined_names["my_total"].attr_text == "'My bill'!$D$9"


def test_looks_are_the_owners(sheet: Any) -> None:
    assert (sheet["A1"].font.name, sheet["A1"].font.sz, sheet["A1"].font.color.rgb) == ("Georgia", 22, "00884400")
    assert sheet["B2"].font.name == "Courier New"
    assert (sheet.column_dimensions["A"].width, sheet.column_dimensions["D"].width) == (33, 17.5)
    for row in (5, 6, 7):
        assert sheet[f"A{row}"].fill.fgColor.rgb == "00FFEECC"
        assert sheet[f"D{row}"].number_format == "#,##0.00 [$kr]"
        assert sheet.row_dimensions[row].height == 21
    assert sheet["D8"].border.top.style == "double"
    assert sheet.row_dimensions[10].height == 40


def test_merged_cells_conditions_and_checks_cover_every_line(sheet: Any) -> None:
    assert {str(one) for one in sheet.merged_cells.ranges} == {"B2:D2", "A5:B5", "A6:B6", "A7:B7"}
    conditions = {str(one.sqref): [rule.formula for rule in one.rules] for one in sheet.conditional_formatting}
    assert conditions == {"D5:D7": [["$D$9"]], "D9": [["0"]]}
    assert [str(check.sqref) for check in sheet.data_validations.dataValidation] == ["C5:C7"]


def test_the_page_is_the_owners(sheet: Any) -> None:
    assert sheet.print_area == "'My bill'!$A$1:$E$13"
    assert (sheet.print_title_rows, sheet.freeze_panes) == ("$4:$4", "A5")
    assert [one.id for one in sheet.row_breaks.brk] == [9]
    assert (sheet.page_setup.orientation, sheet.page_setup.paperSize, sheet.page_margins.left) == ("landscape", 9, 0.33)
    assert (sheet.page_setup.fitToWidth, sheet.page_setup.fitToHeight) == (1, 0)


def test_more_lines_move_print_area_break_picture_and_names() -> None:
    book = restyled()
    lines = LINES * 4
    sheet = filled(book, a_filling(tables={"lines": lines, "left": [{"text": "Brake"}]}))["My bill"]
    assert sheet.print_area == "'My bill'!$A$1:$E$24"
    assert [one.id for one in sheet.row_breaks.brk] == [20]
    assert sorted((one.anchor._from.row, one.anchor._from.col) for one in sheet._images) == [(0, 4), (23, 0)]
    assert (sheet["A18"].value, sheet["A19"].value) == ("Left undone", "Brake")
    assert sheet.parent.defined_names["my_total"].attr_text == "'My bill'!$D$20"
    assert sheet.parent["Terms"]["A2"].value == "='My bill'!D20"


def test_pictures_are_the_same_bytes() -> None:
    data, _ = fill(restyled())
    with zipfile.ZipFile(BytesIO(data or b"")) as package:
        pictures = [package.read(name) for name in package.namelist() if name.endswith(".png")]
    assert sorted(pictures) == sorted([a_logo(), a_logo("#993300")])


def test_a_header_takes_values_and_keeps_its_ampersand() -> None:
    """A value that begins with a figure after a size of type would change the size."""
    book = restyled()
    book["My bill"].oddHeader.right.text = "&8qk_job_number"
    data, problems = fill(book)
    assert problems == []
    with zipfile.ZipFile(BytesIO(data or b"")) as package:
        text = package.read("xl/worksheets/sheet1.xml").decode()
    assert "<oddFooter>&amp;LJob 2611-01 &amp; more</oddFooter>" in text
    assert "<oddHeader>&amp;R&amp;8 2611-01</oddHeader>" in text
    assert text.index("<headerFooter") < text.index("<rowBreaks")


def test_cells_keep_names_and_lines_get_them(sheet: Any) -> None:
    """A filled document is read back by its names, wherever its rows went since."""
    names = {name: one.attr_text for name, one in sheet.defined_names.items()}
    assert names["qk_job_number"] == "'My bill'!$B$2"
    assert names["qk_total"] == "'My bill'!$D$9"
    assert names["qk_lines_amount"] == "'My bill'!$D$5:$D$7"
    assert names["qk_rows_lines"] == "'My bill'!$A$5:$A$7"
    assert "qk_left_text" not in names and "qk_rows_left" not in names
    assert [name for name in sheet.parent.defined_names if name.startswith("qk_")] == ["qk_job_number"]
    assert sheet.parent.defined_names["qk_job_number"].attr_text == names["qk_job_number"]


@pytest.mark.parametrize("text", ["=1+1", "+1", "-2", "@SUM(A1)", "{=A1}", "'quoted", '=HYPERLINK("http://x")'])
def test_text_is_text_and_never_a_formula(text: str) -> None:
    lines = [{"text": text, "side": text, "amount": Decimal(1)}]
    sheet = filled(
        restyled(), a_filling(values={**a_filling().values, "note": text}, tables={"lines": lines, "left": []})
    )
    assert [(sheet["My bill"][at].value, sheet["My bill"][at].data_type) for at in ("A5", "C5", "A8")] == [
        (text, "s")
    ] * 3


@pytest.mark.parametrize(
    ("value", "own", "expected", "shown"),
    [
        (Decimal("1234.5"), "General", 1234.5, "General"),
        (Shown(Decimal("1234.5"), '"$"0.00'), "General", 1234.5, '"$"0.00'),
        (Shown(Decimal("1234.5"), '"$"0.00'), "0.0", 1234.5, "0.0"),
        (7, "General", 7, "General"),
        (date(2026, 11, 28), "General", "2026-11-28", "yyyy-mm-dd"),
        (date(2026, 11, 28), "d mmm yyyy", "2026-11-28", "d mmm yyyy"),
        ("a\x07b", "General", "a b", "General"),
        ("  ", "General", None, "General"),
        (None, "General", None, "General"),
    ],
)
def test_a_value_takes_its_format_where_the_cell_has_none(value: Any, own: str, expected: Any, shown: str) -> None:
    book = restyled()
    book["My bill"]["D9"].number_format = own
    cell = filled(book, a_filling(values={**a_filling().values, "total": value}))["My bill"]["D9"]
    found = cell.value.date().isoformat() if cell.is_date else cell.value
    assert (found, cell.number_format) == (expected, shown)


def test_a_text_no_cell_can_hold_is_a_problem() -> None:
    data, problems = fill(restyled(), a_filling(values={**a_filling().values, "note": "x" * 32_768}))
    assert data is None
    assert [(one.code, one.place.file) for one in problems] == [("too-large", "bill.xlsx")]


def test_a_number_of_too_many_digits_is_a_problem() -> None:
    """A spreadsheet keeps fifteen; the sixteenth would be lost without a word."""
    data, problems = fill(restyled(), a_filling(values={**a_filling().values, "total": Decimal("12345678901234.56")}))
    assert (data, [one.code for one in problems]) == (None, ["too-large"])


def test_a_long_text_in_merged_cells_makes_its_row_taller() -> None:
    book = restyled()
    book["My bill"].row_dimensions[5].height = None
    lines = [{"text": "word " * 60, "side": "", "amount": Decimal(1)}]
    sheet = filled(book, a_filling(tables={"lines": lines, "left": []}))["My bill"]
    assert sheet.row_dimensions[5].height > 60


def test_several_sheets_of_one_role_are_whole_copies() -> None:
    """One sheet for each supplier: looks, picture, page and names on each, the owner's own sheet once."""
    book = filled(
        restyled(), a_filling(title="North: parts"), a_filling(title="South", tables={"lines": LINES[:1], "left": []})
    )
    assert book.sheetnames == ["North- parts", "South", "Terms"]
    for sheet, lines in ((book["North- parts"], 3), (book["South"], 1)):
        assert sheet["A1"].font.name == "Georgia"
        assert sheet.column_dimensions["A"].width == 33
        assert len(sheet._images) == 2
        assert sheet.page_setup.orientation == "landscape" and sheet.print_title_rows == "$4:$4"
        assert sheet[f"D{5 + lines}"].value == f"=SUM(D5:D{4 + lines})"
        assert len(sheet.conditional_formatting) == 2 and sheet.data_validations.count == 1
        assert sheet.defined_names["qk_total"].attr_text.startswith(f"'{sheet.title}'!")
    assert book["Terms"]["A2"].value == "='North- parts'!D9"


def test_sheets_that_ask_for_one_name_are_told_apart() -> None:
    book = filled(restyled(), a_filling(title="Terms"), a_filling(title="terms"))
    assert book.sheetnames == ["Terms 2", "terms 3", "Terms"]


def test_a_marked_sheet_that_nothing_goes_into_is_left_out() -> None:
    book = restyled()
    other = book.create_sheet("Summary")
    book.defined_names["qk_sheet_summary"] = openpyxl.workbook.defined_name.DefinedName(
        "qk_sheet_summary", attr_text="Summary!$A$1"
    )
    other["A1"] = "qk_text"
    assert filled(book).sheetnames == ["My bill", "Terms"]


def test_names_of_one_sheet_are_marks_too() -> None:
    """A spreadsheet may keep a name with its sheet, and in any case."""
    book = restyled()
    sheet = book["My bill"]
    one = book.defined_names.pop("qk_job_number")
    sheet.defined_names["QK_Job_Number"] = openpyxl.workbook.defined_name.DefinedName(
        "QK_Job_Number", attr_text=one.attr_text
    )
    assert filled(book)["My bill"]["B2"].value == "2611-01"


def test_whole_rows_may_be_marked() -> None:
    book = restyled()
    book.defined_names["qk_block_left"].attr_text = "'My bill'!$7:$8"
    book.defined_names["qk_rows_lines"].attr_text = "'My bill'!$5:$5"
    assert column(filled(book)["My bill"], "A")[4:9] == [
        "New belt", "Bushing, left", "Bushing, right", "Together", "Total"
    ]  # fmt: skip


def test_a_line_may_take_two_rows() -> None:
    """What is merged, merged again for each line; the formula of a line stays in it."""
    book = restyled()
    sheet = book["My bill"]
    sheet.insert_rows(6)
    sheet["A6"], sheet["D6"] = "qk_more", "=D5*3"
    for name, one in book.defined_names.items():
        moved = {"qk_rows_left": "$A$9:$E$9", "qk_block_left": "$A$8:$E$9", "my_total": "$D$10"}.get(name)
        one.attr_text = f"'My bill'!{moved}" if moved else one.attr_text
    book.defined_names["qk_rows_lines"].attr_text = "'My bill'!$A$5:$E$6"
    lines = [{**line, "more": f"more of {line['text']}"} for line in LINES]
    found = filled(book, a_filling(tables={"lines": lines, "left": []}))["My bill"]
    assert column(found, "A")[4:10] == [
        "New belt", "more of New belt", "Bushing, left", "more of Bushing, left", "Bushing, right",
        "more of Bushing, right",
    ]  # fmt: skip
    assert [found[f"D{row}"].value for row in (6, 8, 10)] == ["=D5*3", "=D7*3", "=D9*3"]
    assert {str(one) for one in found.merged_cells.ranges} >= {"A5:B5", "A7:B7", "A9:B9"}
    assert found.defined_names["qk_rows_lines"].attr_text == "'My bill'!$A$5:$A$10"


def test_a_mark_of_several_looks_is_a_mark() -> None:
    """A spreadsheet may keep a word in pieces, one bold, one not."""
    book = restyled()
    pieces = CellRichText(TextBlock(InlineFont(b=True), "qk_"), TextBlock(InlineFont(), "shop_name"))
    book["My bill"]["A1"] = pieces
    assert filled(book)["My bill"]["A1"].value == "Alder Creek"


def test_text_of_several_looks_that_is_no_mark_stays() -> None:
    book = restyled()
    book["My bill"]["A4"] = CellRichText("What ", TextBlock(InlineFont(b=True), "exactly"))
    data, _ = fill(book)
    sheet = openpyxl.load_workbook(BytesIO(data or b""), rich_text=True)["My bill"]
    assert [str(piece) for piece in sheet["A4"].value] == ["What ", "exactly"]


def test_a_template_saved_by_an_office_program(tmp_path: Path, soffice: str) -> None:
    """Where most owners restyle it: names, page and looks come back, and it is filled as before."""
    (tmp_path / "bill.xlsx").write_bytes(as_bytes(restyled()))
    (saved,) = saved_by_libreoffice(soffice, [tmp_path / "bill.xlsx"], tmp_path)
    data, problems = fill_template(template_of("bill.xlsx", saved.read_bytes()), [a_filling()])
    assert problems == []
    sheet = openpyxl.load_workbook(BytesIO(data or b""))["My bill"]
    assert column(sheet, "A")[4:9] == ["New belt", "Bushing, left", "Bushing, right", "Together", "Total"]
    assert (sheet["A1"].value, sheet["A1"].font.name, sheet["A1"].font.sz) == ("Alder Creek", "Georgia", 22)
    assert sheet.print_area == "'My bill'!$A$1:$E$13"
    assert len(sheet._images) == 2


def test_equal_inputs_give_equal_bytes_in_every_process(tmp_path: Path) -> None:
    """Sets of ranges have another order in each process, and the file must not."""
    (tmp_path / "template.xlsx").write_bytes(as_bytes(restyled()))
    script = (
        "import sys, hashlib; from pathlib import Path; from tests.workbook.a_template import a_filling;"
        "from quotekit.workbook.fill_template import fill_template, template_of;"
        "data, _ = fill_template(template_of('t.xlsx', Path(sys.argv[1]).read_bytes()), [a_filling(), a_filling()]);"
        "print(hashlib.sha256(data).hexdigest())"
    )
    found = {
        subprocess.run(
            [sys.executable, "-c", script, str(tmp_path / "template.xlsx")],
            env={**os.environ, "PYTHONHASHSEED": seed, "PYTHONPATH": str(Path(__file__).parents[2])},
            capture_output=True,
            check=True,
            text=True,
        ).stdout
        for seed in ("1", "2", "3")
    }
    assert len(found) == 1


def test_a_file_that_is_no_workbook_inside_is_refused() -> None:
    held = BytesIO()
    with zipfile.ZipFile(held, "w") as package:
        package.writestr("[Content_Types].xml", "<Types/>")
        package.writestr("xl/workbook.xml", "<!DOCTYPE a [<!ENTITY b 'c'>]><workbook/>")
    data, problems = fill_template(template_of("bill.xlsx", held.getvalue()), [a_filling()])
    assert data is None
    assert [one.code for one in problems] == ["dtd"]


def test_a_text_is_set_in_with_all_of_its_lines() -> None:
    """A blank before a text would set in its first line alone; the owner's own indent and wrapping stay."""
    book = restyled()
    book["My bill"]["C5"].alignment = Alignment(indent=1, horizontal="right")
    lines = [{"text": "\u2003\u2003Behind two covers", "side": "\u2003left", "amount": None}]
    sheet = filled(book, a_filling(tables={"lines": lines, "left": []}))["My bill"]
    text, side = sheet["A5"], sheet["C5"]
    assert (text.value, text.alignment.indent, text.alignment.horizontal, text.alignment.wrap_text) == (
        "Behind two covers", 2, "left", True
    )  # fmt: skip
    assert (side.value, side.alignment.indent, side.alignment.horizontal) == ("left", 2, "right")
    assert sheet["A5"].fill.fgColor.rgb == "00FFEECC"
