"""The money of hours as trees: labour lines, the minimum line, supplies (rules 5.5 items 1 and 5)."""

from __future__ import annotations

from dataclasses import replace
from datetime import date

import pytest

from tests.build import a_rate, settings
from tests.pricing.explain.small import a_shop, assert_reads, assert_rules, assert_said
from tests.pricing.explain.test_hours import rusty

PERCENT = "The shop's percent of the labour lines, before savings (rules 5.5 item 5)."
CAPPED = "The shop's percent of the labour lines, before savings, at most the cap (rules 5.5 item 5)."


def test_labour_is_billed_hours_at_each_rate_rounded_once_a_rate() -> None:
    """1.3 h at 100 and 1.0 h at 140; the minimum line is left out where nothing is missing."""
    assert_said(
        {
            "amounts.labour": "270.00 = sum(labour at MAIN 130.00, labour at WELD 140.00)",
            "labour at WELD": ("140.00 = product(hours.billed.WELD 1, Rate per hour of WELD 140), half up to cents"),
        },
        rusty(),
    )


def test_the_minimum_line_is_at_the_default_rate() -> None:
    """Two hours and a half are wanted, 2.3 h are billed at two rates: 0.2 h more at the first of them."""
    book = rusty()
    minimum = settings(minimum_labour_hours="2.5")
    assert_said(
        {
            "amounts.labour": "290.00 = sum(labour at MAIN 130.00, labour at WELD 140.00, minimum labour 20.00)",
            "minimum labour": ("20.00 = product(hours.minimum_added 0.2, Rate per hour of MAIN 100), half up to cents"),
        },
        replace(book, settings=minimum),
    )


def test_the_rate_is_that_of_the_row_in_force() -> None:
    """On the very day a new rate begins it is the new one, and the tree says from when."""
    rates = [a_rate("MAIN", 90, in_force_from=date(2025, 1, 1)), a_rate("MAIN", 96, in_force_from=date(2026, 3, 2))]
    book = a_shop(labour_rates=rates)
    assert_said(
        {"labour at MAIN": "96.00 = product(hours.billed.MAIN 1, Rate per hour of MAIN 96), half up to cents"}, book
    )
    assert_rules({"Rate per hour of MAIN": "The rate of MAIN, in force from 2026-03-02 (rules 3"}, book)
    assert_reads({"Rate per hour of MAIN": "MAIN: In force from; MAIN: Rate per hour"}, book)
    assert_rules({"Rate per hour of MAIN": "The rate of MAIN (rules 3"}, a_shop())


@pytest.mark.parametrize(
    ("given", "line", "rule"),
    [
        pytest.param(
            {"supplies_percent_of_labour": "0.05555"},
            "5.56 = product(Supplies percent of labour 0.05555, amounts.labour 100.00), half up to cents",
            PERCENT,
            id="percent",
        ),
        pytest.param(
            {"supplies_percent_of_labour": "0.055", "supplies_cap": "5"},
            "5.00 = least(percent of labour 5.50, cap 5.00)",
            CAPPED,
            id="at the cap",
        ),
        pytest.param(
            {"supplies_percent_of_labour": "0.055", "supplies_cap": "6.005"},
            "5.50 = least(percent of labour 5.50, cap 6.01)",
            CAPPED,
            id="below the cap",
        ),
        pytest.param(
            {"supplies_percent_of_labour": "0.05", "supplies_shown_as": "off"},
            "0.00 = decided()",
            "shown as off",
            id="off",
        ),
    ],
)
def test_supplies_are_a_percent_of_labour_with_a_cap(given: dict[str, str], line: str, rule: str) -> None:
    book = a_shop(settings=settings(**given))
    assert_said({"amounts.supplies": line}, book)
    assert_rules({"amounts.supplies": rule}, book)


def test_the_cap_and_the_word_off_are_read_from_their_cells() -> None:
    capped = a_shop(settings=settings(supplies_percent_of_labour="0.055", supplies_cap="5"))
    assert_said(
        {
            "percent of labour": (
                "5.50 = product(Supplies percent of labour 0.055, amounts.labour 100.00), half up to cents"
            ),
            "cap": "5.00 = same(Supplies cap 5), half up to cents",
        },
        capped,
    )
    assert_reads({"Supplies cap": "Supplies cap: Value"}, capped)
    off = a_shop(settings=settings(supplies_shown_as="off"))
    assert_reads({"amounts.supplies": "Supplies shown as: Value"}, off)
