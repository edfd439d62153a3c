"""Taxes as trees (rules 5.5 item 9 and 5.9): which lines, which row, both roundings, savings, upgrade labour."""

from __future__ import annotations

from dataclasses import replace
from typing import Any

import pytest

from quotekit.model.shop_book import ShopBook
from tests.build import a_bundle, a_fee, a_finding, a_part, a_remedy, a_tax, an_operation, settings
from tests.pricing.explain.small import a_shop, assert_reads, assert_rules, assert_said, figure, job_of, said

BASE, AMOUNT = "taxes.VAT.base", "taxes.VAT.amount"


def taxed(*taxes: Any, **values: Any) -> ShopBook:
    """Labour of 100.00 and a part of 15.00."""
    return a_shop(taxes=list(taxes), **values)


def test_one_rate_on_everything_is_rounded_once() -> None:
    """8.25 % of 115.00 is 9.4875."""
    book = taxed(a_tax("VAT", "0.0825"))
    assert_said(
        {
            BASE: "115.00 = sum(labour at MAIN 100.00, parts.SEAL.amount 15.00)",
            AMOUNT: "9.49 = product(taxes.VAT.base 115.00, Rate of VAT 0.0825), half up to cents",
            "tax": "9.49 = sum(taxes.VAT.amount 9.49)",
            "total": "124.49 = sum(subtotal 115.00, tax 9.49)",
        },
        book,
    )
    assert_reads(
        {
            BASE: "VAT: Charge; VAT: Rate",
            AMOUNT: "Tax rounding: Value",
            "tax": "Customer class: Value",
            "Rate of VAT": (
                "VAT: Charge; VAT: Customer class; VAT: In force from; VAT: In force to; VAT: Machine; VAT: Rate"
            ),
        },
        book,
    )
    assert_rules({"Rate of VAT": "in force for all", "tax": "All taxes together"}, book)


def test_line_by_line_each_line_is_rounded_before_the_sum() -> None:
    """On 100.00, 15.00 and 10.07: 8.25, 1.2375 and 0.830775 give 10.32; of the whole it would be 10.32 too at 125.07,
    so the lines themselves are looked at."""
    book = taxed(a_tax("VAT", "0.0825"), settings=settings(tax_rounding="line", inspection_fee="10.07"))
    assert_said(
        {
            AMOUNT: "10.32 = sum(VAT on labour at MAIN 8.25, VAT on parts.SEAL.amount 1.24, "
            "VAT on amounts.inspection 0.83)",
            "VAT on parts.SEAL.amount": (
                "1.24 = product(parts.SEAL.amount 15.00, Rate of VAT 0.0825), half up to cents"
            ),
            "VAT on amounts.inspection": (
                "0.83 = product(amounts.inspection 10.07, Rate of VAT 0.0825), half up to cents"
            ),
        },
        book,
    )
    assert_rules({AMOUNT: "rounded line by line", "VAT on parts.SEAL.amount": "rounded on each line"}, book)


@pytest.mark.parametrize(
    ("charges", "base"),
    [
        (["parts"], "15.00 = sum(parts.SEAL.amount 15.00)"),
        (["labour"], "100.00 = sum(labour at MAIN 100.00)"),
        (["labour", "parts"], "115.00 = sum(labour at MAIN 100.00, parts.SEAL.amount 15.00)"),
    ],
)
def test_a_tax_is_on_its_charges_only(charges: list[str], base: str) -> None:
    assert_said({BASE: base}, taxed(a_tax("VAT", "0.0825", charges)))


def test_rows_of_one_tax_have_their_own_lines_and_one_rounding() -> None:
    """4.9 % of 100.00 and 8.29 % of 15.00 are 4.9 and 1.2435: together 6.14, rounded at the end."""
    book = taxed(a_tax("VAT", "0.0829", ["parts"]), a_tax("VAT", "0.049", ["labour"]))
    assert_said(
        {
            BASE: "115.00 = sum(labour at MAIN 100.00, parts.SEAL.amount 15.00)",
            AMOUNT: "6.14 = sum(VAT on them 4.90, VAT on them 1.2435), half up to cents",
            "lines at 0.049": "100.00 = sum(labour at MAIN 100.00)",
            "lines at 0.0829": "15.00 = sum(parts.SEAL.amount 15.00)",
        },
        book,
    )


def test_a_row_for_a_charge_goes_before_the_row_for_all() -> None:
    """Parts at 2 % though a row says all; at nothing they are no part of what is taxed."""
    book = taxed(a_tax("VAT", "0.1", ["all"]), a_tax("VAT", "0.02", ["parts"]))
    assert_said(
        {
            "lines at 0.1": "100.00 = sum(labour at MAIN 100.00)",
            "lines at 0.02": "15.00 = sum(parts.SEAL.amount 15.00)",
        },
        book,
    )
    free = taxed(a_tax("VAT", "0.1", ["all"]), a_tax("VAT", "0", ["parts"]))
    assert_said({BASE: "100.00 = sum(labour at MAIN 100.00)"}, free)


def test_what_is_saved_is_not_taxed() -> None:
    book = taxed(a_tax("VAT", "0.1", ["labour"]), bundles=[a_bundle("SUM", ["NEW"], "labour amount off", "20")])
    assert_said(
        {
            BASE: "80.00 = sum(labour at MAIN 100.00, less saving of SUM -20.00)",
            "less saving of SUM": "-20.00 = less(saving of SUM 20.00)",
        },
        book,
    )


def test_without_a_tax_the_tree_says_which_of_two_reasons() -> None:
    """No rate in force, or a customer who pays none: the cell that says so is named in both."""
    book = taxed(a_tax("VAT", "0.1"))
    exempt = job_of(book, customer_class="Exempt")
    assert_said({"tax": "0.00 = sum()"}, book, exempt)
    assert_rules({"tax": "The customer is exempt"}, book, exempt)
    assert_rules({"tax": "No tax in force touches what is charged here"}, a_shop())
    assert_reads({"tax": "Customer class: Value"}, a_shop())


def upgraded() -> ShopBook:
    """A repair of 100.00 and an upgrade of 50.00 of labour; upgrade labour is taxed at 4 %, the rest at 10 %."""
    return taxed(
        a_tax("VAT", "0.1", ["labour"]),
        a_tax("VAT", "0.04", ["upgrade labour"]),
        operations=[an_operation("FIT", "0.5", access=["COVER"]), an_operation("BETTER", "0.5")],
        findings=[a_finding("WORN"), a_finding("WEAK")],
        remedies=[a_remedy("NEW", ["WORN"], ["FIT"]), a_remedy("UP", ["WEAK"], ["BETTER"], kind="upgrade")],
        bundles=[a_bundle("SUM", ["NEW", "UP"], "labour amount off", "30")],
    )


def test_upgrade_labour_is_taxed_apart_and_a_saving_in_proportion() -> None:
    """A third of the labour is upgrade: 50.00 of 150.00, and 10.00 of the 30.00 that are saved."""
    assert_said(
        {
            "labour at MAIN, upgrade labour": (
                "50.00 = share(upgrade labour 50.00, labour at MAIN 150.00, labour lines 150.00, "
                "of what rounding leaves 0.00)"
            ),
            "labour at MAIN, no upgrade": (
                "100.00 = difference(labour at MAIN 150.00, labour at MAIN, upgrade labour 50.00)"
            ),
            "less saving of SUM, upgrade labour": (
                "-10.00 = share(less saving of SUM -30.00, upgrade labour 50.00, labour lines 150.00, "
                "of what rounding leaves 0.00)"
            ),
            "lines at 0.04": (
                "40.00 = sum(labour at MAIN, upgrade labour 50.00, less saving of SUM, upgrade labour -10.00)"
            ),
            AMOUNT: "9.60 = sum(VAT on them 8.00, VAT on them 1.60), half up to cents",
        },
        upgraded(),
    )
    assert_rules(
        {
            "labour at MAIN, upgrade labour": "Upgrade labour over the labour lines, in proportion",
            "less saving of SUM, upgrade labour": "A saving on labour in the proportion of upgrade labour",
        },
        upgraded(),
    )


def test_lines_that_are_no_labour_are_not_split() -> None:
    """Ten percent on everything but upgrade labour: the part keeps its place among the pieces of labour."""
    book = replace(upgraded(), taxes=(a_tax("VAT", "0.1", ["all"]), a_tax("VAT", "0.04", ["upgrade labour"])))
    book = replace(
        book, operations={**book.operations, "FIT": an_operation("FIT", "0.5", access=["COVER"], parts="SEAL")}
    )
    assert_said(
        {
            "lines at 0.1": (
                "95.00 = sum(labour at MAIN, no upgrade 100.00, parts.SEAL.amount 15.00, "
                "less saving of SUM, no upgrade -20.00)"
            )
        },
        book,
    )


@pytest.mark.parametrize("rounding", ["invoice", "line"])
def test_a_tax_is_never_below_zero(rounding: str) -> None:
    """Tires are not taxed, what is saved on parts is, at a higher rate than the labour: 1.00 - 1.50 is no tax."""
    book = taxed(
        a_tax("VAT", "0.01", ["labour"]),
        a_tax("VAT", "0.1", ["parts"]),
        settings=settings(tax_rounding=rounding),
        parts=[a_part("SEAL", 10, taxed_as="tires")],
        bundles=[a_bundle("SUM", ["NEW"], "parts amount off", "15")],
    )
    found = figure(AMOUNT, book)
    assert said(found) == "0.00 = most(none 0.00, taxes.VAT.amount as worked out -0.50)"
    assert_said({BASE: "85.00 = sum(labour at MAIN 100.00, less saving of SUM -15.00)"}, book)
    assert found.inputs[0].rule == "A tax is never below zero (rules 5.9)."


def test_a_base_below_zero_is_no_tax_at_all() -> None:
    """Only what is saved would be taxed: the tax is not listed."""
    book = taxed(
        a_tax("VAT", "0.1", ["parts"]),
        parts=[a_part("SEAL", 10, taxed_as="tires")],
        bundles=[a_bundle("SUM", ["NEW"], "parts amount off", "5")],
    )
    assert_said({"taxes": "() = decided()", "tax": "0.00 = sum()"}, book)


def test_a_fee_may_have_a_row_of_its_own() -> None:
    """The fee's code goes before the word fees, and that before all: three rows, three lines."""
    book = taxed(
        a_tax("VAT", "0.1", ["all"]),
        a_tax("VAT", "0.05", ["fees"]),
        a_tax("VAT", "0.02", ["OIL"]),
        fees=[a_fee("OIL", "3", applies_to=["FIT"]), a_fee("HAUL", "40", applies_to=["FIT"])],
    )
    assert_said(
        {
            "lines at 0.02": "3.00 = sum(fee OIL 3.00)",
            "lines at 0.05": "40.00 = sum(fee HAUL 40.00)",
            "lines at 0.1": "115.00 = sum(labour at MAIN 100.00, parts.SEAL.amount 15.00)",
        },
        book,
    )
