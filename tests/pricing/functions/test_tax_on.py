"""TAX_ON: which rows count for an amount, on what day and for whom, and both roundings."""

from __future__ import annotations

from datetime import date
from decimal import Decimal

import pytest

from quotekit.pricing.functions.asked import Given
from tests import build
from tests.pricing.functions.ask import figure

TAXES = [
    build.a_tax("STATE", "0.06", ["parts", "upgrade labour"], in_force_to=date(2026, 12, 31)),
    build.a_tax("STATE", "0.07", ["parts"], in_force_from=date(2027, 1, 1)),
    build.a_tax("COUNTY", "0.015", ["all"]),
    build.a_tax("COUNTY", "0", ["tires"]),
    build.a_tax("FARMS", "0.01", ["parts"], customer_class="farm"),
]
BOOK = build.a_book(taxes=TAXES, fees=[build.a_fee("PICKUP", 3)], parts=[build.a_part("T", 5, taxed_as="tires")])
AMOUNT = Decimal("80.20")


@pytest.mark.parametrize(
    ("charge", "expected"),
    [
        ("parts", "6.01"),
        ("Parts", "6.01"),
        ("labour", "1.20"),
        ("Labor", "1.20"),
        ("upgrade labor", "6.01"),
        ("tires", "0.00"),
        ("PICKUP", "1.20"),
        ("fees", "1.20"),
    ],
)
def test_charges(charge: str, expected: str) -> None:
    """A row for the charge wins over `all`, one at rate zero too; labour of an upgrade has its own row."""
    assert figure(BOOK, "TAX_ON", AMOUNT, charge) == expected


@pytest.mark.parametrize(
    ("day", "expected"),
    [
        (None, "6.01"),
        (date(2026, 12, 31), "6.01"),
        (date(2027, 1, 1), "6.81"),
        ("2027-01-01", "6.81"),
        (((date(2027, 1, 1),),), "6.81"),
    ],
)
def test_days(day: Given, expected: str) -> None:
    """The row in force on the day; blank is today."""
    assert figure(BOOK, "TAX_ON", AMOUNT, "parts", day) == expected


@pytest.mark.parametrize(
    ("customer", "expected"),
    [(None, "6.01"), ("household", "6.01"), ("Farm", "6.81"), ("exempt", "0.00"), ("school", "6.01")],
)
def test_customers(customer: str | None, expected: str) -> None:
    assert figure(BOOK, "TAX_ON", AMOUNT, "parts", None, None, customer) == expected


def test_roundings_and_minor_unit() -> None:
    """One line: both roundings give the same; the amount is rounded first, as a charge of a quote is."""
    for rounding in ("invoice", "line"):
        book = build.a_book(settings=build.settings(tax_rounding=rounding), taxes=[build.a_tax(rate="0.5")])
        assert figure(book, "TAX_ON", Decimal("1.005"), "parts") == "0.51"
        assert figure(book, "TAX_ON", Decimal("1.01"), "parts") == "0.51"


def test_a_class_is_asked_for_where_rows_name_one() -> None:
    rows = [build.a_tax("ROAD", "0.1", ["all"], machines=["TRAILER"])]
    machines = [build.a_machine(), build.a_machine("TRAILER")]
    book = build.a_book(taxes=rows, machines=machines)
    assert figure(book, "TAX_ON", AMOUNT, "parts").startswith("The machine class matters here and is left out.")
    assert figure(book, "TAX_ON", AMOUNT, "parts", None, "TRAILER") == "8.02"
    assert figure(book, "TAX_ON", AMOUNT, "parts", None, "THROWER") == "0.00"
    one = build.a_book(taxes=rows, machines=[build.a_machine("TRAILER")])
    assert figure(one, "TAX_ON", AMOUNT, "parts") == "8.02"


def test_no_row_no_tax() -> None:
    assert figure(build.a_book(), "TAX_ON", AMOUNT, "labour") == "0.00"
    assert figure(BOOK, "TAX_ON", Decimal(0), "labour") == "0.00"


@pytest.mark.parametrize(
    ("arguments", "expected"),
    [
        ((None, "parts"), "The amount is blank. A blank is not zero: fill it in."),
        ((Decimal(-5), "parts"), "The amount is negative. Check the number."),
        ((AMOUNT,), "The charge is blank. Say what is charged: labour; upgrade labour; parts; cores; sublet; supplies; "
         "freight; fees; ...."),
        ((AMOUNT, "part"), "part is not a charge that can be taxed. Did you mean parts?"),
        ((AMOUNT, "all"), "all is not a charge that can be taxed. Use one of labour; upgrade labour; parts; cores; "
         "sublet; supplies; freight; fees; ...."),
        ((AMOUNT, "parts", "01/02/2026"), "01/02/2026 is not a date that can be read one way only. "
         "Use a cell formatted as a date, or a text like 2026-03-31."),
        ((AMOUNT, "parts", "2026-02-30"), "2026-02-30 is not a date that can be read one way only. "
         "Use a cell formatted as a date, or a text like 2026-03-31."),
        ((AMOUNT, "parts", Decimal(20260302)), "20260302 is not a date that can be read one way only. "
         "Use a cell formatted as a date, or a text like 2026-03-31."),
        ((AMOUNT, "parts", Decimal(7)), "7 is not a date that can be read one way only. "
         "Use a cell formatted as a date, or a text like 2026-03-31."),
        ((AMOUNT, "parts", None, None, "exemt"), "No tax row knows the customer class exemt. Did you mean exempt?"),
        ((AMOUNT, "parts", None, "X"), "X is not a machine class of the shop book. Use one of THROWER."),
    ],
)  # fmt: skip
def test_no_tax_known(arguments: tuple[Given, ...], expected: str) -> None:
    assert figure(BOOK, "TAX_ON", *arguments) == expected
