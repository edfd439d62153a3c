"""A mapping guessed from a list: encoding, separator, header, columns, decimal mark, with reasons and doubts."""

from __future__ import annotations

import zipfile
from pathlib import Path

import pytest
import xlsxwriter

from quotekit.suppliers.find_header import find_header, find_separator
from quotekit.suppliers.guess import Guess, guess_mapping
from quotekit.suppliers.guess_columns import guess_columns
from quotekit.suppliers.header_words import WORDS, header_score
from quotekit.suppliers.mapping_text import mapping_text
from quotekit.suppliers.number_texts import NumberStyle
from quotekit.suppliers.read_list import read_list
from tests.suppliers.lists import DAY, write_list

GERMAN = """Preisliste Frühjahr 2026;;;;;
;;;;;
Artikel-Nr.;Bezeichnung;EK-Preis;Listenpreis;VPE;Lieferzeit
A-100;Kugellager;1.234,50 €;1.800,00 €;1;5 Tage
A-101;Öldichtung;12,00 €;20,00 €;10;3 Tage
A-102;Zündkerze;3,25 €;5,00 €;4;3 Tage
"""


def guessed(folder: Path, text: str | bytes, name: str = "acme.csv") -> Guess:
    found, problems = guess_mapping(write_list(folder, text, name), "ACME")
    assert found is not None, problems
    return found


def test_a_german_list(tmp_path: Path) -> None:
    """In an old code page, with a title above and decimal commas."""
    found = guessed(tmp_path, GERMAN.encode("cp1252"))
    mapping = found.mapping
    assert (mapping.encoding, mapping.separator, mapping.header_row) == ("cp1252", ";", 3)
    assert (mapping.style.decimal_mark, mapping.style.grouping_mark, mapping.currency) == (",", ".", "EUR")
    assert mapping.columns == {
        "number": "Artikel-Nr.",
        "description": "Bezeichnung",
        "cost": "EK-Preis",
        "list_price": "Listenpreis",
        "pack": "VPE",
        "lead_days": "Lieferzeit",
    }
    assert "the header says “ek preis”" in found.reasons["cost"] and "3 of 3 values fit" in found.reasons["cost"]
    assert any(doubt.startswith("cost_is_for") for doubt in found.doubts)


@pytest.mark.parametrize(
    ("header", "fields"),
    [
        ("Part Number|Description|Dealer Price|MSRP", "number description cost list_price"),
        ("SKU|Name|Your Price|Retail|UOM", "number description cost list_price unit"),
        ("Référence|Désignation|Prix net|Prix public|Conditionnement", "number description cost list_price pack"),
        ("Referencia|Descripción|Precio neto|PVP|Plazo", "number description cost list_price lead_days"),
        ("Codice articolo|Descrizione|Prezzo netto|Listino", "number description cost list_price"),
        ("Artikelnummer|Omschrijving|Nettoprijs|Brutoprijs|Levertijd", "number description cost list_price lead_days"),
        ("Varenr|Beskrivelse|Nettopris|Listpris", "number description cost list_price"),
        ("Indeks|Nazwa|Cena netto|Cena katalogowa|JM", "number description cost list_price unit"),
        ("Артикул|Наименование|Закупочная цена|Розничная цена", "number description cost list_price"),
        ("Part No|Qty per pack|Price per|Your price", "number pack price_for cost"),
        ("Part No|Price unit|Unit|Net|Pack size", "number price_for unit cost pack"),
        ("item_no|item_desc|unit_cost|list_price|superseded_by", "number description cost list_price superseded_by"),
    ],
)
def test_headers_in_several_languages(header: str, fields: str) -> None:
    headers = header.split("|")
    values = {"cost": "12.50", "list_price": "20.00", "pack": "10", "lead_days": "3", "price_for": "100"}
    wanted = fields.split()
    rows = [[values.get(field, f"A-{row}") for field in wanted] for row in range(5)]
    found = guess_columns(headers, rows)
    assert {field: headers[at] for field, at in found.columns.items()} == dict(zip(wanted, headers, strict=True))


@pytest.mark.parametrize(
    ("headers", "row", "doubt"),
    [
        (
            ["Part No", "Net", "Valid to"],
            ["A", "5.00", "open"],
            "until: “Valid to” is not used, as values such as “open”",
        ),
        (["Part No", "Price"], ["A", "5.00"], "does not say whether it is the cost or the list price"),
        (["Part No", "Net price", "Dealer price"], ["A", "5.00", "4.00"], "it could also be “Dealer price”"),
        (["Part No", "Net Cost 2025", "Net Cost 2026"], ["A", "5.00", "6.00"], "it could also be “Net Cost 2026”"),
        (["Part No", "Cost", "List"], ["A", "9.00", "6.00"], "the other way round"),
        (["Part No", "List"], ["A", "9.00"], "no column names the cost"),
        (["", "Cost"], ["A", "9.00"], "no header says it; column 1 is taken"),
        (["Part No", "Cost", "Xyz"], ["A", "9.00", "2026-01-15"], "holds days and is not used"),
        (["Part No", "Cost", "Xyz"], ["A", "9.00", "100"], "holds 1, 100 and the like and is not used"),
    ],
)
def test_doubts_are_said(headers: list[str], row: list[str], doubt: str) -> None:
    found = guess_columns(headers, [row, [f"{row[0]}2", *row[1:]]])
    assert doubt in " ".join(found.doubts)


def test_a_header_whose_values_do_not_fit_is_not_taken() -> None:
    """A column `Net` of words is no cost."""
    found = guess_columns(["Part No", "Net", "Cost"], [["A", "yes", "3.00"], ["B", "no", "4.00"]])
    assert found.columns["cost"] == 2


def test_another_number_is_not_the_number() -> None:
    for header in ("New part number", "Old part no", "Superseded part number", "Part name"):
        assert header_score(header, "number")[0] == 0, header


@pytest.mark.parametrize("field", WORDS)
def test_each_field_is_named_by_its_own_words(field: str) -> None:
    """A phrase that names two fields would be a coin tossed."""
    doubtful = {
        (phrase, other) for phrase in WORDS[field] for other in WORDS if other != field and phrase in WORDS[other]
    }
    assert doubtful == set()


@pytest.mark.parametrize("separator", ["\t", ";", ",", "|"])
def test_separators(separator: str) -> None:
    lines = [separator.join(row) for row in (["No", "Text", "Net"], ["A", "a b", "3.00"], ["B", "c d", "4.00"])]
    found = find_separator(lines)
    assert found is not None and (found.separator, found.fields) == (separator, 3)


def test_a_decimal_comma_is_no_separator() -> None:
    found = find_separator(["No;Net", "A;3,00", "B;4,00"])
    assert found is not None and found.separator == ";"


def test_a_header_without_known_words() -> None:
    """It stands above amounts and holds none."""
    assert find_header([["Foo", "Bar"], ["A", "3.00"]])[0] == 1
    assert find_header([["A", "3.00"], ["B", "4.00"]]) == (0, "no row names the columns")


def test_a_list_of_fixed_width(tmp_path: Path) -> None:
    text = (
        "PART NO  DESCRIPTION              NET\n"
        "A-1      Belt                   12.50\n"
        "A-22     Long belt               3.00\n"
        "B-3      Seal kit              199.00\n"
    )
    found = guessed(tmp_path, text, "acme.txt")
    assert found.mapping.kind == "fixed width"
    assert {name: cut.of("B-3      Seal kit              199.00") for name, cut in found.mapping.places.items()} == {
        "number": "B-3",
        "description": "Seal kit",
        "cost": "199.00",
    }


def test_a_workbook_with_several_sheets(tmp_path: Path) -> None:
    path = tmp_path / "acme.xlsx"
    book = xlsxwriter.Workbook(str(path))
    for name, rows in {
        "Terms": [["Terms"], ["of"], ["sale"]],
        "Prices": [["Part No", "Net"], ["A", 3.5], ["B", 4], ["C", 5.25]],
    }.items():
        sheet = book.add_worksheet(name)
        for at, row in enumerate(rows):
            sheet.write_row(at, 0, row)
    book.close()
    found, problems = guess_mapping(path, "ACME")
    assert found is not None and problems == []
    assert (found.mapping.sheet, found.mapping.kind) == ("Prices", "xlsx")
    assert found.doubts == ("sheet: “Prices” is read; Terms holds rows too, and no list is read from several.",)


@pytest.mark.parametrize("hidden", [False, True])
def test_the_list_itself_among_sheets_with_prices(tmp_path: Path, hidden: bool) -> None:
    """The longest that is shown: accessories may name more columns, and a hidden sheet is an old list."""
    path = tmp_path / "acme.xlsx"
    book = xlsxwriter.Workbook(str(path))
    sheets = {
        "Accessories": ("Part No", "Net", "List", "Pack"),
        "Prices": ("Part No", "Net"),
        "Old": ("Part No", "Net"),
    }
    for at, (name, headers) in enumerate(sheets.items()):
        sheet = book.add_worksheet(name)
        sheet.write_row(0, 0, headers)
        for row in range(1, 4 + at):
            sheet.write_row(row, 0, [f"{name}-{row}", *(row + 0.5 for _ in headers[1:])])
        if hidden and name == "Old":
            sheet.hide()
    book.close()
    found, _ = guess_mapping(path, "ACME")
    assert found is not None and found.mapping.sheet == ("Prices" if hidden else "Old")
    assert found.doubts[0].startswith(f"sheet: “{found.mapping.sheet}” is read; Accessories")
    prices, _ = read_list(path, found.mapping, "USD", DAY)
    assert prices is not None
    told = [each.says.partition(": ")[2] for each in prices.report.remarks if each.code == "other-sheets"]
    assert told == (["Accessories"] if hidden else ["Accessories, Prices"])


def test_headers_that_stand_twice_go_by_place(tmp_path: Path) -> None:
    found = guessed(tmp_path, "Part No,Net,Net\nA-1,3.00,4.00\nA-2,3.00,5.00\n")
    assert found.mapping.columns["cost"] == "column 2"
    assert "could also be “Net”" in " ".join(found.doubts)


@pytest.mark.parametrize(
    ("header", "amount", "currency"),
    [
        ("Net (EUR)", "3.00", "EUR"),
        ("Net", "3.00 €", "EUR"),
        ("Net", "$3.00", ""),
        ("Net", "3.00", ""),
        ("Net €", "3", "EUR"),
    ],
)
def test_the_currency_of_a_list(tmp_path: Path, header: str, amount: str, currency: str) -> None:
    """A dollar sign may be any of a dozen dollars: the shop's is meant."""
    assert guessed(tmp_path, f"Part No;{header}\nA-1;{amount}\nA-2;{amount}\n").mapping.currency == currency


def test_a_spoiled_list_gets_a_mapping_and_is_not_read(tmp_path: Path) -> None:
    """The owner learns the line; nothing is read with wrong letters."""
    text = "Part No;Description;Net\n" + "".join(f"A-{row};Größe;3.00\n" for row in range(20))
    path = write_list(tmp_path, text.encode() + "B;Öl;2.00\n".encode("cp1252"))
    guess, (warning,) = guess_mapping(path, "ACME")
    assert guess is not None and guess.doubts[0].startswith("encoding: nearly all of it is UTF-8")
    assert (warning.severity, warning.code) == ("warning", "not-the-encoding")
    prices, (refused,) = read_list(path, guess.mapping, "USD", DAY)
    assert prices is None and refused.severity == "error" and "line 22" in refused.message


def test_a_cost_for_a_pack(tmp_path: Path) -> None:
    found = guessed(tmp_path, "Part No,Pack cost,Pack qty\nA-1,3.00,10\nA-2,4.00,5\n")
    assert found.mapping.cost_is_for == "pack"


def test_doubtful_amounts_and_days_are_said(tmp_path: Path) -> None:
    found = guessed(tmp_path, "Part No;Net;Valid from\nA-1;1.234;03/04/2026\nA-2;2.500;05/06/2026\n")
    said = " ".join(found.doubts)
    assert "decimal_mark: “1.234” could be a thousand" in said
    assert "date_order: “03/04/2026” could be two days" in said
    assert "# LOOK AT THIS: decimal_mark" in mapping_text(found.mapping, found.reasons, found.doubts)


@pytest.mark.parametrize(
    ("data", "code"),
    [
        (b"", "not-a-list"),
        (b"\0\1\2\3" * 50, "not-a-list"),
        (b"just some words\nand more\nwords\n", "list-not-understood"),
    ],
)
def test_what_no_mapping_can_be_made_of(tmp_path: Path, data: bytes, code: str) -> None:
    found, problems = guess_mapping(write_list(tmp_path, data), "ACME")
    assert found is None and problems[0].code == code


@pytest.mark.parametrize(
    ("amounts", "currency"),
    [
        (["CAD 5.00", "6.00 EUR", "7.00 €", "8.00 EUR"], "EUR"),
        (["CALL", "5.00 €", "6.00 €"], "EUR"),
        (["CAD 5.00", "6.00", "7.00"], ""),
        (["$5.00", "$6.00", "$7.00"], ""),
    ],
)
def test_the_currency_of_a_list_is_that_of_most_amounts(tmp_path: Path, amounts: list[str], currency: str) -> None:
    """One amount in another currency must not make all the others foreign, and `CALL` names no lek."""
    rows = "".join(f"A-{at},{amount}\n" for at, amount in enumerate(amounts))
    assert guessed(tmp_path, f"Part No,Net\n{rows}").mapping.currency == currency


def test_numbers_of_a_workbook_say_nothing_of_the_marks_of_its_texts(tmp_path: Path) -> None:
    """They stand there with a point, whatever the list writes; the few amounts that are texts decide."""
    path = tmp_path / "acme.xlsx"
    book = xlsxwriter.Workbook(str(path))
    sheet = book.add_worksheet()
    for at, row in enumerate([["Part No", "Net"], ["A", 5.25], ["B", 6.5], ["C", 7.75], ["D", "1.234,50"]]):
        sheet.write_row(at, 0, row)
    book.close()
    found, _ = guess_mapping(path, "ACME")
    assert found is not None and found.mapping.style == NumberStyle(decimal_mark=",", grouping_mark=".")
    prices, _ = read_list(path, found.mapping, "USD", DAY)
    assert prices is not None and prices.report.numbers == 4


FIXED = """Price list 2026

Part No  Description  Net price Replaced by
A-100    Belt       £     12.50 A-200
A-101    Seal kit   £      3.00 A-201
A-102    Shear pin  £      4.00
A-103    V-ring     £  1,004.00
"""


def test_a_title_with_digits_above_a_list_of_fixed_width(tmp_path: Path) -> None:
    """It is no line of the table: the header below it says where no column begins."""
    found = guessed(tmp_path, FIXED)
    assert found.mapping.header_row == 3
    headers = {field: cut.of(FIXED.splitlines()[2]) for field, cut in found.mapping.places.items()}
    assert headers["cost"] == "Net price" and set(headers) == {"number", "description", "cost", "superseded_by"}
    prices, _ = read_list(tmp_path / "acme.csv", found.mapping, "GBP", DAY)
    assert prices is not None and prices.report.numbers == 4


@pytest.mark.parametrize(
    ("header", "number", "cost"),
    [
        ("Part No,Price,PRICE", "Part No", "column 2"),
        ("Part No,Net  price,Net price", "Part No", "column 2"),
        ("column 3,Net,Text", "column 1", "Net"),
        ("Column 2,Column 1,Net", "column 1", "Net"),
    ],
)
def test_headers_that_only_look_like_another_are_named_by_their_place(
    tmp_path: Path, header: str, number: str, cost: str
) -> None:
    """What `prices map` writes, `prices read` takes as it is."""
    found = guessed(tmp_path, f"{header}\nA,1.50,2.50\nB,3.50,4.50\n")
    assert (found.mapping.columns["number"], found.mapping.columns["cost"]) == (number, cost)
    prices, problems = read_list(tmp_path / "acme.csv", found.mapping, "USD", DAY)
    assert prices is not None and problems == [] and prices.report.numbers == 2


def test_a_former_price_is_not_the_cost(tmp_path: Path) -> None:
    found = guessed(tmp_path, "Part No,Old price,New price,Special price\nA,1.40,1.50,1\nB,2.40,2.50,2\n")
    assert found.mapping.columns["cost"] == "New price"
    assert "cost: it could also be “Special price”." in found.doubts


@pytest.mark.parametrize(
    ("rows", "columns"),
    [
        (["A-1,Belt,3.00", "A-2,Seal,4.00"], {"number": 1, "cost": 3}),
        (["A-1,Belt,1.50,3.00", "A-2,Seal,2.50,5.00"], {"number": 1, "cost": 3, "list_price": 4}),
        (["A-1,5.00,10,2.50", "A-2,7.00,1,3.50"], {"number": 1, "cost": 4, "list_price": 2}),
        (["A-1;1;1,50;31.12.2026", "A-2;2;2,50;31.12.2026"], {"number": 1, "cost": 3}),
    ],
)
def test_a_list_without_a_header(tmp_path: Path, rows: list[str], columns: dict[str, int]) -> None:
    """Amounts with decimals are prices, the lower the cost; each is a doubt, as no word says it."""
    found = guessed(tmp_path, "".join(f"{row}\n" for row in rows))
    assert found.mapping.header_row == 0
    assert found.mapping.columns == {field: f"column {place}" for field, place in columns.items()}
    assert {field for field in columns for doubt in found.doubts if doubt.startswith(f"{field}: no header")} == set(
        columns
    )
    prices, problems = read_list(tmp_path / "acme.csv", found.mapping, "USD", DAY)
    assert prices is not None and problems == [] and prices.report.numbers == 2


@pytest.mark.parametrize("text", ["A-1,1.50,2.50,3.50\nA-2,1.60,2.60,3.60\n", "A-1,Belt,3\nA-2,Seal,4\n"])
def test_what_is_not_guessed_without_a_header(tmp_path: Path, text: str) -> None:
    """Three columns of amounts, or none with decimals."""
    path = write_list(tmp_path, text)
    assert guess_mapping(path, "ACME")[1][0].code == "list-not-understood"


@pytest.mark.parametrize("step", [1, 10])
def test_a_position_is_not_the_number(tmp_path: Path, step: int) -> None:
    """`Item` counts the rows of the list, whatever it is called; what stands in it finds no part."""
    rows = [f"{at * step},P-{at}77,4.{at}0" for at in range(1, 6)]
    found = guessed(tmp_path, "\n".join(["Item,Mfg Part #,Dealer", *rows]))
    assert found.mapping.columns["number"] == "Mfg Part #"
    unnamed = guessed(tmp_path, "\n".join(["Item,Our key,Dealer", *rows]))
    assert unnamed.mapping.columns["number"] == "Our key" and unnamed.doubts[0].startswith("number:")


def test_another_number_beside_the_number_is_a_doubt(tmp_path: Path) -> None:
    """The book may go by either; a barcode is none of them."""
    text = "Item No,Mfg Part #,EAN,Dealer\n77-1,P-1,4001,4.20\n77-2,P-2,4002,5.20\n"
    assert "number: “Item No” is taken; it could also be “Mfg Part #”." in guessed(tmp_path, text).doubts


def test_two_tables_side_by_side_are_told_by_their_places(tmp_path: Path) -> None:
    """Only one of them is read: the other is named so that it can be found."""
    doubts = guessed(tmp_path, "Part,Price,,Part,Price\nA-1,4.20,,B-1,5.20\nA-2,4.30,,B-2,5.30\n").doubts
    assert "number: “Part” in column 1 is taken; it could also be “Part” in column 4." in doubts
    assert "cost: it could also be “Price” in column 5." in doubts


def test_a_column_with_gaps_is_not_the_number(tmp_path: Path) -> None:
    """Replacements differ too, but not each row has one."""
    found = guessed(tmp_path, ",A-1,1.50\n,A-2,2.50\nB-9,A-3,3.50\n,A-4,4.50\n")
    assert found.mapping.columns["number"] == "column 2"


@pytest.mark.parametrize(("member", "kept"), [("", ""), ("acme 2026.csv", "acme 2026.csv")])
def test_the_file_in_a_zip_is_kept_only_where_it_was_named(tmp_path: Path, member: str, kept: str) -> None:
    """A zip of one list has another name in it next year, and is read by the same mapping."""
    for year in (2026, 2027):
        with zipfile.ZipFile(tmp_path / f"{year}.zip", "w") as package:
            package.writestr(f"acme {year}.csv", "Part No,Net\nA,1.50\n")
    found, _ = guess_mapping(tmp_path / "2026.zip", "ACME", member)
    assert found is not None and found.mapping.member == kept
    prices, problems = read_list(tmp_path / "2027.zip", found.mapping, "USD", DAY)
    assert [problem.code for problem in problems] == (["which-member"] if kept else [])
    assert (prices is None) == bool(kept)


def test_the_currency_that_a_workbook_shows(tmp_path: Path) -> None:
    path = tmp_path / "acme.xlsx"
    book = xlsxwriter.Workbook(str(path))
    sheet, style = book.add_worksheet(), book.add_format({"num_format": "#,##0.00 [$€-407]"})
    for at, row in enumerate([["Part No", "Net"], ["A", 5.25], ["B", 6.5]]):
        sheet.write_row(at, 0, row, style)
    book.close()
    found, _ = guess_mapping(path, "ACME")
    assert found is not None and found.mapping.currency == "EUR"


def mainframe(pages: int) -> str:
    """A print of fixed width with a heading on each page, and a line about its end."""
    heading = [
        "NORTH PARTS          PRICE FILE  11/16/26     PAGE {page}",
        "",
        "PART NUMBER  DESCRIPTION         DEALER     LIST",
        "",
    ]
    rows = [
        "{page}-0117       SHAFT BUSHING 3/4     4.20     9.45",
        "{page}-0133       BEARING, SEALED 3    15.90    36.95",
        "{page}-0230       GEARBOX            1274.00  2409.00",
        "{page}-0312       DRIVE BELT           19.95    46.95",
    ]
    lines = [line.format(page=page) for page in range(1, pages + 1) for line in (*heading, *rows)]
    return "\n".join([*lines, "", "*** END OF LIST ***  19 ITEMS"]) + "\n"


@pytest.mark.parametrize("mark", ["", "\f"])
def test_headings_of_further_pages_are_no_rows(tmp_path: Path, mark: str) -> None:
    text = mainframe(3).replace("NORTH", f"{mark}NORTH")
    found = guessed(tmp_path, text, "acme.txt")
    line = text.split("\n")[4]
    assert {field: cut.of(line) for field, cut in found.mapping.places.items()} == {
        "number": "1-0117",
        "description": "SHAFT BUSHING 3/4",
        "cost": "4.20",
        "list_price": "9.45",
    }


def test_commas_in_descriptions_are_no_separator(tmp_path: Path) -> None:
    """They part half of the lines of a list of fixed width into two."""
    rows = [f"A-{at}    PIN, SIZE {at}   0000004{at}0" for at in range(1, 6)] + ["B-1    BELT          000001290"]
    found = guessed(tmp_path, "\n".join(["PART   DESCRIPTION   DEALER   ", *rows]) + "\n", "acme.txt")
    assert found.mapping.kind == "fixed width" and {"number", "cost"} <= found.mapping.places.keys()
    assert any('if they are in cents, write cost_is_for = "100"' in doubt for doubt in found.doubts)


def test_whole_amounts_may_be_cents(tmp_path: Path) -> None:
    """One amount with decimals says that they are none."""
    text = "Part,Dealer\nA,420\nB,1590\nC,{last}\n"
    assert any("no amount has decimals, as “420”" in doubt for doubt in guessed(tmp_path, text.format(last=95)).doubts)
    assert guessed(tmp_path, text.format(last="95.50")).doubts == ()
