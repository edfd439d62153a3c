"""Sales tax by dated rows (DESIGN.md 5.5 item 9 and 5.9), by hand."""

from __future__ import annotations

from datetime import date
from decimal import Decimal
from typing import Any

import pytest

from quotekit.model.quote import PricedTier
from quotekit.model.shop_book import ShopBook, Tax
from quotekit.pricing.taxes import ChargeLine, rate_on, split_upgrade, untouched_charges
from tests import build
from tests.pricing.priced import first_tier, texts


def shop(*taxes: Tax, **values: Any) -> ShopBook:
    """Labour 100, part 60, core 15, sublet 40, supplies 5, fees 4 + 3, freight 9, inspection 35."""
    named: dict[str, Any] = {
        "settings": settings(),
        "operations": [build.an_operation("FIT", 1, parts="PUMP", sublet_cost=40)],
        "parts": [build.a_part("PUMP", 40, core_charge=15)],
        "suppliers": [build.a_supplier(freight=9)],
        "findings": [build.a_finding("WORN")],
        "remedies": [build.a_remedy("NEW", ["WORN"], ["FIT"])],
        "fees": [build.a_fee("WASTE", 4, applies_to=["FIT"]), build.a_fee("GATE", 3, always=True)],
        "taxes": list(taxes),
    }
    return build.a_book(**(named | values))


def settings(**values: Any) -> Any:
    """Supplies 5 % of labour, freight charged, an inspection fee of 35 that is never credited."""
    named = {"supplies_percent_of_labour": "0.05", "freight_to_customer": "this job alone", "inspection_fee": 35}
    return build.settings(**(named | values))


def tier(book: ShopBook, **job: Any) -> PricedTier:
    return first_tier(book, build.a_finding_on("WORN"), **({"old_parts": "keep"} | job))


def taxes(book: ShopBook, **job: Any) -> list[tuple[str, str, str]]:
    """Name, base and amount of each tax."""
    return [(line.tax, str(line.base), str(line.amount)) for line in tier(book, **job).taxes]


def test_the_charges_that_taxes_fall_on() -> None:
    """100 + 60 + 15 + 40 + 5 + 7 + 9 = 236 of work, and 35."""
    found = tier(shop())
    assert texts(found.work, found.subtotal, found.tax, found.total) == ["236.00", "271.00", "0.00", "271.00"]


@pytest.mark.parametrize(
    ("charges", "base"),
    [
        (["all"], "271.00"),
        (["labour"], "100.00"),
        (["parts"], "60.00"),
        (["cores"], "15.00"),
        (["sublet"], "40.00"),
        (["supplies"], "5.00"),
        (["fees"], "7.00"),
        (["WASTE"], "4.00"),
        (["freight"], "9.00"),
        (["inspection"], "35.00"),
        (["labour", "parts"], "160.00"),
    ],
)
def test_what_each_word_charges(charges: list[str], base: str) -> None:
    """10 % of the base, and no row, no tax."""
    assert taxes(shop(build.a_tax(charges=charges))) == [
        ("TAX", base, str((Decimal(base) / 10).quantize(Decimal("0.01"))))
    ]


def test_a_row_for_one_charge_wins_over_all() -> None:
    """10 % of 271 - 60, and 4 % of the parts: 21.10 + 2.40."""
    book = shop(build.a_tax(charges=["all"]), build.a_tax(rate="0.04", charges=["parts"]))
    assert taxes(book) == [("TAX", "271.00", "23.50")]


def test_a_fees_own_code_wins_over_fees() -> None:
    """WASTE 4 at 50 %, GATE 3 at 10 %."""
    book = shop(build.a_tax(charges=["fees"]), build.a_tax(rate="0.5", charges=["WASTE"]))
    assert taxes(book) == [("TAX", "7.00", "2.30")]


def test_a_rate_of_zero_exempts_its_charges() -> None:
    """All but the sublet work: 231."""
    book = shop(build.a_tax(charges=["all"]), build.a_tax(rate=0, charges=["sublet"]))
    assert taxes(book) == [("TAX", "231.00", "23.10")]


def test_taxed_as_is_the_charge_of_a_part() -> None:
    """Tires have their own word; `parts` does not touch them, `all` does."""
    parts = [build.a_part("PUMP", 40, taxed_as="tires")]
    assert taxes(shop(build.a_tax(charges=["parts"]), parts=parts)) == []
    assert taxes(shop(build.a_tax(charges=["tires"]), parts=parts)) == [("TAX", "60.00", "6.00")]
    assert taxes(shop(build.a_tax(charges=["all"]), parts=parts), old_parts=None) == [("TAX", "256.00", "25.60")]


def test_several_taxes_in_the_order_of_the_sheet() -> None:
    book = shop(build.a_tax("STATE", "0.06", ["parts"]), build.a_tax("CITY", "0.01", ["labour"]))
    assert taxes(book) == [("STATE", "60.00", "3.60"), ("CITY", "100.00", "1.00")]


@pytest.mark.parametrize(
    ("from_", "to", "applies"),
    [
        (None, None, True),
        (date(2026, 3, 2), None, True),
        (date(2026, 3, 3), None, False),
        (None, date(2026, 3, 2), True),
        (None, date(2026, 3, 1), False),
    ],
)
def test_a_row_applies_when_its_dates_hold(from_: date | None, to: date | None, applies: bool) -> None:
    """The quote is of 2 March 2026; both days are included."""
    assert bool(taxes(shop(build.a_tax(in_force_from=from_, in_force_to=to)))) is applies


@pytest.mark.parametrize(
    ("values", "job", "applies"),
    [
        ({"machines": ["THROWER"]}, {}, True),
        ({"machines": ["TRAILER"]}, {}, False),
        ({"machines": ["TRAILER", "THROWER"]}, {}, True),
        ({"customer_class": "household"}, {}, True),
        ({"customer_class": "farm"}, {}, False),
        ({"customer_class": "Farm"}, {"customer_class": "farm"}, True),
        ({}, {"customer_class": "farm"}, True),
        ({}, {"customer_class": "exempt", "exemption_certificate": "E-1"}, False),
    ],
)
def test_a_row_is_blank_or_matches_machine_and_customer(
    values: dict[str, Any], job: dict[str, str], applies: bool
) -> None:
    assert bool(taxes(shop(build.a_tax(**values)), **job)) is applies


def rounded(rounding: str, rate: str = "0.05") -> str:
    """Tax on three part lines of 0.30, 0.30 and 0.30."""
    book = build.a_book(
        settings=build.settings(tax_rounding=rounding),
        operations=[build.an_operation("FIT", 0, parts="A; B; C")],
        parts=[build.a_part(code, fixed_price_each="0.30") for code in "ABC"],
        findings=[build.a_finding("WORN")],
        remedies=[build.a_remedy("NEW", ["WORN"], ["FIT"])],
        taxes=[build.a_tax(rate=rate)],
    )
    return str(first_tier(book, build.a_finding_on("WORN")).tax)


@pytest.mark.parametrize(("rounding", "tax"), [("invoice", "0.05"), ("line", "0.06")])
def test_both_ways_to_round(rounding: str, tax: str) -> None:
    """5 % of 0.90 is 0.045, so 0.05; 5 % of 0.30 is 0.015, so 0.02 three times."""
    assert rounded(rounding) == tax


def test_a_saving_reduces_the_base_of_its_charge() -> None:
    """Parts 60 less 8 by a bundle: 5.20; and 10 % of what is left, 5.20: 46.80 taxed 4.68."""
    book = shop(build.a_tax(charges=["parts"]), bundles=[build.a_bundle("GIFT", ["NEW"], "parts amount off", 8)])
    assert taxes(book) == [("TAX", "52.00", "5.20")]
    assert taxes(book, discount_percent="0.1", discount_reason="Club") == [("TAX", "46.80", "4.68")]


def test_savings_are_negative_lines_of_the_line_basis() -> None:
    """Labour 100 less 33.30: 5.00 and 1.665, so 1.67 off: 3.33. On the invoice 66.70 x 5 % = 3.335: 3.34."""
    bundles = [build.a_bundle("GIFT", ["NEW"], "labour amount off", "33.30")]
    row = build.a_tax(rate="0.05", charges=["labour"])
    assert taxes(shop(row, bundles=bundles, settings=settings(tax_rounding="line"))) == [("TAX", "66.70", "3.33")]
    assert taxes(shop(row, bundles=bundles)) == [("TAX", "66.70", "3.34")]


def test_fee_and_credit_carry_the_same_tax() -> None:
    """A fee of 35 and its credit of 35: no base is left, so no tax is listed."""
    book = shop(build.a_tax(charges=["inspection"]), settings=settings(inspection_fee_credited="when work goes ahead"))
    assert taxes(book) == []


def test_no_base_goes_below_zero() -> None:
    """Parts taxed apart as tires; a saving of 60 on parts leaves `parts` at -60: no tax, no negative tax."""
    parts = [build.a_part("PUMP", 40, taxed_as="tires")]
    book = shop(
        build.a_tax(charges=["parts"]),
        parts=parts,
        bundles=[build.a_bundle("GIFT", ["NEW"], "parts amount off", 60)],
    )
    found = tier(book)
    assert found.taxes == ()
    assert str(found.tax) == "0.00"


def upgrade_shop(*taxes: Tax, **values: Any) -> ShopBook:
    """A replacement of 0.5 hours and an upgrade of 1 hour behind a cover of 0.5: labour 200."""
    named: dict[str, Any] = {
        "access": [build.a_step("COVER", "0.2", "0.3")],
        "operations": [
            build.an_operation("FIT", "0.5", access=["COVER"]),
            build.an_operation("LINER", 1, access=["COVER"]),
        ],
        "findings": [build.a_finding("WORN"), build.a_finding("RUSTED")],
        "remedies": [
            build.a_remedy("NEW", ["WORN"], ["FIT"]),
            build.a_remedy("BETTER", ["RUSTED"], ["LINER"], kind="upgrade"),
        ],
        "taxes": list(taxes),
    }
    return build.a_book(**(named | values))


def upgrade_taxes(book: ShopBook, **job: Any) -> list[tuple[str, str, str]]:
    found = first_tier(book, build.a_finding_on("WORN"), build.a_finding_on("RUSTED"), **job)
    return [(line.tax, str(line.base), str(line.amount)) for line in found.taxes]


@pytest.mark.parametrize(
    ("rows", "expected"),
    [
        ([("0.1", ["upgrade labour"])], [("TAX", "125.00", "12.50")]),
        ([("0.1", ["labour"])], [("TAX", "200.00", "20.00")]),
        ([("0.1", ["labour"]), ("0", ["upgrade labour"])], [("TAX", "75.00", "7.50")]),
        ([("0", ["labour"]), ("0.2", ["upgrade labour"])], [("TAX", "125.00", "25.00")]),
        ([("0.1", ["labour"]), ("0.2", ["upgrade labour"])], [("TAX", "200.00", "32.50")]),
    ],
)
def test_upgrade_labour_where_a_row_says_so_else_labour(
    rows: list[tuple[str, list[str]]], expected: list[tuple[str, str, str]]
) -> None:
    """The upgrade's share: 1 hour and half of the cover, 1.25 of 2.0 hours: 125 of 200."""
    assert upgrade_taxes(upgrade_shop(*(build.a_tax(rate=rate, charges=charges) for rate, charges in rows))) == expected


def test_for_each_tax_name_by_itself() -> None:
    """STATE treats upgrades apart, CITY does not."""
    book = upgrade_shop(build.a_tax("STATE", "0.1", ["upgrade labour"]), build.a_tax("CITY", "0.1", ["labour"]))
    assert upgrade_taxes(book) == [("STATE", "125.00", "12.50"), ("CITY", "200.00", "20.00")]


def test_the_discount_reduces_both_in_proportion() -> None:
    """200 less 10 %: upgrade labour 125 less 12.50."""
    book = upgrade_shop(build.a_tax(rate="0.1", charges=["upgrade labour"]))
    assert upgrade_taxes(book, discount_percent="0.1", discount_reason="Club") == [("TAX", "112.50", "11.25")]


def test_every_piece_of_a_split_line_adds_up() -> None:
    """Labour lines of 0.03 and 0.02 with 0.03 of upgrades: 0.02 and 0.01 by largest remainder; the saving likewise."""
    lines = [
        ChargeLine("labour", Decimal("0.03"), of_labour=True),
        ChargeLine("parts", Decimal("9.00")),
        ChargeLine("labour", Decimal("0.02"), of_labour=True),
        ChargeLine("labour", Decimal("-0.01"), of_labour=True),
    ]
    rows = [build.a_tax(charges=["upgrade labour"])]
    split = [(line.charge, str(line.amount)) for line in split_upgrade(lines, Decimal("0.03"), rows, 2)]
    assert split == [
        ("labour", "0.01"),
        ("upgrade labour", "0.02"),
        ("parts", "9.00"),
        ("labour", "0.01"),
        ("upgrade labour", "0.01"),
        ("labour", "0.00"),
        ("upgrade labour", "-0.01"),
    ]


def test_a_part_taxed_as_labour_is_no_labour() -> None:
    """It is in the base of `labour`, and never in upgrade labour."""
    lines = [ChargeLine("labour", Decimal("10.00")), ChargeLine("labour", Decimal("5.00"), of_labour=True)]
    rows = [build.a_tax(charges=["upgrade labour"])]
    split = split_upgrade(lines, Decimal("5.00"), rows, 2)
    assert [(line.charge, str(line.amount)) for line in split] == [
        ("labour", "10.00"),
        ("labour", "0.00"),
        ("upgrade labour", "5.00"),
    ]


def test_the_most_particular_row_wins() -> None:
    rows = [
        build.a_tax(rate="0.01"),
        build.a_tax(rate="0.02", charges=["fees"]),
        build.a_tax(rate="0.03", charges=["WASTE"]),
    ]
    fee, gate, part = (
        ChargeLine("fees", Decimal(1), "WASTE"),
        ChargeLine("fees", Decimal(1), "GATE"),
        ChargeLine("parts", Decimal(1)),
    )
    assert [str(rate_on(rows, line)) for line in (fee, gate, part)] == ["0.03", "0.02", "0.01"]
    assert rate_on(rows[1:], part) == 0


def test_charges_that_a_tax_does_not_touch() -> None:
    rows = {"STATE": [build.a_tax(charges=["parts"])], "CITY": [build.a_tax()]}
    assert untouched_charges(rows, ["labour", "parts"]) == {"STATE": ["labour"], "CITY": []}
