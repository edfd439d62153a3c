"""Several bills of one job: nothing twice, the inspection's credit once, and no repair turned negative by it."""

from __future__ import annotations

from dataclasses import replace
from decimal import Decimal

import pytest

from quotekit.model.entries import Billed, BillLine
from quotekit.pricing.bill.make_bill import bill_of_no, bill_of_work
from quotekit.pricing.bill.since_before import added_lines, billed_lines, credit_that_stays
from quotekit.pricing.bill.to_bill import ToBill, WorkToBill
from tests.build import a_rate, a_tax
from tests.pricing.bill.cases import again, amounts, bill, closed
from tests.pricing.bill.shop import AFTER, BEFORE, paid, totals, two_repairs

CREDITED = {"inspection_fee": 45, "inspection_fee_credited": "when work goes ahead"}


def the_no(facts: WorkToBill) -> Billed:
    """The bill of the no that came before the yes."""
    made, problems = bill_of_no(ToBill(book=facts.book, job=facts.job, day=facts.day))
    assert made is not None, problems
    return made


def after_a_no(facts: WorkToBill) -> WorkToBill:
    return again(facts, the_no(facts))


def test_after_a_no_the_inspection_is_not_billed_again_and_credited_once() -> None:
    facts = two_repairs(CREDITED)
    made = bill(after_a_no(facts))
    assert amounts(made) == {
        "labour:MAIN": "150.00",
        "part:BELT": "30.00",
        "part:SEAL": "9.00",
        "inspection-credit": "-45.00",
    }
    assert the_no(facts).total + made.total == bill(facts).total, "as if one bill had been made of both"
    assert bill_of_work(again(after_a_no(facts), made)) == (None, [])


def test_a_credit_never_turns_the_repair_negative() -> None:
    """The belt alone without labour is 30.00: 30.00 of the 45.00 are credited, and nothing is due."""
    facts = two_repairs(CREDITED, {"labour_rate": "FREE"}, labour_rates=[a_rate(), a_rate("FREE", 0)])
    facts = replace(after_a_no(facts), closed=closed(not_done="NEW-SEAL"), payments=paid("45"))
    made = bill(facts)
    assert amounts(made) == {"part:BELT": "30.00", "inspection-credit": "-30.00"}
    assert (totals(made), str(made.due), str(made.refund)) == (("0.00", "0.00", "0.00"), "0.00", "0.00")


def test_the_rest_of_the_credit_is_given_with_a_later_bill() -> None:
    """9.00 of seals follow: of the 15.00 that are left 9.00 are credited, and no more than the fee over all bills."""
    facts = two_repairs(CREDITED, {"labour_rate": "FREE"}, labour_rates=[a_rate(), a_rate("FREE", 0)])
    first = replace(after_a_no(facts), closed=closed(not_done="NEW-SEAL"))
    second = replace(again(first, bill(first)), closed=None)
    made = bill(second)
    assert amounts(made) == {"part:SEAL": "9.00", "inspection-credit": "-9.00"}
    credited = billed_lines((*second.before, made))["inspection-credit"].amount
    assert credited == Decimal("-39.00") >= -Decimal(45)


def test_a_credit_by_amount_stays_given_when_less_is_done() -> None:
    """Credited from 180.00 on; a second closing leaves out the seal, 140.00: the credit is not taken back."""
    facts = two_repairs({"inspection_fee": 45, "inspection_fee_credited": Decimal(180)})
    first = bill(facts)
    second = bill(replace(again(facts, first), closed=closed(not_done="NEW-SEAL")))
    assert amounts(first)["inspection-credit"] == "-45.00"
    assert amounts(second) == {"labour:MAIN": "-40.00", "part:SEAL": "-9.00"}
    assert first.subtotal + second.subtotal == Decimal("140.00")


@pytest.mark.parametrize(
    ("credit", "given", "expected"), [("0", "-45", "-45"), ("-45", "0", "-45"), ("-45", "-30", "-45")]
)
def test_the_credit_that_stays(credit: str, given: str, expected: str) -> None:
    made = bill(two_repairs(CREDITED))
    lines = tuple(replace(line, amount=Decimal(given)) for line in made.lines if line.key == "inspection-credit")
    before = (replace(made, lines=lines),)
    assert credit_that_stays(Decimal(credit), before) == Decimal(expected)
    assert credit_that_stays(Decimal(credit), ()) == Decimal(credit)


def test_putting_it_back_together_stays_billed() -> None:
    facts = two_repairs(CREDITED, {"reassembly_hours": "0.5"})
    made = bill(after_a_no(facts))
    assert amounts(the_no(facts))["reassembly"] == "50.00" and "reassembly" not in amounts(made)
    assert bill_of_work(again(after_a_no(facts), made)) == (None, [])


def test_what_was_billed_and_then_not_done_is_given_back_with_its_tax() -> None:
    facts = two_repairs(taxes=[a_tax(rate="0.1", charges=["parts"])])
    first = bill(replace(facts, payments=paid("192.90")))
    second = bill(replace(again(facts, first), closed=closed(not_done="NEW-SEAL"), payments=paid("192.90")))
    assert totals(second) == ("-49.00", "-0.90", "-49.90")
    assert (second.taxes, str(second.refund)) == ((("TAX", Decimal("-9.00"), Decimal("-0.90")),), "49.90")


def test_a_second_bill_is_taxed_on_what_it_adds_at_the_rates_of_its_day() -> None:
    rows = [
        a_tax(rate="0.1", charges=["parts"], in_force_to=BEFORE),
        a_tax(rate="0.2", charges=["parts"], in_force_from=AFTER),
    ]
    facts = two_repairs(taxes=rows)
    first = bill(replace(facts, closed=closed(not_done="NEW-SEAL")))
    second = bill(replace(again(facts, first), day=AFTER))
    assert (first.taxes, second.taxes) == (
        (("TAX", Decimal("30.00"), Decimal("3.00")),),
        (("TAX", Decimal("9.00"), Decimal("1.80")),),
    )


def test_lines_of_a_second_bill_say_no_quantity_that_is_not_theirs() -> None:
    facts = two_repairs()
    first = bill(replace(facts, closed=closed(parts="SEAL x 1")))
    (seal,) = bill(again(facts, first)).lines
    assert (seal.key, str(seal.amount), seal.quantity, seal.each) == ("part:SEAL", "4.50", None, None)


def test_a_first_bill_is_the_whole() -> None:
    made = bill(two_repairs())
    assert added_lines(made.lines, ()) == made.lines


def test_a_line_that_is_given_back_whole_bears_no_quantity_of_its_own() -> None:
    """Two seals at 4.50 that were billed and not fitted: -9.00, not `2 x 4.50 = -9.00`."""
    facts = two_repairs()
    made = bill(again(facts, bill(facts), closed=closed(parts="SEAL x 0")))
    (line,) = made.lines
    assert made.notes == ("This bill holds only what has changed since the earlier bills of this job.",)
    assert (line.key, str(line.amount), line.quantity, line.unit, line.each) == ("part:SEAL", "-9.00", None, "", None)


def a_line(key: str, text: str, amount: str) -> BillLine:
    return BillLine(key=key, text=text, amount=Decimal(amount), kind="fees")


@pytest.mark.parametrize(
    ("whole", "added"),
    [
        ([("charge:ONEOFF-1", "Hauling", "5.00")], []),
        ([("charge:ONEOFF-2", "Hauling", "5.00")], []),
        (
            [("charge:ONEOFF-1", "Rust taken off", "50.00"), ("charge:ONEOFF-2", "Hauling", "5.00")],
            [("charge:ONEOFF-1", "Rust taken off", "50.00")],
        ),
        (
            [("charge:ONEOFF-1", "Rust taken off", "50.00")],
            [("charge:ONEOFF-1", "Rust taken off", "50.00"), ("charge:ONEOFF-1", "Hauling", "-5.00")],
        ),
        (
            [("charge:ONEOFF-1", "Hauling", "5.00"), ("charge:ONEOFF-2", "Hauling", "5.00")],
            [("charge:ONEOFF-2", "Hauling", "5.00")],
        ),
    ],
)
def test_a_one_off_line_of_an_earlier_bill_is_known_by_its_text(
    whole: list[tuple[str, str, str]], added: list[tuple[str, str, str]]
) -> None:
    """A row put in above it, or taken out, gives it another code: it is the same charge all the same."""
    before = replace(bill(two_repairs()), lines=(a_line("charge:ONEOFF-1", "Hauling", "5.00"),))
    lines = added_lines([a_line(*line) for line in whole], (before,))
    assert [(line.key, line.text, str(line.amount)) for line in lines] == added


def test_what_is_taken_off_one_off_lines_goes_by_their_codes() -> None:
    """All say the same words: their text tells none from another."""
    off = [
        a_line(f"comeback:charge:ONEOFF-{row}", "Comeback: not charged", amount)
        for row, amount in ((1, "-5"), (2, "-9"))
    ]
    before = replace(bill(two_repairs()), lines=tuple(off))
    assert added_lines(off, (before,)) == ()
