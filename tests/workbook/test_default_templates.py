"""The shop's first templates: whole, the same bytes each time, and filled without a word of theirs left."""

from __future__ import annotations

from io import BytesIO
from pathlib import Path
from typing import Any

import openpyxl
import pytest

from quotekit.workbook.fill_template import template_of
from quotekit.workbook.find_template import TEMPLATES, TemplateName, default_template, default_templates, find_template
from quotekit.workbook.template_builder import LOOKS, Drawn, Line, draw_template
from tests.conformity.lint import faults
from tests.workbook.filled_everywhere import filled_everywhere

NAMES: list[TemplateName] = ["work order", "parts order", "bill"]


def plans(name: TemplateName) -> list[Any]:
    return list(TEMPLATES[name])


@pytest.mark.parametrize("name", NAMES)
@pytest.mark.parametrize("rows", [0, 1, 12])
def test_every_mark_is_filled(name: TemplateName, rows: int) -> None:
    """No mark is left, no cell is torn from its merge, and the page ends below the last row."""
    for sheet in openpyxl.load_workbook(BytesIO(filled_everywhere(name, rows))).worksheets:
        texts = [str(cell.value) for row in sheet.iter_rows() for cell in row if cell.value is not None]
        assert not [text for text in texts if text.startswith("qk_")]
        last = int(sheet.print_area.rpartition("$")[2])
        assert last == sheet.max_row
        assert sheet.page_setup.fitToWidth in (None, 1) and sheet.sheet_properties.pageSetUpPr.fitToPage


@pytest.mark.parametrize("name", NAMES)
def test_the_filled_template_has_no_fault(name: TemplateName) -> None:
    assert faults(filled_everywhere(name, 3), any_function=True) == []


@pytest.mark.parametrize("name", NAMES)
def test_a_table_without_rows_takes_its_title_along(name: TemplateName) -> None:
    empty = {str(cell.value) for cell in cells(filled_everywhere(name, 0))}
    full = {str(cell.value) for cell in cells(filled_everywhere(name, 2))}
    for plan in plans(name):
        for table in plan.lines:
            if isinstance(table, Line):
                continue
            assert table.title.content in full or table.title.content.startswith("qk_")
            assert (table.title.content in empty) is not table.goes or table.title.content == "Part"


def cells(data: bytes) -> list[Any]:
    book = openpyxl.load_workbook(BytesIO(data))
    return [cell for sheet in book.worksheets for row in sheet.iter_rows() for cell in row]


@pytest.mark.parametrize("name", NAMES)
def test_the_same_bytes_each_time(name: TemplateName) -> None:
    assert default_template(name) == default_template(name)
    assert default_template(name, "A4") != default_template(name, "Letter")


@pytest.mark.parametrize("name", NAMES)
def test_every_look_and_every_column_is_known(name: TemplateName) -> None:
    """A cell beyond the last column, or over another cell, would be lost on paper."""
    for plan in plans(name):
        for part in plan.lines:
            lines = [part.cells] if isinstance(part, Line) else [(part.title, *part.headers), part.columns, *(
                line.cells for line in part.after
            )]  # fmt: skip
            for line in lines:
                taken: set[int] = set()
                for cell in line:
                    assert cell.look in LOOKS
                    columns = columns_of(cell)
                    assert not columns & taken and max(columns) <= len(plan.widths)
                    taken |= columns


def columns_of(cell: Drawn) -> set[int]:
    first, _, last = cell.columns.partition(":")
    return set(range(ord(first) - 64, ord(last or first) - 63))


@pytest.mark.parametrize("name", NAMES)
def test_every_entry_cell_is_marked(name: TemplateName) -> None:
    """What is filled in by hand must be found again."""
    for plan in plans(name):
        for part in plan.lines:
            for cell in part.cells if isinstance(part, Line) else part.columns:
                if cell.look.startswith("entry"):
                    assert cell.content.startswith("qk_")


def test_a_mark_in_two_cells_is_filled_in_both() -> None:
    """The bill says what is to be paid at its head and at its end."""
    values = [cell.value for cell in cells(filled_everywhere("bill", 1)) if cell.value == "value of due"]
    assert len(values) == 2


def test_the_owners_template_is_found_first(tmp_path: Path) -> None:
    mine, theirs = tmp_path / "mine", tmp_path / "theirs"
    for folder in (mine, theirs):
        folder.mkdir()
    (theirs / "bill.xlsx").write_bytes(default_template("bill", "A4"))
    template, problems = find_template("bill", [mine, theirs], "Letter")
    assert template is not None and problems == []
    assert template.package.data == default_template("bill", "A4")
    own, _ = find_template("bill", [mine], "Letter")
    assert own is not None and own.package.data == default_template("bill", "Letter")


def test_an_owners_template_that_cannot_be_read_is_a_problem(tmp_path: Path) -> None:
    """And is not passed over in silence."""
    (tmp_path / "bill.xlsx").write_text("not a workbook")
    template, problems = find_template("bill", [tmp_path])
    assert template is None
    assert [(one.code, one.place.file) for one in problems] == [("not-a-workbook", "bill.xlsx")]


def test_the_templates_of_the_repository_are_these() -> None:
    """They are built by examples/build_examples.py, as all blank workbooks."""
    folder = Path(__file__).parents[2] / "workbook_templates"
    assert {name: (folder / name).read_bytes() for name in default_templates()} == default_templates()


def test_a_plan_is_drawn_as_it_says() -> None:
    from quotekit.workbook.template_builder import PlannedSheet

    plan = PlannedSheet(
        title="Page", role="page", widths=(5.0, 20.0), footer="Footer qk_x", landscape=True,
        lines=(Line(cells=(Drawn("A", "...", "entry"), Drawn("B", "qk_x", "fact")), block="x", height=30.0),),
    )  # fmt: skip
    sheet = openpyxl.load_workbook(BytesIO(draw_template("Page", [plan], "A4"))).active
    assert (sheet["A1"].value, sheet["B1"].value, sheet.row_dimensions[1].height) == (None, "qk_x", 30)
    assert sorted(sheet.defined_names) == ["qk_block_x", "qk_sheet_page", "qk_x"]
    assert (sheet.page_setup.orientation, sheet.page_setup.paperSize) == ("landscape", 9)
    assert "qk_x" in sheet.oddFooter.left.text


def test_a_template_cut_off_half_way_is_refused() -> None:
    from quotekit.workbook.package import BadPackage

    with pytest.raises(BadPackage):
        template_of("bill.xlsx", default_template("bill")[:2000])


def as_kind(data: bytes, kind: str) -> bytes:
    """A workbook whose package says that it is of another kind, as a spreadsheet saves a template (.xltx)."""
    import zipfile

    held = BytesIO()
    with zipfile.ZipFile(BytesIO(data)) as old, zipfile.ZipFile(held, "w") as new:
        for name in old.namelist():
            part = old.read(name)
            if name == "[Content_Types].xml":
                part = part.replace(b"spreadsheetml.sheet.main+xml", kind.encode())
            new.writestr(name, part)
    return held.getvalue()


@pytest.mark.parametrize("file", ["work order.xltx", "Work Order.XLTX", "WORK ORDER.xlsx"])
def test_a_template_of_the_spreadsheets_own_kind_gives_a_workbook(tmp_path: Path, file: str) -> None:
    """A document that says it is a template is not opened by the spreadsheet under the name .xlsx."""
    import zipfile

    from quotekit.workbook.fill_template import fill_template
    from tests.workbook.test_read_work_order import a_work_order

    data = as_kind(default_template("work order", "A4"), "spreadsheetml.template.main+xml")
    (tmp_path / file).write_bytes(data)
    template, problems = find_template("work order", [tmp_path], "Letter")
    assert template is not None and problems == [] and template.package.data == data
    document, problems = fill_template(template, [a_work_order()])
    assert problems == [] and document is not None
    kinds = zipfile.ZipFile(BytesIO(document)).read("[Content_Types].xml")
    assert b"spreadsheetml.sheet.main+xml" in kinds and b"template.main" not in kinds


@pytest.mark.parametrize("file", ["bill.ods", "Bill.xls", "bill.xlsm", "bill.ots"])
def test_a_template_of_another_kind_is_not_passed_over_in_silence(tmp_path: Path, file: str) -> None:
    (tmp_path / file).write_text("anything")
    template, problems = find_template("bill", [tmp_path])
    assert template is not None and template.package.data == default_template("bill")
    assert [(one.code, one.severity, one.place.file) for one in problems] == [("template-not-used", "warning", file)]


def test_other_files_of_the_folder_are_no_matter(tmp_path: Path) -> None:
    """Nor is another kind of file beside the one that is used."""
    for file in ("bill.docx", "bill 2.xlsx", "my bill.ods", "bill.ods"):
        (tmp_path / file).write_text("anything")
    (tmp_path / "bill.xlsx").write_bytes(default_template("bill", "A4"))
    template, problems = find_template("bill", [tmp_path / "none", tmp_path], "Letter")
    assert template is not None and problems == [] and template.package.data == default_template("bill", "A4")
