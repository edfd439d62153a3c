"""Core charges, and the old parts handed back: refunded with their tax, and never more than was charged."""

from __future__ import annotations

from dataclasses import replace
from decimal import Decimal

import pytest

from quotekit.pricing.bill.cores_back import all_cores_back
from quotekit.pricing.bill.make_bill import bill_of_work
from quotekit.pricing.bill.to_bill import WorkToBill
from tests.build import a_tax, an_operation
from tests.pricing.bill.cases import again, amounts, bill, closed, codes_of
from tests.pricing.bill.shop import totals, two_repairs


def a_starter(old_parts: str | None = "keep", **values: object) -> WorkToBill:
    """Two starters at 60.00 with a core charge of 15.00 each, cores taxed at 6.5 %, no other tax."""
    operations = [an_operation("FIT-BELT", "0.6", parts="STARTER x 2"), an_operation("FIT-SEAL", "0.4")]
    taxes = [a_tax(rate="0.065", charges=["cores"])]
    return replace(two_repairs(job={"old_parts": old_parts}, operations=operations, taxes=taxes), **values)  # type: ignore[arg-type]


def test_a_core_charge_is_billed_and_taxed_where_the_customer_keeps_the_old_parts() -> None:
    made = bill(a_starter())
    assert amounts(made)["core:STARTER"] == "30.00"
    assert totals(made) == ("250.00", "1.95", "251.95")
    assert "core:STARTER" not in amounts(bill(a_starter("dispose")))


@pytest.mark.parametrize(("back", "amount", "tax"), [("STARTER", "-15.00", "0.98"), ("STARTER x 2", "-30.00", "0.00")])
def test_what_came_back_before_the_bill_stands_below_the_charge(back: str, amount: str, tax: str) -> None:
    made = bill(a_starter(closed=closed(cores=back)))
    assert (amounts(made)["core:STARTER"], amounts(made)["core-back:STARTER"]) == ("30.00", amount)
    assert str(made.tax) == tax


def test_what_comes_back_after_the_bill_is_given_back_with_its_tax() -> None:
    facts = a_starter()
    first = bill(facts)
    one_back = {"STARTER": Decimal(1)}
    second = bill(again(facts, first, cores_back=one_back))
    assert amounts(second) == {"core-back:STARTER": "-15.00"}
    assert totals(second) == ("-15.00", "-0.97", "-15.97"), "what is left is taxed 0.98, as if it came back before"
    assert second.cores_back == one_back
    third = bill(again(again(facts, first), second, cores_back=one_back))
    assert totals(third) == ("-15.00", "-0.98", "-15.98"), "0.97 and 0.98 are the 1.95 that were charged"


def test_no_more_comes_back_than_was_charged() -> None:
    facts = a_starter(cores_back={"STARTER": Decimal(3)})
    assert (bill_of_work(facts)[0], codes_of(facts)) == (None, ["core-not-charged"])
    facts = a_starter(closed=closed(cores="STARTER x 2"), cores_back={"STARTER": Decimal(1)})
    assert codes_of(facts) == ["core-not-charged"]


@pytest.mark.parametrize("part", ["BELT", "SEAL", "NOT-KNOWN"])
def test_a_part_without_a_core_charge_gives_nothing_back(part: str) -> None:
    assert codes_of(a_starter(cores_back={part: Decimal(1)})) == ["core-not-charged"]


def test_nothing_was_charged_where_the_old_parts_are_not_kept() -> None:
    assert codes_of(a_starter("show", cores_back={"STARTER": Decimal(1)})) == ["core-not-charged"]
    assert amounts(bill(a_starter("show", closed=closed(cores="STARTER x 2")))) == {
        "labour:MAIN": "100.00",
        "part:STARTER": "120.00",
    }


def test_old_parts_handed_back_make_no_room_for_more_work() -> None:
    """30.00 that come back do not let 4.50 of seals pass a threshold of nothing."""
    facts = a_starter(closed=closed(cores="STARTER x 2", parts="SEAL x 1"))
    assert "parts-beyond-consent" in codes_of(facts)


def test_units_are_those_of_the_closing_and_of_every_bill_since() -> None:
    made = replace(bill(a_starter()), cores_back={"A": Decimal(1)})
    assert all_cores_back({"A": Decimal(2)}, (made, made), {"B": Decimal(1)}) == {"A": Decimal(4), "B": Decimal(1)}
