"""Bills of small jobs that can be checked by hand: what was done, consent, taxes, payments, a no."""

from __future__ import annotations

from dataclasses import replace
from datetime import date
from decimal import Decimal

import pytest

from quotekit.model.agreed import ConsentRule
from quotekit.pricing.bill.make_bill import bill_of_no, bill_of_work
from quotekit.pricing.bill.to_bill import ToBill
from tests.build import (
    a_bundle,
    a_finding_on,
    a_rate,
    a_remedy,
    a_step,
    a_supplier,
    a_tax,
    an_operation,
)
from tests.pricing.bill.cases import accepted_of, again, amounts, bill, closed, codes_of, problems_of
from tests.pricing.bill.shop import AFTER, BEFORE, paid, totals, two_repairs

# what was done


def test_all_done_as_agreed() -> None:
    made = bill(two_repairs())
    assert amounts(made) == {"labour:MAIN": "150.00", "part:BELT": "30.00", "part:SEAL": "9.00"}
    assert [one.text for one in made.work] == ["New-Belt", "New-Seal"]
    assert (made.not_done, made.notes, made.authorised) == ((), (), Decimal("189.00"))


def test_what_was_not_done_is_not_charged_but_the_cover_it_shared_is() -> None:
    """0.5 + 0.6 h: 110.00, the belt alone."""
    made = bill(replace(two_repairs(), closed=closed(not_done="NEW-SEAL")))
    assert amounts(made) == {"labour:MAIN": "110.00", "part:BELT": "30.00"}
    assert ([one.text for one in made.work], made.not_done) == (["New-Belt"], ("New-Seal",))


@pytest.mark.parametrize(
    ("not_done", "left"),
    [
        ("", ("Loose.",)),
        ("NEW-SEAL", ("Leaks.", "Loose.")),
        ("FIT-SEAL", ("Leaks.", "Loose.")),
        ("NEW-BELT", ("Loose.",)),
    ],
)
def test_matters_of_safety_that_the_work_done_leaves_stand_on_the_bill(not_done: str, left: tuple[str, ...]) -> None:
    """Of a refused change, and of agreed work that was not done: the machine goes back with them."""
    found = tuple(a_finding_on(code, severity="safety", name=code.title()) for code in ("LEAKS", "LOOSE"))
    facts = replace(two_repairs(), findings=found)
    assert bill(replace(facts, closed=closed(not_done=not_done))).left == left


def test_an_operation_not_done_takes_its_parts_and_its_access_with_it() -> None:
    alone = an_operation("GREASE", "0.3", access=["HOOD"], parts="SEAL")
    facts = two_repairs(
        access=[a_step("COVER", "0.2", "0.3"), a_step("HOOD", "0.1", "0.1")],
        operations=[alone, an_operation("FIT-BELT", "0.6", access=["COVER"], parts="BELT")],
        remedies=[
            a_remedy("NEW-BELT", ["SLIPS"], ["FIT-BELT", "GREASE"]),
            a_remedy("NEW-SEAL", ["LEAKS"], ["FIT-BELT"]),
        ],
    )
    assert amounts(bill(facts)) == {"labour:MAIN": "160.00", "part:BELT": "30.00", "part:SEAL": "4.50"}
    made = bill(replace(facts, closed=closed(not_done="GREASE")))
    assert amounts(made) == {"labour:MAIN": "110.00", "part:BELT": "30.00"}
    assert made.not_done == (), "an item some of whose work was done was done"


def test_what_only_the_work_not_done_required_was_not_done_either() -> None:
    facts = two_repairs(
        operations=[
            an_operation("FIT-BELT", "0.6", parts="BELT", requires=["ALIGN"]),
            an_operation("ALIGN", "0.2"),
            an_operation("FIT-SEAL", "0.4", parts="SEAL x 2"),
        ]
    )
    assert amounts(bill(facts))["labour:MAIN"] == "120.00"
    made = bill(replace(facts, closed=closed(not_done="FIT-BELT")))
    assert amounts(made) == {"labour:MAIN": "40.00", "part:SEAL": "9.00"}


def test_work_that_larger_work_made_unnecessary_does_not_come_back() -> None:
    """The seal is part of the belt's work; no work order told to fit it, so it is not charged when the belt is left."""
    facts = two_repairs(
        operations=[
            an_operation("FIT-BELT", "0.6", parts="BELT", includes=["FIT-SEAL"]),
            an_operation("FIT-SEAL", "0.4", parts="SEAL x 2"),
            an_operation("CLEAN", "0.2"),
        ],
        remedies=[
            a_remedy("NEW-BELT", ["SLIPS"], ["FIT-BELT"]),
            a_remedy("NEW-SEAL", ["LEAKS"], ["FIT-SEAL", "CLEAN"]),
        ],
    )
    whole, less = bill(facts), bill(replace(facts, closed=closed(not_done="NEW-BELT")))
    assert amounts(whole) == {"labour:MAIN": "80.00", "part:BELT": "30.00"}
    assert amounts(less) == {"labour:MAIN": "20.00"}
    assert ([one.text for one in less.work], less.not_done) == (["New-Seal"], ("New-Belt",))


def test_nothing_done_is_no_work_to_bill() -> None:
    facts = replace(two_repairs(), closed=closed(not_done="NEW-BELT; NEW-SEAL"))
    assert bill_of_work(facts)[0] is None and codes_of(facts) == ["nothing-done"]


def test_less_work_is_held_to_what_was_agreed() -> None:
    """Together they save 60.00 of labour: 129.00. The belt alone, without the saving, would be 140.00."""
    bundle = a_bundle("BOTH", ["NEW-BELT", "NEW-SEAL"], "labour amount off", 60)
    facts = two_repairs(bundles=[bundle])
    assert bill(facts).subtotal == Decimal("129.00")
    made = bill(replace(facts, closed=closed(not_done="NEW-SEAL")))
    held = {key: value for key, value in amounts(made).items() if key.startswith("held:")}
    assert made.subtotal == Decimal("129.00")
    assert held == {"held:labour:MAIN": "-8.64", "held:part:BELT": "-2.36"}, "11.00 in proportion to 110.00 and 30.00"


def test_less_work_is_held_with_tax_too() -> None:
    """Freight is taxed, labour is not. Without the seal freight is no longer free: 99.00 and 4.50 of tax.

    The 4.50 that are too much are taken off before tax, all charges in proportion.
    """
    supplier = a_supplier(freight=9, free_freight_from=22)
    facts = two_repairs(
        {"freight_to_customer": "this job alone"},
        taxes=[a_tax(rate="0.5", charges=["freight"])],
        suppliers=[supplier],
        operations=[
            an_operation("FIT-BELT", "0.6", parts="BELT"),
            an_operation("FIT-SEAL", "0", parts="SEAL x 2"),
        ],
    )
    assert totals(bill(facts)) == ("99.00", "0.00", "99.00")
    made = bill(replace(facts, closed=closed(not_done="NEW-SEAL")))
    assert totals(made) == ("94.50", "4.30", "98.80")


# parts


@pytest.mark.parametrize(
    ("used", "expected"),
    [
        ("SEAL x 1", {"part:BELT": "30.00", "part:SEAL": "4.50"}),
        ("BELT x 0", {"part:SEAL": "9.00"}),
        ("SEAL x 3", {"part:BELT": "30.00", "part:SEAL": "9.00"}),
        ("SEAL x 2; STARTER x 1", {"part:BELT": "30.00", "part:SEAL": "9.00"}),
        ("NOT-KNOWN x 1", {"part:BELT": "30.00", "part:SEAL": "9.00"}),
    ],
)
def test_parts_used(used: str, expected: dict[str, str]) -> None:
    """Fewer are charged as used; more not at all, where any excess needs consent."""
    made = bill(replace(two_repairs(), closed=closed(parts=used)))
    assert {key: value for key, value in amounts(made).items() if key.startswith("part:")} == expected


def test_parts_that_cost_nothing_are_told() -> None:
    facts = replace(two_repairs(), closed=closed(parts="SEAL x 3; NOT-KNOWN x 1"))
    assert codes_of(facts) == ["part-not-in-book", "parts-beyond-consent"]
    assert "1 x Seal" in problems_of(facts)[1].message
    assert bill(facts).notes == ("1 more of Seal: not charged.",)


@pytest.mark.parametrize(("amount", "charged"), [("4.49", False), ("4.50", True)])
def test_more_parts_are_charged_where_consent_leaves_room(amount: str, charged: bool) -> None:
    """One more seal is 4.50: exactly the threshold needs no consent."""
    facts = two_repairs()
    rule = ConsentRule(over_percent=Decimal(1), over_amount=Decimal(amount))
    facts = replace(facts, accepted=accepted_of(facts.agreed, rule), closed=closed(parts="SEAL x 3"))
    made = bill(facts)
    assert amounts(made)["part:SEAL"] == ("13.50" if charged else "9.00")
    assert codes_of(facts) == ([] if charged else ["parts-beyond-consent"])
    assert made.authorised == Decimal("189.00"), "what is charged within the threshold raises nothing"


def test_parts_are_charged_all_together_or_not_at_all() -> None:
    """A seal alone would fit into 10.00, a starter would not: neither is charged, and both are told."""
    facts = two_repairs()
    rule = ConsentRule(over_percent=Decimal(1), over_amount=Decimal(10))
    facts = replace(facts, accepted=accepted_of(facts.agreed, rule), closed=closed(parts="SEAL x 3; STARTER"))
    assert amounts(bill(facts))["part:SEAL"] == "9.00"
    assert "1 x Seal, 1 x Starter" in problems_of(facts)[0].message


def test_a_spending_limit_lets_no_more_parts_pass() -> None:
    facts = two_repairs()
    accepted = accepted_of(
        facts.agreed, ConsentRule(over_percent=Decimal(1), over_amount=Decimal(99)), spending_limit=Decimal(190)
    )
    assert codes_of(replace(facts, accepted=accepted, closed=closed(parts="SEAL x 3"))) == ["parts-beyond-consent"]


def test_the_customers_own_parts_are_free_whatever_their_number() -> None:
    facts = two_repairs(job={"own_parts": ("SEAL",)})
    made = bill(replace(facts, closed=closed(parts="SEAL x 5")))
    own = next(line for line in made.lines if line.key == "part:SEAL")
    assert (own.amount, own.quantity, own.detail) == (Decimal(0), Decimal(5), "your own")
    assert codes_of(replace(facts, closed=closed(parts="SEAL x 5"))) == []


# above what is authorised


def test_nothing_above_what_is_authorised_is_billed() -> None:
    """What is billed is another version than the one agreed to: 189.00 against a yes to 150.00 and 25.00 more."""
    facts = two_repairs()
    lower = replace(facts.agreed, subtotal=Decimal("150.00"), total=Decimal("150.00"))
    rule = ConsentRule(over_percent=Decimal("0.5"), over_amount=Decimal(25))
    facts = replace(facts, accepted=accepted_of(lower, rule))
    made, (problem,) = bill_of_work(facts)
    assert (made, problem.code, problem.severity) == (None, "above-authorised", "error")
    assert "189.00" in problem.message and "150.00 with tax" in problem.message and "14.00 above" in problem.message


def test_a_version_within_the_threshold_is_billed_without_another_yes() -> None:
    facts = two_repairs()
    lower = replace(facts.agreed, subtotal=Decimal("150.00"), total=Decimal("150.00"))
    rule = ConsentRule(over_percent=Decimal("0.5"), over_amount=Decimal(39))
    made = bill(replace(facts, accepted=accepted_of(lower, rule)))
    assert (made.total, made.authorised) == (Decimal("189.00"), Decimal("150.00"))


def test_the_basis_is_that_of_the_rule() -> None:
    """Before tax nothing is over, with tax 18.90 would be: the basis decides, not the larger of both."""
    facts = two_repairs(taxes=[a_tax(rate="0.1")])
    agreed = replace(facts.agreed, total=facts.agreed.subtotal)
    held = replace(facts, accepted=accepted_of(agreed, ConsentRule(compares="before tax")))
    assert bill(held).total == Decimal("207.90")
    assert codes_of(replace(facts, accepted=accepted_of(agreed, ConsentRule()))) == ["above-authorised"]


# taxes


def test_tax_is_by_the_rows_in_force_on_the_day_of_the_bill() -> None:
    """The price stands as agreed; the change of the law is told, and is no excess over what was authorised."""
    rows = [
        a_tax(rate="0.10", in_force_to=date(2026, 6, 30)),
        a_tax(rate="0.12", in_force_from=date(2026, 7, 1)),
    ]
    facts = two_repairs(taxes=rows)
    assert totals(bill(facts)) == ("189.00", "18.90", "207.90")
    later = replace(facts, day=AFTER)
    made, (problem,) = bill_of_work(later)
    assert made is not None and totals(made) == ("189.00", "22.68", "211.68")
    assert (problem.code, problem.severity) == ("tax-changed", "warning") and "+3.78" in problem.message
    assert made.notes == ("Tax is charged at the rates in force on the day of this bill.",)


def test_rows_of_another_book_may_count_in_place_of_the_frozen_ones() -> None:
    facts = two_repairs(taxes=[a_tax(rate="0.10")])
    made = bill(replace(facts, taxes=(a_tax(rate="0.03", charges=["parts"]),)))
    assert made.taxes == (("TAX", Decimal("39.00"), Decimal("1.17")),)


def test_a_lower_tax_leaves_no_room_for_more_work() -> None:
    """Taxes of the day of the quote decide what is within: 4.50 of a seal does not hide in a tax that fell."""
    rows = [a_tax(rate="0.10", in_force_to=date(2026, 6, 30))]
    facts = replace(two_repairs(taxes=rows), day=AFTER, closed=closed(parts="SEAL x 3"))
    assert "parts-beyond-consent" in codes_of(facts)
    assert totals(bill(facts)) == ("189.00", "0.00", "189.00")


def test_an_exempt_customer_pays_no_tax() -> None:
    job = {"customer_class": "exempt", "exemption_certificate": "E-1"}
    assert bill(two_repairs(job=job, taxes=[a_tax()])).taxes == ()


# payments


@pytest.mark.parametrize(
    ("money", "due", "refund"),
    [
        ((), "189.00", "0.00"),
        (("60", "29"), "100.00", "0.00"),
        (("189",), "0.00", "0.00"),
        (("200", "-1"), "0.00", "10.00"),
    ],
)
def test_what_was_paid_is_taken_off_and_too_much_is_told(money: tuple[str, ...], due: str, refund: str) -> None:
    made = bill(replace(two_repairs(), payments=paid(*money)))
    assert (str(made.due), str(made.refund), made.payments) == (due, refund, paid(*money))


# a no


def test_a_no_is_billed_with_inspection_and_reassembly() -> None:
    facts = two_repairs({"inspection_fee": 45}, {"reassembly_hours": "0.5"}, taxes=[a_tax(charges=["labour"])])
    made, problems = bill_of_no(ToBill(book=facts.book, job=facts.job, day=BEFORE, payments=paid("60")))
    assert made is not None and problems == []
    assert amounts(made) == {"inspection": "45.00", "reassembly": "50.00"}
    assert (totals(made), str(made.due), made.of) == (("95.00", "5.00", "100.00"), "40.00", "no")


def test_a_no_is_billed_once() -> None:
    facts = two_repairs({"inspection_fee": 45})
    first, _ = bill_of_no(ToBill(book=facts.book, job=facts.job, day=BEFORE))
    assert first is not None
    assert bill_of_no(ToBill(book=facts.book, job=facts.job, day=BEFORE, before=(first,))) == (None, [])


def test_a_no_that_costs_nothing_needs_no_bill_unless_money_is_to_be_given_back() -> None:
    facts = two_repairs()
    nothing = ToBill(book=facts.book, job=facts.job, day=BEFORE)
    made, problems = bill_of_no(nothing)
    assert made is None and [problem.code for problem in problems] == ["nothing-to-bill"]
    made, _ = bill_of_no(replace(nothing, payments=paid("60")))
    assert made is not None and (str(made.total), str(made.refund)) == ("0.00", "60.00")


# other charges that come once


def test_the_minimum_and_the_supplies_cap_come_once_over_two_bills() -> None:
    """A first bill without the seal, then the rest: together what one bill of all would be."""
    facts = two_repairs({"minimum_labour_hours": 2, "supplies_percent_of_labour": "0.1", "supplies_cap": 18})
    whole = bill(facts)
    assert amounts(whole)["labour:"] == "50.00" and amounts(whole)["supplies"] == "18.00"
    first = bill(replace(facts, closed=closed(not_done="NEW-SEAL")))
    second = bill(again(facts, first))
    assert amounts(first)["supplies"] == "18.00" and "supplies" not in amounts(second)
    assert first.subtotal + second.subtotal == whole.subtotal
    assert amounts(second) == {"labour:MAIN": "40.00", "labour:": "-40.00", "part:SEAL": "9.00"}
    assert second.billed_before == first.total
    assert second.due == whole.total


def test_labour_by_repair_adds_up_to_the_labour() -> None:
    made = bill(two_repairs({"labour_shown": "by repair"}))
    assert [str(one.labour) for one in made.work] == ["85.00", "65.00"]
    assert [one.labour for one in bill(two_repairs()).work] == [None, None]


def test_hours_stand_on_the_bill_only_where_the_shop_shows_them() -> None:
    shown = next(line for line in bill(two_repairs({"show_hours": True})).lines if line.key == "labour:MAIN")
    assert (shown.quantity, shown.unit, shown.each) == (Decimal("1.5"), "h", Decimal(100))
    assert bill(two_repairs()).lines[0].quantity is None


def test_several_labour_rates_are_named() -> None:
    facts = two_repairs(
        labour_rates=[a_rate(), a_rate("WELD", 120, name="Welding")],
        operations=[an_operation("FIT-BELT", "0.6", parts="BELT"), an_operation("FIT-SEAL", "0.4", labour="WELD")],
    )
    labour = [line.text for line in bill(facts).lines if line.key.startswith("labour:")]
    assert labour == ["Labour, MAIN", "Labour, Welding"]


def test_a_price_that_is_no_longer_what_was_agreed_is_told_and_the_lower_billed() -> None:
    """Workbooks are frozen, the program is not: what was agreed is the most that is billed."""
    facts = two_repairs()
    lower = replace(facts.agreed, subtotal=Decimal("180.00"), total=Decimal("180.00"))
    made, problems = bill_of_work(replace(facts, agreed=lower, accepted=accepted_of(lower)))
    assert made is not None and made.subtotal == Decimal("180.00")
    assert [problem.code for problem in problems] == ["priced-differently"] and "+9.00" in problems[0].message


def test_parts_beyond_may_take_the_room_that_work_not_done_leaves() -> None:
    """189.00 are authorised; without the seal 140.00, with a second belt 170.00: within what was agreed to."""
    facts = replace(two_repairs(), closed=closed(not_done="NEW-SEAL", parts="BELT x 2"))
    made = bill(facts)
    assert (made.subtotal, codes_of(facts)) == (Decimal("170.00"), [])
    assert made.notes == ("1 more of Belt: needed, within what may be charged without asking you.",)
    more = replace(facts, closed=closed(not_done="NEW-SEAL", parts="BELT x 3"))
    assert bill(more).subtotal == Decimal("140.00"), "all together or none"
