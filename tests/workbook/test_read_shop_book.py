"""The shop book as records: spelling, defaults, free text, and all problems in one pass."""

from __future__ import annotations

from datetime import date
from decimal import Decimal
from pathlib import Path

import pytest

from quotekit.model.shop_book import DEFAULT_TIERS, Quantity
from quotekit.workbook.check_report import tax_coverage
from quotekit.workbook.read_shop_book import read_shop_book
from tests.problem_catalogue.broken import in_first_sheet
from tests.problem_catalogue.workbooks import BOOK, Rows, write
from tests.workbook.books import Cells, change, codes, good_book, read_book

SEVEN = ("Shop", "Labour rates", "Operations", "Parts", "Markup", "Findings", "Remedies")


def test_cells_become_records(tmp_path: Path) -> None:
    book = good_book(tmp_path)
    bushing = book.operations["BUSHING-FIT"]
    assert bushing.net_hours == Decimal("0.6") and bushing.each_side and bushing.slowed_by_rust
    assert bushing.parts == (
        Quantity(code="BUSHING", quantity=Decimal(1)),
        Quantity(code="GREASE", quantity=Decimal("0.2")),
    )
    assert book.labour_rates[0].in_force_from == date(2026, 1, 1)
    assert book.parts["0417"].pack_quantity == 10
    assert book.markup[1].cost_up_to is None and book.markup[0].markup == Decimal("0.8")
    assert book.fees["DISPOSAL"].always and book.fees["DISPOSAL"].applies_to == ("BELT-FIT",)
    assert book.taxes[0].charges == ("parts", "supplies", "PICKUP")
    assert book.settings.sublet_markup == Decimal("0.15")


def test_every_record_knows_its_cell(tmp_path: Path) -> None:
    book = good_book(tmp_path)
    assert str(book.parts["BELT"].source.place("Pack cost")) == "prices.xlsx:Parts!E4"
    assert str(book.settings.sources["Currency"].place("Value")) == "prices.xlsx:Shop!B3"


def test_references_are_spelled_as_the_row_that_defines_them(tmp_path: Path) -> None:
    cells: Cells = {
        "Operations": {"G3": "belt x 2", "H3": "cover", "F4": "weld"},
        "Fees": {"E3": "ALWAYS; belt-fit"},
        "Taxes": {"C2": "Parts; SUPPLIES; pickup"},
    }
    book = good_book(tmp_path, cells)
    belt = book.operations["BELT-FIT"]
    assert (belt.parts[0].code, belt.access) == ("BELT", ("COVER",))
    assert book.operations["SHAFT-BUILD"].labour == "WELD"
    assert book.fees["DISPOSAL"].always
    assert book.taxes[0].charges == ("parts", "supplies", "PICKUP")


def test_a_part_code_may_end_like_a_quantity(tmp_path: Path) -> None:
    cells: Cells = {"Parts": {"A4": "BOLT M8 x 30"}, "Operations": {"G3": "bolt m8 x 30; Bolt M8 x 30 x 4"}}
    book, _ = read_book(tmp_path, cells)
    assert book is not None
    assert [(part.code, part.quantity) for part in book.operations["BELT-FIT"].parts] == [
        ("BOLT M8 x 30", Decimal(1)),
        ("BOLT M8 x 30", Decimal(4)),
    ]


def test_a_dated_rate_keeps_the_first_spelling(tmp_path: Path) -> None:
    book = good_book(tmp_path, {"Labour rates": {"A4": "main", "C4": 88, "D4": 44, "E4": date(2027, 1, 1)}})
    assert [rate.code for rate in book.labour_rates] == ["MAIN", "WELD", "MAIN"]


def test_numbers_in_code_cells_are_their_digits(tmp_path: Path) -> None:
    book = good_book(tmp_path, {"Parts": {"A7": 88123}, "Offers": {"A2": 88123}})
    assert book.offers[0].part == "88123" and "88123" in book.parts


def test_seven_sheets_are_enough(tmp_path: Path) -> None:
    """A first quote needs no machines, suppliers, tiers or taxes: those are free text, defaults, or none."""
    rows = {name: [list(row) for row in BOOK[name]] for name in SEVEN}
    for sheet, cells in {"Operations": {"G2": "BUSHING", "H2": "", "H3": "", "H4": ""}}.items():
        rows = {**rows, sheet: [list(row) for row in rows[sheet]]}
        for address, value in cells.items():
            rows[sheet][int(address[1:]) - 1]["ABCDEFGH".index(address[0])] = value
    book, problems = read_book(tmp_path, rows=rows)
    assert problems == [] and book is not None
    assert book.machines is None and book.suppliers is None and book.tiers == DEFAULT_TIERS
    assert book.findings["BUSHING-WORN"].machines == ("BLOWER",)


def test_free_text_takes_the_first_spelling(tmp_path: Path) -> None:
    """Without a Suppliers sheet, North and NORTH are one supplier: freight must not be split."""
    book = good_book(tmp_path, {"Parts": {"H3": "North"}}, without=("Suppliers",))
    assert {part.supplier for part in book.parts.values()} == {"NORTH", "SHELF"}


@pytest.mark.parametrize("sheet", ["Machines", "Suppliers", "Tiers"])
def test_a_sheet_with_only_its_header_counts_as_missing(tmp_path: Path, sheet: str) -> None:
    """A blank workbook has every sheet; an empty one must not forbid what a missing one allows."""
    rows = {**BOOK, sheet: [BOOK[sheet][0]]}
    book, problems = read_book(tmp_path, rows=rows)
    assert book is not None and problems == []
    assert (book.machines is None, book.suppliers is None, book.tiers == DEFAULT_TIERS) == (
        sheet == "Machines", sheet == "Suppliers", sheet == "Tiers"
    )  # fmt: skip


@pytest.mark.parametrize("sheet", SEVEN)
def test_a_needed_sheet_that_is_missing_is_one_error(tmp_path: Path, sheet: str) -> None:
    """And no other sheet is blamed for the codes it would define."""
    _book, problems = read_book(tmp_path, without=(sheet,))
    assert codes(problems) == [("missing-sheet", "", "")]


def test_all_problems_come_in_one_pass_in_reading_order(tmp_path: Path) -> None:
    cells: Cells = {
        "Cautions": {"D1": "For custmer"},
        "Markup": {"C2": 45},
        "Operations": {"C3": "", "H4": "COVR", "C2": "0.6h"},
        "Shop": {"B3": "dollars"},
    }
    _, problems = read_book(tmp_path, cells)
    assert codes(problems) == [
        ("unknown-currency", "Shop", "B3"),
        ("text-number", "Operations", "C2"),
        ("blank-required", "Operations", "C3"),
        ("unknown-code", "Operations", "H4"),
        ("percent-unclear", "Markup", "C2"),
        ("near-column", "Cautions", "D1"),
    ]


def test_a_faulty_row_is_left_out_with_all_that_needs_it(tmp_path: Path) -> None:
    """The book that remains holds together, so that the job can still be checked."""
    book, problems = read_book(tmp_path, {"Operations": {"C3": ""}})
    assert codes(problems) == [("blank-required", "Operations", "C3")]
    assert book is not None
    assert "BELT-FIT" not in book.operations and "BELT-NEW" not in book.remedies and "BELT-OFFER" not in book.extras
    assert book.bundles["FRONT"].members == ("BUSHING-NEW",)


def test_the_owners_own_sheets_and_columns_are_left_alone(tmp_path: Path) -> None:
    rows: dict[str, Rows] = {
        **BOOK,
        "My notes": [["Anything", "Pack qantity"], [1, 2]],
        "Markup": [["Shop's bands"], [], *BOOK["Markup"]],
    }
    rows["Fees"] = [[*row, "mine"] for row in BOOK["Fees"]]
    book, problems = read_book(tmp_path, rows=rows)
    assert book is not None and problems == []
    assert book.markup[0].source.row == 4


def test_blank_rows_are_skipped(tmp_path: Path) -> None:
    rows: dict[str, Rows] = {**BOOK, "Fees": [BOOK["Fees"][0], [], BOOK["Fees"][1], ["", "  "], BOOK["Fees"][2]]}
    book, problems = read_book(tmp_path, rows=rows)
    assert book is not None and problems == []
    assert list(book.fees) == ["PICKUP", "DISPOSAL"]


def test_american_words_are_read(tmp_path: Path) -> None:
    cells: Cells = {
        "Shop": {"A4": "minimum LABOR hours", "A5": "License", "B5": "R-12"},
        "Bundles": {"D2": "labor amount off", "E2": 5},
        "Taxes": {"C2": "labor; upgrade labor"},
        "Operations": {"F1": "Labor"},
    }
    book = good_book(tmp_path, cells)
    assert book.settings.licence == "R-12" and book.bundles["FRONT"].saving == "labour amount off"
    assert book.taxes[0].charges == ("labour", "upgrade labour")


@pytest.mark.parametrize(
    ("typed", "read"),
    [("never", "never"), ("When work goes ahead", "when work goes ahead"), (250, Decimal(250))],
)
def test_the_inspection_credit_is_a_word_or_an_amount(tmp_path: Path, typed: object, read: object) -> None:
    book = good_book(tmp_path, {"Shop": {"A5": "Inspection fee credited", "B5": typed}})
    assert book.settings.inspection_fee_credited == read


def test_the_value_of_a_bundle_is_read_by_its_saving(tmp_path: Path) -> None:
    book = good_book(tmp_path, {"Bundles": {"D2": "percent off parts", "E2": "10%"}})
    assert book.bundles["FRONT"].value == Decimal("0.1")
    _, problems = read_book(tmp_path, {"Bundles": {"D2": "percent off parts", "E2": 10}})
    assert codes(problems) == [("percent-unclear", "Bundles", "E2")]


def test_sides_of_the_book_are_kept_as_words(tmp_path: Path) -> None:
    cells: Cells = {"Parts used": {"D2": "Left; RIGHT", "A3": "BUSHING-FIT", "B3": "GREASE", "C3": 1, "D3": "left"}}
    book = good_book(tmp_path, cells)
    assert [row.sides for row in book.parts_used] == [("left", "right"), ("left",)]


@pytest.mark.parametrize(
    ("machine", "side", "fine"),
    [("TRAILER", "left", True), ("BLOWER", "left front", False), ("", "left front", True), ("", "front", False),
     ("TRAILER", "both", False), ("BLOWER", "both", True), ("", "all", True)],
)  # fmt: skip
def test_a_side_must_be_one_of_the_classes_concerned(tmp_path: Path, machine: str, side: str, fine: bool) -> None:
    _, problems = read_book(tmp_path, {"Parts used": {"D2": side, "E2": machine}})
    assert codes(problems) == ([] if fine else [("unknown-side", "Parts used", "D2")])


@pytest.mark.parametrize(
    ("cells", "fine"),
    [({"A3": "STATE TAX", "F3": date(2026, 7, 1), "G2": date(2026, 6, 30)}, True),
     ({"A3": "State tax", "F3": date(2026, 7, 1)}, False),
     ({"A3": "State tax", "E3": "business"}, True),
     ({"A3": "State tax", "D3": "TRAILER", "D2": "BLOWER"}, True),
     ({"A3": "State tax", "D3": "TRAILER; BLOWER", "D2": "BLOWER"}, False),
     ({"A3": "County tax"}, True)],
)  # fmt: skip
def test_one_tax_may_have_several_rows_but_not_for_the_same_charge(
    tmp_path: Path, cells: dict[str, object], fine: bool
) -> None:
    """Dated rows, classes and machines part them; else a charge would be taxed twice."""
    book, problems = read_book(tmp_path, {"Taxes": {"B3": "5%", "C3": "parts", **cells}})
    assert codes(problems) == ([] if fine else [("taxed-twice", "Taxes", "C3")])
    assert book is not None and {row.tax for row in book.taxes} <= {"State tax", "County tax"}


def test_no_tax_sheet_is_no_problem_for_a_taxed_as_word(tmp_path: Path) -> None:
    book = good_book(tmp_path, {"Parts": {"O2": "Tires"}}, without=("Taxes",))
    assert book.parts["BUSHING"].taxed_as == "tires"


def test_a_tax_may_name_a_taxed_as_word(tmp_path: Path) -> None:
    book = good_book(tmp_path, {"Parts": {"O2": "Tires"}, "Taxes": {"C2": "tires"}})
    assert book.taxes[0].charges == ("tires",)


def test_coverage_says_what_each_tax_leaves(tmp_path: Path) -> None:
    book = good_book(tmp_path, {"Taxes": {"A3": "Levy", "B3": "1%", "C3": "all"}})
    assert tax_coverage(book) == [
        "State tax does not touch labour, cores, sublet, freight, fees other than PICKUP, inspection.",
        "Levy touches every charge.",
    ]


def test_a_fault_outside_the_tables_is_no_problem(tmp_path: Path) -> None:
    """An error cell among the owner's own columns changes no answer; in a known column it is an error."""
    rows = {**BOOK, "Shop": [[*row, ""] for row in BOOK["Shop"]]}
    rows["Shop"][5][2] = 40.5
    path = write(tmp_path / "prices.xlsx", rows, change())
    in_first_sheet(path, b'<c r="C6"><v>40.5</v>', b'<c r="C6" t="e"><v>#N/A</v>')
    assert read_shop_book(path)[1] == []
