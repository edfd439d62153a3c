"""Taxes of a bill's lines: rows by the day, both roundings, upgrade labour, and tax that is given back."""

from __future__ import annotations

from dataclasses import replace
from decimal import Decimal, localcontext

import pytest
from hypothesis import given
from hypothesis import strategies as st

from quotekit.model.entries import Billed, BillLine
from quotekit.model.shop_book import Tax
from quotekit.money import EXACT
from quotekit.pricing.basis import Basis
from quotekit.pricing.bill.taxes import taxed_on, taxes_of_bill, taxes_since
from tests.build import a_book, a_job, a_remedy, a_tax, settings
from tests.pricing.bill.cases import again, bill, closed
from tests.pricing.bill.shop import AFTER, BEFORE, two_repairs

LABOUR, PART = ("labour:MAIN", "labour"), ("part:BELT", "parts")
FEE, OTHER_FEE, CHARGE = ("fee:PICKUP", "fees"), ("fee:STORAGE", "fees"), ("charge:ONEOFF-1", "fees")


def tax_of(
    *lines: tuple[tuple[str, str], str], rows: list[Tax], upgrade: str = "0", rounding: str = "invoice"
) -> list[tuple[str, str]]:
    """Base and amount of each tax on lines given as key and kind, and amount."""
    basis = Basis(book=a_book(taxes=rows, settings=settings(tax_rounding=rounding)), job=a_job())
    made = [BillLine(key=key, text="", amount=Decimal(amount), kind=kind) for (key, kind), amount in lines]
    with localcontext(EXACT):
        found = taxes_of_bill(basis, made, Decimal(upgrade))
    return [(str(line.base), str(line.amount)) for line in found]


@pytest.mark.parametrize(("rounding", "tax"), [("invoice", "0.23"), ("line", "0.24")])
def test_both_roundings(rounding: str, tax: str) -> None:
    """Three lines of 1.25 at 6 %; source: Streamlined Sales and Use Tax Agreement, section 324, both are allowed."""
    three = [((f"part:{n}", "parts"), "1.25") for n in range(3)]
    assert tax_of(*three, rows=[a_tax(rate="0.06")], rounding=rounding) == [("3.75", tax)]


def test_a_fees_own_row_wins_and_a_one_off_charge_is_a_fee() -> None:
    rows = [a_tax(rate="0.1", charges=["fees"]), a_tax(rate="0", charges=["PICKUP"])]
    assert tax_of((FEE, "10.00"), (OTHER_FEE, "20.00"), (CHARGE, "5.00"), rows=rows) == [("25.00", "2.50")]


def test_a_piece_taken_off_lowers_its_own_charge_before_the_tax_is_rounded() -> None:
    """By lines: 10 % of 0.45 is 0.05; of 0.90 less a tax on 0.45 it would be 0.09 - 0.05 = 0.04."""
    rows, held = [a_tax(rate="0.1")], (("held:part:BELT", "parts"), "-0.45")
    assert tax_of((PART, "0.90"), held, rows=rows, rounding="line") == [("0.45", "0.05")]


def test_what_is_given_back_gives_back_its_tax() -> None:
    rows = [a_tax(rate="0.065", charges=["cores"])]
    assert tax_of((("core-back:X", "cores"), "-30.00"), rows=rows) == [("-30.00", "-1.95")]
    assert tax_of((("core:X", "cores"), "30.00"), (("core-back:X", "cores"), "-30.00"), rows=rows) == []


def test_one_tax_may_be_due_where_another_is_given_back() -> None:
    rows = [a_tax("CITY", "0.1", charges=["parts"]), a_tax("STATE", "0.2", charges=["labour"])]
    assert tax_of((PART, "-10.00"), (LABOUR, "5.00"), rows=rows) == [("-10.00", "-1.00"), ("5.00", "1.00")]


def test_upgrade_labour_is_a_part_of_the_labour_only_for_a_tax_that_knows_it() -> None:
    rows = [a_tax("NEW", "0.1", charges=["upgrade labour"]), a_tax("ALL", "0.1", charges=["labour"])]
    assert tax_of((LABOUR, "100.00"), rows=rows, upgrade="30.00") == [("30.00", "3.00"), ("100.00", "10.00")]


def test_upgrade_labour_that_is_given_back() -> None:
    rows = [a_tax("NEW", "0.1", charges=["upgrade labour"])]
    assert tax_of((LABOUR, "-100.00"), rows=rows, upgrade="-30.00") == [("-30.00", "-3.00")]


def test_a_part_taxed_as_labour_is_no_labour() -> None:
    rows = [a_tax("NEW", "0.1", charges=["upgrade labour"])]
    assert tax_of((("part:KIT", "labour"), "50.00"), rows=rows, upgrade="30.00") == []


def test_rows_are_those_of_the_day_and_prices_stay() -> None:
    rows = [a_tax(rate="0.1", in_force_to=BEFORE), a_tax(rate="0.2", in_force_from=AFTER)]
    basis = Basis(book=a_book(taxes=rows), job=a_job())
    later = taxed_on(basis, AFTER, None)
    assert (later.job.quote_date, basis.job.quote_date) == (AFTER, BEFORE)
    line = BillLine(key="supplies", text="", amount=Decimal("10.00"), kind="supplies")
    with localcontext(EXACT):
        assert [str(one.amount) for one in taxes_of_bill(later, [line], Decimal(0))] == ["2.00"]
        other = taxed_on(basis, AFTER, (a_tax(rate="0.3"),))
        assert [str(one.amount) for one in taxes_of_bill(other, [line], Decimal(0))] == ["3.00"]


def test_upgrade_labour_may_be_taxed_apart_only_since_the_quote() -> None:
    """On the day of the quote no row knew it: the bill still tells upgrade labour from other labour."""
    remedies = [
        a_remedy("NEW-BELT", ["SLIPS"], ["FIT-BELT"], kind="upgrade"),
        a_remedy("NEW-SEAL", ["LEAKS"], ["FIT-SEAL"]),
    ]
    row = a_tax("NEW", "0.1", charges=["upgrade labour"], in_force_from=AFTER)
    facts = two_repairs(remedies=remedies, taxes=[row])
    assert bill(facts).taxes == ()
    assert bill(replace(facts, day=AFTER)).taxes == (("NEW", Decimal("85.00"), Decimal("8.50")),)
    other = replace(two_repairs(remedies=remedies), taxes=(a_tax("NEW", "0.1", charges=["upgrade labour"]),))
    assert bill(other).taxes == (("NEW", Decimal("85.00"), Decimal("8.50")),)


def test_what_is_given_back_gives_back_the_tax_that_was_charged_on_it() -> None:
    """Billed at 10 %, given back when the rate is 20 %: 10 % comes back. What is new is taxed at 20 %."""
    rows = [
        a_tax(rate="0.1", charges=["parts"], in_force_to=BEFORE),
        a_tax(rate="0.2", charges=["parts"], in_force_from=AFTER),
    ]
    facts = two_repairs(taxes=rows)
    first = bill(replace(facts, closed=closed(parts="SEAL x 1")))
    later = replace(again(facts, first), day=AFTER)
    assert bill(replace(later, closed=closed(not_done="NEW-SEAL"))).taxes == (
        ("TAX", Decimal("-4.50"), Decimal("-0.45")),
    )
    both = bill(replace(later, closed=closed(parts="BELT x 0")))
    assert both.taxes == (("TAX", Decimal("-25.50"), Decimal("-2.10")),), "0.90 on the new seal, 3.00 back on the belt"


def test_no_tax_is_given_back_that_was_never_charged() -> None:
    """The tax came after the bill, which charged none of it."""
    facts = two_repairs(taxes=[a_tax(rate="0.2", charges=["parts"], in_force_from=AFTER)])
    later = replace(again(facts, bill(facts)), day=AFTER, closed=closed(not_done="NEW-SEAL"))
    assert bill(later).taxes == ()


def test_a_tax_that_ended_is_given_back_as_it_was_charged() -> None:
    facts = two_repairs(taxes=[a_tax(rate="0.1", charges=["parts"], in_force_to=BEFORE)])
    later = replace(again(facts, bill(facts)), day=AFTER, closed=closed(not_done="NEW-SEAL"))
    assert bill(later).taxes == (("TAX", Decimal("-9.00"), Decimal("-0.90")),)


def bills_of(amounts: list[str], rounding: str = "invoice") -> list[str]:
    """The tax of one bill after the other, each of one more charge, at 6.5 %."""
    rows = [a_tax(rate="0.065", charges=["fees"])]
    basis = Basis(book=a_book(taxes=rows, settings=settings(tax_rounding=rounding)), job=a_job())
    before: list[Billed] = []
    for place, amount in enumerate(amounts):
        line = BillLine(key=f"charge:ONEOFF-{place}", text="", amount=Decimal(amount), kind="fees")
        with localcontext(EXACT):
            taxes = taxes_since(basis, basis, before, [line], Decimal(0))
        tax = sum((one.amount for one in taxes), Decimal("0.00"))
        before.append(
            Billed(
                lines=(line,),
                subtotal=line.amount,
                taxes=tuple((one.tax, one.base, one.amount) for one in taxes),
                tax=tax,
                total=line.amount + tax,
                paid=Decimal(0),
                due=line.amount + tax,
                authorised=Decimal(0),
                currency="USD",
            )
        )
    return [str(made.tax) for made in before]


def test_a_second_bill_bears_what_the_first_does_not() -> None:
    """120.08 bears 7.81, and 10.08 by itself 0.66; together they bear 8.46, which is what was agreed to."""
    assert bills_of(["130.16"]) == ["8.46"]
    assert bills_of(["120.08", "10.08"]) == ["7.81", "0.65"]
    assert bills_of(["120.08", "10.08", "-130.16"]) == ["7.81", "0.65", "-8.46"]
    assert bills_of(["120.08", "10.08"], "line") == ["7.81", "0.66"], "rounded line by line, each line bears its own"


@given(st.lists(st.integers(min_value=1, max_value=30_000), min_size=1, max_size=6))
def test_all_bills_together_bear_the_tax_of_all_their_lines(pennies: list[int]) -> None:
    amounts = [str(Decimal(each).scaleb(-2)) for each in pennies]
    together = str(Decimal(sum(pennies)).scaleb(-2))
    assert sum(map(Decimal, bills_of(amounts))) == Decimal(bills_of([together])[0])
