"""Inputs of the job and the shop's settings: what was typed with its cell, and what holds where nothing was."""

from __future__ import annotations

from collections.abc import Iterable
from dataclasses import fields, replace
from typing import Any

import pytest

from quotekit.documents.costing_input_line import InputLine
from quotekit.documents.costing_inputs_job import job_inputs, setting_inputs
from quotekit.model.cell_names import header_of
from quotekit.model.quote import Quote
from quotekit.model.shop_book import Settings
from quotekit.model.source import Source
from quotekit.pricing import build_quote
from tests import build
from tests.pricing.explain.small import a_shop, job_of, typed


def a_quote(book: Any = None, **job: Any) -> Quote:
    book = book or a_shop()
    return build_quote(typed(book), typed(job_of(book, **job)))


def told(lines: Iterable[InputLine], what: str) -> dict[str, str]:
    return {line.column: line.value for line in lines if line.what == what}


@pytest.mark.parametrize(
    ("field", "value", "name", "words"),
    [
        ("discount_percent", "0.125", "Discount percent", "12.5 %"),
        ("spending_limit", 400, "Spending limit", "400"),
        ("paid_so_far", "20.50", "Paid so far", "20.5"),
        ("reassembly_hours", "0.50", "Reassembly hours if declined", "0.5"),
        ("own_parts", ["SEAL"], "Customer's own parts", "SEAL"),
        ("old_parts", "keep", "Old parts", "keep"),
        ("customer_class", "farm", "Customer class", "farm"),
        ("inspection_fee", 30, "Inspection fee", "30"),
        ("years_it_could_last", "7.0", "Years it could last", "7"),
        ("discount_reason", "a friend", "Discount reason", "a friend"),
        ("labour_rate", "MAIN", "Labour rate", "MAIN"),
    ],
)
def test_a_field_of_the_job(field: str, value: Any, name: str, words: str) -> None:
    quote = a_quote(**{field: value})
    line = next(line for line in job_inputs(quote) if line.column == name)
    assert (line.what, line.value) == ("Job", words)
    assert told(job_inputs(a_quote()), "Job").get(name) != words, "without it something else holds"


def test_the_date_and_the_machine_are_always_there() -> None:
    found = told(job_inputs(a_quote()), "Job")
    assert (found["Quote date"], found["Machine class"]) == ("2026-03-02", "THROWER")


def test_what_was_not_typed_on_the_job_is_not_there() -> None:
    """A job made by a program has values and no cells."""
    quote = a_quote(spending_limit=400)
    job = replace(quote.job, sources={})
    assert told(job_inputs(replace(quote, job=job)), "Job") == {}


def test_a_finding_with_what_was_measured_and_its_limit() -> None:
    book = a_shop(
        findings=[build.a_finding("WORN", measure="gap", unit="mm", fails_when="above", limit="1.2", as_new="0.3")]
    )
    finding = replace(build.found(book, "WORN", "left", 2), note="both ends")
    quote = build_quote(typed(book), typed(build.a_job(finding)))
    assert told(job_inputs(quote), "Worn (WORN@left)") == {
        "Finding": "WORN",
        "Side": "left",
        "Measured": "2 mm",
        "Note": "both ends",
        "Severity": "needed",
        "Limit": "1.2",
        "As new": "0.3",
    }


def places(quote: Quote) -> dict[str, str]:
    return {line.column: line.place.sheet if line.place else "" for line in job_inputs(quote) if "WORN" in line.what}


def test_a_severity_and_a_limit_point_to_the_workbook_that_says_them() -> None:
    """Those of the book where the job says nothing else; its own where it does."""
    book = typed(a_shop(findings=[build.a_finding("WORN", limit="1.2", as_new="0.3")]))
    job = typed(build.a_job(build.found(book, "WORN")))
    found = replace(job.findings[0], source=Source(file="job", sheet="Found", row=3, columns={"Severity": "C"}))
    quote = replace(build_quote(book, job), job=replace(job, findings=(found,)))
    assert {name: places(quote)[name] for name in ("Severity", "Limit", "As new")} == {
        "Severity": "WORN",
        "Limit": "WORN",
        "As new": "WORN",
    }
    own = replace(found, severity="safety", limit=build.a_finding("X", limit=2).limit)
    changed = places(replace(quote, job=replace(job, findings=(own,))))
    assert (changed["Severity"], changed["Limit"], changed["As new"]) == ("Found", "Found", "WORN")


def test_a_finding_that_is_no_fault_has_no_severity() -> None:
    quote = a_quote()
    sound = replace(quote.job.findings[0], fault=False)
    lines = list(job_inputs(replace(quote, job=replace(quote.job, findings=(sound,)))))
    assert "Severity" not in told(lines, "Worn (WORN)")


def test_extras_lines_and_the_plan() -> None:
    book = a_shop(extras=[build.an_extra("OIL", ["FIT"])])
    line = build.a_one_off(1, "part", 2, unit_cost=5, unit_price=8, supplier="NORTH", lead_days=4, fixes=["WORN"])
    quote = a_quote(
        book,
        extras=[build.a_job_extra("OIL", asked=True)],
        one_off=[line],
        plan=(build.a_plan_item("good", "NEW", "left"),),
    )
    lines = list(job_inputs(quote))
    assert told(lines, "Extra OIL") == {"Extra": "OIL", "Customer asked": "Yes"}
    assert told(lines, "Line 1 (ONEOFF-1)") == {
        "Kind": "part",
        "Quantity": "2",
        "Unit cost": "5",
        "Unit price": "8",
        "Supplier": "NORTH",
        "Lead days": "4",
        "Fixes": "WORN",
    }
    assert told(lines, "Plan for good") == {"Tier": "good", "Item": "NEW", "Side": "left"}


@pytest.mark.parametrize(
    ("name", "words"),
    [
        ("Currency", "USD"),
        ("Minimum labour hours", "1.5"),
        ("Supplies percent of labour", "4 %"),
        ("Supplies cap", "none"),
        ("Sublet markup", "20 %"),
        ("Deposit on ordered parts", "50 %"),
        ("Interest a year", "4.5 %"),
        ("Inspection fee", "30"),
        ("Inspection fee credited", "never"),
        ("Queue days", "2"),
    ],
)
def test_a_setting_in_words(name: str, words: str) -> None:
    """A cap that is not set is `none`; a share is a percentage."""
    settings = build.settings(
        minimum_labour_hours="1.50",
        supplies_percent_of_labour="0.04",
        sublet_markup="0.2",
        deposit_on_ordered_parts="0.5",
        interest_a_year="0.045",
        inspection_fee=30,
        queue_days=2,
    )
    assert told(setting_inputs(a_quote(a_shop(settings=settings))), "Shop")[name] == words


def test_a_setting_that_was_not_typed_is_marked_as_the_default() -> None:
    quote = build_quote(book := a_shop(), job_of(book))
    lines = list(setting_inputs(quote))
    assert {(line.cell, line.place) for line in lines} == {("default", None)}
    source = Source(file="book", sheet="Shop", row=4, columns={"Value": "B"})
    settings = replace(quote.book.settings, sources={"Currency": source})
    lines = list(setting_inputs(replace(quote, book=replace(quote.book, settings=settings))))
    assert [(line.column, line.cell) for line in lines if line.cell != "default"] == [("Currency", "Shop!B4")]


def test_every_setting_that_the_engine_reads_is_named_by_its_name_on_the_sheet() -> None:
    """As a book spells them; the shop's address and the like move no amount and are left out."""
    known = {header_of(Settings, each.name) for each in fields(Settings)}
    named = [line.column for line in setting_inputs(a_quote())]
    assert set(named) <= known and len(named) == len(set(named)) == 19
    assert "Shop name" not in named and {"Quote valid days", "Price age limit days", "Tax rounding"} <= set(named)


def test_an_extra_on_one_side_says_which() -> None:
    book = a_shop(extras=[build.an_extra("OIL", ["FIT"])])
    quote = a_quote(book, extras=[build.a_job_extra("OIL", "left")])
    assert told(job_inputs(quote), "Extra OIL") == {"Extra": "OIL", "Side": "left", "Customer asked": "No"}
