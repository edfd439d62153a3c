"""The shop's costing: every line adds up, every reason is there, every input has its cell."""

from __future__ import annotations

from collections.abc import Iterator
from dataclasses import replace
from datetime import date
from decimal import Decimal as D
from pathlib import Path

import pytest

from quotekit.documents.costing import lay_out_costing, sheet_names
from quotekit.documents.costing_style import PAGE_POINTS, UPRIGHT_POINTS, UPRIGHT_WIDEST, WIDEST
from quotekit.documents.sheet import Cell, Row, Sheet, WorkbookValue, placed
from quotekit.model.quote import Quote
from quotekit.problems import Place, warning
from quotekit.workbook.write_sheet import workbook_bytes, write_workbook
from tests.documents.sample_quote import GOOD, OLD_PRICE, QUOTE


def value_of(quote: Quote = QUOTE) -> WorkbookValue:
    return lay_out_costing(quote)


def named(value: WorkbookValue, name: str) -> Sheet:
    return next(sheet for sheet in value.sheets if sheet.name == name)


def texts(sheet: Sheet) -> list[str]:
    return [cell.content for row in sheet.rows for cell in row.cells if isinstance(cell.content, str)]


def everything(sheet: Sheet) -> str:
    return "\n".join(texts(sheet))


def row_of(sheet: Sheet, start: str) -> Row:
    """The first row whose first text begins so."""
    return next(row for row in sheet.rows if row.cells and str(row.cells[0].content).startswith(start))


def shown(row: Row) -> list[object]:
    return [cell.content for cell in row.cells if cell.content is not None]


def between(sheet: Sheet, start: str, end: str) -> Iterator[Row]:
    """Rows after the one that begins with `start`, before the one that begins with `end`."""
    inside = False
    for row in sheet.rows:
        first = str(row.cells[0].content) if row.cells else ""
        if inside and first.startswith(end):
            return
        if inside:
            yield row
        inside = inside or first.startswith(start)


def column_sum(rows: Iterator[Row], column: int) -> D:
    found = [cell for row in rows for at, cell in placed(row) if at == column]
    return sum((cell.content for cell in found if isinstance(cell.content, D)), D(0))


TIER = "Put right"


def test_sheets_come_in_the_order_they_are_read() -> None:
    assert [sheet.name for sheet in value_of().sheets] == [
        "Summary", "Reasons and warnings", "Put right", "Made to last", "Over the years", "Inputs",
    ]  # fmt: skip


@pytest.mark.parametrize(
    ("tiers", "expected"),
    [
        (["Good", "good"], ["Good", "good 2"]),
        (["Inputs", "SUMMARY"], ["Inputs 2", "SUMMARY 2"]),
        (["a/b: [c]*?\\", "''"], ["a b   c", "Tier"]),
        (["x" * 40, "x" * 40], ["x" * 31, "x" * 29 + " 2"]),
        (["History", ""], ["History 2", "Tier"]),
    ],
)
def test_a_sheet_name_is_one_a_workbook_can_hold(tiers: list[str], expected: list[str]) -> None:
    assert sheet_names(tiers) == expected


def test_the_lines_add_up_to_the_work_the_subtotal_the_cost_and_the_margin() -> None:
    sheet = named(value_of(), TIER)
    work = list(between(sheet, "Price, cost and margin", "Work"))[1:]
    assert column_sum(iter(work), 4) == GOOD.work
    lines = [row for row in between(sheet, "Price, cost and margin", "Subtotal") if row.cells[0].content != "Work"]
    assert column_sum(iter(lines), 4) == GOOD.subtotal
    assert column_sum(iter(lines), 5) == GOOD.cost.total
    assert column_sum(iter(lines), 6) == GOOD.margin


def test_each_line_has_price_cost_margin_and_its_cell() -> None:
    row = row_of(named(value_of(), TIER), "Bronze bushing (BUSHING)")
    assert shown(row) == [
        "Bronze bushing (BUSHING)",
        D("2"),
        D("14.25"),
        D("28.50"),
        D("20.00"),
        D("8.50"),
        "Parts!D14",
    ]


def test_the_cost_of_labour_that_is_not_known_is_said_so() -> None:
    quote = replace(QUOTE, tiers=(replace(GOOD, labour_lines=(replace(GOOD.labour_lines[0], cost=None),)),))
    row = row_of(named(value_of(quote), TIER), "Labour, Bench")
    assert shown(row)[3:6] == [D("270.00"), "not known", "not known"]


def test_hours_are_built_up_step_by_step() -> None:
    sheet = named(value_of(), TIER)
    start, end = "Hours, built up", "Parts and packs"
    first = [(shown(row)[0], shown(row)[1]) for row in between(sheet, start, end) if len(shown(row)) > 1][1:]
    assert first[:9] == [
        ("Auger housing off (HOUSING)", D("1.7")),
        ("Together", D("1.7")),
        ("Press bushing out and in (BUSH@left)", D("0.6")),
        ("Press bushing out and in (BUSH@right)", D("0.4")),
        ("Together", D("1.0")),
        ("Allowance: Rusty", D("0.150")),
        ("Before rounding", D("2.850")),
        ("Rounded up", D("3.0")),
        ("Added by the minimum", D("0.0")),
    ]


def test_an_access_step_is_shown_once_with_all_who_share_it() -> None:
    sheet = named(value_of(), TIER)
    steps = [row for row in sheet.rows if row.cells and str(row.cells[0].content).startswith("Auger housing")]
    (step,) = steps
    assert "NEWBUSH@left, NEWBUSH@right" in shown(step)
    assert "Access!C4, Access!D4" in shown(step)


def test_the_allowance_names_its_percent_its_hours_and_its_ceiling() -> None:
    assert "15 % of 1 h slowed by rust, at most 1 h" in texts(named(value_of(), TIER))


def test_parts_show_packs_supplier_number_left_over_and_lead() -> None:
    sheet = named(value_of(), TIER)
    bought = next(row for row in sheet.rows if shown(row) and shown(row)[-1] == "Northside Parts, number N-5512")
    assert shown(bought)[1:] == [D(2), 1, D(4), D(40), D(40), D(2), D(10), "Northside Parts, number N-5512"]
    assert any("for left, right; price: markup 42.5 %; 3 days to arrive" in text for text in texts(sheet))


def test_the_gap_to_free_freight_and_to_the_minimum_is_said() -> None:
    row = row_of(named(value_of(), TIER), "Northside Parts")
    assert shown(row)[:5] == [
        "Northside Parts", D(40), D("7.50"), D(100),
        "60.00 USD short of free freight; 20.00 USD below the minimum order",
    ]  # fmt: skip


def test_ready_days_say_what_they_hang_on() -> None:
    said = everything(named(value_of(), TIER))
    assert "Ready in 5 working days: 3 for Bronze bushing (BUSHING), and 2 of queue." in said
    assert "Ready: not known, an ordered part has no lead days." in everything(named(value_of(), "Made to last"))


def test_lives_shares_and_extras_are_there() -> None:
    sheet = named(value_of(), TIER)
    assert "6" in shown(row_of(sheet, "Bushing worn (WORN@left)"))
    assert "not stated" in shown(row_of(sheet, "Bushing worn (WORN@right)"))
    assert shown(row_of(sheet, "NEWBUSH@left"))[-1] == D("169.25")
    assert shown(row_of(sheet, "Drive belt (BELT)"))[2:4] == [D("31.00"), D("33.5")]


def test_a_tier_that_is_not_offered_says_why_in_three_places() -> None:
    value = value_of()
    for name in ("Summary", "Made to last", "Reasons and warnings"):
        assert "It is the same work as Put right." in everything(named(value, name))


def test_a_tier_that_could_not_be_worked_out_shows_no_figures() -> None:
    bare = replace(GOOD, priced=False, offered=False, reason="nothing is permitted")
    value = value_of(replace(QUOTE, tiers=(bare,)))
    assert "Total to pay" not in everything(named(value, TIER))
    assert all(cell.kind != "money" for cell in row_of(named(value, "Summary"), "What is done").cells)
    assert D("375.68") not in [cell.content for row in named(value, "Summary").rows for cell in row.cells]


def test_every_reason_is_on_one_sheet() -> None:
    said = everything(named(value_of(), "Reasons and warnings"))
    for words in (
        "Sealed bearings (SEALED@left)", "SHAFT@left measures 0.742 in, it fits from 0.748",
        "Fits only if!A2 SHAFT 0.748 to any", "fits only together with NEWSHAFT", "SHAFT@right", "SEAL@left",
        "The price of BUSHING is 301 days old.", "Ask Northside Parts for today's price.",
    ):  # fmt: skip
        assert words in said


def test_old_prices_name_their_age_and_their_cell() -> None:
    row = row_of(named(value_of(), "Reasons and warnings"), "Bronze bushing (BUSHING)")
    assert shown(row) == ["Bronze bushing (BUSHING)", date(2026, 1, 5), 301, "Parts!E14"]


def test_warnings_of_both_workbooks_are_listed_when_given() -> None:
    more = warning(Place("job.xlsx", "Findings", "C9"), "far-off", "Far off its limit.", "Check the unit.")
    sheet = named(lay_out_costing(QUOTE, [OLD_PRICE, more]), "Reasons and warnings")
    assert "job Findings!C9" in texts(sheet) and "Far off its limit." in texts(sheet)


@pytest.mark.parametrize(
    ("column", "value", "cell"),
    [
        ("Net hours", "0.6", "Operations!C7"),
        ("Second side hours", "0.4", "Operations!D7"),
        ("Hours to open", "0.9", "Access!C4"),
        ("Pack cost", "40", "Parts!D14"),
        ("Free freight from", "100", "Suppliers!D2"),
        ("Rate per hour", "90", "Labour rates!C2"),
        ("Rate", "7 %", "Taxes!B2"),
        ("Allowance", "15 %", "Conditions!A3"),
        ("Measured", "0.762 in", "job Findings!C2"),
        ("Spending limit", "400", "job Job!B18"),
        ("Hours step", "0.1", "Shop!B12"),
        ("Queue days", "2", "default"),
    ],
)
def test_each_input_has_its_value_and_its_cell(column: str, value: str, cell: str) -> None:
    found = [[c.content for c in row.cells][1:] for row in named(value_of(), "Inputs").rows if len(row.cells) == 4]
    assert [column, value, cell] in found


def test_the_summary_sets_the_tiers_side_by_side() -> None:
    sheet = named(value_of(), "Summary")
    assert shown(row_of(sheet, "Total to pay")) == ["Total to pay", D("375.68"), D("375.68")]
    assert shown(row_of(sheet, "Margin (subtotal")) == ["Margin (subtotal less cost)", D("209.10"), "not known"]
    assert shown(row_of(sheet, "Margin of the subtotal"))[1] == D("0.596")
    assert shown(row_of(sheet, "Ready, working days")) == ["Ready, working days", 5, "not known"]
    assert shown(row_of(sheet, "A no costs"))[:2] == ["A no costs", D("90.95")]


def test_a_quote_with_no_tier_still_has_a_costing() -> None:
    value = value_of(replace(QUOTE, tiers=()))
    assert [sheet.name for sheet in value.sheets] == ["Summary", "Reasons and warnings", "Inputs"]
    assert "No tier was worked out." in texts(named(value, "Summary"))


def cells_wide(row: Row) -> int:
    return sum(cell.across for cell in row.cells)


def test_every_row_fits_its_sheet_and_every_sheet_its_page() -> None:
    for sheet in value_of().sheets:
        assert all(cells_wide(row) <= len(sheet.widths) for row in sheet.rows)
        assert sum(sheet.widths) <= (WIDEST if sheet.page.landscape else UPRIGHT_WIDEST)


def test_pages_break_between_blocks_and_are_never_too_tall() -> None:
    for sheet in value_of().sheets:
        used = 0.0
        for row in sheet.rows:
            used = (row.height or 0) if row.break_before else used + (row.height or 0)
            assert used <= (PAGE_POINTS if sheet.page.landscape else UPRIGHT_POINTS)


def test_what_is_read_first_stands_on_one_upright_page() -> None:
    """An owner with five minutes reads the money: it is not cut in two, however many codes follow it."""
    many = tuple(replace(GOOD.items[0], code=f"REM-{number}", side=None) for number in range(40))
    for quote in (QUOTE, replace(QUOTE, tiers=(replace(GOOD, items=many), *QUOTE.tiers[1:]))):
        summary = named(value_of(quote), "Summary")
        assert not summary.page.landscape
        money = summary.rows[: summary.rows.index(row_of(summary, "A no costs")) + 1]
        assert not any(row.break_before for row in money)
        assert sum(row.height or 0.0 for row in money) <= UPRIGHT_POINTS


def test_many_tiers_turn_the_summary_on_its_side() -> None:
    """Five columns of codes and amounts are too many for an upright page."""
    tiers = tuple(replace(GOOD, code=f"t{number}", name=f"Tier {number}") for number in range(5))
    summary = named(value_of(replace(QUOTE, tiers=tiers)), "Summary")
    assert summary.page.landscape and sum(summary.widths) <= WIDEST


def test_a_reason_stands_in_a_line_of_its_own() -> None:
    """In the table it would stand close to its neighbour's figures."""
    summary = named(value_of(), "Summary")
    assert shown(row_of(summary, "Offered"))[1:] == ["yes", "no"]
    assert "Made to last is not offered: It is the same work as Put right." in texts(summary)


def test_what_there_is_none_of_is_said_in_one_line() -> None:
    """Six headings over `None.` would hide the one that says something."""
    bare = replace(QUOTE, tiers=(GOOD,), not_permitted=(), only_with=(), measure_next=(), look_next=())
    sheet = named(lay_out_costing(bare, [OLD_PRICE]), "Reasons and warnings")
    titles = {cell.content for row in sheet.rows for cell in row.cells if cell.style == "section"}
    assert titles == {"Prices that are old or have no date", "Warnings"}
    assert "Every tier is offered. No remedy is kept out by a limit." in everything(sheet)


def test_costs_of_one_have_their_points_under_each_other() -> None:
    cells = [cell for row in named(value_of(), TIER).rows for cell in row.cells if cell.format]
    assert cells and {cell.format for cell in cells} == {"0.00####"}


def test_a_text_too_long_for_one_row_goes_on_in_the_next() -> None:
    words = " ".join(f"word{i}" for i in range(2500))
    job = replace(QUOTE.job, customers_words=words)
    sheet = named(value_of(replace(QUOTE, job=job)), "Summary")
    assert all((row.height or 0) <= 409 for row in sheet.rows)
    assert "word0 " in everything(sheet) and "word2499" in everything(sheet)


def test_a_currency_without_decimals_shows_none() -> None:
    assert value_of(replace(QUOTE, currency="JPY")).formats["money"] == "#,##0;-#,##0"
    assert value_of(replace(QUOTE, currency="KWD")).formats["money"] == "#,##0.000;-#,##0.000"


def test_each_style_named_has_a_look() -> None:
    value = value_of()
    used = {cell.style for sheet in value.sheets for row in sheet.rows for cell in row.cells}
    assert used <= set(value.looks)


def test_the_same_quote_gives_the_same_bytes(tmp_path: Path) -> None:
    assert workbook_bytes(value_of()) == workbook_bytes(value_of())
    write_workbook(value_of(), tmp_path / "costing.xlsx")
    assert (tmp_path / "costing.xlsx").read_bytes() == workbook_bytes(value_of())


def test_text_of_the_owner_stays_text() -> None:
    """A name that begins with `=` must not become a formula in the shop's own file either."""
    quote = replace(QUOTE, tiers=(replace(GOOD, name="=1+1"),), job=replace(QUOTE.job, customer="=HYPERLINK(A1)"))
    value = value_of(quote)
    cells: list[Cell] = [cell for sheet in value.sheets for row in sheet.rows for cell in row.cells]
    assert not any(cell.formula for cell in cells)
    assert workbook_bytes(value)


def test_a_measurement_in_another_unit_is_shown_in_the_limits_unit_too() -> None:
    found = replace(QUOTE.job.findings[0], measured_text="19.3548 mm")
    quote = replace(QUOTE, job=replace(QUOTE.job, findings=(found,)))
    assert "19.3548 mm (0.762 in); fails above 0.755 in" in texts(named(value_of(quote), TIER))
