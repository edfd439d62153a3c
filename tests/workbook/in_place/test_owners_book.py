"""The workbook around the cells: tabs in order, names, tables."""

from __future__ import annotations

import pytest

from quotekit.workbook.in_place.owners_book import OwnersBook, look_at_cells, parts_around, read_owners_book
from quotekit.workbook.in_place.spans import Rectangle
from quotekit.workbook.package import package_of
from tests.workbook import raw_workbooks as raw
from tests.workbook.in_place.small_books import SHEET_LINKS, related


def book_of(parts: dict[str, raw.Part]) -> OwnersBook:
    """A workbook of these parts."""
    return read_owners_book(package_of("b.xlsx", raw.packed(parts)))


def three_sheets() -> dict[str, raw.Part]:
    """Three sheets, the second of which becomes a chart."""
    parts = raw.parts(sheets={"First": raw.sheet(""), "Chart": raw.sheet(""), "Last": raw.sheet("")})
    links = str(parts[raw.BOOK_RELATIONS])
    parts[raw.BOOK_RELATIONS] = links.replace(
        f'Id="s2" Type="{raw.RELATIONS}/worksheet"', f'Id="s2" Type="{raw.RELATIONS}/chartsheet"'
    )
    return parts


def test_a_sheet_that_is_a_chart_counts() -> None:
    """Stretches of sheets and names of a sheet are told by the number of the tab; nothing can be put into it."""
    book = book_of(three_sheets())
    assert book.sheets == {"first": 0, "chart": 1, "last": 2}
    assert (book.number_of("LAST"), book.number_of("Chart"), book.number_of("gone")) == (2, None, None)
    assert (book.name_of(2), book.part_of(2)) == ("Last", "xl/worksheets/sheet3.xml")


def test_names() -> None:
    """By sheet and in small letters; what stands between the tags is the name's meaning, entities read."""
    parts = raw.parts()
    names = (
        '<definedName name="Rate">S!$A$1</definedName><definedName name="Rate" localSheetId="0">S!$B$1</definedName>'
        '<definedName name="Both">S!$A$1&amp;"x"</definedName>'
    )
    parts[raw.BOOK] = str(parts[raw.BOOK]).replace("</sheets>", f"</sheets><definedNames>{names}</definedNames>")
    assert book_of(parts).names == {(None, "rate"): "S!$A$1", (0, "rate"): "S!$B$1", (None, "both"): 'S!$A$1&"x"'}


@pytest.mark.parametrize("target", ["../tables/t.xml", "/xl/tables/t.xml"])
def test_tables(target: str) -> None:
    """With columns whose names hold a line break, and however the link is written."""
    table = (
        f'<table xmlns="{raw.MAIN}" displayName="Costs" ref="B2:C9" headerRowCount="0" totalsRowCount="2">'
        '<tableColumns><tableColumn name="Net_x000a_cost"/><tableColumn name="b"/></tableColumns></table>'
    )
    parts = {**raw.parts(), "xl/tables/t.xml": table, SHEET_LINKS: related("table", target)}
    found = book_of(parts).tables["costs"]
    assert (found.area, found.columns, found.titles, found.totals, found.sheet) == (
        Rectangle(2, 2, 9, 3),
        ("Net\ncost", "b"),
        0,
        2,
        0,
    )


@pytest.mark.parametrize(
    ("table", "target"),
    [
        (f'<table xmlns="{raw.MAIN}" displayName="Costs" ref="nowhere"/>', "../tables/t.xml"),
        (f'<table xmlns="{raw.MAIN}" displayName="Costs" ref="A1:B2"/>', "../tables/gone.xml"),
    ],
)
def test_tables_that_are_nowhere(table: str, target: str) -> None:
    """Without an area, or without a part, there is nothing to keep to."""
    parts = {**raw.parts(), "xl/tables/t.xml": table, SHEET_LINKS: related("table", target)}
    assert book_of(parts).tables == {}


def test_parts_around() -> None:
    """Kind and name; a part without links leads nowhere."""
    parts = {**raw.parts(), SHEET_LINKS: related("table", "../tables/t.xml"), "xl/tables/t.xml": "<t/>"}
    package = package_of("b.xlsx", raw.packed(parts))
    assert [*parts_around(package, raw.SHEET)] == [("table", "xl/tables/t.xml")]
    assert [*parts_around(package, raw.STYLES)] == []


def test_only_sheets_that_matter_are_looked_at() -> None:
    """Those that are changed, and those that hold a formula."""
    worked = '<row r="1"><c r="A1"><f>1</f></c></row>'
    parts = raw.parts(sheets={name: raw.sheet(worked if name == "B" else "") for name in "ABCD"})
    book = book_of(parts)
    look_at_cells(book, {3: {(1, 1)}})
    assert sorted(book.cells) == [1, 3]


def test_how_it_is_worked_out() -> None:
    parts = raw.parts()
    parts[raw.BOOK] = str(parts[raw.BOOK]).replace("</sheets>", '</sheets><calcPr calcMode="manual" calcId="7"/>')
    assert book_of(parts).calculation == {"calcMode": "manual", "calcId": "7"}


def test_the_spelling_of_a_part() -> None:
    """The member is called as the zip spells it, whatever the link says."""
    parts = raw.parts()
    parts["xl/worksheets/Sheet1.xml"] = parts.pop(raw.SHEET)
    assert book_of(parts).part_of(0) == "xl/worksheets/Sheet1.xml"
