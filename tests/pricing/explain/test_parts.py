"""Parts as trees (rules 5.4 and 5.5 item 2): whole packs, amounts, the customer's own parts, cores, one-off parts."""

from __future__ import annotations

import pytest

from quotekit.model.shop_book import ShopBook
from tests.build import a_one_off, a_part, an_operation
from tests.pricing.explain.small import a_shop, assert_reads, assert_rules, assert_said, job_of


def in_packs() -> ShopBook:
    """Five seals, bought by four at 10.01."""
    return a_shop(
        operations=[an_operation("FIT", "0.5", parts="SEAL x 5")], parts=[a_part("SEAL", "10.01", pack_quantity=4)]
    )


def test_packs_are_bought_whole_and_units_are_sold() -> None:
    """Five of packs of four: two packs are paid to the supplier, five units are charged and cost."""
    assert_said(
        {
            "parts.SEAL.quantity": "5 = same(SEAL brought 5)",
            "parts.SEAL.packs": "2 = quotient(parts.SEAL.quantity 5, Pack quantity 4), up to whole packs",
            "unit cost of SEAL": "2.5025 = quotient(Pack cost 10.01, Pack quantity 4)",
            "parts.SEAL.amount": (
                "18.75 = product(parts.SEAL.unit_price 3.75, parts.SEAL.quantity 5), half up to cents"
            ),
            "amounts.parts": "18.75 = sum(parts.SEAL.amount 18.75)",
            "cash_for_parts": "20.02 = same(whole packs 20.02), half up to cents",
            "packs of SEAL": "20.02 = product(parts.SEAL.packs 2, Pack cost of SEAL 10.01)",
            "cost of SEAL": "12.51 = product(unit cost of SEAL 2.5025, parts.SEAL.quantity 5), half up to cents",
        },
        in_packs(),
    )
    assert_reads(
        {
            "Pack quantity": "SEAL: Pack quantity",
            "Pack cost": "SEAL: Pack cost",
            "parts.SEAL.quantity": "SEAL: Replaced by",
            "parts.SEAL.part": "SEAL: Code; SEAL: Line",
        },
        in_packs(),
    )


@pytest.mark.parametrize(
    ("name", "line", "rule"),
    [
        ("parts.SEAL.packs", "0 = decided()", "not ordered"),
        ("parts.SEAL.unit_price", "0.00 = decided()", "fitted, not charged"),
        ("parts.SEAL.amount", "0.00 = decided()", "not charged"),
        ("cost of SEAL", "0.00 = decided()", "The customer's own part."),
    ],
)
def test_the_customers_own_part_is_neither_ordered_nor_charged(name: str, line: str, rule: str) -> None:
    """The cell that says so is named at each zero, since crossing it out brings the part back."""
    job = job_of(in_packs(), own_parts=["SEAL"])
    assert_said({name: line}, in_packs(), job)
    assert_rules({name: rule}, in_packs(), job)
    assert_reads({name: "Customer's own parts: Value"}, in_packs(), job)


def test_a_core_is_charged_when_the_old_part_is_kept() -> None:
    """4.005 is 4.01, once a part; what is charged is what the shop pays."""
    book = a_shop(parts=[a_part("SEAL", 10, core_charge="4.005"), a_part("BELT")])
    assert_said(
        {
            "amounts.cores": "4.01 = sum(core of SEAL 4.01)",
            "core of SEAL": ("4.01 = product(Core charge of SEAL 4.005, parts.SEAL.quantity 1), half up to cents"),
            "cost.cores": "4.01 = same(amounts.cores 4.01)",
        },
        book,
        job_of(book, old_parts="keep"),
    )
    assert_reads({"Core charge of SEAL": "SEAL: Core charge"}, book, job_of(book, old_parts="keep"))


@pytest.mark.parametrize(
    ("charge", "kept", "rule"),
    [
        ("4", "return", "does not keep the old parts"),
        (None, "keep", "No part used has a core charge"),
        (None, "return", "does not keep the old parts"),
    ],
)
def test_without_a_core_the_tree_says_which_of_two_reasons(charge: str | None, kept: str, rule: str) -> None:
    book = a_shop(parts=[a_part("SEAL", 10, core_charge=charge)])
    job = job_of(book, old_parts=kept)
    assert_said({"amounts.cores": "0.00 = decided()"}, book, job)
    assert_rules({"amounts.cores": rule}, book, job)
    assert_reads({"amounts.cores": "Old parts: Value"}, book, job)


def test_a_one_off_part_is_a_pack_of_one() -> None:
    book = a_shop()
    job = job_of(book, one_off=[a_one_off(1, "part", 2, unit_price="7.005", unit_cost="4")])
    assert_said(
        {
            "parts.ONEOFF-1.quantity": "2 = same(Quantity 2)",
            "parts.ONEOFF-1.packs": "2 = quotient(parts.ONEOFF-1.quantity 2, pack of one 1), up to whole packs",
            "parts.ONEOFF-1.amount": (
                "14.02 = product(parts.ONEOFF-1.unit_price 7.01, parts.ONEOFF-1.quantity 2), half up to cents"
            ),
            "cost of ONEOFF-1": (
                "8.00 = product(Unit cost of ONEOFF-1 4, parts.ONEOFF-1.quantity 2), half up to cents"
            ),
            "amounts.parts": "29.02 = sum(parts.ONEOFF-1.amount 14.02, parts.SEAL.amount 15.00)",
        },
        book,
        job,
    )
    assert_reads({"Quantity": "ONEOFF-1: Quantity", "parts.ONEOFF-1.part": "ONEOFF-1: Code; ONEOFF-1: Line"}, book, job)


def test_a_one_off_part_without_a_cost_ties_up_no_cash() -> None:
    """Nobody typed what it costs: nothing is added to the packs, and its supplier's cell is named for the wait."""
    book = a_shop()
    job = job_of(book, one_off=[a_one_off(1, "part", 2, unit_price="7", supplier="NORTH")])
    assert_said(
        {
            "whole packs": "10.00 = sum(packs of ONEOFF-1 0.00, packs of SEAL 10.00)",
            "packs of ONEOFF-1": "0.00 = product(parts.ONEOFF-1.packs 2, Unit cost of ONEOFF-1 0)",
        },
        book,
        job,
    )
    assert_rules({"Unit cost of ONEOFF-1": "Blank: none."}, book, job)
    assert_reads(
        {
            "lead of ONEOFF-1": "NORTH: Lead days; ONEOFF-1: Lead days; ONEOFF-1: Supplier",
            "deposit on SEAL": "SEAL: Returnable; SEAL: Supplier",
        },
        book,
        job,
    )
