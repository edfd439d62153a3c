"""Which stored results hang on a change: chains over sheets, names, tables, formulas written once for many cells."""

from __future__ import annotations

import random
from collections.abc import Mapping
from decimal import Decimal
from xml.sax.saxutils import escape

import pytest

from quotekit.workbook.in_place.dependents import dependent_on, formulas_of, with_a_clock
from quotekit.workbook.in_place.owners_book import look_at_cells, read_owners_book
from quotekit.workbook.package import package_of
from tests.workbook import raw_workbooks as raw
from tests.workbook.in_place.small_books import SHEET_LINKS, a_book, codes, edit, edited, related

D = Decimal


def formula(cell: str, text: str, attributes: str = "") -> str:
    """A cell with a formula and a stored result."""
    return f'<c r="{cell}"><f{attributes}>{text}</f><v>9</v></c>'


def rows(cells: Mapping[str, str]) -> str:
    """Rows of cells with formulas, each in a row of its own number."""
    by_row: dict[int, list[str]] = {}
    for cell, text in sorted(cells.items(), key=lambda one: one[0]):
        by_row.setdefault(int(cell.lstrip("ABCDEFGHIJKLMNOPQRSTUVWXYZ")), []).append(
            f'<c r="{cell}"><v>{text}</v></c>' if text.isdecimal() else formula(cell, text)
        )
    return "".join(f'<row r="{row}">{"".join(by_row[row])}</row>' for row in sorted(by_row))


def emptied(data: bytes, *changed: str) -> list[str]:
    """The results that are taken away when cells change."""
    found = edited(data, dict.fromkeys(changed, D("77.5")))
    return [f"{one.sheet}!{one.cell}" if one.sheet != "S" else one.cell for one in found.calculated]


@pytest.mark.parametrize(
    ("cells", "changed", "expected"),
    [
        ({"A1": "1", "B1": "A1"}, "A1", ["B1"]),
        ({"A1": "1", "B1": "A2"}, "A1", []),
        ({"A1": "1", "B1": "A1", "C1": "B1", "D1": "C1*2"}, "A1", ["B1", "C1", "D1"]),
        ({"A1": "1", "B1": "SUM(A1:A9)", "B2": "SUM(A2:A9)"}, "A1", ["B1"]),
        ({"A1": "1", "B1": "SUM(A:A)", "B2": "SUM(1:1)", "B3": "SUM(2:2)"}, "A1", ["B1", "B2", "B3"]),
        ({"A1": "1", "B2": "SUM(1:1)", "B3": "SUM(2:2)", "B4": "SUM(4:4)"}, "A1", ["B2", "B3"]),
        ({"A1": "1", "B1": "SUM(A1:CZ1)", "B2": "SUM(A2:CZ2)"}, "A1", ["B1"]),
        ({"A1": "1", "B1": "1+1", "B2": "TODAY()"}, "A1", []),
        ({"A1": "1", "B1": "INDIRECT(C1)", "B2": "B1", "B3": "2*3"}, "A1", ["B1", "B2"]),
        ({"A1": "1", "B1": "A1:INDEX(A:A,2)"}, "Z9", ["B1"]),
        ({"A1": "1", "B1": "A1+C1", "C1": "B1"}, "A1", ["B1", "C1"]),
        ({"A1": "1", "B1": "S!A1", "B2": "s!$A$1"}, "A1", ["B1", "B2"]),
        ({"A1": "1", "B1": "[1]S!A1"}, "A1", []),
        ({"A1": "1", "B1": "IF(FALSE,A1,2)"}, "A1", ["B1"]),
        ({"B1": "A1+1"}, "A1", ["B1"]),
    ],
)
def test_on_one_sheet(cells: Mapping[str, str], changed: str, expected: list[str]) -> None:
    assert emptied(a_book(rows(cells)), changed) == expected


@pytest.mark.parametrize(
    ("used", "hangs"),
    [
        ('SUMIF(A1:A5,"x",D1)', True),
        ('SUMIF(A1:A5,"x",D1:D2)', True),
        ('SUMIF(A1:A5,"x",C1:C5)', False),
        ('SUMIF(A:A,"x",C:C)', False),
        ('SUMIF(A1:A5,"(,;")', False),
        ("SUMIF((A1:A5),C1,(D1))+1", True),
        ('IF(C1,SUMIF(A1:A5,{"x","y"},D1),2)', True),
        ("AVERAGEIF(A1:A5,C1,D1)", True),
        ("LOOKUP(2,A1:A5,D1)", True),
        ("LOOKUP(2,A1:A5,D1:D2)", True),
        ("LOOKUP(2,1/(A1:A5=C1),C1:C5)", False),
        ("LOOKUP(2,A1:C5)", False),
        ('SUMIF(A$1:A5,"x",C$1:C5)', False),
        ('SUMIF(A$1:A5,"x",C1:C5)', True),
        ('SUMIF(Codes,"x",Costs)', False),
        ('SUMIF(Codes,"x",First)', True),
        ("Told", True),
        ('SUMIFS(C1:C5,A1:A5,"x")', False),
    ],
)
def test_what_reads_beyond_the_area_it_names(used: str, hangs: bool) -> None:
    """`SUMIF(A1:A5,"x",D1)` reads D1:D5: where an area is smaller than the one it goes with, that is not missed."""
    names = (
        '<definedName name="Codes">S!$A$1:$A$5</definedName><definedName name="Costs">S!$C$1:$C$5</definedName>'
        '<definedName name="First">S!$D$1</definedName>'
        '<definedName name="Told">SUMIF(S!$A$1:$A$5,9,S!$D$1)</definedName>'
    )
    data = a_book(rows({"D4": "1", "F1": escape(used, {'"': "&quot;"})}), more={raw.BOOK: book_part(names)})
    assert emptied(data, "D4") == (["F1"] if hangs else [])


def test_columns_of_a_table_are_as_long_as_each_other() -> None:
    """A cell beside the table is not read; a single cell beside it may be the first of many."""
    cells = rows({"D4": "1", "F1": "SUMIF(Costs[Code],5,Costs[Net cost])", "F2": "SUMIF(Costs[Code],5,D2)"})
    more = {SHEET_LINKS: related("table", "/xl/tables/t.xml"), "xl/tables/t.xml": TABLE}
    assert emptied(a_book(cells, more=more), "D4") == ["F2"]


def test_over_sheets_and_stretches_of_sheets() -> None:
    """A chain that goes to the last sheet and back."""
    data = raw.packed(
        raw.parts(
            sheets={
                "S": raw.sheet(rows({"A1": "1", "B1": "Four!A1", "C1": "2*2"})),
                "The two": raw.sheet(rows({"A1": "S!A1*2"})),
                "Three": raw.sheet(rows({"A1": "'The two'!A1", "A2": "SUM(S:Three!A9)"})),
                "Four": raw.sheet(rows({"A1": "SUM(S:Three!A1)", "A2": "SUM(Three:Four!A5)"})),
            }
        )
    )
    assert emptied(data, "A1") == ["B1", "The two!A1", "Three!A1", "Four!A1"]
    assert emptied(data, "The two!A9") == ["Three!A2"]
    assert emptied(data, "Four!A5") == ["Four!A2"]


def book_part(names: str) -> str:
    """The workbook part with defined names."""
    text = str(raw.parts()[raw.BOOK])
    return text.replace("</sheets>", f"</sheets><definedNames>{names}</definedNames>")


NAMED, OF_SHEET = '<definedName name="Rate">', '<definedName name="Rate" localSheetId="0">'


@pytest.mark.parametrize(
    ("names", "used", "hangs"),
    [
        ('<definedName name="Rate">S!$A$1</definedName>', "Rate*2", True),
        ('<definedName name="Rate">S!$A$2</definedName>', "Rate*2", False),
        ('<definedName name="rate">S!$A$1</definedName>', "RATE*2", True),
        ('<definedName name="Rate">Base*2</definedName><definedName name="Base">S!$A$1</definedName>', "Rate", True),
        ('<definedName name="Rate" localSheetId="0">S!$A$1</definedName>', "Rate", True),
        (f"{NAMED}S!$A$2</definedName>{OF_SHEET}S!$A$1</definedName>", "Rate", True),
        (f"{NAMED}S!$A$1</definedName>{OF_SHEET}S!$A$2</definedName>", "Rate", False),
        ('<definedName name="Rate">S!A1</definedName>', "Rate", True),
        ('<definedName name="Rate">OFFSET(S!$C$1,0,0)</definedName>', "Rate", True),
        ('<definedName name="Rate">Rate</definedName>', "Rate", True),
        ('<definedName name="Rate">2.5</definedName>', "Rate", False),
        ("", "Rate", True),
        ('<definedName name="Twice">_xlfn.LAMBDA(_xlpm.x,_xlpm.x*S!$A$1)</definedName>', "Twice(2)", True),
    ],
)  # fmt: skip
def test_names(names: str, used: str, hangs: bool) -> None:
    """Followed through others; a name that is not known, or moves with the cell, may mean anything."""
    data = a_book(rows({"A1": "1", "B1": used}), more={raw.BOOK: book_part(names)})
    assert emptied(data, "A1") == (["B1"] if hangs else [])


TABLE = (
    f'<table xmlns="{raw.MAIN}" id="1" name="Costs" displayName="Costs" ref="A1:C5" totalsRowCount="1">'
    '<tableColumns count="3"><tableColumn id="1" name="Code"/><tableColumn id="2" name="Net cost"/>'
    '<tableColumn id="3" name="a]b"/></tableColumns></table>'
)


@pytest.mark.parametrize(
    ("used", "changed", "hangs"),
    [
        ("SUM(Costs[Net cost])", "B3", True),
        ("SUM(Costs[Net cost])", "A3", False),
        ("SUM(Costs[[Code]:[Net cost]])", "B3", True),
        ("SUM(Costs[[Code]:[Net cost]])", "C3", False),
        ("SUM(Costs[a']b])", "C3", True),
        ("ROWS(Costs)", "B3", True),
        ("SUM(costs[])", "B3", True),
        ("SUM(Costs[[#Data],[Net cost]])", "B4", True),
        ("SUM(Costs[gone])", "A2", True),
        ("SUM(Other[Cost])", "Z9", True),
        ("SUM(Costs[Net cost])", "B9", False),
    ],
)
def test_tables(used: str, changed: str, hangs: bool) -> None:
    """By column; a column that is not there means the whole table, a table that is not there anything."""
    data = a_book(
        rows({"B3": "1", "F3": used}),
        more={"xl/tables/table1.xml": TABLE, SHEET_LINKS: related("table", "../tables/table1.xml")},
    )
    assert emptied(data, changed) == (["F3"] if hangs else [])


@pytest.mark.parametrize(("changed", "hangs"), [("B3", True), ("B4", False)])
@pytest.mark.parametrize("used", ["Costs[[#This Row],[Net cost]]", "Costs[@Net cost]", "Costs[@[Net cost]]"])
def test_this_row_of_a_table(used: str, changed: str, hangs: bool) -> None:
    data = a_book(
        rows({"B2": "1", "F3": used}),
        more={"xl/tables/table1.xml": TABLE, SHEET_LINKS: related("table", "../tables/table1.xml")},
    )
    assert emptied(data, changed) == (["F3"] if hangs else [])


def test_a_formula_written_once_for_many_cells() -> None:
    """Its references move with the cell; what moves out of the sheet reads nothing."""
    shared = ' t="shared" ref="B1:B3" si="4"'
    again = '<f t="shared" si="4"/>'
    data = a_book(
        f'<row r="1">{formula("B1", "A1+$D$1+Z1048575", shared)}</row>'
        f'<row r="2"><c r="B2">{again}<v>9</v></c></row><row r="3"><c r="B3">{again}<v>9</v></c></row>'
        '<row r="4"><c r="B4"><f t="shared" si="9"/><v>9</v></c></row>'
    )
    assert emptied(data, "A1") == ["B1", "B4"]
    assert emptied(data, "A2") == ["B2", "B4"]
    assert emptied(data, "D1") == ["B1", "B2", "B3", "B4"]


def test_a_formula_that_fills_several_cells() -> None:
    """All of its cells are results, and what reads any of them hangs on it too."""
    filled = formula("B1", "A1:A2*2", ' t="array" ref="B1:B2"')
    data = a_book(f'<row r="1">{filled}<c r="C1"><f>B2</f><v>1</v></c></row><row r="2"><c r="B2"><v>4</v></c></row>')
    assert emptied(data, "A2") == ["B1", "C1", "B2"]


def test_a_table_of_what_if() -> None:
    """It puts values into other cells and works the workbook out for each: it hangs on everything."""
    what_if = formula("B1", "", ' t="dataTable" ref="B1:B2" r1="D4"')
    data = a_book(f'<row r="1">{what_if}</row><row r="2"><c r="B2"><v>4</v></c></row>')
    assert emptied(data, "Z9") == ["B1", "B2"]


def test_a_formula_that_fills_too_many_cells() -> None:
    """It can't be followed."""
    filled = formula("B1", "A1", ' t="array" ref="B1:XFD1048576"')
    data = a_book(f'<row r="1">{filled}</row>')
    found, problems = edit(data, {"A1": D(1)})
    assert found is None
    assert codes(problems) == [("too-large", "")]


def test_clocks() -> None:
    """Results that change by themselves are known, through others too."""
    package = package_of("book.xlsx", a_book(rows({"A1": "NOW()", "A2": "A1+1", "A3": "2*2", "A4": "A3"})))
    book = read_owners_book(package)
    look_at_cells(book, {})
    formulas = formulas_of(book)
    assert with_a_clock(formulas) == {(0, 1, 1), (0, 2, 1)}
    assert dependent_on([], formulas) == []


def test_against_a_plain_search() -> None:
    """Random chains: the same cells as asking every formula again and again until nothing is added."""
    draw = random.Random(8)
    for _ in range(40):
        texts = {}
        for row in range(1, 15):
            for column in "ABCD":
                low, high = sorted((draw.randint(1, 16), draw.randint(1, 16)))
                left, right = sorted((draw.choice("ABCDE"), draw.choice("ABCDE")))
                small = f"{left}{low}" if draw.random() < 0.5 else f"SUM({left}{low}:{right}{high})"
                texts[f"{column}{row}"] = small if draw.random() < 0.8 else f"SUM({low}:{low})"
        changed = f"E{draw.randint(1, 16)}"
        assert set(emptied(a_book(rows(texts)), changed)) == plain_search(texts, changed)


def plain_search(texts: Mapping[str, str], changed: str) -> set[str]:
    """Every formula asked for each cell, by Python's own means."""
    import re

    def reads(text: str, cell: str) -> bool:
        column, row = cell[0], int(cell[1:])
        whole = re.fullmatch(r"SUM\((\d+):\d+\)", text)
        if whole:
            return row == int(whole[1])
        ends = re.findall(r"([A-Z])(\d+)", text)
        columns, lines = [one[0] for one in ends], [int(one[1]) for one in ends]
        return min(columns) <= column <= max(columns) and min(lines) <= row <= max(lines)

    found: set[str] = set()
    while True:
        more = {cell for cell, text in texts.items() if any(reads(text, one) for one in {changed, *found})} - found
        if not more:
            return found
        found |= more
