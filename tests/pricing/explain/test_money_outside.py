"""Deposit, days until ready, cost and margin as trees (rules 5.9), and what each says where something is not known."""

from __future__ import annotations

import pytest

from quotekit.model.shop_book import ShopBook
from tests.build import a_one_off, a_part, a_rate, a_supplier, an_operation, settings
from tests.pricing.explain.small import a_shop, assert_reads, assert_rules, assert_said, job_of


def ordered() -> ShopBook:
    """A seal with lead days of its own, and a belt that can't go back; half down on one, all on the other."""
    return a_shop(
        settings=settings(deposit_on_ordered_parts="0.5", deposit_on_non_returnable_parts="1", queue_days=2),
        parts=[a_part("SEAL", 10, lead_days=9), a_part("BELT", 20, returnable=False)],
        operations=[an_operation("FIT", "0.5", parts="SEAL; BELT")],
    )


def test_a_deposit_is_a_percent_of_what_is_ordered() -> None:
    assert_said(
        {
            "deposit": "37.50 = sum(deposit on BELT 30.00, deposit on SEAL 7.50), half up to cents",
            "deposit on SEAL": "7.50 = product(Deposit on ordered parts 0.5, parts.SEAL.amount 15.00)",
            "deposit on BELT": "30.00 = product(Deposit on non-returnable parts 1, parts.BELT.amount 30.00)",
        },
        ordered(),
    )
    assert_reads(
        {
            "deposit on SEAL": "SEAL: Returnable; SEAL: Supplier",
            "Deposit on ordered parts": "Deposit on ordered parts: Value",
        },
        ordered(),
    )


def test_nothing_is_put_down_on_parts_from_the_shelf() -> None:
    book = a_shop(parts=[a_part("SEAL", 10, supplier="SHELF")], settings=settings(deposit_on_ordered_parts="0.5"))
    assert_said({"deposit": "0.00 = decided()", "lead of SEAL": "0 = given()"}, book)
    assert_rules({"deposit": "No part is ordered", "lead of SEAL": "on the shelf: there already"}, book)
    assert_reads({"lead of SEAL": "SEAL: Lead days; SEAL: Supplier; SHELF: Shelf"}, book)


def test_the_slowest_part_decides_when_it_is_ready() -> None:
    """A part's own days go before its supplier's, whose cell is named only where they hold."""
    assert_said(
        {
            "ready_days": "11 = sum(slowest 9, Queue days 2)",
            "slowest": "9 = most(no waiting 0, lead of BELT 3, lead of SEAL 9)",
        },
        ordered(),
    )
    assert_reads(
        {
            "lead of SEAL": "SEAL: Lead days; SEAL: Supplier",
            "lead of BELT": "BELT: Lead days; BELT: Supplier; NORTH: Lead days",
        },
        ordered(),
    )


def test_work_sent_out_and_lines_of_the_job_are_waited_for_too() -> None:
    book = a_shop(
        operations=[an_operation("FIT", requires=["OUT"]), an_operation("OUT", sublet_cost=10, sublet_days=6)]
    )
    job = job_of(book, one_off=[a_one_off(1, "labour", "0.5", lead_days=7)])
    line = "7 = most(no waiting 0, lead of ONEOFF-1 7, days of OUT sent out 6)"
    assert_said({"slowest": line}, book, job)
    assert_reads({"lead of ONEOFF-1": "ONEOFF-1: Lead days", "days of OUT sent out": "OUT: Sublet days"}, book, job)


def test_days_nobody_knows_are_not_guessed() -> None:
    book = a_shop(suppliers=[a_supplier(lead_days=None)])
    assert_said({"ready_days": "None = decided(lead of SEAL None)"}, book)
    assert_rules({"ready_days": "Not known, as these have no lead days: lead of SEAL"}, book)
    assert_reads({"ready_days": "NORTH: Lead days; SEAL: Lead days; SEAL: Supplier"}, book)


def test_cost_is_hours_worked_not_hours_billed() -> None:
    """1.0 h are worked and 1.2 h billed in steps of 0.4 h: they cost 40.00 and sell for 120.00."""
    book = a_shop(settings=settings(hours_step="0.4"))
    assert_said(
        {
            "cost of labour at MAIN": (
                "40.00 = product(hours worked at MAIN 1, Cost per hour of MAIN 40), half up to cents"
            ),
            "cost.labour": "40.00 = sum(cost of labour at MAIN 40.00)",
            "cost.total": (
                "50.00 = sum(cost.labour 40.00, cost.parts_used 10.00, cost.cores 0.00, cost.sublet 0.00, "
                "cost.freight 0.00)"
            ),
            "margin": "85.00 = difference(subtotal 135.00, cost.total 50.00)",
        },
        book,
    )
    assert_reads({"Cost per hour of MAIN": "MAIN: Cost per hour"}, book)


def test_work_sent_out_costs_what_is_paid_for_it() -> None:
    book = a_shop(operations=[an_operation("FIT", requires=["OUT"]), an_operation("OUT", sublet_cost="33.333")])
    job = job_of(book, one_off=[a_one_off(1, "sublet", 2, unit_cost="10")])
    assert_said(
        {
            "cost.sublet": "53.33 = sum(cost of OUT 33.33, cost of ONEOFF-1 20.00)",
            "cost of OUT": "33.33 = product(Sublet cost 33.333), half up to cents",
            "cost of ONEOFF-1": "20.00 = product(Unit cost 10, Quantity 2), half up to cents",
        },
        book,
        job,
    )
    assert_reads({"Sublet cost": "OUT: Sublet cost", "Unit cost": "ONEOFF-1: Unit cost"}, book, job)


@pytest.mark.parametrize(
    ("kind", "name"),
    [("part", "cost.parts_used"), ("sublet", "cost.sublet")],
)
def test_a_price_without_a_cost_leaves_the_margin_unknown(kind: str, name: str) -> None:
    """A line with a price and no cost: zero would make the margin look better than it is."""
    book = a_shop()
    job = job_of(book, one_off=[a_one_off(1, kind, 2, unit_price="4")])
    assert_said({name: "None = decided()", "margin": "None = decided(subtotal 123.00, cost.total None)"}, book, job)
    assert_rules(
        {
            name: "Not known, as ONEOFF-1 has a price but no cost",
            "cost.total": "Not known, as a cost is missing",
            "margin": "Not known, as the cost is not",
        },
        book,
        job,
    )
    assert_reads({name: "ONEOFF-1: Unit cost"}, book, job)


def test_a_rate_without_a_cost_leaves_the_margin_unknown() -> None:
    book = a_shop(labour_rates=[a_rate(cost=None)])
    assert_said({"cost.labour": "None = decided()", "margin": "None = decided(subtotal 115.00, cost.total None)"}, book)
    assert_rules({"cost.labour": "the labour rate MAIN has no cost per hour"}, book)
    assert_reads({"cost.labour": "MAIN: Cost per hour"}, book)
