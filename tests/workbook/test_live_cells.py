"""What makes a sheet follow a choice: lists, formulas, names, hidden and protected sheets, read by other programs."""

from __future__ import annotations

import io
import re
import subprocess
import zipfile
from dataclasses import replace
from datetime import date
from decimal import Decimal
from pathlib import Path
from typing import Any

import openpyxl
import pytest

from quotekit.documents.sheet import (
    Cell,
    Look,
    NamedRange,
    Properties,
    Row,
    Sheet,
    WorkbookValue,
    money,
    number,
    row,
    text,
)
from quotekit.workbook.write_sheet import CannotWrite, workbook_bytes

D = Decimal
LOOKS = {"body": Look(), "money": Look(), "number": Look(), "pick": Look(unlocked=True, box=True)}
FORMATS: Any = {"money": '"$"#,##0.00', "number": "0"}
PICKED = '=IF(chosen_tier="","–","Taken: "&chosen_tier)'


def workbook(*sheets: Sheet, **changed: Any) -> WorkbookValue:
    """A workbook of given sheets."""
    properties = Properties(author="Hill Road Small Engines", created=date(2026, 1, 2))
    return replace(WorkbookValue(sheets=sheets, properties=properties, formats=FORMATS, looks=LOOKS), **changed)


def one(*rows: Row, **changed: Any) -> WorkbookValue:
    """A workbook of one sheet."""
    return workbook(Sheet(name="Quote", rows=rows, widths=(20, 12, 12), **changed))


def live() -> WorkbookValue:
    """A small quote that follows its choice: a list of options, a tick, a sum and a hidden sheet of figures."""
    pick = Cell(
        style="pick", across=2, choices="=Working!$A$1:$A$2", prompt="Pick one of the options.", name="chosen_tier"
    )
    tick = Cell(content="☐", kind="text", style="pick", choices="☐,☑,Yes,No", name="extra_BELT")
    sum_ = (
        '=IF(chosen_tier="",0,INDEX(Working!$B$1:$B$2,MATCH(chosen_tier,Working!$A$1:$A$2,0))+IF(extra_BELT="☑",30,0))'
    )
    visible = Sheet(
        name="Quote",
        rows=(
            row(text("Your choice"), pick),
            row(text("A new belt"), tick),
            row(text("Total"), money(D(0), formula=sum_, name="total_to_pay")),
            row(Cell(content="–", kind="text", formula=PICKED, across=2), text("off the page")),
        ),
        widths=(20, 12, 12, 30),
        protected=True,
        printed_columns=3,
    )
    hidden = Sheet(
        name="Working",
        rows=(row(text("Good"), number(100)), row(text("Best"), number(250))),
        widths=(10, 10),
        hidden=True,
    )
    offered = NamedRange(name="offered", sheet="Working", first_row=0, first_column=0, last_row=1, last_column=1)
    return workbook(hidden, visible, names=(offered,))


def read(value: WorkbookValue) -> Any:
    """The file as another library sees it."""
    return openpyxl.load_workbook(io.BytesIO(workbook_bytes(value)))


def part(value: WorkbookValue, name: str) -> str:
    """One part of the file."""
    with zipfile.ZipFile(io.BytesIO(workbook_bytes(value))) as package:
        return package.read(name).decode()


def test_the_same_live_value_gives_the_same_bytes() -> None:
    assert workbook_bytes(live()) == workbook_bytes(live())


def test_lists_offer_and_never_forbid() -> None:
    """A list of texts or a range, blank allowed; other input only brings a word of information."""
    found = {str(one.sqref): one for one in read(live())["Quote"].data_validations.dataValidation}
    assert {where: one.formula1 for where, one in found.items()} == {
        "B1:C1": "Working!$A$1:$A$2",
        "B2": '"☐,☑,Yes,No"',
    }
    assert {(one.type, one.allowBlank, one.errorStyle) for one in found.values()} == {("list", True, "information")}
    assert not any(one.showDropDown for one in found.values())
    assert found["B1:C1"].prompt == "Pick one of the options." and found["B1:C1"].showInputMessage


def test_a_prompt_alone_allows_anything() -> None:
    (only,) = read(one(row(Cell(style="pick", prompt="Say when."))))["Quote"].data_validations.dataValidation
    assert (only.type, only.formula1, only.prompt) == (None, None, "Say when.")


@pytest.mark.parametrize("long", ["word " * 80, "x" * 256, "\U0001f527 " * 100, "a\x07b" * 90])
def test_a_long_prompt_is_cut(long: str) -> None:
    (only,) = read(one(row(Cell(prompt=long))))["Quote"].data_validations.dataValidation
    assert only.prompt.endswith("…") and len(only.prompt.encode("utf-16-le")) // 2 <= 255


def test_a_list_of_texts_with_quotes_is_kept() -> None:
    (only,) = read(one(row(Cell(choices='3/4" bolt,None'))))["Quote"].data_validations.dataValidation
    assert only.formula1 == '"3/4"" bolt,None"'


@pytest.mark.parametrize("choices", ["x," * 130 + "x", "Yes,,No", " ,Yes"])
def test_a_list_a_workbook_cannot_hold_is_refused(choices: str) -> None:
    with pytest.raises(CannotWrite, match="Quote!A1"):
        workbook_bytes(one(row(Cell(choices=choices))))


def test_a_formula_of_text_is_no_text_cell() -> None:
    """Marked as text, a program would show the formula itself; its value is stored as a text."""
    cell = Cell(content="Taken & paid", kind="text", formula='="Taken & paid"', format="@")
    page = read(one(row(cell, text("plain"))))["Quote"]
    assert (page["A1"].number_format, page["B1"].number_format) == ("General", "@")
    stored = part(one(row(cell)), "xl/worksheets/sheet1.xml")
    assert 't="str"><f>"Taken &amp; paid"</f><v>Taken &amp; paid</v>' in stored


def test_formulas_in_merged_cells_and_of_dates_keep_their_values() -> None:
    cells = (Cell(content="–", kind="text", formula='="–"', across=2), Cell(content=date(2026, 1, 2), formula="=46024"))
    stored = part(one(row(*cells)), "xl/worksheets/sheet1.xml")
    assert re.search(r'<c r="A1"[^>]* t="str"><f>"–"</f><v>–</v></c><c r="B1"[^>]*/>', stored)
    assert "<f>46024</f><v>46024</v>" in stored and '<mergeCell ref="A1:B1"/>' in stored


@pytest.mark.parametrize(
    ("formula", "content"),
    [
        ('=""', ""),
        ('=""', None),
        ("A1", "text"),
        ("=" + "+1" * 4100, D(1)),
        ("=NA()", "#N/A"),
        ("=A2", "bell \x07"),
        ("=A2", "x" * 32_768),
        ("=SORT(A2:A3)", D(1)),
        ('="FILTER("', "FILTER("),
    ],
)
def test_a_formula_without_a_value_a_reader_could_use_is_refused(formula: str, content: Any) -> None:
    with pytest.raises(CannotWrite, match="Quote!A1"):
        workbook_bytes(one(row(Cell(content=content, kind="text", formula=formula))))


def test_names_lead_to_their_cells() -> None:
    names = {name: defined.attr_text for name, defined in read(live()).defined_names.items()}
    assert names == {
        "chosen_tier": "'Quote'!$B$1",
        "extra_BELT": "'Quote'!$B$2",
        "total_to_pay": "'Quote'!$B$3",
        "offered": "'Working'!$A$1:$B$2",
    }


def test_a_sheet_name_with_a_quote_is_quoted_in_its_names() -> None:
    value = workbook(Sheet(name="Joe's", rows=(row(Cell(content=1, kind="number", name="here")),), widths=(9,)))
    assert read(value).defined_names["here"].attr_text == "'Joe''s'!$A$1"


@pytest.mark.parametrize("names", [("total", "TOTAL"), ("two words",), ("A1",), ("extra_A-B",), ("R1C1",)])
def test_a_name_a_workbook_cannot_hold_is_refused(names: tuple[str, ...]) -> None:
    with pytest.raises(CannotWrite, match=re.escape(names[-1])):
        workbook_bytes(one(row(*(Cell(content=1, kind="number", name=name) for name in names))))


def test_a_name_for_a_sheet_that_is_not_there_is_refused() -> None:
    nowhere = NamedRange(name="gone", sheet="Old", first_row=0, first_column=0, last_row=0, last_column=0)
    with pytest.raises(CannotWrite, match="no sheet Old"):
        workbook_bytes(replace(one(row(text("x"))), names=(nowhere,)))


def test_a_hidden_first_sheet_is_not_the_one_that_opens() -> None:
    book = read(live())
    assert {sheet.title: sheet.sheet_state for sheet in book} == {"Working": "hidden", "Quote": "visible"}
    assert book.active.title == "Quote"


def test_a_workbook_of_hidden_sheets_is_refused() -> None:
    with pytest.raises(CannotWrite, match="not hidden"):
        workbook_bytes(one(row(text("x")), hidden=True))


def test_protection_leaves_the_choice_cells_open_and_has_no_password() -> None:
    page = read(live())["Quote"]
    protection = page.protection
    assert protection.sheet and protection.objects and protection.scenarios and protection.password is None
    assert not (protection.formatColumns or protection.formatRows)
    assert not (protection.selectLockedCells or protection.selectUnlockedCells)
    assert not page["B1"].protection.locked and page["B3"].protection.locked
    assert not read(live())["Working"].protection.sheet


def test_only_the_printed_columns_are_in_the_print_area() -> None:
    assert str(read(live())["Quote"].print_area).endswith("$A$1:$C$4")


def test_the_file_says_only_who_made_it() -> None:
    core, app = part(live(), "docProps/core.xml"), part(live(), "docProps/app.xml")
    assert "<dc:creator>Hill Road Small Engines</dc:creator>" in core
    assert "<Company>Hill Road Small Engines</Company>" in app
    assert "title" not in core and "subject" not in core
    named = replace(live(), properties=replace(live().properties, title="Costing 7", subject="For the shop"))
    core = part(named, "docProps/core.xml")
    assert "<dc:title>Costing 7</dc:title><dc:subject>For the shop</dc:subject>" in core


def test_a_spreadsheet_recalculates_what_is_picked(soffice: str, tmp_path: Path) -> None:
    """Picked by another program, opened and saved by LibreOffice: the formulas follow, and what is set is kept."""
    book = read(live())
    book["Quote"]["B1"], book["Quote"]["B2"] = "Best", "☑"
    book.save(tmp_path / "picked.xlsx")
    (tmp_path / "sent.xlsx").write_bytes(workbook_bytes(live()))
    profile = f"-env:UserInstallation={(tmp_path / 'profile').as_uri()}"
    out = tmp_path / "out"
    files = [str(tmp_path / name) for name in ("picked.xlsx", "sent.xlsx")]
    command = [soffice, "--headless", profile, "--convert-to", "xlsx", "--outdir", str(out), *files]
    subprocess.run(command, check=True, capture_output=True, timeout=120)
    picked = openpyxl.load_workbook(out / "picked.xlsx", data_only=True)["Quote"]
    assert (picked["B3"].value, picked["A4"].value) == (280, "Taken: Best")
    sent = openpyxl.load_workbook(out / "sent.xlsx", data_only=True)
    assert (sent["Quote"]["B3"].value, sent["Quote"]["A4"].value) == (0, "–")
    assert sent["Quote"].protection.sheet and sent["Working"].sheet_state == "hidden"
    kept = {str(each.sqref): each.formula1 for each in sent["Quote"].data_validations.dataValidation}
    assert kept.keys() == {"B1:C1", "B2"} or kept.keys() == {"B1", "B2"}
