"""A sheet value as a file: text stays text, bytes stay the same, and nothing the shop keeps to itself is inside."""

from __future__ import annotations

import hashlib
import io
import re
import zipfile
from collections.abc import Mapping
from dataclasses import fields, is_dataclass, replace
from datetime import date
from decimal import Decimal
from pathlib import Path
from typing import Any
from xml.etree import ElementTree

import openpyxl
import pytest

from quotekit.documents.customer_quote import lay_out_customer_quote
from quotekit.documents.sheet import (
    Cell,
    Look,
    Page,
    Picture,
    Properties,
    Row,
    Sheet,
    WorkbookValue,
    day,
    money,
    number,
    picture,
    row,
    text,
)
from quotekit.model.quote import Quote
from quotekit.model.shop_book import MarkupBand, Offer, Part, Supplier
from quotekit.problems import Place, warning
from quotekit.workbook.photos import shrink
from quotekit.workbook.write_sheet import (
    CannotWrite,
    workbook_bytes,
    write_costing,
    write_customer_quote,
    write_workbook,
)
from tests.documents import quotes
from tests.workbook.pictures import a_photo

D = Decimal
LOOKS = {"body": Look(), "money": Look(align="right"), "number": Look()}
PROBES = [
    "=1+1",
    "+1",
    "-1",
    "@SUM(A1)",
    "{=1}",
    "http://example.invalid/",
    "mailto:a@b.example",
    "007",
    "1 1/2",
    "\tx",
    "#N/A",
]
CANARY_NAMES = ("Canary Wholesale", "CNRY-SUPPLIER", "CNRY-NUMBER", "canary reason", "cafe0badc0de")
CANARY_AMOUNTS = ("7391.37", "7391.41", "48213.7", "0.73913")


def value(*rows: Row, widths: tuple[float, ...] = (20, 12), **changed: Any) -> WorkbookValue:
    """A workbook of one sheet."""
    sheet = Sheet(name="One", rows=rows, widths=widths, **changed)
    formats: Any = {"money": '"$"#,##0.00', "number": "0.00", "date": "yyyy-mm-dd"}
    return WorkbookValue(
        sheets=(sheet,), properties=Properties(title="T", created=date(2026, 1, 2)), formats=formats, looks=LOOKS
    )


def read(data: bytes) -> Any:
    """The file as another library sees it."""
    return openpyxl.load_workbook(io.BytesIO(data))


def parts_of(data: bytes) -> dict[str, bytes]:
    """Every part of the package."""
    with zipfile.ZipFile(io.BytesIO(data)) as package:
        return {name: package.read(name) for name in package.namelist()}


def test_text_is_always_text() -> None:
    """No text of a workbook ever becomes a formula, a link or a number."""
    data = workbook_bytes(value(*(row(text(probe), text(probe)) for probe in PROBES)))
    page = read(data)["One"]
    for line, probe in enumerate(PROBES, start=1):
        assert (page.cell(line, 1).value, page.cell(line, 1).data_type) in ((probe, "s"), (probe, "e"))
        assert page.cell(line, 1).hyperlink is None
        assert page.cell(line, 1).number_format == "@"
    assert b"<f>" not in parts_of(data)["xl/worksheets/sheet1.xml"]


def test_text_in_merged_cells_is_text_too() -> None:
    data = workbook_bytes(value(row(text("=1+1", across=2))))
    page = read(data)["One"]
    assert str(page.merged_cells) == "A1:B1"
    assert page["A1"].value == "=1+1" and b"<f>" not in parts_of(data)["xl/worksheets/sheet1.xml"]


def test_numbers_dates_and_formats() -> None:
    data = workbook_bytes(value(row(money(D("1234.50")), number(D("0.1"))), row(day(date(2026, 3, 4)), number(7))))
    page = read(data)["One"]
    assert (page["A1"].value, page["A1"].number_format) == (1234.5, '"$"#,##0.00')
    assert page["B1"].value == 0.1
    assert page["A2"].value.date() == date(2026, 3, 4)
    assert page["B2"].value == 7


@pytest.mark.parametrize("amount", ["0.01", "-12.35", "123456789012345", "1234567890123.45", "0.000000000000001"])
def test_a_number_of_up_to_fifteen_digits_reads_back_exactly(amount: str) -> None:
    """The stored text passes through a double and fifteen digits, as our own reader does it."""
    data = parts_of(workbook_bytes(value(row(money(D(amount))))))["xl/worksheets/sheet1.xml"].decode()
    stored = re.search(r"<v>([^<]*)</v>", data)
    assert stored is not None
    assert D(format(float(stored[1]), ".15g")) == D(amount)


@pytest.mark.parametrize("amount", ["1234567890123456", "0.1234567890123456", "NaN", "Infinity"])
def test_what_a_workbook_cannot_hold_is_refused(amount: str) -> None:
    with pytest.raises(CannotWrite, match="One!A1"):
        workbook_bytes(value(row(money(D(amount)))))


def test_a_text_too_long_for_a_cell_is_refused_and_not_cut() -> None:
    with pytest.raises(CannotWrite, match="One!A1"):
        workbook_bytes(value(row(text("x" * 32_768))))


def test_a_formula_keeps_its_value_and_a_cell_its_name() -> None:
    total = Cell(content=D("3.50"), kind="money", style="money", formula="=A1+A2", name="Total")
    book = read(workbook_bytes(value(row(money(D(1))), row(money(D("2.5"))), row(total))))
    assert book["One"]["A3"].value == "=A1+A2"
    assert book.defined_names["Total"].attr_text == "'One'!$A$3" or book.defined_names["Total"].attr_text == "One!$A$3"
    stored = parts_of(workbook_bytes(value(row(money(D(1))), row(money(D("2.5"))), row(total))))
    assert b"<f>A1+A2</f><v>3.5</v>" in stored["xl/worksheets/sheet1.xml"]


def test_page_set_up() -> None:
    page = Page(paper="Letter", repeat_rows=1, repeat_from=1, footer="&LShop&RPage &P of &N")
    rows = (row(text("a")), row(text("b")), row(text("c"), break_before=True))
    sheet = read(workbook_bytes(value(*rows, page=page, frozen_rows=1)))["One"]
    assert (sheet.page_setup.paperSize, sheet.page_setup.fitToHeight) == (1, 0)
    assert sheet.sheet_properties.pageSetUpPr.fitToPage
    assert sheet.print_title_rows == "$2:$2"
    assert str(sheet.print_area).endswith("$A$1:$B$3")
    assert [brk.id for brk in sheet.row_breaks.brk] == [2]
    assert sheet.freeze_panes == "A2"
    assert sheet.oddFooter.right.text == "Page &P of &N"


def test_a_picture_fits_its_cell_and_has_alt_text() -> None:
    shown = replace(shrink(a_photo(1200, 800)), alt="A worn bushing")
    data = parts_of(workbook_bytes(value(Row(cells=(text("x"), picture(shown)), height=90.0))))
    drawing = data["xl/drawings/drawing1.xml"].decode()
    assert 'descr="A worn bushing"' in drawing
    high = re.findall(r'<a:ext cx="(\d+)" cy="(\d+)"', drawing)[0][1]
    assert int(high) <= 90 * 12_700


@pytest.mark.parametrize("make", [quotes.one, quotes.two, quotes.three, quotes.many_findings, quotes.long_texts])
def test_the_same_value_gives_the_same_bytes(make: Any) -> None:
    photos = {"bushing.jpg": shrink(a_photo(640, 480))}
    first = workbook_bytes(lay_out_customer_quote(make(), photos))
    assert first == workbook_bytes(lay_out_customer_quote(make(), photos))


def test_the_file_knows_no_time_but_the_quote_date() -> None:
    data = workbook_bytes(lay_out_customer_quote(quotes.one()))
    core = parts_of(data)["docProps/core.xml"].decode()
    assert set(re.findall(r"\d{4}-\d\d-\d\dT[\d:]+Z", core)) == {"2026-11-25T00:00:00Z"}
    with zipfile.ZipFile(io.BytesIO(data)) as package:
        assert {part.date_time for part in package.infolist()} == {(1980, 1, 1, 0, 0, 0)}


def test_writing_replaces_the_file_and_leaves_nothing_beside_it(tmp_path: Path) -> None:
    path = tmp_path / "quote.xlsx"
    path.write_bytes(b"old")
    write_customer_quote(quotes.one(), path)
    assert zipfile.is_zipfile(path)
    assert [entry.name for entry in tmp_path.iterdir()] == ["quote.xlsx"]


def test_the_costing_is_written_with_the_problems_it_is_given(tmp_path: Path) -> None:
    found = warning(Place("job 7.xlsx", "Findings", "B4"), "odd", "The bore reads odd.", "Measure it again.")
    write_costing(quotes.one(), tmp_path / "costing.xlsx", (found,))
    book = openpyxl.load_workbook(tmp_path / "costing.xlsx", read_only=True)
    assert book.sheetnames[0] == "Summary"
    written = {str(value) for sheet in book for line in sheet.iter_rows(values_only=True) for value in line if value}
    assert any("The bore reads odd." in value for value in written)


def test_a_refused_value_leaves_the_old_file_alone(tmp_path: Path) -> None:
    path = tmp_path / "quote.xlsx"
    path.write_bytes(b"old")
    with pytest.raises(CannotWrite):
        write_workbook(value(row(money(D("1234567890123456")))), path)
    assert path.read_bytes() == b"old"
    assert [entry.name for entry in tmp_path.iterdir()] == ["quote.xlsx"]


def with_canaries(quote: Quote) -> Quote:
    """The same selling prices; every cost, supplier and number of the shop replaced by something odd."""
    spoilt = [_spoilt_tier(tier) for tier in quote.tiers]
    supplier = Supplier(code="CNRY-SUPPLIER", supplier="Canary Wholesale", freight=D("7391.37"))
    part = Part(
        code="BUSHING", part="Bushing", pack_quantity=D(3), pack_cost=D("7391.37"), supplier="CNRY-SUPPLIER",
        suppliers_number="CNRY-NUMBER",
    )  # fmt: skip
    book = replace(
        quote.book,
        suppliers={"CNRY-SUPPLIER": supplier},
        parts={"BUSHING": part},
        offers=(Offer(part="BUSHING", supplier="CNRY-SUPPLIER", pack_quantity=D(1), pack_cost=D("7391.41")),),
        markup=(MarkupBand(cost_over=D(0), cost_up_to=None, markup=D("0.73913")),),
        labour_rates=tuple(replace(rate, cost_per_hour=D("7391.41")) for rate in quote.book.labour_rates),
        sha256="cafe0badc0de" * 5,
        file="Canary Wholesale.xlsx",
    )
    return replace(quote, tiers=tuple(spoilt), book=book, job=replace(quote.job, sha256="cafe0badc0de" * 5))


def _spoilt_tier(tier: Any) -> Any:
    odd = D("7391.37")
    lines = tuple(
        replace(
            line, supplier="Canary Wholesale", suppliers_number="CNRY-NUMBER", packs=48213, pack_quantity=D("48213.7"),
            pack_cost=odd, unit_cost=odd, cost=odd, left_over=D("48213.7"), why_price="canary reason", ordered=False,
            lead_days=48213, returnable=False,
        )
        for line in tier.part_lines
    )  # fmt: skip
    return replace(
        tier,
        part_lines=lines,
        freight_lines=(replace(tier.freight_lines[0], key="CNRY-SUPPLIER", name="Canary Wholesale", cost=odd),),
        saving_lines=tuple(replace(line, cost=odd) for line in tier.saving_lines),
        fee_lines=tuple(replace(line, cost=odd) for line in tier.fee_lines),
        cost=replace(tier.cost, labour=odd, parts_used=odd, total=odd),
        cash_for_parts=D("7391.41"),
        margin=D("7391.41"),
        horizon_cost=D("7391.41"),
        compared=48213,
    )


CASES = [quotes.one, quotes.two, quotes.three, quotes.many_findings, quotes.positions]


@pytest.mark.parametrize("make", CASES)
def test_other_costs_with_the_same_prices_give_the_same_bytes(make: Any) -> None:
    """Nothing of the shop's own can be in a file that does not change with it."""
    plain, spoilt = make(), with_canaries(make())
    assert plain != spoilt
    one, two = (workbook_bytes(lay_out_customer_quote(quote)) for quote in (plain, spoilt))
    assert hashlib.sha256(one).hexdigest() == hashlib.sha256(two).hexdigest()


@pytest.mark.parametrize("make", CASES)
def test_no_cost_supplier_or_margin_is_in_any_part(make: Any) -> None:
    """Every part of the package, its names, its decoded texts, and every number within a millionth."""
    data = workbook_bytes(lay_out_customer_quote(with_canaries(make())))
    for name, part in parts_of(data).items():
        seen = [name, part.decode("utf-8", "replace")]
        if name.endswith((".xml", ".rels")):
            root = ElementTree.fromstring(part)
            seen += ["".join(root.itertext()), *(v for element in root.iter() for v in element.attrib.values())]
        for content in seen:
            assert not [canary for canary in CANARY_NAMES if canary.lower() in content.lower()], name
            numbers = {D(n) for n in re.findall(r"\d+(?:\.\d+)?", content)}
            for canary in map(D, CANARY_AMOUNTS):
                assert not [n for n in numbers if abs(n - canary) <= canary / 1_000_000], (name, canary)


def test_the_canaries_are_really_planted() -> None:
    """The test above would pass for nothing if they were not in the quote at all."""
    planted = set(_leaves(with_canaries(quotes.three())))
    assert {"Canary Wholesale", "CNRY-NUMBER", "canary reason", D("7391.37"), D("7391.41"), D("48213.7")} <= planted


def _leaves(record: Any) -> Any:
    if is_dataclass(record):
        for each in fields(record):
            yield from _leaves(getattr(record, each.name))
    elif isinstance(record, Mapping):
        for each in record.values():
            yield from _leaves(each)
    elif isinstance(record, tuple | list | frozenset):
        for each in record:
            yield from _leaves(each)
    else:
        yield record


def test_pictures_carry_no_name_of_their_file() -> None:
    shown = Picture(data=a_photo(64, 48), width=64, height=48, extension="jpg")
    data = workbook_bytes(lay_out_customer_quote(quotes.three(), {"bushing.jpg": shown}))
    assert not [name for name, part in parts_of(data).items() if b"bushing.jpg" in part or "bushing" in name]


def test_two_cells_that_lead_to_one_place_keep_their_own_words() -> None:
    """The address is taken apart once, and is each cell's own from then on."""
    first, second, third = (Cell(content=words, kind="text", link=to) for words, to in LEADING)
    sheet = read(workbook_bytes(value(row(first, second, third))))["One"]
    cells = [sheet.cell(1, column) for column in (1, 2, 3)]
    assert [cell.value for cell in cells] == [words for words, _ in LEADING]
    assert [(cell.hyperlink.target, cell.hyperlink.location) for cell in cells] == [
        ("book.xlsx", "Parts!D4"),
        ("book.xlsx", "Parts!D4"),
        ("book.xlsx", "Parts!D5"),
    ]


LEADING = (("Parts!D4", "book.xlsx#Parts!D4"), ("its price", "book.xlsx#Parts!D4"), ("Parts!D5", "book.xlsx#Parts!D5"))
