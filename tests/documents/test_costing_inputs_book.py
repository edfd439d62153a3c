"""Inputs of the shop book that the options used: each row with its values as typed, and nothing that was not used."""

from __future__ import annotations

from collections.abc import Callable, Iterable
from dataclasses import replace
from datetime import date
from typing import Any

import pytest

from quotekit.documents.costing_input_line import InputLine
from quotekit.documents.costing_inputs_book import part_inputs, rule_inputs, work_inputs
from quotekit.model.quote import Quote
from quotekit.pricing import build_quote
from tests import build
from tests.pricing.explain.small import a_shop, job_of, typed


def a_quote(book: Any = None, **job: Any) -> Quote:
    book = book or a_shop()
    worn = job.pop("worn", None)
    made = job_of(book, **job)
    quote = build_quote(typed(book), typed(replace(made, findings=worn) if worn else made))
    assert not any(problem.severity == "error" for problem in quote.problems), quote.problems
    return quote


def told(lines: Iterable[InputLine], what: str) -> dict[str, str]:
    """Values of one thing by their columns."""
    return {line.column: line.value for line in lines if line.what == what}


def whats(lines: Iterable[InputLine]) -> list[str]:
    return list(dict.fromkeys(line.what for line in lines))


STEP = build.a_step("COVER", "0.2", "0.3", needs=["HOOD"], labour="MAIN", parts="GASKET")
FIT = build.an_operation(
    "FIT",
    "0.5",
    access=["COVER"],
    parts="SEAL x 2",
    second_side_hours="0.4",
    labour="MAIN",
    includes=["WIPE"],
    requires=["TEST"],
    slowed_by_rust=True,
    sublet_cost=40,
    sublet_days=4,
)
SEAL = build.a_part(
    "SEAL",
    10,
    5,
    list_price_each=4,
    fixed_price_each=3,
    also_needs="GREASE",
    lead_days=6,
    returnable=False,
    core_charge=2,
    extra_freight=1,
    cost_date=date(2026, 1, 2),
    taxed_as="supplies",
)
NORTH = build.a_supplier(minimum_order=50, small_order_fee=5, freight=7, free_freight_from=100)


def the_bench(**values: Any) -> Quote:
    named: dict[str, Any] = {
        "operations": [
            FIT,
            build.an_operation("WIPE", "0.1"),
            build.an_operation("DRIP", "0.1"),
            build.an_operation("TEST", "0.2"),
            build.an_operation("IDLE", 9),
        ],
        "access": [STEP, build.a_step("HOOD"), build.a_step("IDLE")],
        "parts": [SEAL, build.a_part("GREASE", 2), build.a_part("GASKET", 4, supplier="SHELF"), build.a_part("IDLE")],
        "suppliers": [NORTH, build.a_supplier("SHELF", shelf=True), build.a_supplier("IDLE")],
        "remedies": [
            build.a_remedy("NEW", ["WORN"], ["FIT"]),
            build.a_remedy("IDLE", ["OTHER"], ["IDLE"]),
        ],
        "findings": [build.a_finding("WORN", measure="gap", unit="mm", fails_when="above", limit=1)],
        "extras": [build.an_extra("OIL", ["DRIP"], life_years=2), build.an_extra("IDLE", ["IDLE"])],
        "conditions": [build.a_condition(at_most_hours=2), build.a_condition("CLEAN")],
        "parts_used": [build.a_part_used("FIT", "SEAL", 3), build.a_part_used("IDLE", "SEAL", 9)],
        "fits_only_if": [build.fits_only_if("NEW", "WORN", 1, 2), build.fits_only_if("IDLE", "OTHER", 1, 2)],
        "bundles": [
            build.a_bundle("ONE", ["NEW"], "percent off parts", "0.15"),
            build.a_bundle("IDLE", ["IDLE"], "labour amount off", 1),
        ],
        "fees": [
            build.a_fee("BIN", 3, unit="bag"),
            build.a_fee("ALL", 2, always=True),
            build.a_fee("FITTED", 1, applies_to=["FIT"]),
            build.a_fee("IDLE", 9),
        ],
        "taxes": [build.a_tax("VAT", "0.055", ["all"]), build.a_tax("IDLE", "0.5", ["IDLE"])],
    }
    book = a_shop(**(named | values))
    extras = [build.a_job_extra("OIL", asked=True)]
    worn = (build.found(book, "WORN", measured="1.5"),)
    return a_quote(book, condition="RUSTY", fees="BIN x 2", extras=extras, worn=worn)


Made = Callable[[Quote], Iterable[InputLine]]


@pytest.mark.parametrize(
    ("of", "what", "cells"),
    [
        (
            work_inputs,
            "Cover (COVER)",
            {"Hours to open": "0.2", "Hours to close": "0.3", "Needs": "HOOD", "Labour": "MAIN", "Parts": "GASKET x 1"},
        ),
        (
            work_inputs,
            "Fit (FIT)",
            {
                "Net hours": "0.5",
                "Second side hours": "0.4",
                "Labour": "MAIN",
                "Parts": "SEAL x 2",
                "Access": "COVER",
                "Includes": "WIPE",
                "Requires": "TEST",
                "Slowed by rust": "Yes",
                "Sublet cost": "40",
                "Sublet days": "4",
            },
        ),
        (work_inputs, "Test (TEST)", {"Net hours": "0.2"}),
        (work_inputs, "Oil (OIL)", {"Operations": "DRIP", "Life years": "2"}),
        (
            part_inputs,
            "Seal (SEAL)",
            {
                "Pack quantity": "5",
                "Pack cost": "10",
                "List price each": "4",
                "Fixed price each": "3",
                "Supplier": "NORTH",
                "Also needs": "GREASE x 1",
                "Lead days": "6",
                "Returnable": "No",
                "Core charge": "2",
                "Extra freight": "1",
                "Cost date": "2026-01-02",
                "Taxed as": "supplies",
            },
        ),
        (part_inputs, "Grease (GREASE)", {"Pack quantity": "1", "Pack cost": "2", "Supplier": "NORTH"}),
        (part_inputs, "SEAL used by FIT", {"Quantity": "3"}),
        (
            part_inputs,
            "North (NORTH)",
            {
                "Minimum order": "50",
                "Small order fee": "5",
                "Freight": "7",
                "Free freight from": "100",
                "Lead days": "3",
            },
        ),
        (part_inputs, "Shelf (SHELF)", {"Lead days": "3", "Shelf": "Yes"}),
        (rule_inputs, "Labour rate MAIN", {"Rate per hour": "100", "Cost per hour": "40"}),
        (rule_inputs, "Condition RUSTY", {"Allowance": "25 %", "At most hours": "2"}),
        (rule_inputs, "Markup band", {"Cost over": "0", "Markup": "50 %"}),
        (rule_inputs, "NEW fits only if WORN", {"From": "1", "To": "2"}),
        (rule_inputs, "One (ONE)", {"Members": "NEW", "Saving": "percent off parts", "Value": "15 %"}),
        (rule_inputs, "Bin (BIN)", {"Amount": "3", "Unit": "bag"}),
        (rule_inputs, "All (ALL)", {"Amount": "2", "Applies to": "always"}),
        (rule_inputs, "Fitted (FITTED)", {"Amount": "1", "Applies to": "FIT"}),
        (rule_inputs, "Tax VAT", {"Rate": "5.5 %", "Charge": "all"}),
        (rule_inputs, "Tier good", {"Covers": "needed; safety", "Aim": "lowest price"}),
    ],
)
def test_a_row_with_what_was_typed_in_it(of: Made, what: str, cells: dict[str, str]) -> None:
    """A blank cell has no line; a fraction that people call percent is one; a list says how many."""
    found = told(of(the_bench()), what)
    assert {column: found.get(column) for column in cells} == cells
    assert {column for column in found if column not in cells} <= {"Charge", "Kind", "Fixes", "Operations", "Machine"}


@pytest.mark.parametrize("of", [work_inputs, part_inputs, rule_inputs])
def test_what_no_option_used_is_not_there(of: Made) -> None:
    """The book holds a thousand rows; the costing those of this job."""
    assert [what for what in whats(of(the_bench())) if "IDLE" in what] == []


def test_a_remedy_with_what_it_needs() -> None:
    quote = a_quote(a_shop(remedies=[build.a_remedy("NEW", ["WORN"], ["FIT"], parts="SEAL x 2", life_years="2.5")]))
    assert told(work_inputs(quote), "New (NEW)") == {
        "Kind": "replace",
        "Fixes": "WORN",
        "Operations": "FIT",
        "Parts": "SEAL x 2",
        "Life years": "2.5",
    }


def test_things_stand_in_the_order_of_their_codes_steps_before_operations() -> None:
    book = a_shop(
        operations=[build.an_operation("Z", "0.5", access=["COVER", "BELT"], parts="SEAL"), build.an_operation("A")],
        access=[build.a_step("COVER"), build.a_step("BELT")],
        remedies=[build.a_remedy("NEW", ["WORN"], ["Z", "A"])],
    )
    assert whats(work_inputs(a_quote(book))) == ["Belt (BELT)", "Cover (COVER)", "A (A)", "Z (Z)", "New (NEW)"]


def test_each_value_names_its_cell() -> None:
    quote = the_bench()
    cells = {(line.what, line.column): line.cell for line in (*work_inputs(quote), *part_inputs(quote))}
    assert cells["Fit (FIT)", "Net hours"] == "FIT!Net hours 1"
    assert cells["Seal (SEAL)", "Pack cost"] == "SEAL!Pack cost 1"
    assert all(line.place is not None and line.place.cell for line in rule_inputs(quote))


def test_a_part_of_the_job_stands_for_the_books() -> None:
    """Its own row on the job, at another cost."""
    quote = a_quote(a_shop(), parts=[build.a_part("SEAL", 8)])
    assert told(part_inputs(quote), "Seal (SEAL)")["Pack cost"] == "8"


def test_an_amount_that_a_bundle_takes_off_is_no_percent() -> None:
    quote = a_quote(a_shop(bundles=[build.a_bundle("ONE", ["NEW"], "labour amount off", 5)]))
    assert told(rule_inputs(quote), "One (ONE)")["Value"] == "5"


def test_of_a_labour_rate_the_row_in_force_stands() -> None:
    rates = [
        build.a_rate(),
        build.a_rate("MAIN", 120, in_force_from=date(2026, 2, 1)),
        build.a_rate("MAIN", 130, in_force_from=date(2026, 4, 1)),
    ]
    found = told(rule_inputs(a_quote(a_shop(labour_rates=rates))), "Labour rate MAIN")
    assert found == {"Rate per hour": "120", "Cost per hour": "40", "In force from": "2026-02-01"}


def test_cells_that_few_rows_fill() -> None:
    """A kit with what it holds, a markup with its upper end, a part used on one side, a tax between two dates."""
    book = a_shop(
        operations=[build.an_operation("FIT", "0.5", parts="SEAL")],
        access=[],
        parts=[build.a_part("SEAL", 10, contains="RING x 2"), build.a_part("RING", 1)],
        markup=[build.a_band(0, 5, "0.9"), build.a_band(5)],
        parts_used=[build.a_part_used("FIT", "SEAL", 1, sides=["left"])],
        taxes=[
            build.a_tax(
                "VAT",
                customer_class="household",
                machines=["THROWER"],
                in_force_from=date(2026, 1, 1),
                in_force_to=date(2026, 12, 31),
            )
        ],
    )
    quote = a_quote(book)
    assert told(part_inputs(quote), "Seal (SEAL)")["Contains"] == "RING x 2"
    assert told(part_inputs(quote), "SEAL used by FIT") == {"Quantity": "1", "Side": "left"}
    bands = [(line.column, line.value) for line in rule_inputs(quote) if line.what == "Markup band"]
    assert ("Cost up to", "5") in bands and ("Cost over", "5") in bands and ("Markup", "90 %") in bands
    assert told(rule_inputs(quote), "Tax VAT") == {
        "Rate": "10 %",
        "Charge": "all",
        "Machine": "THROWER",
        "Customer class": "household",
        "In force from": "2026-01-01",
        "In force to": "2026-12-31",
    }
