"""REMEDY_PRICE: the docstring's example, what is in it and what is not, and what has no price."""

from __future__ import annotations

from datetime import date
from decimal import Decimal
from typing import Any

import pytest

from quotekit.model.shop_book import ShopBook
from quotekit.pricing.functions.asked import Given
from tests import build
from tests.pricing.functions.ask import figure


def a_book(**values: Any) -> ShopBook:
    """The docstring's shop: a cover, a bushing each side, a seal done once, a minimum of one hour."""
    named: dict[str, Any] = {
        "settings": build.settings(minimum_labour_hours=1),
        "labour_rates": [build.a_rate("MAIN", 90)],
        "access": [build.a_step("COVER", "0.2", "0.2")],
        "operations": [
            build.an_operation(
                "FIT", "0.6", second_side_hours="0.45", each_side=True, access=["COVER"], parts="BUSHING"
            ),
            build.an_operation("SEAL-UP", "1.2", access=["COVER"]),
            build.an_operation("TEST", "0.2"),
            build.an_operation("WELD-UP", "1", labour="WELD"),
        ],
        "parts": [build.a_part("BUSHING", "6.25")],
        "markup": [build.a_band(0, None, "0.8")],
        "findings": [build.a_finding("WORN")],
        "remedies": [
            build.a_remedy("BUSH", ["WORN"], ["FIT"]),
            build.a_remedy("SEAL", ["WORN"], ["SEAL-UP"], kind="upgrade"),
            build.a_remedy("WELD", ["WORN"], ["WELD-UP"]),
        ],
        "taxes": [build.a_tax("STATE", "0.06", ["parts"])],
    }
    return build.a_book(**(named | values))


@pytest.mark.parametrize(
    ("arguments", "expected"),
    [
        (("BUSH", "left"), "101.25"),
        (("bush@Left",), "101.25"),
        (("BUSH", "left", None, "Yes"), "101.93"),
        (("BUSH", "left", None, True), "101.93"),
        (("BUSH", "left", None, Decimal(1)), "101.93"),
        (("BUSH", "left", None, "No"), "101.25"),
        (("BUSH", "both"), "157.50"),
        (("BUSH", "left; right", "Thrower"), "157.50"),
        (("SEAL",), "144.00"),
    ],
)
def test_price(arguments: tuple[Given, ...], expected: str) -> None:
    """One side inside the minimum; both sides share the cover."""
    assert figure(a_book(), "REMEDY_PRICE", *arguments) == expected


def test_what_is_in_it() -> None:
    """Always work, supplies, fees of its operations and freight are in; bundles and the inspection fee are not."""
    book = a_book(
        settings=build.settings(
            inspection_fee=45,
            supplies_percent_of_labour="0.05",
            freight_to_customer="this job alone",
        ),
        machines=[build.a_machine(always=["TEST"])],
        suppliers=[build.a_supplier(freight=9)],
        fees=[build.a_fee("OIL", 3, applies_to=["FIT"]), build.a_fee("OTHER", 100)],
        bundles=[build.a_bundle("B", ["BUSH"], "labour amount off", 50)],
    )
    # 0.4 + 0.6 + 0.2 = 1.2 h: 108.00, supplies 5.40, bushing 11.25, fee 3.00, freight 9.00
    assert figure(book, "REMEDY_PRICE", "BUSH", "left") == "136.65"


def test_upgrade_labour_has_its_own_tax() -> None:
    rows = [build.a_tax("STATE", "0.06", ["parts"]), build.a_tax("UP", "0.1", ["upgrade labour"])]
    assert figure(a_book(taxes=rows), "REMEDY_PRICE", "SEAL", None, None, "Yes") == "158.40"
    assert figure(a_book(taxes=rows), "REMEDY_PRICE", "BUSH", "left", None, "Yes") == "101.93"


def test_the_rate_of_the_day() -> None:
    """A new season's rate counts from its date; without a row for the day there is no price."""
    rates = [build.a_rate("MAIN", 90), build.a_rate("MAIN", 100, in_force_from=date(2027, 1, 1))]
    book = a_book(labour_rates=[*rates, build.a_rate("WELD", 120, in_force_from=date(2027, 1, 1))])
    assert figure(book, "REMEDY_PRICE", "SEAL") == "144.00"
    assert figure(book, "REMEDY_PRICE", "SEAL", None, None, None, date(2027, 1, 1)) == "160.00"
    assert figure(book, "REMEDY_PRICE", "SEAL", day=date(2027, 5, 1)) == "160.00"
    assert figure(book, "REMEDY_PRICE", "WELD") == (
        "The labour rate WELD is not in force on 2026-03-02. Add a row to Labour rates for that day."
    )


@pytest.mark.parametrize(
    ("arguments", "expected"),
    [
        ((None,), "The remedy is blank. Give a code of Remedies."),
        (("BUSHES", "left"), "BUSHES is not a code of Remedies. Did you mean BUSH?"),
        (("BUSH",), "BUSH is done each side, and no side is given. Give the side, for example left."),
        (("SEAL", "left"), "SEAL is done once, not each side. Leave the side out."),
        (("BUSH", "front"), "front is not a side of this machine: it has left; right. Use a position, or all."),
        (("SEAL", None, "Thrwer"), "Thrwer is not a machine class of the shop book. Did you mean Thrower?"),
        (("SEAL", None, None, "maybe"), "maybe is neither Yes nor No. Type Yes or No for with tax."),
        (("SEAL", None, None, None, "soon"), "soon is not a date that can be read one way only. "
         "Use a cell formatted as a date, or a text like 2026-03-31."),
    ],
)  # fmt: skip
def test_no_price(arguments: tuple[Given, ...], expected: str) -> None:
    assert figure(a_book(), "REMEDY_PRICE", *arguments) == expected


def test_several_classes_are_not_guessed() -> None:
    book = a_book(machines=[build.a_machine(), build.a_machine("TRAILER", always=["TEST"])])
    assert figure(book, "REMEDY_PRICE", "SEAL") == (
        "The machine class matters here and is left out. Name one: THROWER; TRAILER."
    )
    assert figure(book, "REMEDY_PRICE", "SEAL", None, "TRAILER") == "162.00"
