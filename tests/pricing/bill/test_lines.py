"""The lines of a bill: what each is called, what taxes it, and that they add up to the work."""

from __future__ import annotations

from dataclasses import replace
from decimal import Decimal

import pytest

from quotekit.model.entries import BillLine
from quotekit.pricing.bill.lines import as_taxed, charge_key, inspection_lines, total_of
from quotekit.pricing.bill.to_bill import WorkToBill
from tests.build import a_bundle, a_fee, a_finding, a_finding_on, a_job, a_one_off, a_part, a_supplier, an_operation
from tests.pricing.bill.cases import Drawn, bill, drawn, to_bill
from tests.pricing.bill.shop import two_repairs


def line_of(facts: WorkToBill, key: str) -> BillLine:
    return next(line for line in bill(facts).lines if line.key == key)


def test_a_part_says_its_condition_and_what_taxes_it() -> None:
    facts = two_repairs(
        parts=[a_part("BELT", 20, new_or_used="rebuilt", taxed_as="oil"), a_part("SEAL", 3, unit="each")]
    )
    belt, seal = line_of(facts, "part:BELT"), line_of(facts, "part:SEAL")
    assert (belt.text, belt.detail, belt.kind) == ("Belt", "rebuilt", "oil")
    assert (seal.quantity, seal.unit, seal.each, seal.kind) == (Decimal(2), "each", Decimal("4.50"), "parts")


def test_fees_by_quantity_and_by_work() -> None:
    fees = [
        a_fee("PICKUP", "1.50", unit="mile", customer_wording="Both ways"),
        a_fee("OIL", "3.00", applies_to=("FIT-BELT",), required_wording="As the law asks", customer_wording="Oil"),
    ]
    facts = two_repairs(job={"fees": "PICKUP x 12"}, fees=fees)
    pickup, oil = line_of(facts, "fee:PICKUP"), line_of(facts, "fee:OIL")
    assert (str(pickup.amount), pickup.quantity, pickup.unit, pickup.each) == (
        "18.00",
        Decimal(12),
        "mile",
        Decimal("1.50"),
    )
    assert (oil.text, oil.detail, oil.quantity) == ("Oil", "As the law asks", None)


def test_outside_work_of_an_operation_and_of_a_one_off_line() -> None:
    grind = an_operation("FIT-BELT", "0.6", sublet_cost=20, customer_wording="Ground by a machine shop")
    lines = (a_one_off(1, "sublet", unit_cost=30, line="Recore the radiator"), a_one_off(2, "charge", 2, unit_price=4))
    facts = two_repairs(
        {"sublet_markup": "0.1"}, {"one_off": lines}, operations=[grind, an_operation("FIT-SEAL", "0.4")]
    )
    ground, recored, charge = (line_of(facts, key) for key in ("sublet:FIT-BELT", "sublet:ONEOFF-1", "charge:ONEOFF-2"))
    assert (ground.text, str(ground.amount)) == ("Outside work: Ground by a machine shop", "22.00")
    assert (recored.text, str(recored.amount)) == ("Outside work: Recore the radiator", "33.00")
    assert (charge.text, str(charge.amount), charge.kind) == ("Line 2", "8.00", "fees")


def test_a_sided_operation_of_outside_work_names_its_side() -> None:
    from tests.build import a_book, a_remedy, a_tier

    book = a_book(
        operations=[an_operation("HONE", "0.5", each_side=True, sublet_cost=20)],
        findings=[a_finding("WORN")],
        remedies=[a_remedy("HONED", ["WORN"], ["HONE"])],
        tiers=[a_tier("good")],
    )
    facts = to_bill(book, a_job(a_finding_on("WORN", "left")))
    assert line_of(facts, "sublet:HONE@left").text == "Outside work: Hone, left"
    assert [one.text for one in bill(facts).work] == ["Honed, left"]


def test_savings_of_bundles_and_of_a_discount() -> None:
    bundle = a_bundle("BOTH", ["NEW-BELT", "NEW-SEAL"], "parts amount off", 9)
    facts = two_repairs(job={"discount_percent": "0.1", "discount_reason": "Old customer"}, bundles=[bundle])
    both, parts = line_of(facts, "saving:BOTH"), line_of(facts, "saving:DISCOUNT-PARTS")
    assert (both.text, str(both.amount), both.kind) == ("Together: less, Both", "-9.00", "parts")
    assert (parts.text, str(parts.amount)) == ("Discount: Old customer, on parts", "-3.00")
    assert as_taxed(line_of(facts, "saving:DISCOUNT-LABOUR")).of_labour


def test_freight_by_supplier() -> None:
    facts = two_repairs({"freight_to_customer": "this job alone"}, suppliers=[a_supplier(freight=9)])
    freight = line_of(facts, "freight:NORTH")
    assert (freight.text, str(freight.amount), freight.kind) == ("Freight for parts", "9.00", "freight")


@pytest.mark.parametrize(
    ("key", "kind", "fee", "of_labour", "charge"),
    [
        ("labour:MAIN", "labour", "", True, "labour:MAIN"),
        ("labour:", "labour", "", True, "labour:"),
        ("comeback:held:labour:MAIN", "labour", "", True, "labour:MAIN"),
        ("saving:BOTH", "labour", "", True, "saving:BOTH"),
        ("saving:BOTH", "parts", "", False, "saving:BOTH"),
        ("part:KIT", "labour", "", False, "part:KIT"),
        ("fee:PICKUP", "fees", "PICKUP", False, "fee:PICKUP"),
        ("comeback:fee:PICKUP", "fees", "PICKUP", False, "fee:PICKUP"),
        ("charge:ONEOFF-1", "fees", "", False, "charge:ONEOFF-1"),
        ("reassembly", "labour", "", False, "reassembly"),
    ],
)
def test_a_line_as_a_tax_sees_it(key: str, kind: str, fee: str, of_labour: bool, charge: str) -> None:
    line = BillLine(key=key, text="", amount=Decimal("1.00"), kind=kind)
    assert as_taxed(line) == (kind, Decimal("1.00"), fee, of_labour)
    assert charge_key(line) == charge


def test_the_inspection_and_its_credit() -> None:
    fee, credit = inspection_lines(Decimal("45.00"), Decimal("-45.00"))
    assert (fee.key, credit.key, total_of((fee, credit))) == ("inspection", "inspection-credit", Decimal("0.00"))
    assert inspection_lines(Decimal("0.00"), Decimal("0.00")) == ()


@pytest.fixture(scope="module")
def jobs() -> list[Drawn]:
    return list(drawn(range(100, 140)))


def test_no_two_lines_have_the_same_key(jobs: list[Drawn]) -> None:
    """Earlier bills are taken off by key: one key twice would lose a charge."""
    for one in jobs:
        keys = [line.key for line in bill(one.to_bill()).lines]
        assert len(keys) == len(set(keys)), one.seed


def test_lines_tell_the_same_sums_as_the_quote(jobs: list[Drawn]) -> None:
    """Labour, parts, cores, outside work, savings, supplies, fees, freight and inspection, each by itself."""
    for one in jobs:
        found: dict[str, Decimal] = {}
        for line in bill(one.to_bill()).lines:
            name = _NAMES[line.key.partition(":")[0]]
            found[name] = found.get(name, Decimal(0)) + line.amount
        quoted = {name: amount for name, amount in vars(one.tier.amounts).items() if amount}
        assert {name: amount for name, amount in found.items() if amount} == quoted, one.seed


_NAMES = {
    "labour": "labour", "part": "parts", "core": "cores", "sublet": "sublet", "saving": "savings",
    "supplies": "supplies", "fee": "fees", "charge": "fees", "freight": "freight", "inspection": "inspection",
    "inspection-credit": "inspection_credit",
}  # fmt: skip


def test_own_parts_stay_on_the_bill_at_nothing() -> None:
    facts = replace(two_repairs(job={"own_parts": ("BELT",)}))
    own = line_of(facts, "part:BELT")
    assert (str(own.amount), own.detail, own.quantity) == ("0.00", "your own", Decimal(1))
