"""Taxes: which rows apply to a job, what each charges, and where it is rounded (DESIGN.md 5.5 item 9 and 5.9).

The job is always one hour of labour at 100 and a belt that costs 10 and sells at 15, unless a case says otherwise.
"""

from __future__ import annotations

from datetime import date
from decimal import Decimal
from typing import Any

import pytest

from quotekit.model.job import Job
from quotekit.model.quote import PricedTier
from quotekit.model.shop_book import ShopBook, Tax
from quotekit.pricing import build_quote
from tests import build


def a_belt_book(*taxes: Tax, **values: Any) -> ShopBook:
    """A frayed belt, one hour and one belt to replace it."""
    named: dict[str, Any] = {
        "operations": [build.an_operation("FIT-BELT", 1, parts="BELT")],
        "parts": [build.a_part("BELT", 10)],
        "findings": [build.a_finding("FRAYED")],
        "remedies": [build.a_remedy("NEW-BELT", ["FRAYED"], ["FIT-BELT"])],
        "tiers": [build.a_tier("good")],
        "taxes": list(taxes),
    }
    return build.a_book(**(named | values))


def a_belt_job(**values: Any) -> Job:
    """A frayed belt was found."""
    return build.a_job(build.a_finding_on("FRAYED"), **values)


def the_tier(book: ShopBook, job: Job) -> PricedTier:
    """The only tier."""
    return build_quote(book, job).tiers[0]


def taxes_of(book: ShopBook, job: Job) -> list[tuple[str, str, str]]:
    """Tax, base and amount as text."""
    return [(line.tax, str(line.base), str(line.amount)) for line in the_tier(book, job).taxes]


DAY = build.QUOTE_DATE
BEFORE, AFTER = date(2026, 3, 1), date(2026, 3, 3)


@pytest.mark.parametrize(
    ("row", "applies"),
    [
        ({}, True),
        ({"in_force_from": DAY}, True),
        ({"in_force_to": DAY}, True),
        ({"in_force_from": AFTER}, False),
        ({"in_force_to": BEFORE}, False),
        ({"machines": ["THROWER"]}, True),
        ({"machines": ["thrower"]}, True),
        ({"machines": ["TRAILER"]}, False),
        ({"customer_class": "farm"}, True),
        ({"customer_class": "FARM"}, True),
        ({"customer_class": "household"}, False),
    ],
)
def test_a_row_applies_on_its_days_to_its_machines_and_customers(row: dict[str, Any], applies: bool) -> None:
    """Both dates are included, blank means all: a rate of last year must not be charged today."""
    book = a_belt_book(build.a_tax("STATE", "0.1", **row))
    job = a_belt_job(customer_class="farm")
    assert taxes_of(book, job) == ([("STATE", "115.00", "11.50")] if applies else [])


def test_the_rate_changes_with_its_date() -> None:
    """Two rows of one tax, one after the other: only today's counts."""
    book = a_belt_book(
        build.a_tax("STATE", "0.05", in_force_to=BEFORE),
        build.a_tax("STATE", "0.06", in_force_from=DAY),
    )
    assert taxes_of(book, a_belt_job()) == [("STATE", "115.00", "6.90")]


@pytest.mark.parametrize("word", ["exempt", "Exempt"])
def test_an_exempt_customer_pays_none(word: str) -> None:
    """Even where a row names no customer class."""
    job = a_belt_job(customer_class=word, exemption_certificate="E-1")
    tier = the_tier(a_belt_book(build.a_tax()), job)
    assert (tier.taxes, str(tier.tax), tier.total) == ((), "0.00", tier.subtotal)


@pytest.mark.parametrize(
    ("rows", "base", "amount"),
    [
        ([("0.1", ["all"])], "115.00", "11.50"),
        ([("0.1", ["parts"])], "15.00", "1.50"),
        ([("0.1", ["labour"])], "100.00", "10.00"),
        ([("0.1", ["all"]), ("0.02", ["labour"])], "115.00", "3.50"),
        ([("0.02", ["labour"]), ("0.1", ["all"])], "115.00", "3.50"),
        ([("0.1", ["all"]), ("0", ["labour"])], "15.00", "1.50"),
        ([("0.1", ["all"]), ("0", ["parts"])], "100.00", "10.00"),
    ],
)
def test_a_row_for_one_charge_wins_over_all(rows: list[tuple[str, list[str]]], base: str, amount: str) -> None:
    """In any order of rows; a row at rate zero exempts its charge, and leaves the base too."""
    book = a_belt_book(*(build.a_tax("STATE", rate, charges) for rate, charges in rows))
    assert taxes_of(book, a_belt_job()) == [("STATE", base, amount)]


@pytest.mark.parametrize(
    ("rows", "base", "amount"),
    [
        ([("0.1", ["fees"])], "30.00", "3.00"),
        ([("0.1", ["fees"]), ("0", ["TIRE"])], "20.00", "2.00"),
        ([("0.1", ["fees"]), ("0.5", ["TIRE"])], "30.00", "7.00"),
        ([("0.5", ["TIRE"]), ("0.1", ["all"]), ("0", ["labour", "parts"])], "30.00", "7.00"),
    ],
)
def test_the_code_of_a_fee_wins_over_fees_and_all(rows: list[tuple[str, list[str]]], base: str, amount: str) -> None:
    """Fees TIRE 10 and OIL 20: some states tax one disposal fee and not another."""
    book = a_belt_book(
        *(build.a_tax("STATE", rate, charges) for rate, charges in rows),
        fees=[build.a_fee("TIRE", 10), build.a_fee("OIL", 20)],
    )
    assert taxes_of(book, a_belt_job(fees="TIRE; OIL")) == [("STATE", base, amount)]


def test_a_part_is_taxed_as_its_own_word() -> None:
    """A belt `Taxed as` farm goods leaves the row for parts; a row for all still reaches it."""
    parts = [build.a_part("BELT", 10, taxed_as="farm goods")]
    assert taxes_of(a_belt_book(build.a_tax("STATE", "0.1", ["parts"]), parts=parts), a_belt_job()) == []
    own = a_belt_book(build.a_tax("STATE", "0.1", ["all"]), build.a_tax("STATE", "0.2", ["farm goods"]), parts=parts)
    assert taxes_of(own, a_belt_job()) == [("STATE", "115.00", "13.00")]


@pytest.mark.parametrize(("rounding", "amount"), [("invoice", "0.11"), ("line", "0.12")])
def test_both_roundings(rounding: str, amount: str) -> None:
    """Two parts at 0.55 and 10 %: 0.11 on the invoice, 0.055 and 0.055 rounded up to 0.12 line by line."""
    book = a_belt_book(
        build.a_tax("STATE", "0.1", ["parts"]),
        settings=build.settings(tax_rounding=rounding),
        operations=[build.an_operation("FIT-BELT", 1, parts="CLIP; PIN")],
        parts=[build.a_part(code, "0.10", fixed_price_each="0.55") for code in ("CLIP", "PIN")],
    )
    assert taxes_of(book, a_belt_job()) == [("STATE", "1.10", amount)]


def test_each_tax_is_rounded_by_itself() -> None:
    """5.75 of state tax and 2.875, so 2.88, of county tax are two lines; the tax to pay is their sum."""
    book = a_belt_book(build.a_tax("STATE", "0.05"), build.a_tax("COUNTY", "0.025"))
    assert taxes_of(book, a_belt_job()) == [("STATE", "115.00", "5.75"), ("COUNTY", "115.00", "2.88")]
    assert str(the_tier(book, a_belt_job()).tax) == "8.63"


def test_no_base_goes_below_zero() -> None:
    """A tenth off parts is 1.50 off `parts`, of which nothing is charged: the belt is taxed as farm goods."""
    book = a_belt_book(build.a_tax("STATE", "0.1", ["parts"]), parts=[build.a_part("BELT", 10, taxed_as="farm goods")])
    assert taxes_of(book, a_belt_job(discount_percent=Decimal("0.1"), discount_reason="A friend")) == []


def test_a_discount_lowers_the_base_of_what_it_is_taken_from() -> None:
    """A tenth off: labour 90.00 and parts 13.50."""
    job = a_belt_job(discount_percent=Decimal("0.1"), discount_reason="A friend")
    assert taxes_of(a_belt_book(build.a_tax("STATE", "0.1", ["labour"])), job) == [("STATE", "90.00", "9.00")]
    assert taxes_of(a_belt_book(build.a_tax("STATE", "0.1", ["parts"])), job) == [("STATE", "13.50", "1.35")]


@pytest.mark.parametrize(
    ("credited", "base", "amount"), [("never", "40.00", "4.00"), ("when work goes ahead", None, None)]
)
def test_the_inspection_credit_is_taxed_as_the_fee_is(credited: str, base: str | None, amount: str | None) -> None:
    """40 charged and 40 given back leave nothing to tax."""
    book = a_belt_book(
        build.a_tax("STATE", "0.1", ["inspection"]),
        settings=build.settings(inspection_fee=40, inspection_fee_credited=credited),
    )
    assert taxes_of(book, a_belt_job()) == ([] if base is None else [("STATE", base, amount)])


def an_upgrade_book(*taxes: Tax) -> ShopBook:
    """One hour of an upgrade and two of a replacement."""
    return build.a_book(
        operations=[build.an_operation("FIT-LIGHTS", 1), build.an_operation("FIT-CHAIN", 2)],
        findings=[build.a_finding("DARK"), build.a_finding("STRETCHED")],
        remedies=[
            build.a_remedy("LIGHTS", ["DARK"], ["FIT-LIGHTS"], kind="upgrade"),
            build.a_remedy("CHAIN", ["STRETCHED"], ["FIT-CHAIN"]),
        ],
        tiers=[build.a_tier("good")],
        taxes=list(taxes),
    )


UPGRADE_ONLY = (build.a_tax("STATE", "0", ["labour"]), build.a_tax("STATE", "0.08", ["upgrade labour"]))


@pytest.mark.parametrize(
    ("rows", "discount", "base", "amount"),
    [
        (UPGRADE_ONLY, "0", "100.00", "8.00"),
        (UPGRADE_ONLY, "0.1", "90.00", "7.20"),
        ((build.a_tax("STATE", "0.08", ["labour"]),), "0", "300.00", "24.00"),
        (
            (build.a_tax("STATE", "0.08", ["all"]), build.a_tax("STATE", "0", ["upgrade labour"])),
            "0",
            "200.00",
            "16.00",
        ),
    ],
)
def test_upgrade_labour_is_taxed_apart_where_a_row_says_so(
    rows: tuple[Tax, ...], discount: str, base: str, amount: str
) -> None:
    """100 of 300 is the upgrade's; a discount falls on both in proportion; without such a row all is labour."""
    job = build.a_job(
        build.a_finding_on("DARK"),
        build.a_finding_on("STRETCHED"),
        discount_percent=Decimal(discount),
        discount_reason="A friend",
    )
    assert taxes_of(an_upgrade_book(*rows), job) == [("STATE", base, amount)]


def test_only_a_tax_with_an_upgrade_row_splits_labour() -> None:
    """STATE taxes the upgrade's 100 alone, COUNTY all 300."""
    job = build.a_job(build.a_finding_on("DARK"), build.a_finding_on("STRETCHED"))
    book = an_upgrade_book(*UPGRADE_ONLY, build.a_tax("COUNTY", "0.01", ["labour"]))
    assert taxes_of(book, job) == [("STATE", "100.00", "8.00"), ("COUNTY", "300.00", "3.00")]
