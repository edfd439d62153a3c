"""The first sheet of the costing: the options side by side, by hand for one small job.

FIT takes half an hour behind a cover of half an hour and a seal: 100.00 + 15.00 = 115.00. The shop pays 40.00 for the
hour and 10.00 for the seal: 50.00; 65.00 are left, 56.5 % of the subtotal, 65.00 an hour.
"""

from __future__ import annotations

from dataclasses import replace
from decimal import Decimal as D
from typing import Any

import pytest

from quotekit.documents.costing_summary import FEW, lay_out_summary
from quotekit.documents.sheet import Row
from quotekit.model.quote import PricedTier, Quote
from quotekit.pricing import build_quote
from quotekit.problems import Place, Problem
from tests import build
from tests.pricing.explain.small import a_shop, job_of


def a_quote(book: Any = None, **job: Any) -> Quote:
    book = book or a_shop()
    return build_quote(book, job_of(book, **job))


def rows(quote: Quote, problems: tuple[Problem, ...] = ()) -> list[list[str]]:
    """Each row as texts; a cell without content is empty."""
    return [said(row) for row in lay_out_summary(quote, problems, "Summary").rows]


def said(row: Row) -> list[str]:
    return ["" if cell.content is None else str(cell.content) for cell in row.cells]


def line(label: str, quote: Quote) -> list[str] | None:
    """What stands beside a label; None where there is no such line."""
    return next((row[1:] for row in rows(quote) if row[:1] == [label]), None)


def with_tier(quote: Quote, **changed: Any) -> Quote:
    return replace(quote, tiers=(replace(quote.tiers[0], **changed),))


@pytest.mark.parametrize(
    ("label", "value"),
    [
        ("Offered", "yes"),
        ("Labour", "100.00"),
        ("Parts", "15.00"),
        ("Work", "115.00"),
        ("Subtotal", "115.00"),
        ("Tax", "0.00"),
        ("Total to pay", "115.00"),
        ("Cost of labour", "40.00"),
        ("Cost of parts used", "10.00"),
        ("Cost", "50.00"),
        ("Margin (subtotal less cost)", "65.00"),
        ("Margin of the subtotal", "0.565"),
        ("Margin for each hour worked", "65.00"),
        ("Cash for parts, whole packs", "10.00"),
        ("Hours billed", "1.0"),
        ("Cost over the years compared", "115.00"),
        ("What is done", "NEW"),
        ("Faults left", "none"),
        ("Ready, working days", "4"),
    ],
)
def test_a_line_of_the_option(label: str, value: str) -> None:
    """65 / 115 is 0.5652; three days for the part and one of queue."""
    quote = a_quote(a_shop(settings=build.settings(queue_days=1)))
    assert line(label, quote) == [value]


@pytest.mark.parametrize(
    "label",
    [
        "Core charges", "Sublet", "Savings and discount", "Supplies", "Fees and charges", "Freight charged",
        "Inspection fee", "Inspection fee credited", "Deposit when work is agreed", "Due, after what was paid",
        "Left of the spending limit", "Core charges paid", "Cost of sublet", "Freight paid",
    ],
)  # fmt: skip
def test_a_line_that_is_empty_in_every_option_is_left_out(label: str) -> None:
    assert line(label, a_quote()) is None


def test_what_a_job_brings_in_has_its_line() -> None:
    """A tenth off 115.00; 20 paid; a limit of 200."""
    quote = a_quote(discount_percent="0.1", paid_so_far=20, spending_limit=200, inspection_fee=30)
    expected = {
        "Savings and discount": ["-11.50"],
        "Inspection fee": ["30.00"],
        "Total to pay": ["133.50"],
        "Due, after what was paid": ["113.50"],
        "Left of the spending limit": ["66.50"],
    }
    assert {label: line(label, quote) for label in expected} == expected


def test_a_limit_that_is_passed_is_below_zero() -> None:
    assert line("Left of the spending limit", a_quote(spending_limit=100)) == ["-15.00"]
    assert line("Left of the spending limit", a_quote(spending_limit=0)) == ["-115.00"]


@pytest.mark.parametrize(
    ("changed", "percent", "an_hour"),
    [
        ({"margin": None}, "not known", "not known"),
        ({"subtotal": D("0.00")}, "not known", "65.00"),
        ({"subtotal": D("-1.00")}, "not known", "65.00"),
        ({"subtotal": D("0.01")}, "6500.000", "65.00"),
        ({"margin": D("0.00")}, "0.000", "0.00"),
        ({"margin": D("-23.00")}, "-0.200", "-23.00"),
    ],
)
def test_a_margin_of_nothing_is_not_known(changed: dict[str, Any], percent: str, an_hour: str) -> None:
    quote = with_tier(a_quote(), **changed)
    assert line("Margin of the subtotal", quote) == [percent]
    assert line("Margin for each hour worked", quote) == [an_hour]


def test_hours_worked_are_access_net_and_allowance_and_billed_those_with_the_minimum() -> None:
    """Rust adds a quarter of 0.5 h: 0.5 + 0.5 + 0.125 worked; 1.2 by the step of a tenth, and the minimum makes 2."""
    book = a_shop(
        settings=build.settings(minimum_labour_hours=2),
        operations=[build.an_operation("FIT", "0.5", access=["COVER"], slowed_by_rust=True)],
        conditions=[build.a_condition()],
    )
    quote = a_quote(book, condition="RUSTY")
    worked, billed = line("Hours worked, before hours off", quote), line("Hours billed", quote)
    assert worked is not None and billed is not None
    assert (D(worked[0]), D(billed[0])) == (D("1.125"), D(2))
    margin = quote.tiers[0].margin
    assert margin is not None
    assert line("Margin for each hour worked", quote) == [str((margin / D("1.125")).quantize(D("0.01")))]


def test_no_hours_no_margin_an_hour() -> None:
    hours = replace(a_quote().tiers[0].hours, access=D(0), net=D(0), allowance=D(0))
    assert line("Margin for each hour worked", with_tier(a_quote(), hours=hours)) == ["not known"]


@pytest.mark.parametrize(("count", "words"), [(0, "No warning"), (1, "1 warning"), (2, "2 warnings")])
def test_warnings_are_counted_on_the_first_sheet(count: int, words: str) -> None:
    """An error is no warning: where there is one, no costing is written."""
    one = Problem(code="x", severity="warning", place=Place("b"), message="m", remedy="r")
    problems = (replace(one, severity="error"), *[one] * count)
    assert [f"{words}, and every reason, on the sheet `Reasons and warnings`."] in rows(a_quote(), problems)


def test_the_job_in_a_few_lines() -> None:
    quote = a_quote(make="Larch", model="24", serial="A1")
    table = rows(quote)
    assert table[0] == ["Costing of job J-1, version 1"]
    assert ["Machine", "Thrower, Larch 24, A1"] in table
    assert ["Customer", "A Customer"] in table and ["The customer's words", "It shakes"] in table
    assert ["Machine", "Thrower"] in rows(a_quote())
    assert ["Quote date, valid until", "2026-03-02", str(quote.valid_until)] in table


def test_no_option_was_worked_out() -> None:
    table = rows(replace(a_quote(), tiers=()))
    assert ["No tier was worked out."] in table
    assert not any(row[0] == "What the customer pays" for row in table if row)
    assert any(row[0] == "A no costs" for row in table if row)


@pytest.mark.parametrize(
    ("reason", "words"),
    [
        ("it leaves a safety finding", "Good is not offered: it leaves a safety finding."),
        ("it costs no less.", "Good is not offered: it costs no less."),
        (None, "Good is not offered: no reason is recorded."),
    ],
)
def test_why_an_option_is_not_offered(reason: str | None, words: str) -> None:
    quote = with_tier(a_quote(), offered=False, reason=reason)
    assert [words] in rows(quote) and line("Offered", quote) == ["no"]
    assert not any("is not offered" in row[0] for row in rows(a_quote()) if row)


def unpriced() -> Quote:
    """Least could not be worked out; it stands beside Good."""
    quote = a_quote()
    least: PricedTier = replace(quote.tiers[0], code="least", name="Least", priced=False, left=("WORN",), items=())
    return replace(quote, tiers=(least, quote.tiers[0]))


def test_an_option_without_figures_has_blanks_beside_the_others() -> None:
    """What it does, what it leaves and whether it is offered hold all the same."""
    assert line("Total to pay", unpriced()) == ["", "115.00"]
    assert line("Cost", unpriced()) == ["", "50.00"]
    assert line("What is done", unpriced()) == ["nothing", "NEW"]
    assert line("Faults left", unpriced()) == ["WORN", "none"]
    assert ["", "Least\n(least)", "Good\n(good)"] in rows(unpriced())


def test_few_codes_stand_under_each_other_and_many_in_a_line() -> None:
    item = a_quote().tiers[0].items[0]
    many = [replace(item, key=f"I{n}") for n in range(FEW + 1)]
    few = line("What is done", with_tier(a_quote(), items=tuple(many[:FEW])))
    more = line("What is done", with_tier(a_quote(), items=tuple(many)))
    assert few == ["\n".join(f"I{n}" for n in range(FEW))]
    assert more == [", ".join(f"I{n}" for n in range(FEW + 1))]


def test_days_that_are_not_known_are_said_so_and_a_plan_is_the_technicians() -> None:
    assert line("Ready, working days", with_tier(a_quote(), ready_days=None)) == ["not known"]
    assert line("Choices compared", with_tier(a_quote(), planned=True)) == ["the technician's plan"]


def test_what_a_no_costs_and_what_it_is_made_of() -> None:
    """A fee of 30.00 and half an hour to put it back: 50.00."""
    quote = a_quote(inspection_fee=30, reassembly_hours="0.5")
    row = next(row for row in rows(quote) if row[:1] == ["A no costs"])
    assert row[1] == "80.00"
    assert row[2] == "inspection fee 30.00, reassembly 50.00 for 0.5 h to put it back together, tax 0.00"
    without = next(row for row in rows(a_quote()) if row[:1] == ["A no costs"])
    assert without[2] == "inspection fee 0.00, reassembly 0.00, tax 0.00"


def test_a_table_is_kept_together_to_its_last_line() -> None:
    quote = a_quote()
    sheet = lay_out_summary(quote, (), "Summary").rows
    labels = {said(row)[0]: row for row in sheet if row.cells}
    assert labels["Work"].keep_with_next and labels["What is done"].keep_with_next
    assert not labels["Total to pay"].keep_with_next and not labels["Faults left"].keep_with_next


def test_the_table_has_room_for_three_options_and_a_share_is_a_percentage() -> None:
    """One option or three stand in columns of the same width; a fourth makes them narrower."""
    sheet = lay_out_summary(a_quote(), (), "Summary")
    assert len(sheet.widths) == 4
    share = next(row for row in sheet.rows if row.cells and row.cells[0].content == "Margin of the subtotal")
    assert share.cells[1].kind == "percent"
    title = next(row for row in sheet.rows if row.cells and row.cells[0].content == "Costing of job J-1, version 1")
    assert title.cells[0].across == 4
    facts = next(row for row in sheet.rows if row.cells and row.cells[0].content == "Customer")
    assert facts.cells[1].across == 3


def test_what_is_left_out_where_it_is_zero_stands_where_it_is_not() -> None:
    """A core of 6.00 that the customer keeps, work sent out for 40.00, freight of 7.00."""
    book = a_shop(
        settings=build.settings(freight_to_customer="this job alone", supplies_percent_of_labour="0.1"),
        operations=[build.an_operation("FIT", "0.5", access=["COVER"], parts="SEAL", sublet_cost=40)],
        parts=[build.a_part("SEAL", 10, core_charge=6)],
        suppliers=[build.a_supplier(freight=7)],
        fees=[build.a_fee("BIN", 3)],
    )
    quote = a_quote(book, old_parts="keep", fees="BIN")
    expected = {
        "Core charges": ["6.00"],
        "Sublet": ["40.00"],
        "Supplies": ["10.00"],
        "Fees and charges": ["3.00"],
        "Freight charged": ["7.00"],
        "Core charges paid": ["6.00"],
        "Cost of sublet": ["40.00"],
        "Freight paid": ["7.00"],
    }
    assert {label: line(label, quote) for label in expected} == expected
