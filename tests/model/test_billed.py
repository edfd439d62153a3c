"""A bill as JSON and back, and one that was written with fewer fields."""

from __future__ import annotations

import json
from datetime import date
from decimal import Decimal

from quotekit.model.billed import Billed, BilledWork, BillLine
from quotekit.model.record_json import from_json, to_json

LINE = BillLine(
    key="part:SEAL",
    text="Seal",
    amount=Decimal("-9.00"),
    kind="parts",
    detail="used",
    quantity=Decimal("0.625"),
    unit="quart",
    each=Decimal("4.50"),
)
BILL = Billed(
    lines=(LINE, BillLine(key="labour:MAIN", text="Labour", amount=Decimal("150.00"), kind="labour")),
    subtotal=Decimal("141.00"),
    taxes=(("Sales tax", Decimal("-9.00"), Decimal("-0.59")),),
    tax=Decimal("-0.59"),
    total=Decimal("140.41"),
    paid=Decimal("200.00"),
    due=Decimal("0.00"),
    authorised=Decimal("189.00"),
    currency="USD",
    of="work",
    billed_before=Decimal("12.00"),
    refund=Decimal("47.59"),
    payments=((date(2026, 11, 28), "Deposit, cash", Decimal("150.00")), (None, "Paid before", Decimal("50.00"))),
    work=(BilledWork(text="New seal", warranty_days=90, labour=Decimal("65.00")), BilledWork(text="Clean")),
    not_done=("New belt",),
    left=("The brake drags.",),
    cautions=("Check the nuts again.",),
    notes=("1 more of Seal: not charged.",),
    upgrade_labour=Decimal("85.00"),
    cores_back={"STARTER": Decimal(1)},
)


def test_what_was_written_is_read_as_it_was() -> None:
    """Through text, as in a ledger: digits, dates and blanks stay."""
    assert from_json(Billed, json.loads(json.dumps(to_json(BILL)))) == BILL


def test_no_number_of_a_bill_becomes_a_float() -> None:
    def floats(value: object) -> list[object]:
        if isinstance(value, dict):
            return [one for each in value.values() for one in floats(each)]
        if isinstance(value, list):
            return [one for each in value for one in floats(each)]
        return [value] if isinstance(value, float) else []

    written = to_json(BILL)
    assert floats(written) == [] and written["lines"][0]["amount"] == "-9.00"


def test_a_bill_of_fewer_fields_is_read_with_what_they_are_by_default() -> None:
    written = to_json(BILL)
    for name in ("of", "refund", "payments", "work", "cores_back", "upgrade_labour", "billed_before"):
        del written[name]
    for name in ("detail", "quantity", "unit", "each"):
        del written["lines"][0][name]
    read = from_json(Billed, written)
    assert (read.of, read.refund, read.upgrade_labour, read.total) == ("work", Decimal(0), Decimal(0), BILL.total)
    assert not read.payments and not read.work and not read.cores_back
    assert (read.lines[0].quantity, read.lines[0].detail) == (None, "")
