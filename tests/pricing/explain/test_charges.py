"""Work sent out, fees, one-off charges and the work in money as trees (rules 5.5 items 1 to 7)."""

from __future__ import annotations

from quotekit.model.shop_book import ShopBook
from tests.build import a_fee, a_one_off, an_operation, settings
from tests.pricing.explain.small import a_shop, assert_reads, assert_rules, assert_said, job_of


def sent_out() -> ShopBook:
    """Balancing costs 33.33 and comes back after six days; the shop puts 15 % on it."""
    return a_shop(
        settings=settings(sublet_markup="0.15"),
        operations=[
            an_operation("FIT", "0.5", requires=["BALANCE"]),
            an_operation("BALANCE", 0, sublet_cost="33.33", sublet_days=6),
        ],
    )


def with_fees() -> ShopBook:
    """A fee the job names, and one that an operation brings."""
    return a_shop(fees=[a_fee("HAUL", "12.345"), a_fee("OIL", "3", applies_to=["FIT"])])


def test_work_sent_out_is_its_cost_with_the_shops_markup() -> None:
    """33.33 x 1.15 is 38.3295, so 38.33."""
    assert_said(
        {
            "amounts.sublet": "38.33 = sum(sublet BALANCE 38.33)",
            "sublet BALANCE": (
                "38.33 = product(Sublet cost of BALANCE 33.33, 1 + sublet markup 1.15), half up to cents"
            ),
            "1 + sublet markup": "1.15 = one plus(Sublet markup 0.15)",
        },
        sent_out(),
    )
    assert_reads(
        {"Sublet cost of BALANCE": "BALANCE: Sublet cost", "Sublet markup": "Sublet markup: Value"}, sent_out()
    )
    assert_rules({"amounts.sublet": "Every piece of work sent out"}, sent_out())
    assert_rules({"amounts.sublet": "No work is sent out", "amounts.fees": "No fee applies"}, a_shop())


def test_a_line_of_the_job_sent_out_has_a_price_or_a_cost() -> None:
    """A price that is given gets no markup on top."""
    by_cost = job_of(sent_out(), one_off=[a_one_off(1, "sublet", 2, unit_cost="10")])
    line = "23.00 = product(Unit cost 10, Quantity 2, 1 + sublet markup 1.15), half up to cents"
    assert_said({"sublet ONEOFF-1": line}, sent_out(), by_cost)
    assert_reads({"Unit cost": "ONEOFF-1: Unit cost", "Quantity": "ONEOFF-1: Quantity"}, sent_out(), by_cost)
    priced = job_of(sent_out(), one_off=[a_one_off(1, "sublet", 3, unit_price="10.005", unit_cost="1")])
    line = "30.02 = product(Unit price 10.005, Quantity 3), half up to cents"
    assert_said({"sublet ONEOFF-1": line}, sent_out(), priced)
    assert_reads({"Unit price": "ONEOFF-1: Unit price"}, sent_out(), priced)


def test_fees_by_the_job_and_by_an_operation() -> None:
    """12.345 three times is 37.035, rounded once: 37.04; one because the seal is fitted; charges of the job after."""
    job = job_of(with_fees(), fees="HAUL x 3", one_off=[a_one_off(1, "charge", 2, unit_price="4")])
    assert_said(
        {
            "amounts.fees": "48.04 = sum(fee HAUL 37.04, fee OIL 3.00, charge ONEOFF-1 8.00)",
            "fee HAUL": "37.04 = product(Amount of HAUL 12.345, HAUL on the job 3), half up to cents",
            "fee OIL": "3.00 = product(Amount of OIL 3, once 1), half up to cents",
            "charge ONEOFF-1": "8.00 = product(Unit price 4, Quantity 2), half up to cents",
        },
        with_fees(),
        job,
    )
    assert_rules(
        {
            "once": "Charged once, because of FIT",
            "HAUL on the job": "The job gives the quantity",
            "charge ONEOFF-1": "Line 1: unit price x quantity",
            "amounts.fees": "Fees and one-off charges",
        },
        with_fees(),
        job,
    )
    assert_reads(
        {
            "once": "OIL: Applies to",
            "HAUL on the job": "Fees: Value",
            "Amount of OIL": "OIL: Amount; OIL: Applies to",
            "charge ONEOFF-1": "ONEOFF-1: Kind",
        },
        with_fees(),
        job,
    )


def test_a_fee_the_job_names_goes_by_the_jobs_quantity_even_where_an_operation_brings_it() -> None:
    job = job_of(with_fees(), fees="OIL x 2")
    assert_said({"fee OIL": "6.00 = product(Amount of OIL 3, OIL on the job 2), half up to cents"}, with_fees(), job)


def test_the_work_is_seven_charges_and_what_is_saved() -> None:
    line = (
        "115.00 = sum(amounts.labour 100.00, amounts.parts 15.00, amounts.cores 0.00, amounts.sublet 0.00, "
        "amounts.savings 0.00, amounts.supplies 0.00, amounts.fees 0.00, amounts.freight 0.00)"
    )
    assert_said({"work": line}, a_shop())


def test_a_fee_of_every_job_is_charged_once() -> None:
    book = a_shop(fees=[a_fee("SHOP", "2.50", always=True)])
    assert_said({"fee SHOP": "2.50 = product(Amount of SHOP 2.5, once 1), half up to cents"}, book)
    assert_rules({"once": "Charged once, as it always applies"}, book)
