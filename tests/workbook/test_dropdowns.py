"""Notes and lists of the cells people fill in, for every column and field of both workbooks."""

from __future__ import annotations

from io import BytesIO
from typing import Any

import openpyxl
import pytest

from quotekit.workbook.column import Column, Field
from quotekit.workbook.columns import JOB_FIELDS, JOB_FINDINGS, JOB_WORKBOOK, SHOP_BOOK, SHOP_SETTINGS
from quotekit.workbook.dropdowns import MOST_MESSAGE, MOST_TITLE, help_on, validation
from quotekit.workbook.input_sheet import Guide
from quotekit.workbook.write_blank import MEASURE_GUIDE, job_bytes, shop_book_bytes
from tests.workbook.class_shop import class_shop

EVERY = [
    *((sheet.name, column) for sheet in (*SHOP_BOOK, *JOB_WORKBOOK) for column in sheet.columns),
    *(("Shop", field) for field in SHOP_SETTINGS),
    *(("Job", field) for field in JOB_FIELDS),
    ("Findings", MEASURE_GUIDE),
]


def test_every_note_fits_whole_into_a_cell() -> None:
    """A note is never cut: what does not fit is to be said shorter. A long title ends after a whole word."""
    for sheet, cell in EVERY:
        said = help_on(cell)
        assert 0 < len(str(said["input_title"])) <= MOST_TITLE, (sheet, said)
        assert len(str(said["input_message"])) <= MOST_MESSAGE and cell.help in str(said["input_message"]), (
            sheet,
            said,
        )


def test_a_long_title_ends_after_a_word() -> None:
    (limit,) = (field for field in SHOP_SETTINGS if field.name == "Call the customer when over percent")
    assert help_on(limit)["input_title"] == "Call the customer when over…"


@pytest.fixture(scope="module")
def written() -> dict[str, Any]:
    """Both workbooks with every sheet, as a second library reads them."""
    return {
        "shop book": openpyxl.load_workbook(BytesIO(shop_book_bytes({}, all_sheets=True))),
        "job": openpyxl.load_workbook(BytesIO(job_bytes(class_shop()))),
    }


def rule_of(page: Any, address: str) -> Any:
    """The one rule of a cell."""
    (rule,) = (each for each in page.data_validations.dataValidation if address in each.sqref)
    return rule


def said(rule: Any) -> str:
    """Its note in one line."""
    return str(rule.prompt).replace("\n", " ")


def test_every_cell_to_fill_in_says_what_goes_there(written: dict[str, Any]) -> None:
    """On the header, in the first row and in the last one with a drop-down."""
    seen = 0
    for name, declared in (("shop book", SHOP_BOOK), ("job", JOB_WORKBOOK)):
        for sheet in declared:
            page = written[name][sheet.name]
            headers = {cell.value: cell.column_letter for cell in page[2]}
            rows = (2,) if sheet.name in ("Shop", "Job") else (2, 3, 302)
            for column in sheet.columns:
                for row in rows:
                    rule = rule_of(page, f"{headers[column.header]}{row}")
                    assert rule.showInputMessage and column.help in said(rule), (sheet.name, column.header, row)
                    seen += 1
    assert seen > 300


@pytest.mark.parametrize(
    ("book", "sheet", "fields"), [("shop book", "Shop", SHOP_SETTINGS), ("job", "Job", JOB_FIELDS)]
)
def test_every_setting_and_field_says_what_goes_there(
    written: dict[str, Any], book: str, sheet: str, fields: tuple[Field, ...]
) -> None:
    for row, field in enumerate(fields, start=3):
        rule = rule_of(written[book][sheet], f"B{row}")
        assert field.help in said(rule), field.name
        assert (rule.type == "list") == bool(rule.formula1)


def test_the_note_of_measured_tells_where_the_unit_stands(written: dict[str, Any]) -> None:
    """The technician's question at the bench: measure what, in which unit?"""
    (measured,) = (column for column in JOB_FINDINGS.columns if column.header == "Measured")
    assert "What to measure" in measured.help and "unit" in measured.help
    page = written["job"]["Findings"]
    headers = [cell.value for cell in page[2]]
    assert headers[headers.index("What to measure") + 1] == "Measured"


def test_a_word_warns_and_a_code_only_offers() -> None:
    """A cell may hold several codes: a list must not refuse them. A word that is not one of the list is never read."""
    word = validation(Column(header="Kind", kind="word", words=("part", "sublet"), help="What."), {})
    code = validation(Column(header="Part", kind="code", refers_to=("Parts",), help="Which."), {"list_Parts": "=A"})
    assert (word["source"], word["show_error"], word["error_type"]) == (["part", "sublet"], True, "warning")
    assert (code["source"], code["show_error"]) == ("=list_Parts", False)


@pytest.mark.parametrize(
    ("cell", "offered"),
    [
        (Column(header="Name", help="Any."), None),
        (Column(header="Part", kind="code", refers_to=("Parts",), help="A list that the workbook lacks."), None),
        (Column(header="Asked", kind="yes/no", help="Yes or no."), ["Yes", "No"]),
        (Field(name="Old parts", kind="word", words=("keep",), help="Which."), ["keep"]),
    ],
)
def test_what_a_cell_offers(cell: Column | Field, offered: object) -> None:
    rule = validation(cell, {})
    assert rule.get("source") == offered
    assert rule["validate"] == ("any" if offered is None else "list")
    assert rule["input_message"]


def test_a_source_given_stands_in_place_of_the_declared_list() -> None:
    side = Column(header="Side", kind="sides", help="Which.")
    assert validation(side, {"list_Sides": "=A"}, "=OFFSET(a,0,0,1,1)")["source"] == "=OFFSET(a,0,0,1,1)"


def test_a_note_is_shown_a_sentence_a_line() -> None:
    """LibreOffice shows a note as wide as its longest line, over half the sheet."""
    asked = Column(header="Code", required=True, help="A short code. Kept as text, 7.25 too.")
    assert validation(asked, {})["input_message"] == "Required.\nA short code.\nKept as text, 7.25 too."
    for _, cell in EVERY:
        if not isinstance(cell, Guide):
            assert max(map(len, str(validation(cell, {})["input_message"]).split("\n"))) <= 130, cell
