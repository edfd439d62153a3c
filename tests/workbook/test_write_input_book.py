"""An input workbook: text stays text, values carry their format, headers explain themselves."""

from __future__ import annotations

from datetime import datetime
from io import BytesIO
from typing import Any

import openpyxl
import pytest

from quotekit.workbook.columns import JOB_FIELDS, LABOUR_RATES, MARKUP, PARTS, SHOP, SHOP_SETTINGS
from quotekit.workbook.input_sheet import InputSheet, field_sheet, table_sheet
from quotekit.workbook.job_lists import CodeList
from quotekit.workbook.lists_sheet import LISTS, lay_out_lists
from quotekit.workbook.write_blank import job_bytes, shop_book_bytes
from quotekit.workbook.write_input_book import HELP_HEADER, START, input_book_bytes
from tests.build import a_finding
from tests.workbook.class_shop import class_shop


def written(*sheets: InputSheet, lists: tuple[CodeList, ...] = ()) -> Any:
    """The workbook of some sheets, as a second library reads it."""
    data = input_book_bytes("Title", ("1. First.", "2. Second."), sheets, lists=lay_out_lists(lists))
    return openpyxl.load_workbook(BytesIO(data))


def test_text_that_looks_like_something_else_stays_text() -> None:
    row = {"Code": "007", "Part": "=1+1", "Supplier's number": "1E5", "Unit": "http://a.example"}
    page = written(table_sheet(PARTS, (row,)))["Parts"]
    cells = {page.cell(2, number).value: page.cell(3, number) for number in range(1, page.max_column + 1)}
    assert {name: cells[name].value for name in row} == row
    assert {cells[name].data_type for name in row} == {"s"}
    assert cells["Code"].number_format == "@"
    assert cells["Unit"].hyperlink is None


def test_values_carry_their_format() -> None:
    rate = {"Code": "MAIN", "Rate per hour": "1,095.50", "In force from": "2026-03-01"}
    book = written(
        table_sheet(LABOUR_RATES, (rate,)), table_sheet(MARKUP, ({"Cost over": "0", "Markup": "120%"},)), _shop()
    )
    money, day = book["Labour rates"]["C3"], book["Labour rates"]["E3"]
    assert (money.value, money.number_format) == (1095.5, "#,##0.00")
    assert (day.value, day.number_format) == (datetime(2026, 3, 1), "yyyy-mm-dd")
    assert (book["Markup"]["C3"].value, book["Markup"]["C3"].number_format) == (1.2, "0%")
    assert book["Markup"]["B3"].value is None
    percent = _beside(book["Shop"], "Supplies percent of labour")
    assert (percent.value, percent.number_format) == (0.05, "0.00%")


def test_required_headers_are_bold_and_every_header_explains_itself() -> None:
    page = written(table_sheet(PARTS))["Parts"]
    notes = {str(rule.sqref): rule.prompt.replace("\n", " ") for rule in page.data_validations.dataValidation}
    for number, column in enumerate(PARTS.columns, start=1):
        header = page.cell(2, number)
        assert bool(header.font.b) == column.required, column.header
        assert notes[header.coordinate] == ("Required. " if column.required else "") + column.help
    assert page["A1"].value == PARTS.help


def test_headers_stay_in_view() -> None:
    for page in written(table_sheet(PARTS), _shop()).worksheets[1:]:
        assert page.freeze_panes == "B3"
        assert page.print_title_rows == "$2:$2"


def test_fields_say_what_to_put_and_what_a_blank_means() -> None:
    page = written(_shop())["Shop"]
    assert page["C2"].value == HELP_HEADER
    assert [page.cell(row, 1).value for row in range(3, page.max_row + 1)] == [field.name for field in SHOP_SETTINGS]
    assert _beside(page, "Quote valid days", 3).value.endswith("Blank means 30.")
    assert _beside(page, "Currency", 3).value.startswith("Required.")


def test_only_used_leaves_out_what_the_rows_do_not_fill() -> None:
    rows = ({"Code": "MAIN", "Rate per hour": "80"},)
    assert [column.header for column in table_sheet(LABOUR_RATES, rows, only_used=True).columns] == [
        "Code",
        "Rate per hour",
    ]
    assert [field.name for field in field_sheet(SHOP, {"Currency": "USD"}, only_used=True).fields] == ["Currency"]


def test_a_long_cell_gets_the_height_it_needs() -> None:
    """A program that keeps the stored height must still show every line."""
    row = {"Code": "A", "Part": "a long name of a part " * 6, "Supplier": "S"}
    page = written(table_sheet(PARTS, (row, {"Code": "B", "Part": "short"})))["Parts"]
    assert page.row_dimensions[3].height > 35
    assert page.row_dimensions[4].height is None


def test_the_first_sheet_explains_in_ten_lines() -> None:
    for data in (shop_book_bytes({}), job_bytes(None)):
        page = openpyxl.load_workbook(BytesIO(data))[START]
        lines = [row[0].value for row in page.iter_rows(min_row=3)]
        assert [line.split(".")[0] for line in lines] == [str(number) for number in range(1, 11)]
        assert max(map(len, lines)) <= 118


def test_the_first_sheet_tells_what_to_do_next() -> None:
    """Also where the menu is, which a person who only knows a spreadsheet looks for; and which format is read."""
    for data, names in (
        (shop_book_bytes({}), ("quotekit new jobs --book", "quotekit check", "menu Quote", ".xlsx")),
        (job_bytes(None), ("menu Quote", "quotekit quote", "machine class before the findings", ".xlsx")),
    ):
        page = openpyxl.load_workbook(BytesIO(data))[START]
        text = " ".join(row[0].value for row in page.iter_rows(min_row=3))
        assert [name for name in names if name not in text] == []
        assert text.count("quotekit addin install") == 1


def test_lists_stand_side_by_side_and_their_ranges_end_where_they_end() -> None:
    lists = (
        CodeList(sheets=("Machines",), headers=("Code", "In words"), rows=(("A", "First"), ("B", "Second"))),
        CodeList(sheets=("Remedies", "Extras"), headers=("Code",), rows=(("C",),)),
    )
    book = written(table_sheet(PARTS), lists=lists)
    assert {name: defined.attr_text for name, defined in book.defined_names.items()} == {
        "list_Machines": "Lists!$A$3:$A$4",
        "list_Remedies_Extras": "Lists!$D$3:$D$3",
    }
    assert (book[LISTS]["B4"].value, book[LISTS]["D3"].value) == ("Second", "C")


def test_a_text_that_no_cell_can_hold_is_refused() -> None:
    with pytest.raises(ValueError, match="cannot hold"):
        written(table_sheet(PARTS, ({"Code": "A" * 40000},)))


def test_job_fields_with_words_offer_them() -> None:
    page = openpyxl.load_workbook(BytesIO(job_bytes(None)))["Job"]
    row = 3 + [field.name for field in JOB_FIELDS].index("Old parts")
    rules = {str(rule.sqref): rule for rule in page.data_validations.dataValidation}
    assert rules[f"B{row}"].formula1 == '"keep,show,dispose"'
    assert rules[f"B{row}"].errorStyle == "warning"


def _shop() -> InputSheet:
    return field_sheet(SHOP, {"Shop name": "Shop", "Supplies percent of labour": "5%"})


def _beside(page: Any, name: str, column: int = 2) -> Any:
    row = next(row for row in range(3, page.max_row + 1) if page.cell(row, 1).value == name)
    return page.cell(row, column)


def test_a_column_that_fills_itself_in_prints_no_blank_pages() -> None:
    """A formula that shows nothing is printed all the same: rows enough for a page, and for every finding there is."""
    for count in (0, 3, 55):
        rows = {"Findings": tuple({"Finding": "BORE"} for _ in range(count))}
        page = openpyxl.load_workbook(BytesIO(job_bytes(class_shop(), rows)))["Findings"]
        assert page["C2"].value == "What to measure"
        filled = [cell.row for cell in page["C"][2:] if cell.data_type == "f"]
        assert filled == list(range(3, 3 + max(count, 40)))
        assert page.max_row == filled[-1]


def test_a_long_measure_makes_no_row_higher() -> None:
    """It runs on into the free cell beside it: rows picked later could not grow with it either."""
    long = class_shop(findings=[a_finding("BORE", measure="Bore at its widest place, all around, twice")])
    page = openpyxl.load_workbook(BytesIO(job_bytes(long, {"Findings": ({"Finding": "BORE"},)})))["Findings"]
    assert page.row_dimensions[3].height is None
