"""The bill's values and rows: every line stands in one table, sums add up, money to give back says so, no secret."""

from __future__ import annotations

from dataclasses import replace
from datetime import date
from decimal import Decimal
from io import BytesIO
from typing import Any

import openpyxl
import pytest

from quotekit.documents.bill import BillFacts, fill_bill
from quotekit.documents.bill_words import agreed_words, warranty_words, within_words
from quotekit.documents.filling import SheetFilling, Shown
from quotekit.model.agreed import ConsentRule
from quotekit.model.entries import Billed, BilledWork, Comeback, Declined
from quotekit.pricing.bill.make_bill import bill_of_no
from quotekit.pricing.bill.to_bill import ToBill, WorkToBill
from quotekit.workbook.fill_template import fill_template
from quotekit.workbook.find_template import find_template
from tests.build import a_bundle, a_fee, a_part, a_supplier, a_tax, an_operation
from tests.pricing.bill.cases import accepted_of, again, bill, closed, drawn
from tests.pricing.bill.shop import paid, two_repairs

DAY = date(2026, 3, 9)


def facts_of(facts: WorkToBill, made: Billed | None = None, **values: Any) -> BillFacts:
    """A bill as it is laid out."""
    named: dict[str, Any] = {
        "bill": made or bill(facts),
        "number": 12,
        "day": DAY,
        "version": 2,
        "settings": facts.book.settings,
        "job": facts.job,
        "accepted": facts.accepted,
        "agreed_on": date(2026, 3, 3),
    }
    return BillFacts(**named | values)


def amount(value: Any) -> Decimal:
    """An amount with its format."""
    assert isinstance(value, Shown) and isinstance(value.value, Decimal)
    return value.value


def sum_of(filling: SheetFilling, table: str) -> Decimal:
    """What the rows of a table add up to."""
    return sum((amount(row["amount"]) for row in filling.tables[table]), Decimal(0))


def texts(filling: SheetFilling, table: str) -> list[object]:
    return [row["text"] for row in filling.tables[table]]


def many_charges(**values: Any) -> WorkToBill:
    """Labour, parts, a fee with a quantity, freight of two suppliers, supplies, a saving on each side, inspection."""
    return two_repairs(
        {"freight_to_customer": "this job alone", "supplies_percent_of_labour": "0.05", "inspection_fee": 45},
        {"fees": "PICKUP x 12", "discount_percent": "0.1", "discount_reason": "Old customer"} | values,
        suppliers=[a_supplier(freight=9), a_supplier("WEST", freight=4)],
        fees=[a_fee("PICKUP", "1.5", unit="mile", customer_wording="Both ways")],
        bundles=[a_bundle("BOTH", ["NEW-BELT", "NEW-SEAL"], "labour amount off", 10)],
        taxes=[a_tax("Sales tax", "0.1", charges=["parts"])],
    )


def test_heads() -> None:
    values = fill_bill(facts_of(two_repairs(job={"phone": "555-0100", "make": "Example", "serial": "7"}))).values
    assert (values["shop_name"], values["bill_number"], values["bill_date"]) == ("Test Shop", 12, "March 9, 2026")
    assert values["job_number"] == "J-1, quote version 2"
    assert values["customer"] == "A Customer, 555-0100"
    assert values["machine"] == "Thrower, Example, serial 7"
    assert values["customers_words"] == "\u201cIt shakes\u201d"
    assert values["agreed"] == "Good, agreed on March 3, 2026 by phone with A Customer"
    assert values["within"] == "$189.00 with tax; this bill keeps within what you agreed to."


def test_each_line_stands_in_one_table_and_the_tables_add_up() -> None:
    facts = facts_of(many_charges())
    filling = fill_bill(facts)
    sums = [sum_of(filling, table) for table in ("labour", "parts", "other")]
    assert sum(sums) == facts.bill.subtotal
    names = ("labour_total", "parts_total", "other_total")
    assert [amount(filling.values[name]) for name in names] == sums
    assert texts(filling, "labour") == ["Labor", "Together: less, Both", "Discount: Old customer, on labor"]
    assert texts(filling, "parts") == ["Belt", "Seal", "Discount: Old customer, on parts"]
    assert texts(filling, "other") == ["Shop supplies", "Pickup", "Freight for parts", "Inspection"]


def test_freight_of_several_suppliers_is_one_line_without_their_names() -> None:
    facts = two_repairs(
        {"freight_to_customer": "this job alone"},
        suppliers=[a_supplier(freight=9), a_supplier("WEST", freight=4)],
        parts=[a_part("BELT", 20), a_part("SEAL", 3, supplier="WEST")],
    )
    filling = fill_bill(facts_of(facts))
    (row,) = filling.tables["other"]
    assert (row["text"], amount(row["amount"])) == ("Freight for parts", Decimal("13.00"))
    assert "North" not in str(filling) and "West" not in str(filling)


def test_quantities_prices_and_details() -> None:
    filling = fill_bill(facts_of(many_charges()))
    belt, seal, _ = filling.tables["parts"]
    assert (belt["number"], belt["quantity"], seal["quantity"]) == ("BELT", "1", "2")
    assert amount(seal["unit_price"]) == Decimal("4.50")
    pickup = filling.tables["other"][1]
    assert pickup["detail"] == "12 \u00d7 $1.50 per mile, Both ways"
    (tax,) = filling.tables["taxes"]
    assert (tax["text"], tax["base"], amount(tax["amount"])) == ("Sales tax", "on $35.10", Decimal("3.51"))


@pytest.mark.parametrize(
    ("money", "label", "due"),
    [((), "To pay", "189.00"), (("189",), "Paid in full", "0.00"), (("200",), "To give back", "11.00")],
)
def test_what_is_due_is_never_silently_below_zero(money: tuple[str, ...], label: str, due: str) -> None:
    values = fill_bill(facts_of(replace(two_repairs(), payments=paid(*money)))).values
    assert (values["due_label"], str(amount(values["due"]))) == (label, due)


def test_a_bill_of_nothing_was_not_paid() -> None:
    """A comeback that costs the customer nothing."""
    facts = replace(two_repairs(), comeback=Comeback(first_job="J-0", cause="part", charged=Decimal(0)))
    values = fill_bill(facts_of(facts)).values
    assert (values["due_label"], str(amount(values["due"]))) == ("Nothing to pay", "0.00")


def test_payments_by_day_and_what_was_billed_before() -> None:
    facts = replace(two_repairs(), closed=closed(not_done="NEW-SEAL"), payments=paid("60", "80"))
    second = replace(
        again(facts, bill(facts)), closed=None, payments=((None, "Paid before", Decimal("5.00")), *paid("135"))
    )
    filling = fill_bill(facts_of(second))
    rows = [(row["date"], row["text"], str(amount(row["amount"]))) for row in filling.tables["payments"]]
    assert rows == [("", "Paid before", "5.00"), ("March 2, 2026", "Paid", "135")]
    assert (amount(filling.values["billed_before"]), amount(filling.values["paid"])) == (Decimal("140.00"),) * 2
    assert amount(filling.values["total"]) == amount(filling.values["due"]) == Decimal("49.00")


def test_a_comeback_stands_below_what_it_takes_off() -> None:
    facts = replace(two_repairs(), comeback=Comeback(first_job="J-0", cause="part", charged=Decimal(0)))
    filling = fill_bill(facts_of(facts))
    assert texts(filling, "labour") == ["Labor", "Comeback to job J-0: not charged"]
    assert texts(filling, "parts") == ["Belt", "Seal", "Comeback to job J-0: not charged"]
    assert [sum_of(filling, table) for table in ("labour", "parts")] == [Decimal(0), Decimal(0)]


def test_what_was_done_and_not_done_and_what_stays() -> None:
    made = replace(
        bill(replace(two_repairs(), closed=closed(not_done="NEW-SEAL"))),
        left=("The brake drags.",),
        cautions=("Check the nuts again.",),
        notes=("One.", "Two."),
        work=(BilledWork(text="New belt", warranty_days=90), BilledWork(text="Clean", warranty_days=0)),
    )
    filling = fill_bill(facts_of(two_repairs(job={"exemption_certificate": "E-7", "old_parts": "keep"}), made))
    assert [(row["text"], row["warranty"]) for row in filling.tables["done"]] == [
        ("New belt", "90 days"),
        ("Clean", "none"),
    ]
    assert texts(filling, "not_done") == ["New-Seal"]
    assert (texts(filling, "left"), texts(filling, "cautions")) == (["The brake drags."], ["Check the nuts again."])
    assert filling.values["note"] == "One. Two. Exemption certificate: E-7."
    assert filling.values["old_parts"] == "You asked to have the old parts back."


def test_labour_by_repair() -> None:
    """Each repair's share, and the rest on a line of its own where shares do not reach the labour."""
    facts = two_repairs({"labour_shown": "by repair"})
    filling = fill_bill(facts_of(facts))
    assert texts(filling, "labour") == ["New-Belt", "New-Seal"]
    assert sum_of(filling, "labour") == Decimal("150.00")
    made = bill(facts)
    short = replace(made, work=(replace(made.work[0], labour=Decimal("80.00")), *made.work[1:]))
    filling = fill_bill(facts_of(facts, short))
    assert texts(filling, "labour") == ["New-Belt", "New-Seal", "Not for one repair alone"]
    assert sum_of(filling, "labour") == Decimal("150.00")


def test_hours_where_the_shop_shows_them_and_the_spelling_of_its_country() -> None:
    facts = two_repairs({"show_hours": True, "language": "en_GB", "currency": "GBP"})
    (row,) = fill_bill(facts_of(facts)).tables["labour"]
    assert row["text"] == "Labour" and isinstance(row["hours"], Shown) and row["hours"].value == Decimal("1.5")
    assert fill_bill(facts_of(two_repairs())).tables["labour"][0]["hours"] == ""


def test_a_bill_of_a_no_names_no_agreement_and_no_sums_of_empty_tables() -> None:
    facts = two_repairs({"inspection_fee": 45}, {"old_parts": "keep"})
    made, _ = bill_of_no(ToBill(book=facts.book, job=facts.job, day=DAY))
    no = Declined(reason="price", customer="P. Raman")
    filling = fill_bill(facts_of(facts, made, accepted=None, agreed_on=None, declined=no, declined_on=DAY))
    assert texts(filling, "other") == ["Inspection"]
    words = "The machine was looked at. The work was declined on March 9, 2026 by P. Raman; none of it was done."
    assert texts(filling, "done") == [words]
    empty = ("agreed", "within", "labour_total", "parts_total", "old_parts", "paid", "billed_before")
    assert [filling.values[name] for name in empty] == [""] * len(empty)


@pytest.mark.parametrize(
    "facts",
    [
        facts_of(many_charges()),
        facts_of(replace(two_repairs(), payments=paid("500"))),
        facts_of(replace(two_repairs(operations=[an_operation("FIT-BELT", 0), an_operation("FIT-SEAL", 0)]))),
    ],
    ids=["many charges", "money back", "nothing charged"],
)
def test_the_template_takes_it(facts: BillFacts) -> None:
    """No mark is missing, whatever tables are empty; equal inputs give equal bytes."""
    template, problems = find_template("bill", [])
    assert template is not None and problems == []
    data, problems = fill_template(template, [fill_bill(facts)])
    assert data is not None and problems == []
    assert fill_template(template, [fill_bill(facts)])[0] == data
    sheet = openpyxl.load_workbook(BytesIO(data)).worksheets[0]
    found = [cell.value for row in sheet.iter_rows() for cell in row if cell.value is not None]
    assert "Test Shop" in found and not any(str(value).startswith(("qk_", "=")) for value in found)


def test_no_cost_margin_supplier_or_markup_reaches_a_bill() -> None:
    """Other costs, suppliers and markups with the same prices give the same values."""
    compared = 0
    for one in drawn(range(12)):
        facts = one.to_bill()
        filling = fill_bill(facts_of(facts))
        book = replace(
            one.book,
            labour_rates=tuple(replace(rate, cost_per_hour=Decimal("12.34")) for rate in one.book.labour_rates),
            suppliers={code: replace(row, supplier="CANARY") for code, row in (one.book.suppliers or {}).items()},
        )
        assert fill_bill(facts_of(replace(facts, book=book))) == filling
        compared += 1
    assert compared > 5


def test_a_text_that_looks_like_a_formula_stays_a_text() -> None:
    facts = two_repairs(job={"customers_words": "=1+1", "customer": "=cmd"})
    template, _ = find_template("bill", [])
    assert template is not None
    data, _ = fill_template(template, [fill_bill(facts_of(facts))])
    assert data is not None
    cells = [cell for row in openpyxl.load_workbook(BytesIO(data)).worksheets[0].iter_rows() for cell in row]
    assert [cell.data_type for cell in cells if cell.value == "=cmd"] == ["s"]
    assert not any(cell.data_type == "f" for cell in cells)


@pytest.mark.parametrize(("days", "words"), [(1, "1 day"), (365, "365 days"), (0, "none"), (None, "not stated")])
def test_warranty(days: int | None, words: str) -> None:
    assert warranty_words(days) == words


@pytest.mark.parametrize(
    ("by", "words"),
    [
        ("returned quote", "by the quote sent back"),
        ("in-person", "in person"),
        ("message", "by message"),
        ("phone", "by phone"),
    ],
)
def test_how_it_was_agreed(by: str, words: str) -> None:
    facts = two_repairs()
    accepted = accepted_of(facts.agreed, ConsentRule(compares="before tax"), by=by, customer="P. Raman")
    assert agreed_words(accepted, date(2026, 3, 3), "en_US") == f"Good, agreed on March 3, 2026 {words} with P. Raman"
    assert within_words(bill(facts), accepted, "en_US").startswith("$189.00 before tax;")
    assert (agreed_words(None, None, "en_US"), within_words(bill(facts), None, "en_US")) == ("", "")
