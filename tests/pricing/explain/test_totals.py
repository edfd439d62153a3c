"""From work to what is paid as trees (rules 5.5 items 8 and 9): the inspection fee, when it comes back, what is due."""

from __future__ import annotations

from decimal import Decimal
from typing import Any

import pytest

from quotekit.model.shop_book import ShopBook
from tests.build import a_tax, settings
from tests.pricing.explain.small import a_shop, assert_reads, assert_rules, assert_said, job_of

CREDIT = "amounts.inspection_credit"


def inspected(credited: Any) -> ShopBook:
    """Work of 115.00 and a fee of 80.00."""
    return a_shop(settings=settings(inspection_fee="80", inspection_fee_credited=credited))


@pytest.mark.parametrize(
    ("credited", "credit", "given_back", "subtotal", "rule"),
    [
        ("never", "0.00 = decided()", None, "195.00", "never gives the inspection fee back"),
        ("when work goes ahead", "-80.00 = less(amounts.inspection 80.00)", None, "115.00", "as work goes ahead"),
        (
            Decimal(115),
            "-80.00 = less(given back 80.00)",
            "80.00 = if at least(amounts.inspection 80.00, Inspection fee credited 115, work 115.00)",
            "115.00",
            "at least the shop's amount",
        ),
        (
            Decimal("115.01"),
            "0.00 = less(given back 0.00)",
            "0.00 = if at least(amounts.inspection 80.00, Inspection fee credited 115.01, work 115.00)",
            "195.00",
            "at least the shop's amount",
        ),
        (
            Decimal(0),
            "-80.00 = less(given back 80.00)",
            "80.00 = same(amounts.inspection 80.00)",
            "115.00",
            "at least the shop's amount",
        ),
    ],
)
def test_when_the_fee_is_given_back(
    credited: Any, credit: str, given_back: str | None, subtotal: str, rule: str
) -> None:
    """Work that comes to exactly the shop's amount earns it back, one cent less does not; zero means always."""
    book, value = inspected(credited), credit.partition(" ")[0]
    line = f"{subtotal} = sum(work 115.00, amounts.inspection 80.00, {CREDIT} {value})"
    expected = {CREDIT: credit, "subtotal": line} | ({"given back": given_back} if given_back else {})
    assert_said(expected, book)
    assert_rules({CREDIT: rule}, book)
    assert_reads({CREDIT: "Inspection fee credited: Value"}, book)


def test_the_jobs_own_fee_goes_before_the_shops() -> None:
    book = inspected("never")
    assert_said({"amounts.inspection": "80.00 = same(Inspection fee 80), half up to cents"}, book)
    assert_rules({"amounts.inspection": "The shop's inspection fee"}, book)
    job = job_of(book, inspection_fee="60.005")
    assert_said({"amounts.inspection": "60.01 = same(Inspection fee 60.005), half up to cents"}, book, job)
    assert_rules({"amounts.inspection": "The job's own inspection fee"}, book, job)


def test_the_total_is_subtotal_and_tax() -> None:
    book = a_shop(taxes=[a_tax("VAT", "0.1")])
    assert_said({"total": "126.50 = sum(subtotal 115.00, tax 11.50)"}, book)
    assert_rules({"tax": "All taxes together"}, book)
    assert_rules({"tax": "No tax in force"}, a_shop())


def test_due_is_the_total_less_what_was_paid() -> None:
    """It may be below zero: then the shop owes."""
    book = a_shop()
    assert_said({"due": "115.00 = difference(total 115.00, Paid so far 0)"}, book)
    job = job_of(book, paid_so_far="120.5")
    assert_said({"due": "-5.50 = difference(total 115.00, Paid so far 120.5)"}, book, job)
    assert_reads({"Paid so far": "Paid so far: Value"}, book, job)


def test_what_a_no_costs() -> None:
    """The fee and half an hour and a bit to put it back together, with their tax; nothing of the work."""
    book = a_shop(settings=settings(inspection_fee="80"), taxes=[a_tax("VAT", "0.1")])
    job = job_of(book, reassembly_hours="0.55")
    assert_said(
        {
            "declined.inspection": "80.00 = same(amounts.inspection 80.00)",
            "declined.reassembly": (
                "55.00 = product(Reassembly hours if declined 0.55, Rate per hour of MAIN 100), half up to cents"
            ),
            "declined.tax": "13.50 = sum(taxes.VAT.amount 13.50)",
            "declined.total": (
                "148.50 = sum(declined.inspection 80.00, declined.reassembly 55.00, declined.tax 13.50)"
            ),
        },
        book,
        job,
    )
    assert_rules({"declined.tax": "The taxes on inspection and reassembly"}, book, job)
    assert_rules({"declined.tax": "No tax in force touches"}, a_shop())
    assert_reads({"declined.tax": "Customer class: Value"}, book, job)
