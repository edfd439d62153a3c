"""What a template holds beside its cells comes over as it stands: pictures, shapes, charts, pictures of the header."""

from __future__ import annotations

import re
import zipfile
from decimal import Decimal
from io import BytesIO

import openpyxl
import pytest
import xlsxwriter

from quotekit.documents.filling import SheetFilling
from quotekit.workbook.fill_template import fill_template, template_of
from quotekit.workbook.keep_drawings import kept_sheets
from quotekit.workbook.package import package_of
from tests.conformity.lint import faults
from tests.workbook.a_template import a_logo

ROWS = [{"text": name, "amount": Decimal(place)} for place, name in enumerate(("one", "two", "three", "four"), start=1)]


def drawn() -> bytes:
    """A template with a logo and its alt text, a frame around the lines, a chart of them, a picture in the header."""
    held = BytesIO()
    book = xlsxwriter.Workbook(held, {"in_memory": True})
    sheet = book.add_worksheet("Sheet")
    sheet.write("A1", "qk_name")
    sheet.write("A4", "qk_text")
    sheet.write("B4", "qk_amount")
    sheet.write("A6", "Below")
    sheet.write_comment("A6", "Ask Ann")
    for name, area in {"qk_sheet_paper": "$A$1", "qk_rows_lines": "$A$4:$B$4"}.items():
        book.define_name(name, f"=Sheet!{area}")
    logo = {"image_data": BytesIO(a_logo()), "description": "The creek", "url": "https://alder.example/"}
    sheet.insert_image("D1", "logo.png", logo)
    sheet.insert_image("D7", "seal.png", {"image_data": BytesIO(a_logo("#aa0000")), "description": "Seal"})
    sheet.insert_textbox("A3", "Lines & sums", {"height": 60, "width": 300})
    chart = book.add_chart({"type": "column"})
    chart.add_series({"categories": "=Sheet!$A$4:$A$4", "values": "=Sheet!$B$4:$B$4", "name": "=Sheet!$A$6"})
    sheet.insert_chart("F8", chart)
    sheet.set_header("&L&G&Cqk_name", {"image_left": "head.png", "image_data_left": BytesIO(a_logo("#00aa00"))})
    book.close()
    return held.getvalue()


def parts_of(sheets: int = 1) -> dict[str, bytes]:
    fillings = [SheetFilling(role="paper", values={"name": "A & B"}, tables={"lines": ROWS}) for _ in range(sheets)]
    data, problems = fill_template(template_of("paper.xlsx", drawn()), fillings)
    assert problems == [] and data is not None
    assert openpyxl.load_workbook(BytesIO(data)).worksheets
    with zipfile.ZipFile(BytesIO(data)) as package:
        return {name: package.read(name) for name in package.namelist()}


@pytest.fixture(scope="module")
def parts() -> dict[str, bytes]:
    return parts_of()


def text_of(parts: dict[str, bytes], pattern: str) -> str:
    """The one part whose name matches."""
    (name,) = [name for name in parts if re.fullmatch(pattern, name)]
    return parts[name].decode("utf-8")


def test_alt_texts_links_and_text_boxes_are_kept(parts: dict[str, bytes]) -> None:
    drawing = text_of(parts, r"xl/drawings/kept\d+-drawing1\.xml")
    assert 'descr="The creek"' in drawing and 'descr="Seal"' in drawing
    assert "Lines &amp; sums" in drawing
    relations = text_of(parts, r"xl/drawings/_rels/kept\d+-drawing1\.xml\.rels")
    assert 'Target="https://alder.example/" TargetMode="External"' in relations


def test_pictures_move_with_their_row_and_keep_their_height(parts: dict[str, bytes]) -> None:
    """Three rows more: the logo at the top stays, the seal below goes down as it is."""
    drawing = text_of(parts, r"xl/drawings/kept\d+-drawing1\.xml")
    anchors = re.findall(r"<xdr:twoCellAnchor.*?</xdr:twoCellAnchor>", drawing, re.S)
    found = {
        name: [int(row) for row in re.findall(r"<xdr:row>(\d+)</xdr:row>", anchor)]
        for anchor in anchors
        for name in ("The creek", "Seal", "Lines &amp; sums")
        if name in anchor
    }
    assert found["The creek"] == [0, 1] and found["Seal"] == [9, 10]
    assert found["Lines &amp; sums"] == [2, 8]


def test_a_chart_follows_its_lines(parts: dict[str, bytes]) -> None:
    chart = text_of(parts, r"xl/charts/kept\d+-chart1\.xml")
    assert re.findall(r"<c:f>(.*?)</c:f>", chart) == ["'Sheet'!$A$9", "'Sheet'!$A$4:$A$7", "'Sheet'!$B$4:$B$7"]


def test_the_header_keeps_its_picture(parts: dict[str, bytes]) -> None:
    sheet = parts["xl/worksheets/sheet1.xml"].decode()
    assert "<oddHeader>&amp;L&amp;G&amp;CA &amp;&amp; B</oddHeader>" in sheet
    assert sheet.index("<drawing ") < sheet.index("<legacyDrawing ") < sheet.index("<legacyDrawingHF ")
    assert len([name for name in parts if name.endswith(".png")]) == 3
    assert openpyxl.load_workbook(BytesIO(drawn()))["Sheet"]["A6"].comment.text == "Ask Ann"


def test_every_part_is_related_and_has_a_kind(parts: dict[str, bytes]) -> None:
    """A part whose kind is not said is what makes a spreadsheet offer to repair the file."""
    kinds = parts["[Content_Types].xml"].decode()
    for name in parts:
        assert f'PartName="/{name}"' in kinds or f'Extension="{name.rpartition(".")[2]}"' in kinds, name
    for name, data in parts.items():
        if name.endswith(".rels"):
            for target in re.findall(rb'Target="/([^"]+)"', data):
                assert target.decode() in parts


def test_each_copy_has_a_drawing_of_its_own_and_pictures_once() -> None:
    parts = parts_of(2)
    assert len([name for name in parts if re.fullmatch(r"xl/drawings/kept\d+-drawing1\.xml", name)]) == 2
    assert len([name for name in parts if name.endswith(".png")]) == 3
    names = [name for name in sorted(parts) if name.startswith("xl/charts/kept") and "_rels" not in name]
    charts = [parts[name].decode() for name in names]
    assert [re.findall(r"<c:f>(.*?)</c:f>", chart)[0] for chart in charts] == ["'Sheet'!$A$9", "'Sheet 2'!$A$9"]


def test_the_file_has_no_fault_that_the_template_has_not(parts: dict[str, bytes]) -> None:
    held = BytesIO()
    with zipfile.ZipFile(held, "w") as package:
        for name, data in parts.items():
            package.writestr(name, data)
    found = {fault.partition(": ")[2] for fault in faults(held.getvalue(), any_function=True)}
    assert found <= {fault.partition(": ")[2] for fault in faults(drawn(), any_function=True)}


def test_what_a_sheet_has_beside_its_cells() -> None:
    (kept,) = kept_sheets(package_of("paper.xlsx", drawn())).values()
    assert kept.header == (("oddHeader", "&L&G&Cqk_name"),)
    assert [element for element, _ in kept.drawings] == ["drawing", "legacyDrawingHF"]


@pytest.mark.parametrize("letters", [10, 200, 240, 260, 3000])
def test_a_header_is_never_longer_than_a_spreadsheet_takes(letters: int) -> None:
    """A file with more than 255 letters in one is not opened without repair; page numbers stay where names are cut."""
    from quotekit.workbook.keep_drawings import _filled

    text = _filled(
        '&L&"Arial"&8qk_shop_name · Bill qk_number&R&8Page &P of &N', {"shop_name": "ä" * letters, "number": "7"}
    )
    assert len(text) <= 255 and text.endswith("Bill 7&R&8Page &P of &N")
    assert ("…" in text) == (letters > 200)
    assert _filled("qk_shop_name", {"shop_name": "A & B"}) == "A && B"


def test_what_will_not_come_over_is_told() -> None:
    """The document is written all the same; whoever restyled the template should know what it will not have."""
    held = BytesIO()
    book = xlsxwriter.Workbook(held, {"in_memory": True})
    sheet = book.add_worksheet("Sheet")
    sheet.write("A1", "qk_name")
    book.define_name("qk_sheet_paper", "=Sheet!$A$1")
    sheet.add_sparkline("C1", {"range": "Sheet!D1:F1"})
    sheet.conditional_format("B1:B9", {"type": "data_bar", "data_bar_2010": True})
    sheet.conditional_format("E1:E9", {"type": "cell", "criteria": ">", "value": 5, "format": book.add_format()})
    other = book.add_worksheet("Terms")
    other.add_sparkline("A1", {"range": "Terms!D1:F1"})
    book.close()
    filling = SheetFilling(role="paper", values={"name": "A"})
    data, problems = fill_template(template_of("paper.xlsx", held.getvalue()), [filling])
    assert data is not None
    assert {(one.code, one.severity, str(one.place)) for one in problems} == {
        ("template-loses", "warning", "paper.xlsx:Sheet"),
        ("template-loses", "warning", "paper.xlsx:Terms"),
    }
    assert ["charts inside cells" in one.message for one in problems].count(True) == 2
    assert ["conditional formats of newer kinds" in one.message for one in problems].count(True) == 1


def test_a_picture_inside_a_cell_is_told() -> None:
    """Newer spreadsheets put a logo into the cell itself, by a mark of the cell; the document would show an error."""
    held = BytesIO()
    with zipfile.ZipFile(BytesIO(drawn())) as old, zipfile.ZipFile(held, "w") as new:
        for name in old.namelist():
            part = old.read(name)
            new.writestr(name, part.replace(b'<c r="A1"', b'<c r="A1" vm="1"') if "sheet1" in name else part)
    filling = SheetFilling(role="paper", values={"name": "A"}, tables={"lines": ROWS})
    data, problems = fill_template(template_of("paper.xlsx", held.getvalue()), [filling])
    assert data is not None
    assert [one.code for one in problems] == ["template-loses"] and "pictures inside cells" in problems[0].message


def test_ordinary_templates_lose_nothing() -> None:
    _, problems = fill_template(
        template_of("paper.xlsx", drawn()), [SheetFilling(role="paper", values={"name": "A"}, tables={"lines": ROWS})]
    )
    assert problems == []
