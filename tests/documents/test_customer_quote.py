"""What the customer reads, as a sheet value: no workbook library needed."""

from __future__ import annotations

import ast
import inspect
from collections.abc import Iterator
from dataclasses import replace
from datetime import date
from decimal import Decimal

import pytest

from quotekit.documents import (
    customer_amounts,
    customer_consent,
    customer_extras,
    customer_findings,
    customer_grid,
    customer_options,
    customer_quote,
    customer_replace,
    customer_terms,
    wording,
)
from quotekit.documents.customer_looks import LOOKS, SIZES
from quotekit.documents.customer_quote import lay_out_customer_quote
from quotekit.documents.page_breaks import pages_of
from quotekit.documents.sheet import Cell, Picture, WorkbookValue, placed
from quotekit.documents.text_fit import height_of, lines_of, width_of
from quotekit.model.quote import Declined, MoneyLine, Quote
from tests.documents import quotes

D = Decimal
CASES = {
    "one option": quotes.one,
    "two options": quotes.two,
    "three options": quotes.three,
    "40 findings": quotes.many_findings,
    "long texts": quotes.long_texts,
    "four positions": quotes.positions,
}
PHOTO = Picture(data=b"picture", width=900, height=600, extension="jpg")
SHOP_ONLY = {
    "supplier",
    "suppliers_number",
    "packs",
    "pack_quantity",
    "pack_cost",
    "unit_cost",
    "cost",
    "left_over",
    "why_price",
    "ordered",
    "lead_days",
    "cash_for_parts",
    "margin",
    "horizon_cost",
    "cost_per_hour",
    "markup",
    "suppliers",
    "sha256",
    "freight_lines",
    "parts_used",
    "compared",
}


def cells(value: WorkbookValue) -> Iterator[Cell]:
    """Every cell of every sheet."""
    for sheet in value.sheets:
        for row in sheet.rows:
            yield from row.cells


def texts(quote: Quote) -> list[str]:
    """Every text of the document."""
    return [cell.content for cell in cells(lay_out_customer_quote(quote)) if isinstance(cell.content, str)]


def whole(quote: Quote) -> str:
    """All texts in one."""
    return "\n".join(texts(quote))


def line(quote: Quote, label: str) -> list[object]:
    """The answers beside a label, in the last row that carries it."""
    rows = [row for sheet in lay_out_customer_quote(quote).sheets for row in sheet.rows]
    found = [row for row in rows if row.cells and row.cells[0].content == label]
    return [cell.content for cell in found[-1].cells[1:]]


@pytest.mark.parametrize("name", CASES)
def test_every_row_is_tall_enough_for_its_texts(name: str) -> None:
    """Merged cells never grow by themselves, so a row that is too low cuts its text."""
    value = lay_out_customer_quote(CASES[name]())
    for sheet in value.sheets[:1]:
        for row in sheet.rows:
            for column, cell in placed(row):
                if isinstance(cell.content, str):
                    look = value.looks[cell.style]
                    width = width_of(sum(sheet.widths[column : column + cell.across]), cell.across) - 7 * look.indent
                    assert row.height is not None
                    assert row.height >= height_of(len(lines_of(cell.content, width, look)), look)


@pytest.mark.parametrize("name", CASES)
def test_every_row_fills_the_columns_and_fits_a_row(name: str) -> None:
    """A row wider than the columns would print on a page of its own; 409 points is the most a row may have."""
    for sheet in lay_out_customer_quote(CASES[name]()).sheets[:1]:
        for row in sheet.rows:
            assert sum(cell.across for cell in row.cells) in (sheet.printed_columns, len(sheet.widths))
            assert (row.height or 0) <= 409
            assert all(cell.style in LOOKS for cell in row.cells)


@pytest.mark.parametrize("language", ["en_US", "de_DE"])
@pytest.mark.parametrize("count", [1, 2, 3])
def test_columns_fit_the_paper_unshrunk(count: int, language: str) -> None:
    """Some programs draw a character of the default font 5.56 points wide, and each column 0.71 characters wider."""
    sheet = lay_out_customer_quote(quotes.quote(quotes.TIERS[:count], language=language)).sheets[0]
    room = {"Letter": 8.5, "A4": 8.27}[sheet.page.paper] - sheet.page.left - sheet.page.right
    assert sum((width + 0.71) * 5.56 for width in sheet.widths[: sheet.printed_columns]) <= room * 72
    assert (sheet.page.fit_wide, sheet.page.landscape) == (1, False)


@pytest.mark.parametrize("name", CASES)
def test_no_page_is_longer_than_letter(name: str) -> None:
    """Between two breaks there is never more than a page."""
    for sheet in lay_out_customer_quote(CASES[name]()).sheets[:1]:
        room = 792 - 72 * (sheet.page.top + sheet.page.bottom)
        used = 0.0
        for row in sheet.rows:
            used = (0.0 if row.break_before else used) + (row.height or 0)
            assert used <= room


@pytest.mark.parametrize("name", ["one option", "two options", "three options", "four positions"])
def test_a_usual_quote_prints_on_two_pages(name: str) -> None:
    value = lay_out_customer_quote(CASES[name](), {"bushing.jpg": PHOTO})
    assert [(sheet.name, sheet.hidden) for sheet in value.sheets] == [("Quote", False), ("Working", True)]
    assert pages_of(value.sheets[0].rows) <= 2


def test_a_short_quote_has_the_large_type_and_no_quote_less_than_8_points() -> None:
    short = lay_out_customer_quote(quotes.one())
    long = lay_out_customer_quote(quotes.many_findings())
    assert short.looks["body"].size == SIZES[0]
    assert min(look.size for name, look in long.looks.items() if name != "gap") == 8


@pytest.mark.parametrize("name", ["40 findings", "long texts"])
def test_a_page_that_starts_inside_the_table_says_the_options_again(name: str) -> None:
    """Above the first line of such a page stand the names of the options."""
    rows = lay_out_customer_quote(CASES[name]()).sheets[0].rows
    header = next(number for number, row in enumerate(rows) if row.cells[0].style == "column left")
    end = next(number for number, row in enumerate(rows) if row.cells[0].content == "TOTAL TO PAY")
    inside = [row for row in rows[header + 1 : end] if row.break_before]
    assert inside
    assert all(row.cells == rows[header].cells for row in inside)


def test_one_two_and_three_options_stand_side_by_side() -> None:
    for count, make in ((1, quotes.one), (2, quotes.two), (3, quotes.three)):
        sheet = lay_out_customer_quote(make()).sheets[0]
        assert sheet.printed_columns == 2 + count + 1
        header = next(row for row in sheet.rows if row.cells[0].style == "column left")
        assert [cell.content for cell in header.cells][-1] == "If you decline"
        assert header.cells[1].content == "Option 1\nPut right"


def test_the_customer_never_reads_tier_nor_a_recommendation() -> None:
    read = whole(quotes.three()).lower()
    for word in (
        "tier",
        "recommend",
        "best value",
        "hurry",
        "only today",
        "most popular",
        "margin",
        "supplier",
        "markup",
    ):
        assert word not in read


def test_a_tier_that_is_not_offered_is_not_printed() -> None:
    hidden = replace(quotes.TIERS[1], offered=False, reason="the same work", name="Hidden name")
    quote = quotes.quote((quotes.TIERS[0], hidden, quotes.TIERS[2]))
    assert "Hidden name" not in whole(quote)
    assert "Option 2: Made to last" in whole(quote)


def test_who_which_machine_and_the_customers_words() -> None:
    read = texts(quotes.three())
    assert "2041, version 1, of November 25, 2026, valid until December 25, 2026" in read
    assert "Pat Example, 555 0188" in read
    assert "Two-stage snow thrower, invented 24-inch, serial A1002, used 310 hours" in read
    assert "\u201cIt knocks when the auger runs, and it leaves a strip of snow.\u201d" in read
    assert any("License R-0042" in text and "Tax number 00-123" in text for text in read)


def test_a_finding_has_measurement_as_typed_limit_source_and_severity_in_words() -> None:
    read = texts(quotes.three())
    assert "1. Auger shaft bushing worn, left (needed)" in read
    assert "3. Chute guard missing (safety)" in read
    assert any("Safety: someone may be hurt. Needed:" in text for text in read)
    block = next(text for text in read if text.startswith("The bearing sleeve"))
    assert "measured: 0.075 in (1.9 mm); limit: at most 1.2 mm (maker's manual, page 31); as new: 0.3 mm." in block
    assert "If left: the shaft wears too" in block


def test_a_passing_measurement_is_watch_and_said_so() -> None:
    block = next(text for text in texts(quotes.three()) if text.startswith("4. Drive belt (watch): Belt width"))
    assert "Within the limit: nothing is charged for it in any option." in block
    assert "If left" not in block
    assert "4. Drive belt (watch)" not in texts(quotes.three())


def test_a_note_is_printed_only_for_an_unlisted_finding_or_a_typed_severity() -> None:
    note = "Looked at in daylight"
    for changed, printed in (({}, False), ({"severity_typed": True}, True), ({"code": "OTHER-1"}, True)):
        found = replace(quotes.FINDINGS[1], note=note, **changed)
        quote = quotes.quote(quotes.TIERS[:1], quotes.job((quotes.FINDINGS[0], found, quotes.FINDINGS[2])))
        quote = replace(quote, tiers=(replace(quote.tiers[0], left=()),))
        assert (f"Note: {note}." in whole(quote)) is printed


@pytest.mark.parametrize(("measured", "printed"), [("0.727952755906", "0.728 in"), ("0.7399999", "0.7399999 in")])
def test_a_converted_measurement_is_readable_and_never_reads_as_its_limit(measured: str, printed: str) -> None:
    found = replace(
        quotes.FINDINGS[1], unit="in", measured=D(measured), measured_text="18.5 mm", limit=D("0.74"), as_new=None
    )
    assert f"measured: 18.5 mm ({printed}); limit" in wording.in_words(found, "en_US")


def test_a_judgement_is_marked() -> None:
    assert "A judgment, not measured." in whole(quotes.three())


def test_a_photo_stands_beside_its_finding_with_words_for_it() -> None:
    value = lay_out_customer_quote(quotes.three(), {"bushing.jpg": PHOTO, "other.jpg": PHOTO})
    shown = [cell.content for cell in cells(value) if isinstance(cell.content, Picture)]
    assert len(shown) == 1
    assert shown[0].alt.startswith("Photograph of finding 1: Auger shaft bushing worn, left. Shaft to bushing gap")


def test_fixed_and_not_fixed_for_each_option_and_for_a_no() -> None:
    label = "2. Auger shaft bushing worn, right (advised)"
    assert line(quotes.three(), label) == ["Not fixed", "Not fixed", "Fixed", "Not fixed"]


def test_life_and_warranty_stand_beside_each_repair() -> None:
    read = whole(quotes.three())
    assert "Fit a new bushing like the old one, left: life 4 years, warranty 90 days" in read
    assert "Fit a sealed bearing in place of the bushing, left: life not stated, warranty 365 days" in read
    assert "estimate, not a guarantee" in read


def test_parts_say_condition_sides_quantity_and_price() -> None:
    label = "2 \u00d7 Bushing (BUSHING, new original, left), $8.95 each"
    assert line(quotes.three(), label) == [D("17.90"), "\u2013", "\u2013", None]
    assert "your own, not charged, no warranty" in whole(quotes.three())


@pytest.mark.parametrize(
    ("unit", "quantity", "expected"),
    [
        ("", "1", "1 \u00d7 Oil (OIL, new original)"),
        ("each", "2", "2 \u00d7 Oil (OIL, new original), $2.50 each"),
        ("quart", "0.625", "0.625 quart Oil (OIL, new original), $2.50 per quart"),
    ],
)
def test_the_quantity_and_price_of_a_part(unit: str, quantity: str, expected: str) -> None:
    part = quotes.part("Oil", "2.50", quantity, unit=unit)
    assert wording.part_words(part, quotes.one()) == expected


def test_our_own_labels_follow_the_country_and_the_shops_texts_do_not() -> None:
    british = quotes.quote(language="en_GB", shop_name="Labour Lane Repairs")
    assert {"Labour", "Labour Lane Repairs"} <= set(texts(british))
    american = quotes.quote(shop_name="Labour Lane Repairs")
    assert {"Labor", "Labour Lane Repairs"} <= set(texts(american))
    assert "A judgement, not measured." in whole(british)


def test_what_a_repair_leaves_is_said_once_for_both_sides() -> None:
    right = replace(quotes.BUSHING_ITEM, key="FIT-BUSHING@right", side="right")
    tier = replace(quotes.TIERS[0], items=(quotes.BUSHING_ITEM, right), left=())
    lines = [line for line in texts(quotes.quote((tier,))) if "which wears again" in line]
    assert lines == ["Fit a new bushing like the old one, left and right: the same kind of bushing, which wears again."]


def test_a_no_that_costs_nothing_says_so() -> None:
    free = replace(quotes.one(), declined=Declined(inspection=D(0), reassembly=D(0), tax=D(0), total=D(0)))
    assert "If you decline, there is nothing to pay." in whole(free)
    assert "I decline the work and have nothing to pay" in whole(free)


def test_labour_is_split_into_opening_and_work_that_add_up() -> None:
    quote = quotes.three()
    opening, work, together = (line(quote, name)[:3] for name in ("Opening and closing", "Work", "Labor"))
    assert [D(str(a)) + D(str(b)) for a, b in zip(opening, work, strict=True)] == together


def test_labour_by_repair_adds_up_to_labour() -> None:
    quote = quotes.quote(labour_shown="by repair")
    assert line(quote, "Fit a new chute guard")[0] == D("142.50")
    assert line(quote, "Not for one repair alone") == ["\u2013", "\u2013", D("-0.01"), None]
    assert line(quote, "Of which opening and closing")[0] == D("171.00")


def test_hours_are_printed_only_where_the_shop_shows_them() -> None:
    assert "Hours charged" not in whole(quotes.three())
    assert line(quotes.quote(show_hours=True), "Hours charged")[:3] == [D("3.0")] * 3


def test_savings_fees_freight_and_inspection_are_lines() -> None:
    quote = quotes.three()
    assert line(quote, "Together: less, both sides at once")[0] == D("-12.00")
    assert line(quote, "Pick-up, 12 mile: door to door")[0] == D("24.00")
    assert line(quote, "Freight for parts")[0] == D("9.50")
    assert line(quote, "Inspection") == [D("45.00"), D("45.00"), D("45.00"), D("45.00")]
    assert line(quote, "Inspection credited")[0] == D("-45.00")
    assert "This charge represents costs and profits" in whole(quote)


def test_a_discount_carries_its_reason_and_a_saving_of_hours_is_named() -> None:
    lines = (
        MoneyLine(key="HOURS", name="one setup for both", amount=D(0)),
        MoneyLine(key="DISCOUNT-LABOUR", name="Discount", amount=D("-5.00")),
    )
    tier = replace(quotes.TIERS[0], saving_lines=lines)
    quote = quotes.quote((tier,), quotes.job(discount_reason="third visit"))
    assert line(quote, "Discount on labor (third visit)")[0] == D("-5.00")
    assert line(quote, "Together: one setup for both (fewer hours, already in labor)")[0] == D(0)


@pytest.mark.parametrize("count", [1, 2, 3])
def test_the_printed_lines_add_up_to_the_subtotal(count: int) -> None:
    """Every amount of an option from parts to inspection, added as a customer would."""
    quote = quotes.quote(quotes.TIERS[:count])
    labels = (
        "Parts",
        "Labor",
        "Together: less, both sides at once",
        "Shop supplies",
        "Pick-up, 12 mile: door to door",
        "Waste oil",
        "Freight for parts",
        "Inspection",
        "Inspection credited",
    )
    for option in range(count):
        added = sum(D(str(line(quote, label)[option])) for label in labels)
        assert added == line(quote, "Subtotal before tax")[option] == quote.offered[option].subtotal
        sections = sum(D(str(line(quote, label)[option])) for label in ("Parts", "Labor", "Savings and other charges"))
        assert sections == added


def test_tax_has_its_name_base_and_amount_and_the_total_follows() -> None:
    quote = quotes.three()
    assert line(quote, "Sales tax") == [*(t.tax for t in quote.offered), D("8.47")]
    assert line(quote, "TOTAL TO PAY") == [*(t.total for t in quote.offered), D("129.47")]
    assert line(quote, "Still due")[3] == D("89.47")
    on_parts = replace(quote.tiers[0], taxes=(replace(quote.tiers[0].taxes[0], base=D("81.90")),))
    assert "Sales tax, charged on $81.90" in texts(quotes.quote((on_parts,)))


def test_with_tax_changes_what_is_printed_and_no_total() -> None:
    plain, with_tax = quotes.three(), quotes.quote(prices_shown="with tax")
    assert line(with_tax, "TOTAL TO PAY, tax included") == line(plain, "TOTAL TO PAY")
    assert line(with_tax, "Of which before tax") == line(plain, "Subtotal before tax")
    assert "Totals are shown with tax." in whole(with_tax)


def test_spending_limit_and_ready_days() -> None:
    """What is too long for its column has two lines: on one it would run into the figure beside it."""
    quote = quotes.three()
    assert line(quote, "Your limit of $400.00") == ["$37.26\nover", "$94.39\nover", "$211.34\nover", None]
    one = replace(quote, tiers=quote.tiers[:1])
    assert line(one, "Your limit of $400.00")[0] == "$37.26 over"
    assert line(quotes.quote(job_record=quotes.job(spending_limit=D(900))), "Your limit of $900.00")[0] == "Within"
    ready = line(quote, "Ready, in working days from your yes")
    assert ready == ["4 days", "4 days", "To be confirmed", None]


def test_what_each_option_leaves_and_what_a_no_leaves() -> None:
    read = whole(quotes.three())
    assert "Not put right: Auger shaft bushing worn, right (2)." in read
    assert "If left: it follows the left one within a season or two." in read
    assert "like the old one, left: the same kind of bushing, which wears again." in read
    assert "Nothing is put right: all 3 findings stay." in read
    assert "A safety matter stays: Chute guard missing (3)." in read
    assert "you pay $129.47, tax included, for the inspection and putting the machine back together" in read


def test_extras_say_at_most_and_are_never_ticked() -> None:
    quote = quotes.three()
    label = "Fit a sealed bearing, right (found; puts right 2)"
    assert line(quote, label) == [D("96.20"), D("96.20"), "Included", "\u2610"]
    assert "\u2611" not in whole(quote)
    assert "What you may add: at most, before tax" in texts(quote)


def test_old_parts_are_asked_for_or_said() -> None:
    assert "Please choose:" in whole(quotes.three())
    assert "You asked to have the old parts back." in whole(quotes.quote(job_record=quotes.job(old_parts="keep")))


def test_only_cautions_for_the_customer_are_printed() -> None:
    read = whole(quotes.three())
    assert "never clear it by hand (source: invented safety sheet)" in read
    assert "does not replace the maker's manual" in read
    assert "Lift with two people" not in read


def test_the_consent_block_asks_who_when_how_which_option() -> None:
    read = whole(quotes.three())
    for asked in (
        "\u2610\nOption 2: Put right and prevent, total to pay $494.39, tax included",
        "I decline the work and pay $129.47, tax included. I have been told that this stays",
        "Name of who agrees:",
        "Date and time:",
        "\u2610 in person  \u2610 by phone  \u2610 by message, to:",
        "Signature of the customer:",
        "Taken by, for the shop:",
    ):
        assert asked in read


@pytest.mark.parametrize(
    ("percent", "amount", "which", "at_most", "expected"),
    [
        ("0", "0", "the lesser", "", "by any amount"),
        ("0.10", "0", "the lesser", "", "by any amount"),
        ("0.10", "0", "the greater", "", "by more than 10%."),
        ("0.10", "5", "the greater", "", "by more than the greater of 10% and $5.00."),
        ("0.10", "5", "the lesser", "", "by more than the lesser of 10% and $5.00."),
        ("0.10", "5", "the greater", "50", "by more than the greater of 10% and $5.00, $50.00 at most."),
        ("0.10", "5", "the greater", "0", "by any amount"),
    ],
)
def test_when_the_shop_asks_first(percent: str, amount: str, which: str, at_most: str, expected: str) -> None:
    """The lesser of anything and nothing is nothing: then any excess needs a yes."""
    quote = quotes.quote(
        call_when_over_percent=D(percent),
        call_when_over_amount=D(amount),
        call_when_over=which,
        call_compares="with tax",
        call_when_over_at_most=D(at_most) if at_most else None,
    )
    assert expected in customer_terms.call_words(quote)
    assert "(with tax)" in customer_terms.call_words(quote)


def test_not_included_names_what_to_look_at() -> None:
    read = whole(quotes.three())
    assert "Not looked at yet, and worth a look given what was found: Drive chain worn." in read
    assert "It is done only if you agree." in read


def test_dates_and_money_in_the_shops_language() -> None:
    german = whole(quotes.quote(language="de_DE", currency="EUR"))
    assert "25. November 2026" in german
    assert "37,26\u00a0\u20ac\nover" in german
    canadian = whole(quotes.quote(language="fr_CA", currency="CAD"))
    assert "25 novembre 2026" in canadian
    japanese = lay_out_customer_quote(quotes.quote(language="ja_JP", currency="JPY"))
    assert "2026\u5e7411\u670825\u65e5" in "\n".join(str(cell.content) for cell in cells(japanese))
    assert (japanese.formats["money"], japanese.sheets[0].page.paper) == ('"\uffe5"#,##0;"-\uffe5"#,##0', "A4")
    assert lay_out_customer_quote(quotes.quote(currency="KWD")).formats["money"].startswith('"KWD\u00a0"#,##0.000')


def test_the_file_is_dated_by_the_quote_and_the_footer_counts_pages() -> None:
    value = lay_out_customer_quote(quotes.three())
    assert value.properties.created == date(2026, 11, 25)
    footer = value.sheets[0].page.footer
    assert all(part in footer for part in ("Larch Lane Small Engine", "Quote 2041, version 1", "Page &P of &N"))


def test_an_ampersand_in_the_shops_name_stays_one() -> None:
    value = lay_out_customer_quote(quotes.quote(shop_name="Oak & Sons"))
    assert "Oak && Sons" in value.sheets[0].page.footer


@pytest.mark.parametrize(
    "module",
    [
        customer_amounts,
        customer_consent,
        customer_extras,
        customer_findings,
        customer_grid,
        customer_options,
        customer_quote,
        customer_replace,
        customer_terms,
        wording,
    ],
)
def test_no_field_of_the_shop_alone_is_read(module: object) -> None:
    """What is never read can't be printed: no attribute with a name of costs, suppliers or packs."""
    tree = ast.parse(inspect.getsource(module))  # type: ignore[arg-type]
    read = {node.attr for node in ast.walk(tree) if isinstance(node, ast.Attribute)}
    assert read & SHOP_ONLY == set()
