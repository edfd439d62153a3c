"""Shop books that are hard to change without harm: what the owner may have put beside and onto the sheets we read.

They can be priced from, so that the real commands are tried with them. Results are stored as a spreadsheet would.
"""

from __future__ import annotations

import io
from collections.abc import Mapping
from datetime import date, datetime
from typing import Any

import xlsxwriter

from tests.cli.price_shop import parts_with_everything
from tests.in_place import awkward
from tests.in_place.awkward import png
from tests.in_place.members import parts_of

COSTS = (22.0, 19.5, 15.0)
"""Pack costs of the parts, as they are before."""


def shop(*, macros: bool = False, date_1904: bool = False) -> bytes:
    """A shop book whose sheet Parts is a table with charts, comments, pictures, checkboxes and extensions on it."""
    held = io.BytesIO()
    book = xlsxwriter.Workbook(held, {"in_memory": True, "date_1904": date_1904})
    looks = {
        "money": book.add_format({"num_format": '#,##0.00" €"', "bg_color": "#FFEE00"}),
        "day": book.add_format({"num_format": "yyyy-mm-dd"}),
        "percent": book.add_format({"num_format": "0%"}),
        "bold": book.add_format({"bold": True}),
    }
    sheets = parts_with_everything()
    _parts(book, book.add_worksheet("Parts"), sheets.pop("Parts"), looks)
    _sums(book.add_worksheet("My sums"), looks)
    for name, rows in sheets.items():
        _plain(book.add_worksheet(name), rows, looks)
    book.define_name("Raised", "='My sums'!$B$1")
    if macros:
        book.add_vba_project(io.BytesIO(b"\xd0\xcf\x11\xe0not a project" * 40), is_stream=True)
        page = book.get_worksheet_by_name("Parts")
        assert page is not None
        page.insert_button("T30", {"macro": "say", "caption": "Press"})
    book.close()
    return awkward._without_leading_slash(held.getvalue())


def _plain(page: Any, rows: list[list[object]], looks: Mapping[str, Any]) -> None:
    for at, row in enumerate(rows):
        for column, value in enumerate(row):
            percent = at > 0 and rows[0][column] in ("Markup", "Rate")
            _write(page, at, column, value, looks, looks["percent"] if percent else None)


def _write(page: Any, at: int, column: int, value: object, looks: Mapping[str, Any], look: Any = None) -> None:
    if isinstance(value, str):
        page.write_string(at, column, value, look)
    elif isinstance(value, date):
        page.write_datetime(at, column, datetime(value.year, value.month, value.day), looks["day"])
    elif value is not None:
        page.write_number(at, column, value, look)


def _parts(book: Any, page: Any, rows: list[list[object]], looks: Mapping[str, Any]) -> None:
    page.set_column("A:A", 14, looks["bold"])
    page.set_column("J:J", 12, looks["day"])
    _plain(page, rows, looks)
    for at, row in enumerate(rows[1:], start=1):
        page.write_number(at, 3, row[3], looks["money"])
        page.write_formula(at, 11, f"=D{at + 1}/C{at + 1}", looks["money"], COSTS[at - 1] / (4, 1, 10)[at - 1])
    columns = [{"header": str(one)} for one in rows[0]]
    page.add_table(0, 0, 3, len(columns) - 1, {"name": "Bought", "columns": columns, "autofilter": True})
    page.write_string("L1", "Each")
    page.write_comment("D3", "asked in spring", {"author": "the owner"})
    page.write_rich_string("M2", "old ", looks["bold"], "and", " new")
    page.insert_checkbox("N2", True)
    page.insert_checkbox("N3", False)
    page.conditional_format("D2:D4", {"type": "data_bar", "data_bar_2010": True})
    page.conditional_format("F2:F4", {"type": "icon_set", "icon_style": "3_arrows"})
    page.add_sparkline("O2", {"range": "Parts!D2:D4"})
    page.data_validation("D2:D4", {"validate": "decimal", "criteria": ">=", "value": 0})
    page.insert_image("P2", "dot.png", {"image_data": io.BytesIO(png())})
    page.insert_textbox("P8", "prices of spring")
    page.set_header("&L&G", {"image_left": "dot.png", "image_data_left": io.BytesIO(png())})
    page.set_background(io.BytesIO(png()))
    page.ignore_errors({"number_stored_as_text": "A1:A40"})
    page.freeze_panes(1, 1)
    chart = book.add_chart({"type": "column"})
    chart.add_series({"categories": "=Parts!$A$2:$A$4", "values": "=Parts!$D$2:$D$4"})
    page.insert_chart("P14", chart)


def _sums(page: Any, looks: Mapping[str, Any]) -> None:
    """The owner's own sheet: results that hang on costs, by cells, a name, a table, an array; and one that does not."""
    total = sum(COSTS)
    page.write_string("A1", "Raised by")
    page.write_number("B1", 2)
    page.write_formula("A3", "=SUM(Parts!D2:D4)", looks["money"], total)
    page.write_formula("A4", '=IF(A3>60,"much","little")', None, "little" if total <= 60 else "much")
    page.write_formula("A5", "=A3*Raised", None, total * 2)
    page.write_formula("A6", "=SUM(Bought[Pack cost])", None, total)
    page.write_formula("A7", "=LEN(Parts!B2)", None, len("Bronze bushing"))
    page.write_array_formula("D1:D3", "{=Parts!D2:D4*2}", None, COSTS[0] * 2)
    page.write_number("D2", COSTS[1] * 2)
    page.write_number("D3", COSTS[2] * 2)
    page.merge_range("G1:H2", "merged", looks["money"])
    page.embed_image("J1", "dot.png", {"image_data": io.BytesIO(png())})


def linked() -> bytes:
    """A link to another workbook, slicers, threaded comments and a pivot table made from the parts."""
    parts = parts_of(shop())
    awkward.link(parts, b"[1]Old!A1+Parts!D3", b"21.5")
    return awkward.described(parts)


def all_shops(program: str | None = None, folder: Any = None) -> dict[str, bytes]:
    """Every awkward shop book by name; with LibreOffice also as that saves one."""
    parts = parts_of(shop())
    found = {
        "shop.xlsx": shop(),
        "macros.xlsm": shop(macros=True),
        "days of 1904.xlsx": shop(date_1904=True),
        "linked.xlsx": linked(),
        "wide.xlsx": awkward.wide(parts),
        "wide ending.xlsx": awkward.wide_ending(parts),
        "described wide.xlsx": awkward.described_wide(parts),
        "shuffled.xlsx": awkward.shuffled(parts),
    }
    if program is not None:
        found["saved by LibreOffice.xlsx"] = awkward.saved_in_office(shop(), program, folder)
    return found
