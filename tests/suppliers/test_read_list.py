"""A list read as a whole: from any file to the row in force, with what is to be known of it."""

from __future__ import annotations

import io
import zipfile
from dataclasses import replace
from datetime import date
from decimal import Decimal
from fractions import Fraction
from pathlib import Path
from typing import Any

import pytest
import xlsxwriter

from quotekit.suppliers.fixed_width import Cut
from quotekit.suppliers.mapping import PriceMapping
from quotekit.suppliers.number_texts import NumberStyle
from quotekit.suppliers.read_list import read_list
from tests.suppliers.lists import DAY, codes, fates, mapping, problems, read, remark, write_list

COMMA = NumberStyle(decimal_mark=",", grouping_mark=".")
ALL = "number description cost list_price pack price_for unit currency dated until lead_days superseded_by".split()
HEADER = "Part No;Description;Net;List;Pack;Per;Unit;Currency;Valid from;Valid to;Lead;Replaced by"
ROW = '007-A;Öldichtung 3/4";1.234,50 €;2.000,00;10;100;pcs;EUR;01.02.2026;31.12.2026;2 weeks;008-A'


def german(folder: Path, data: bytes, encoding: str) -> object:
    changed = {"separator": ";", "style": COMMA, "encoding": encoding, "date_order": "day month year", "quotes": False}
    return read(folder, data, *ALL, currency="EUR", **changed).find(["007-A"])["007-A"].price


@pytest.mark.parametrize("encoding", ["utf-8", "utf-16", "utf-16-le", "cp1252", "iso8859-15"])
def test_one_row_with_everything(tmp_path: Path, encoding: str) -> None:
    found = german(tmp_path, f"{HEADER}\r\n{ROW}\r\n".encode(encoding), encoding)
    assert found is not None
    told = dict(vars(found))
    assert told == {
        "number": "007-A",
        "row": 2,
        "fate": "in force",
        "cost": Decimal("1234.5"),
        "cost_for": Decimal(100),
        "pack": Decimal(10),
        "list_price": Decimal(2000),
        "list_for": Decimal(100),
        "lead_days": 10,
        "superseded_by": "008-A",
        "currency": "EUR",
        "dated": date(2026, 2, 1),
        "until": date(2026, 12, 31),
        "unit": "pcs",
        "description": 'Öldichtung 3/4"',
    }


@pytest.mark.parametrize("encoding", ["cp850", "cp437"])
def test_an_old_code_page(tmp_path: Path, encoding: str) -> None:
    """Neither has a euro sign."""
    found = german(tmp_path, f"{HEADER}\r\n{ROW.replace(' €', '')}\r\n".encode(encoding), encoding)
    assert found is not None and "Öldichtung" in str(vars(found)["description"])


def test_the_exact_cost_of_one_and_of_a_pack(tmp_path: Path) -> None:
    prices = read(tmp_path, "Part No,Net,Pack,Per\nA,10.00,4,3\n", "number", "cost", "pack", "price_for")
    price = prices.find(["A"])["A"].price
    assert price is not None
    assert (price.cost_each, price.pack_cost) == (Fraction(10, 3), Fraction(40, 3))


def test_a_cost_for_the_pack(tmp_path: Path) -> None:
    """Ten for 25.00 are 2.50 each, and that is not above a list price of 3.00 each."""
    prices = read(
        tmp_path,
        "Part No,Net,List,Pack\nA,25.00,3.00,10\nB,31,3.00,10\n",
        "number",
        "cost",
        "list_price",
        "pack",
        cost_is_for="pack",
    )
    price = prices.find(["A"])["A"].price
    assert price is not None and price.cost_each == Fraction(5, 2) and price.pack_cost == 25
    assert [example.number for example in remark(prices, "cost-above-list").examples] == ["B"]


def test_a_cost_above_list_where_the_pack_says_nothing(tmp_path: Path) -> None:
    """What a pack of none or fewer costs is nothing to compare; a price quantity goes before a pack."""
    lines = [
        "Part No,Net,List,Pack,Per",
        "A,1,3,0,",
        "B,1,3,-2,",
        "C,4,3,some,",
        "D,25,3,10,",
        "E,4,3,10,100",
        "F,4,3,,",
    ]
    fields = ("number", "cost", "list_price", "pack", "price_for")
    prices = read(tmp_path, "\n".join(lines), *fields, cost_is_for="pack")
    assert [example.number for example in remark(prices, "cost-above-list").examples] == ["E", "F"]


def test_a_list_whose_prices_are_for_a_hundred(tmp_path: Path) -> None:
    """No column says it, the mapping does; a row that says how many itself is taken at its word."""
    text = "Part No,Net,List,Per\nA,420.00,9.45,\nB,1.50,1.20,1\nC,400,3.95,\n"
    fields = ("number", "cost", "list_price", "price_for")
    prices = read(tmp_path, text, *fields, cost_is_for="100")
    found = prices.find(["A", "B"])
    a, b = found["A"].price, found["B"].price
    assert a is not None and (a.cost_each, a.list_each) == (Fraction(21, 5), Fraction(189, 20))
    assert b is not None and (b.cost_each, b.list_each) == (Fraction(3, 2), Fraction(6, 5))
    assert [example.number for example in remark(prices, "cost-above-list").examples] == ["B", "C"]
    assert prices.report.read_as[-1] == "costs for 100"
    both = read(tmp_path, text, *fields, cost_is_for="100", list_is_for="100").find(["A"])["A"].price
    assert both is not None and both.list_each == Fraction(189, 2000)


def test_a_unit_of_several(tmp_path: Path) -> None:
    """162.00 for C is 1.62 each: told, and read where the unit is named as price_for too."""
    text = "Part No,Net,Unit\nA,162.00,C\nB,8.40,PK/2\nC,3.00,EA\nD,3.00,m\n"
    prices = read(tmp_path, text, "number", "cost", "unit")
    assert [(example.number, example.text) for example in remark(prices, "unit-of-several").examples] == [
        ("A", "C"),
        ("B", "PK/2"),
    ]
    columns = {"number": "Part No", "cost": "Net", "unit": "Unit", "price_for": "Unit"}
    named = read(tmp_path, text, columns=columns)
    assert "unit-of-several" not in codes(named)
    found = [each.price and each.price.cost_each for each in named.find(["A", "B", "C"]).values()]
    assert found == [Fraction(81, 50), Fraction(21, 5), 3]


@pytest.mark.parametrize(
    ("text", "fields", "remedy"),
    [
        ("Part No,Net\nA,EUR 3\n", (), "It is not in USD, and nothing is converted"),
        ("Part No,Net,Valid from\nA,3,03/04/2026\n", ("dated",), "Write date_order in the mapping"),
        ("Part No,Net,Valid from\nA,3,2026-05-01\n", ("dated",), "give another day with --on"),
        ("Part No,Net,Valid to\nA,3,2026-01-01\n", ("until",), "ask for the list of today"),
        ("Part No,Net\nA,some\n", (), "Check the columns"),
    ],
)
def test_what_to_do_where_no_row_counts(tmp_path: Path, text: str, fields: tuple[str, ...], remedy: str) -> None:
    (problem,) = problems(tmp_path, text, "number", "cost", *fields)
    assert problem.code == "no-usable-row" and remedy in problem.remedy


def test_a_cost_for_a_pack_that_is_not_named(tmp_path: Path) -> None:
    """Taken for one, and told: nobody orders ten by mistake."""
    prices = read(tmp_path, "Part No,Net,Pack\nA,25,\nB,25,10\n", "number", "cost", "pack", cost_is_for="pack")
    assert [str(each.price and each.price.cost_each) for each in prices.find(["A", "B"]).values()] == ["25", "5/2"]
    assert remark(prices, "missing-pack").rows == 1


def test_characters_that_are_no_line_ends(tmp_path: Path) -> None:
    """A vertical tab or a line separator in a title does not move the header."""
    prices = read(tmp_path, "Acme\x0bspring\u2028list\nPart No,Net\nA,1\n", header_row=2)
    assert prices.report.fates == {"in force": 1, "above the table": 2}


def test_a_list_of_fixed_width(tmp_path: Path) -> None:
    text = "NO    TEXT      NET\n007   Belt     12.50\n008   Long belt 3.00\n"
    places = {"number": Cut(start=1, end=6), "description": Cut(start=7, end=15), "cost": Cut(start=16)}
    told = PriceMapping(supplier="A", kind="fixed width", columns={}, places=places)
    prices, found = read_list(write_list(tmp_path, text, "a.txt"), told, "USD", DAY)
    assert prices is not None and found == []
    assert [each.price and str(each.price.cost) for each in prices.find(["007", "008"]).values()] == ["12.5", "3"]
    assert prices.report.rows == 3


def test_odd_rows_of_a_list_of_fixed_width(tmp_path: Path) -> None:
    """The header comes again on each page of a printed list, and between them titles, sums and prices to be asked."""
    lines = ["NO    TEXT      NET", "BELTS ALL", "007   Belt     12.50", "008   Belt     ask", "NO    TEXT      NET"]
    places = {"number": Cut(start=1, end=6), "description": Cut(start=7, end=15), "cost": Cut(start=16)}
    text = "\n".join([*lines, "      Seals", "009   Seal      3.00", "Total           15.50", ""])
    told = PriceMapping(supplier="A", kind="fixed width", columns={}, places=places)
    expected = ["no cost", "in force", "unreadable cost", "heading", "note", "in force", "total"]
    for header_row in (0, 1):
        prices, _ = read_list(write_list(tmp_path, text, "a.txt"), replace(told, header_row=header_row), "USD", DAY)
        assert prices is not None
        below = [fate for row, fate in fates(prices).items() if row > 1]
        assert below == (expected if header_row else [*expected[:3], "repeated", *expected[4:]])


def test_a_zipped_list(tmp_path: Path) -> None:
    held = io.BytesIO()
    with zipfile.ZipFile(held, "w") as package:
        package.writestr("acme.csv", "Part No,Net\nA,5\n")
    prices, found = read_list(write_list(tmp_path, held.getvalue(), "acme.zip"), mapping(), "USD", DAY)
    assert prices is not None and found == [] and prices.report.file == "acme.zip"


@pytest.mark.parametrize("style", [NumberStyle(grouping_mark=","), COMMA])
def test_a_workbook(tmp_path: Path, style: NumberStyle) -> None:
    """Numbers of a workbook have no marks; its texts have those of the list."""
    path = tmp_path / "acme.xlsx"
    book = xlsxwriter.Workbook(str(path))
    sheet = book.add_worksheet("Prices")
    text = "1.234,50" if style == COMMA else "1,234.50"
    for at, row in enumerate([["Part No", "Net"], ["007", 19.99], [12345, 0.1 * 3], [], ["A-1", text], ["Total", 5.5]]):
        sheet.write_row(at, 0, row)
    book.close()
    prices, found = read_list(path, mapping(kind="xlsx", style=style), "USD", DAY)
    assert prices is not None and found == []
    costs = [each.price and str(each.price.cost) for each in prices.find(["007", "12345", "A-1"]).values()]
    assert costs == ["19.99", "0.3", "1234.5"]
    assert prices.report.fates == {"in force": 3, "above the table": 1, "total": 1, "blank": 1}
    assert remark(prices, "number-stored-as-number").rows == 1


def test_cells_of_a_workbook_that_cannot_be_trusted(tmp_path: Path) -> None:
    """A list whose formulas nobody worked out: those costs are missing, and the owner is told which."""
    path = tmp_path / "acme.xlsx"
    book = xlsxwriter.Workbook(str(path))
    sheet = book.add_worksheet("Prices")
    sheet.write_row(0, 0, ["Part No", "Net"])
    sheet.write_row(1, 0, ["A", 5])
    sheet.write(2, 0, "B")
    sheet.write_formula(2, 1, "=B2*2", None, "")
    book.close()
    prices, (problem,) = read_list(path, mapping(kind="xlsx"), "USD", DAY)
    assert prices is not None and prices.report.fates == {"in force": 1, "no cost": 1, "above the table": 1}
    told = (problem.code, problem.severity, str(problem.place))
    assert told == ("list-cells-unread", "warning", "acme.xlsx:Prices!B3")


@pytest.mark.parametrize(
    ("text", "code", "row", "shown"),
    [
        ("A,,5", "missing-cost", 2, "A"),
        ("A,POA,5", "unreadable-cost", 2, "POA"),
        ("A,0,5", "zero-cost", 2, "0"),
        ("A,-1,5", "negative-cost", 2, "-1"),
        ("A,1,", "missing-list-price", 2, "A"),
        ("A,1,ask", "unreadable-list-price", 2, "ask"),
        ("A,6,5", "cost-above-list", 2, "6"),
        (",6,5", "missing-number", 2, ""),
        ("01-Feb,1,5", "number-like-a-date", 2, "01-Feb"),
        ("Mar-26,1,5", "number-like-a-date", 2, "Mar-26"),
        ("2/1/2026,1,5", "number-like-a-date", 2, "2/1/2026"),
        ("1.2E+05,1,5", "number-with-exponent", 2, "1.2E+05"),
        ("1E+12,1,5", "number-with-exponent", 2, "1E+12"),
        ("A,1,5,6", "row-too-long", 2, "A"),
        ("A,1", "row-too-short", 2, "A"),
        (" A,1,5", "spaces-around-number", 2, ""),
        ("A,1,5\nA,1,5", "repeated-row", 3, "A"),
        ("A,1,5\nA,2,5", "contradicted", 2, "A"),
    ],
)
def test_each_remark_has_its_row_and_text(tmp_path: Path, text: str, code: str, row: int, shown: str) -> None:
    """Beside a sound row, so that the list as a whole can be read."""
    prices = read(tmp_path, f"Part No,Net,List\n{text}\nGOOD,1,2\n", "number", "cost", "list_price")
    found = remark(prices, code)
    assert (found.examples[0].row, found.examples[0].text) == (row, shown)


@pytest.mark.parametrize(
    ("field", "header", "text", "code"),
    [
        ("superseded_by", "Replaced by", "B-2", "superseded"),
        ("superseded_by", "Replaced by", "B-2", "replacement-not-listed"),
        ("pack", "Pack", "10", "pack"),
        ("pack", "Pack", "many", "unreadable-pack"),
        ("price_for", "Per", "C", "price-for"),
        ("lead_days", "Lead", "ask", "unreadable-lead-days"),
        ("currency", "Currency", "EUR", "other-currency"),
        ("dated", "Valid from", "2026-12-01", "to-come"),
        ("until", "Valid to", "2025-12-01", "ended"),
        ("dated", "Valid from", "03/04/26", "unreadable-date"),
    ],
)
def test_remarks_of_other_columns(tmp_path: Path, field: str, header: str, text: str, code: str) -> None:
    prices = read(tmp_path, f"Part No,Net,{header}\nA,1,{text}\nGOOD,1,\n", "number", "cost", field)
    assert [example.number for example in remark(prices, code).examples] == ["A"]


def test_a_sound_list_has_no_remark(tmp_path: Path) -> None:
    """Else nobody would read them."""
    assert codes(read(tmp_path, "Part No,Net,List\nA-1,1.00,2\nB-2,3.50,4\n", "number", "cost", "list_price")) == []


def test_examples_are_the_first_few(tmp_path: Path) -> None:
    found = remark(read(tmp_path, "Part No,Net\nG,1\n" + "".join(f"A{row},\n" for row in range(9))), "missing-cost")
    assert found.rows == 9 and [example.row for example in found.examples] == [3, 4, 5]


def test_texts_over_lines_and_stray_quotes(tmp_path: Path) -> None:
    assert remark(read(tmp_path, 'Part No,Net,D\nA,1,"x\ny"\n'), "text-over-lines").rows == 1
    assert "stray-quotes" in codes(read(tmp_path, 'Part No,Net,D\nA,1,3/4" x\nB,2,y\n'))


@pytest.mark.parametrize(
    ("text", "changed", "code"),
    [
        ("No,Net\nA,1\n", {}, "list-column-missing"),
        ("Part No,Net,Net\nA,1,2\n", {}, "list-column-twice"),
        ("Part No,Net\nA,\n", {}, "no-usable-row"),
        ("Part No,Net\nA,1\n", {"kind": "xlsx"}, "other-kind-of-list"),
        ("title\nPart No,Net\nA,1\n", {}, "header-moved"),
        ("Part No,Net\nGr\xf6\xdfe,1\n".encode("cp1252"), {}, "not-the-encoding"),
        (
            "Part No,Net,Text\nA,1,Größe; Öl; Zündkerze; Räder; Kühlmittel\n".encode(),
            {"encoding": "cp1252"},
            "encoding-changed",
        ),
        ("Part No,Net\nA,1\n", {"columns": {"number": "column 7", "cost": "Net"}}, "list-column-missing"),
        ("Part No,Net\nA,x\n", {}, "no-usable-row"),
        ("", {}, "not-a-list"),
    ],
)
def test_what_stands_in_the_way(tmp_path: Path, text: str | bytes, changed: dict[str, object], code: str) -> None:
    assert code in [problem.code for problem in problems(tmp_path, text, **changed)]


def test_a_missing_column_is_told_with_the_nearest(tmp_path: Path) -> None:
    (problem,) = problems(tmp_path, "Part Nr,Net\nA,1\n")
    assert problem.message == "no column of row 1 is headed “Part No”"
    assert problem.remedy.startswith("Did you mean “part nr”?")


def test_a_header_that_moved_is_found(tmp_path: Path) -> None:
    prices, found = read_list(write_list(tmp_path, "title\n\nPart No,Net\nA,1\n"), mapping(), "USD", DAY)
    assert prices is not None and prices.find(["A"])["A"].how == "exact"
    assert found[0].remedy == "Write header_row = 3 in the mapping."


def test_columns_by_place(tmp_path: Path) -> None:
    told = mapping(columns={"number": "column 1", "cost": "Column 3"}, header_row=0)
    prices, found = read_list(write_list(tmp_path, "A,x,1\nB,y,2\n"), told, "USD", DAY)
    assert prices is not None and found == [] and prices.report.fates == {"in force": 2}


def test_headers_compare_without_case_and_spaces(tmp_path: Path) -> None:
    assert read(tmp_path, "  PART   no ,NET\nA,1\n").report.fates["in force"] == 1


@pytest.mark.parametrize(
    "text",
    [
        b"Part No,Net\r\nA,1\rB,2\rC,3\r\n",
        b"Part No,Net\nA,1,\rB,2\nC,3\n",
        b'Part No,Net,Text\rA,1,"a\nb"\rB,2,b\rC,3,c\r',
    ],
)
def test_a_return_alone_ends_a_line_whatever_others_end_with(tmp_path: Path, text: bytes) -> None:
    """Two lists put one behind the other: what stands behind a return is a row, not left out."""
    prices = read(tmp_path, text)
    assert [found.price is not None for found in prices.find(["B", "C"]).values()] == [True, True]
    assert sum(prices.report.fates.values()) == prices.report.rows == 4


@pytest.mark.parametrize("row", [2, 3, 60, 1000])
@pytest.mark.parametrize(
    "changed",
    [
        {"columns": {"number": "column 1", "cost": "column 2"}},
        {"kind": "fixed width", "columns": {}, "places": {"number": Cut(start=1, end=1), "cost": Cut(start=3)}},
        {"kind": "xlsx", "columns": {"number": "column 1", "cost": "column 2"}},
    ],
)
def test_a_header_row_at_or_below_the_end(tmp_path: Path, changed: dict[str, Any], row: int) -> None:
    """A slip in the mapping: nothing is left below it, and the rows that there are still add up."""
    path = write_list(tmp_path, "A,1\nB,2\n")
    if changed.get("kind") == "xlsx":
        book = xlsxwriter.Workbook(str(path))
        sheet = book.add_worksheet()
        for at, cells in enumerate([["A", 1], ["B", 2]]):
            sheet.write_row(at, 0, cells)
        book.close()
    prices, (problem,) = read_list(path, mapping(**changed, header_row=row), "USD", DAY)
    assert problem.code == "no-usable-row" and "the header row" in problem.remedy
    assert prices is not None and prices.report.fates == {"above the table": 2} and prices.report.rows == 2


@pytest.mark.parametrize(
    ("rows", "numbers"),
    [
        ("A,1,B\nB,1,C\nC,1,\n", []),
        ("A,1,A\nB,1,\n", ["A"]),
        ("A,1,B\nA,1,C\nB,1,A\nC,1,\n", ["A", "B"]),
        ("X,1,A\nA,1,B\nB,1,C\nC,1,A\nD,1,E\nE,1,\n", ["A", "B", "C"]),
    ],
)
def test_numbers_that_are_replaced_in_a_circle(tmp_path: Path, rows: str, numbers: list[str]) -> None:
    """What leads into a circle or to an end is none; who follows one would never come to a part."""
    prices = read(tmp_path, f"Part No,Net,Replaced by\n{rows}", "number", "cost", "superseded_by")
    found = [each for each in prices.report.remarks if each.code == "replaced-in-a-circle"]
    assert [example.number for each in found for example in each.examples] == numbers


def test_a_chain_of_a_thousand_replacements_is_no_circle(tmp_path: Path) -> None:
    rows = "".join(f"A{at},1,A{at + 1}\n" for at in range(1000))
    prices = read(tmp_path, f"Part No,Net,Replaced by\n{rows}", "number", "cost", "superseded_by")
    assert "replaced-in-a-circle" not in codes(prices)


def test_rows_of_sums_with_an_amount(tmp_path: Path) -> None:
    text = "Part No,Net\nA,1\nGrand total,4\nSub-total:,4\nGESAMTSUMME,4\n"
    assert read(tmp_path, text).report.fates == {"in force": 1, "total": 3, "above the table": 1}


@pytest.mark.parametrize("long", ["x" * 200_000, '"5" ' + "x" * 200_000 + '"'])
def test_a_text_of_any_length(tmp_path: Path, long: str) -> None:
    """No row is left out because of a text that some libraries find too long."""
    prices = read(tmp_path, f"Part No,Net,Text\nA,1,{long}\nB,2,y\nC,3,z,,\nD,4,{long},,\n")
    assert prices.report.fates == {"in force": 2, "ragged": 2, "above the table": 1}


def test_spaces_that_fill_a_column_of_fixed_width_are_not_told(tmp_path: Path) -> None:
    places = {"number": Cut(start=1, end=6), "cost": Cut(start=7)}
    prices = read(tmp_path, "No    Net\nA     1.50\n", kind="fixed width", columns={}, places=places)
    assert prices.report.numbers == 1 and codes(prices) == []


@pytest.mark.parametrize(
    ("shown", "currency", "fate"),
    [
        ('#,##0.00 "€"', "EUR", "in force"),
        ("#,##0.00 [$€-407]", "USD", "other currency"),
        ("[$$-409]#,##0.00", "USD", "in force"),
        ("[$CHF-807] 0.00", "USD", "other currency"),
        ("[$-409]0.00", "USD", "in force"),
        ("[$US$-409] 0.00", "EUR", "other currency"),
        ('0.00 "each"', "USD", "in force"),
    ],
)
def test_a_currency_that_only_the_format_of_a_cell_shows(tmp_path: Path, shown: str, currency: str, fate: str) -> None:
    """The supplier sees euros in the workbook: they must not be taken for the shop's dollars."""
    path = tmp_path / "acme.xlsx"
    book = xlsxwriter.Workbook(str(path))
    sheet, style = book.add_worksheet(), book.add_format({"num_format": shown})
    sheet.write_row(0, 0, ["Part No", "Net"])
    sheet.write(1, 0, 12345, style)
    sheet.write(1, 1, 1.5, style)
    book.close()
    for mark in (NumberStyle(), COMMA):
        prices, _ = read_list(path, mapping(kind="xlsx", style=mark), currency, DAY)
        assert prices is not None and fates(prices) == {2: fate}
        found = prices.find(["12345"])["12345"]
        assert str((found.price or found.rows[0]).cost) == "1.5"


def test_a_short_row_without_a_number_is_no_title(tmp_path: Path) -> None:
    prices = read(tmp_path, "Note,Part No,Net\nx,A,1\nsee above\ny,B,2\n")
    assert fates(prices) == {2: "in force", 3: "note", 4: "in force"}
