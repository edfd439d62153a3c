"""Outside checks 2.01 to 2.09 and of tax rounding, through the bill of a job that was agreed and done.

Source of 2.*: OpenStax, Principles of Accounting, Volume 2: Managerial Accounting (numbers used, text not copied),
sections 4.4, 4.6 and 4.8. Of 1.*: Streamlined Sales and Use Tax Agreement, section 324, as enacted in R.I. Gen. Laws
44-18.1-25; OpenStax, Contemporary Mathematics, section 6.2.

Left out: 2.07 (over and under applied overhead), which is of a year of jobs and not of a bill.
"""

from __future__ import annotations

from dataclasses import replace
from decimal import Decimal
from typing import Any

import pytest

from quotekit.model.entries import Billed, Comeback
from quotekit.model.shop_book import Tax
from quotekit.pricing.bill.make_bill import bill_of_no
from quotekit.pricing.bill.to_bill import ToBill, WorkToBill
from tests.build import a_tax
from tests.outside_checks.small_shop import a_bill, a_repair
from tests.pricing.bill.cases import again, bill, to_bill

TV_REPAIR: dict[str, Any] = {"labour": {"MAIN": ("3", "80", "50")}, "parts": [("1", "42", "70")]}
"""Section 4.8: wage 25 and overhead of 100 % of it are 50 an hour of cost."""


def job(**values: Any) -> WorkToBill:
    """A repair agreed to as quoted."""
    return to_bill(*a_repair(**values))


def profit(facts: WorkToBill, *bills: Billed) -> Decimal:
    """What the bills bring before tax, less the cost of the job as it was frozen."""
    assert facts.agreed.cost_total is not None
    return sum((one.subtotal for one in bills), Decimal(0)) - facts.agreed.cost_total


def test_2_01_and_2_02_cost_and_bill_of_a_job() -> None:
    """Section 4.8: part 42, labour 75, overhead 75 cost 192; part 70 and 3 h at 80 are billed at 310."""
    facts = job(**TV_REPAIR)
    assert facts.agreed.cost_total == Decimal(192)
    assert bill(facts).subtotal == Decimal(310)


def test_2_02_a_diagnosis_paid_earlier_is_on_a_bill_of_its_own() -> None:
    """Section 4.8: the diagnosis of 50 was paid before; the repair is billed at 310, together 360 came in."""
    facts = job(**TV_REPAIR, inspection_fee="50")
    diagnosis, _ = bill_of_no(ToBill(book=facts.book, job=facts.job, day=facts.day))
    assert diagnosis is not None
    repair = bill(replace(again(facts, diagnosis), payments=((facts.day, "Paid", Decimal(50)),)))
    assert (diagnosis.total, repair.total, repair.due) == (Decimal(50), Decimal(310), Decimal(310))
    assert diagnosis.total + repair.total == Decimal(360)


def test_2_03_profit_of_the_bill() -> None:
    """Section 4.8 (inputs read, worked out): 310 less 192 is 118; with the diagnosis 168."""
    facts = job(**TV_REPAIR)
    assert profit(facts, bill(facts)) == Decimal(118)
    facts = job(**TV_REPAIR, inspection_fee="50")
    assert profit(facts, bill(facts)) == Decimal(168)


def test_2_03_a_comeback_brings_nothing_and_costs_in_full() -> None:
    """The same repair done again for nothing: the loss is its whole cost, 192 (worked out from 2.01)."""
    facts = replace(job(**TV_REPAIR), comeback=Comeback(first_job="1", cause="part", charged=Decimal(0)))
    assert profit(facts, bill(facts)) == Decimal(-192)


def test_2_04_overhead_applied_to_a_billed_job() -> None:
    """Section 4.4: 250,000 over 100,000 of labour is 2.50 a dollar; labour of 66 carries 165."""
    rate = Decimal(250000) / Decimal(100000)
    facts = job(labour={"MAIN": ("3", "100", str(22 * (1 + rate)))})
    assert profit(facts, bill(facts)) == Decimal(300) - Decimal(66) - Decimal(165)


@pytest.mark.parametrize(
    ("materials", "labour", "cost"), [("7560", "3760", "16020"), ("1525", "3824", "10129"), ("3290", "3796", "11831")]
)
def test_2_09_totals_of_three_jobs(materials: str, labour: str, cost: str) -> None:
    """Section 4.4, exercise (answers worked out): overhead 125 % of labour, wage 20 an hour; billed at cost."""
    hours = Decimal(labour) / 20
    facts = job(labour={"MAIN": (str(hours), "45", "45")}, parts=[("1", materials, materials)])
    made = bill(facts)
    assert made.subtotal == Decimal(cost) and profit(facts, made) == 0


@pytest.mark.parametrize(
    ("price", "rate", "tax"),
    [("34.88", "0.0825", "2.88"), ("499.00", "0.0881", "43.96")],
)
def test_1_02_and_1_04_sales_tax_of_a_bill(price: str, rate: str, tax: str) -> None:
    """Contemporary Mathematics, section 6.2: 34.88 at 8.25 % is 2.88, 499.00 at 8.81 % is 43.96."""
    made = bill(charged([price], [a_tax(rate=rate)]))
    assert (str(made.tax), made.total) == (tax, Decimal(price) + Decimal(tax))


@pytest.mark.parametrize(
    ("raw", "tax"),
    [("1.004", "1.00"), ("1.0049999", "1.00"), ("1.005", "1.01"), ("0.0149", "0.01"), ("0.0151", "0.02"),
     ("2.8776", "2.88")],
)  # fmt: skip
def test_1_01_the_third_decimal_decides_both_ways(raw: str, tax: str) -> None:
    """Section 324: third decimal above four adds a cent; what is given back later is rounded alike."""
    facts = charged(["1.00"], [a_tax(rate=raw)])
    made = bill(facts)
    assert str(made.tax) == tax
    free = Comeback(first_job="1", cause="other", charged=Decimal(0))
    assert bill(again(facts, made, comeback=free)).tax == -Decimal(tax)


def charged(prices: list[str], taxes: list[Tax], rounding: str = "invoice") -> WorkToBill:
    """A job of one-off charges and nothing else."""
    return to_bill(*a_bill(prices, taxes, rounding))


def test_1_18_and_1_19_labour_listed_apart_is_not_taxed() -> None:
    """Idaho State Tax Commission, Repair Shops guide, example 1; IDAPA 35.01.02.062: parts 25 at 6 %, labour 40 free.

    As a lump sum of 65 all is taxable: 3.90 (check 1.19).
    """
    apart = bill(
        job(
            labour={"MAIN": ("1", "40", "20")}, parts=[("1", "10", "25")], taxes=[a_tax(rate="0.06", charges=["parts"])]
        )
    )
    lump = bill(charged(["65.00"], [a_tax(rate="0.06")]))
    assert (str(apart.tax), str(apart.total)) == ("1.50", "66.50")
    assert (str(lump.tax), str(lump.total)) == ("3.90", "68.90")
