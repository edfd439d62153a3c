"""Fees and one-off charges (DESIGN.md 5.5 item 6 and 5.9), by hand."""

from __future__ import annotations

from typing import Any

import pytest

from quotekit.model.shop_book import Fee
from quotekit.pricing.fees import triggered_by
from tests import build
from tests.pricing.priced import price


def fees(*fees: Fee, keys: tuple[str, ...] = ("DRAIN",), **job: Any) -> dict[str, list[str]]:
    """Quantity and amount of each fee."""
    operations = [build.an_operation(code) for code in ("DRAIN", "WASH", "BELT")]
    found = price(build.a_book(operations=operations, fees=list(fees)), *keys, job=build.a_job(**job))
    return {line.key: [str(line.quantity), str(line.amount)] for line in found.charges.fees}


WASTE = build.a_fee("WASTE", "4.50", applies_to=["DRAIN", "WASH"])
GATE = build.a_fee("GATE", 3, always=True)
PICKUP = build.a_fee("PICKUP", "1.25", unit="mile")


@pytest.mark.parametrize(
    ("keys", "charged"),
    [(("DRAIN",), {"WASTE": ["1", "4.50"]}), (("DRAIN", "WASH"), {"WASTE": ["1", "4.50"]}), (("BELT",), {})],
)
def test_once_if_any_of_its_operations_is_present(keys: tuple[str, ...], charged: dict[str, list[str]]) -> None:
    assert fees(WASTE, keys=keys) == charged


def test_always_means_whatever_the_work_is() -> None:
    assert fees(GATE, keys=("BELT",)) == {"GATE": ["1", "3.00"]}


def test_blank_means_only_when_the_job_names_it() -> None:
    assert fees(PICKUP) == {}
    assert fees(PICKUP, fees="PICKUP x 12") == {"PICKUP": ["12", "15.00"]}


def test_a_fraction_of_a_unit_is_rounded_once() -> None:
    """1.25 x 3.3 = 4.125 goes up."""
    assert fees(PICKUP, fees="PICKUP x 3.3") == {"PICKUP": ["3.3", "4.13"]}


@pytest.mark.parametrize(
    ("given", "charged"),
    [("WASTE x 2", {"WASTE": ["2", "9.00"]}), ("WASTE x 0", {}), ("GATE x 0", {"WASTE": ["1", "4.50"]})],
)
def test_a_quantity_on_the_job_replaces_the_fees_own_trigger(given: str, charged: dict[str, list[str]]) -> None:
    """`x 0` waives it."""
    named = {code: line for code, line in fees(WASTE, GATE, fees=given).items() if code in charged or code in given}
    assert named == charged


def test_a_fee_named_by_the_job_needs_no_operation() -> None:
    assert fees(WASTE, keys=("BELT",), fees="WASTE") == {"WASTE": ["1", "4.50"]}


def test_an_operation_done_by_larger_work_brings_no_fee() -> None:
    operations = [build.an_operation("REBUILD", includes=["DRAIN"]), build.an_operation("DRAIN")]
    found = price(build.a_book(operations=operations, fees=[WASTE]), "REBUILD", "DRAIN")
    assert found.charges.fees == []


def test_one_operation_on_two_sides_brings_its_fee_once() -> None:
    book = build.a_book(operations=[build.an_operation("DRAIN", each_side=True)], fees=[WASTE])
    assert [str(line.amount) for line in price(book, "DRAIN@left", "DRAIN@right").charges.fees] == ["4.50"]


def test_one_off_charges_come_after_the_fees() -> None:
    """3 x 2.125 = 6.375, so 6.38: a charge is rounded once."""
    job = build.a_job(one_off=[build.a_one_off(1, "charge", 3, unit_price="2.125")])
    found = price(build.a_book(operations=[build.an_operation("DRAIN")], fees=[WASTE]), "DRAIN", "ONEOFF-1", job=job)
    assert [(line.key, str(line.amount)) for line in found.charges.fees] == [("WASTE", "4.50"), ("ONEOFF-1", "6.38")]


def test_required_wording_wins() -> None:
    fee = build.a_fee("WASTE", 4, always=True, customer_wording="Waste", required_wording="State waste fee")
    operations = [build.an_operation("DRAIN")]
    (line,) = price(build.a_book(operations=operations, fees=[fee]), "DRAIN").charges.fees
    assert line.wording == "State waste fee"


def test_fees_that_hang_on_a_choice() -> None:
    """Neither those that always apply nor those the job sets."""
    book = build.a_book(operations=[build.an_operation("DRAIN")], fees=[WASTE, GATE, PICKUP])
    free = price(book, "DRAIN")
    assert [fee.code for fee in triggered_by(free.basis, frozenset({"DRAIN"}))] == ["WASTE"]
    set_by_job = price(book, "DRAIN", job=build.a_job(fees="WASTE x 2"))
    assert triggered_by(set_by_job.basis, frozenset({"DRAIN"})) == []
