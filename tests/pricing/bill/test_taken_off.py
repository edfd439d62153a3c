"""A comeback's bill: zero or a part of the price, line by line and with its taxes; the cost is kept elsewhere."""

from __future__ import annotations

from dataclasses import replace
from decimal import Decimal

import pytest

from quotekit.model.entries import BillLine, Comeback
from quotekit.pricing.bill.lines import total_of
from quotekit.pricing.bill.make_bill import bill_of_work
from quotekit.pricing.bill.taken_off import for_comeback, held_to
from tests.build import a_remedy, a_tax
from tests.pricing.bill.cases import again, amounts, bill, codes_of
from tests.pricing.bill.shop import totals, two_repairs


def comeback(charged: str) -> Comeback:
    return Comeback(first_job="J-0", cause="workmanship", charged=Decimal(charged))


def lines(*amounts_of: str) -> list[BillLine]:
    return [
        BillLine(key=f"part:{place}", text="Part", amount=Decimal(amount), kind="parts")
        for place, amount in enumerate(amounts_of)
    ]


@pytest.mark.parametrize(
    ("charged", "subtotal", "tax"), [("0", "0.00", "0.00"), ("0.25", "47.25", "0.98"), ("1", "189.00", "3.90")]
)
def test_the_customer_pays_a_part_of_each_charge_with_its_tax(charged: str, subtotal: str, tax: str) -> None:
    """Labour 150.00, parts 39.00, parts taxed at 10 %: a quarter is 37.50 and 9.75, tax 0.975."""
    facts = replace(two_repairs(taxes=[a_tax(rate="0.1", charges=["parts"])]), comeback=comeback(charged))
    assert totals(bill(facts))[:2] == (subtotal, tax)


def test_what_it_would_have_cost_stays_on_the_bill() -> None:
    made = bill(replace(two_repairs(), comeback=comeback("0")))
    assert amounts(made) == {
        "labour:MAIN": "150.00",
        "part:BELT": "30.00",
        "part:SEAL": "9.00",
        "comeback:labour:MAIN": "-150.00",
        "comeback:part:BELT": "-30.00",
        "comeback:part:SEAL": "-9.00",
    }
    words = {line.text for line in made.lines if line.key.startswith("comeback:")}
    assert words == {"Comeback to job J-0: not charged"}


@pytest.mark.parametrize(
    ("charged", "words"),
    [("0.25", "75 % not charged"), ("0.5", "50 % not charged"), ("0.333", "66.7 % not charged"), ("0", "not charged")],
)
def test_words_of_a_comeback(charged: str, words: str) -> None:
    assert for_comeback(lines("10.00"), comeback(charged), 2)[0].text == f"Comeback to job J-0: {words}"


def test_a_comeback_told_after_the_bill_gives_the_money_back() -> None:
    facts = two_repairs(taxes=[a_tax(rate="0.1", charges=["parts"])])
    first = bill(facts)
    second = bill(again(facts, first, comeback=comeback("0")))
    assert totals(second) == ("-189.00", "-3.90", "-192.90")


def test_a_comeback_at_nothing_is_never_above_what_is_authorised() -> None:
    """The work may have grown, the customer pays nothing for it."""
    facts = two_repairs()
    lower = replace(facts.accepted, agreed=replace(facts.agreed, subtotal=Decimal(1), total=Decimal(1)))
    assert codes_of(replace(facts, accepted=lower)) == ["above-authorised"]
    assert bill_of_work(replace(facts, accepted=lower, comeback=comeback("0")))[1] == []


def test_upgrade_labour_is_reduced_as_the_labour_is() -> None:
    remedies = [
        a_remedy("NEW-BELT", ["SLIPS"], ["FIT-BELT"], kind="upgrade"),
        a_remedy("NEW-SEAL", ["LEAKS"], ["FIT-SEAL"]),
    ]
    facts = two_repairs(remedies=remedies, taxes=[a_tax(rate="0.1", charges=["upgrade labour"])])
    assert bill(facts).taxes == (("TAX", Decimal("85.00"), Decimal("8.50")),)
    made = bill(replace(facts, comeback=comeback("0.2")))
    assert (made.upgrade_labour, made.taxes) == (Decimal("17.00"), (("TAX", Decimal("17.00"), Decimal("1.70")),))


@pytest.mark.parametrize(
    ("amounts_of", "off", "expected"),
    [
        (("10.00", "20.00"), "3.00", ["-1.00", "-2.00"]),
        (("1.00", "1.00", "1.00"), "1.00", ["-0.34", "-0.33", "-0.33"]),
        (("10.00", "-4.00"), "2.00", ["-2.00"]),
        (("10.00",), "10.00", ["-10.00"]),
    ],
)
def test_held_lines_take_off_in_proportion(amounts_of: tuple[str, ...], off: str, expected: list[str]) -> None:
    """Savings give nothing up; largest remainder, ties to the earlier line."""
    held = held_to(lines(*amounts_of), Decimal(off), 2)
    assert [str(line.amount) for line in held] == expected
    assert total_of(held) == -Decimal(off)


def test_each_piece_is_taxed_as_what_it_is_taken_off() -> None:
    (piece,) = for_comeback(
        [replace(lines("8.00")[0], kind="oil", quantity=Decimal(2), each=Decimal(4))], comeback("0"), 2
    )
    assert (piece.kind, piece.key, piece.quantity, piece.each) == ("oil", "comeback:part:0", None, None)
