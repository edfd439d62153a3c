"""Repair or replace as trees (values: rules 4): both costs over the same years, the repair limit, what is missing."""

from __future__ import annotations

from decimal import Decimal
from typing import Any

import pytest

from tests.build import a_tax, settings
from tests.pricing.explain.small import a_shop, assert_reads, assert_rules, assert_said, figure, job_of

VALUES: dict[str, Any] = {
    "new_price": "1500",
    "used_value_working": "900",
    "value_as_it_stands": "250",
    "upkeep_after_repair": "60",
    "upkeep_new": "20",
    "years_it_could_last": "6",
}
TYPED = (
    "New price: Value; Upkeep a year after repair: Value; Upkeep a year new: Value; Used value working: Value; "
    "Value a new one loses: Value; Value as it stands: Value; Years it could last: Value; Years to compare: Value"
)


def test_both_ways_over_the_same_years() -> None:
    """Five of six years: 900 loses 750. Kept: 115 + 300 - 150. New: 1500 + 100 - 250 - the middle of 150 and 750."""
    book = a_shop()
    assert_said(
        {
            "repair_or_replace.horizon": "5 = same(over_years.horizon 5)",
            "repair_or_replace.keep": "265.00 = difference(repair and upkeep 415.00, used value then 150.00)",
            "repair and upkeep": "415.00 = sum(repair total 115.00, Upkeep a year after repair, over the years 300.00)",
            "used value then": "150.00 = difference(Used value working, in money 900.00, loss 750.00)",
            "loss": "750.00 = product(Used value working, in money 900.00, part of its years 5/6), half up to cents",
            "part of its years": "5/6 = quotient(repair_or_replace.horizon 5, Years it could last 6)",
            "repair_or_replace.replace": (
                "900.00 = difference(new price and upkeep 1600.00, Value as it stands, in money 250.00, "
                "new one's value then 450.00)"
            ),
            "new price and upkeep": (
                "1600.00 = sum(New price, in money 1500.00, Upkeep a year new, over the years 100.00)"
            ),
            "new one's value then": "450.00 = quotient(least and most 900.00, two 2), half up to cents",
            "the most a new one is then worth": "750.00 = difference(New price, in money 1500.00, loss 750.00)",
            "least and most": "900.00 = sum(used value then 150.00, the most a new one is then worth 750.00)",
            "repair_or_replace.difference": (
                "635.00 = difference(repair_or_replace.replace 900.00, repair_or_replace.keep 265.00)"
            ),
        },
        book,
        job_of(book, **VALUES),
    )


def test_what_a_new_one_is_said_to_lose() -> None:
    """A third of 1500 is left after five years: 500 in place of the middle, 450. Replacing costs 850."""
    book = a_shop()
    job = job_of(book, **VALUES, value_a_new_one_loses=Decimal("0.66667"))
    assert_said(
        {
            "new one's value then": "499.99 = difference(New price, in money 1500.00, loss of a new one 1000.01)",
            "loss of a new one": (
                "1000.01 = product(New price, in money 1500.00, Value a new one loses 0.66667), half up to cents"
            ),
            "repair_or_replace.replace": (
                "850.01 = difference(new price and upkeep 1600.00, Value as it stands, in money 250.00, "
                "new one's value then 499.99)"
            ),
            "used value then": "150.00 = difference(Used value working, in money 900.00, loss 750.00)",
        },
        book,
        job,
    )
    assert_reads({"Value a new one loses": "Value a new one loses: Value", "loss of a new one": ""}, book, job)


def test_the_repair_limit_is_the_total_at_which_both_cost_the_same() -> None:
    """Replacing costs 900, keeping without the repair 150: a repair of 750 would make them equal."""
    book = a_shop()
    assert_said(
        {
            "repair_or_replace.limit": (
                "750.00 = difference(repair_or_replace.replace 900.00, kept, without the repair 150.00)"
            ),
            "kept, without the repair": (
                "150.00 = difference(Upkeep a year after repair, over the years 300.00, used value then 150.00)"
            ),
        },
        book,
        job_of(book, **VALUES),
    )


def test_upkeep_is_so_much_for_each_year_counted() -> None:
    """70 a year for five years: keeping without the repair is 350 less the 150 the machine is then worth."""
    book = a_shop()
    assert_said(
        {
            "Upkeep a year after repair, over the years": (
                "350.00 = product(Upkeep a year after repair 70, repair_or_replace.horizon 5), half up to cents"
            ),
            "kept, without the repair": (
                "200.00 = difference(Upkeep a year after repair, over the years 350.00, used value then 150.00)"
            ),
        },
        book,
        job_of(book, **(VALUES | {"upkeep_after_repair": "70"})),
    )


def test_the_inspection_is_paid_either_way_and_counts_in_neither() -> None:
    """Work of 115.00 with 10 % tax; the fee of 80.00 and its tax are left out of the repair."""
    book = a_shop(settings=settings(inspection_fee="80"), taxes=[a_tax("VAT", "0.1")])
    assert_said({"repair total": "126.50 = sum(work 115.00, taxes.VAT.amount 11.50)"}, book, job_of(book, **VALUES))
    assert_said({"total": "214.50 = sum(subtotal 195.00, tax 19.50)"}, book, job_of(book, **VALUES))


@pytest.mark.parametrize(
    ("changed", "word"),
    [
        ({}, "repair"),
        ({"new_price": "1000", "value_as_it_stands": "880"}, "replace"),
        ({"value_as_it_stands": "885", "used_value_working": "900"}, "close call"),
    ],
)
def test_the_word_names_every_value_it_hangs_on(changed: dict[str, str], word: str) -> None:
    book = a_shop()
    job = job_of(book, **(VALUES | changed))
    assert figure("repair_or_replace.word", book, job).value == word
    assert_reads({"repair_or_replace.word": TYPED, "repair_or_replace.missing": TYPED}, book, job)


def test_what_is_blank_is_listed_and_nothing_is_guessed() -> None:
    book = a_shop()
    job = job_of(book, new_price="1500", upkeep_new="20", years_it_could_last="6")
    blank = "('Used value working', 'Value as it stands', 'Upkeep a year after repair') = decided()"
    nothing = {f"repair_or_replace.{name}": "None = decided()" for name in ("keep", "replace", "limit", "word")}
    assert_said({"repair_or_replace.missing": blank} | nothing, book, job)
    assert_rules(
        {
            "repair_or_replace.keep": "Not worked out: a value it needs is blank",
            "repair_or_replace.word": "No word: a value it needs is blank.",
            "repair_or_replace.missing.Value as it stands": "Blank on the job.",
        },
        book,
        job,
    )


def test_a_contradiction_is_told_in_place_of_every_figure() -> None:
    """A machine that is worth more broken than mended: one of the two was typed wrongly."""
    book = a_shop()
    job = job_of(book, **(VALUES | {"value_as_it_stands": "950"}))
    node = figure("repair_or_replace.word", book, job)
    assert node.value is None and node.rule.startswith("No word: ") and "blank" not in node.rule
    assert "blank" not in figure("repair_or_replace.keep", book, job).rule


def test_a_job_without_any_value_compares_nothing() -> None:
    assert_said({"repair_or_replace": "None = decided()"}, a_shop())
    assert_rules({"repair_or_replace": "The job gives no value of the machine"}, a_shop())
    assert_reads({"repair_or_replace": TYPED}, a_shop())
