"""From work to the total to pay, and the money outside the subtotal (DESIGN.md 5.5 item 8 and 5.9), by hand."""

from __future__ import annotations

from decimal import Decimal
from typing import Any

import pytest

from quotekit.model.shop_book import Operation, Part, ShopBook
from quotekit.pricing import build_quote
from tests import build
from tests.pricing.priced import first_tier, texts

WORN = build.a_finding_on("WORN")


def shop(*parts: Part, **values: Any) -> ShopBook:
    """One hour of work that uses one of each part."""
    named: dict[str, Any] = {
        "operations": [fit(*parts)],
        "parts": list(parts),
        "findings": [build.a_finding("WORN")],
        "remedies": [build.a_remedy("NEW", ["WORN"], ["FIT"])],
        "suppliers": [
            build.a_supplier("NORTH"),
            build.a_supplier("BLANK", lead_days=None),
            build.a_supplier("SHELF", shelf=True),
        ],
    }
    return build.a_book(**(named | values))


def fit(*parts: Part, **values: Any) -> Operation:
    return build.an_operation("FIT", 1, parts="; ".join(part.code for part in parts), **values)


@pytest.mark.parametrize(
    ("shop_fee", "job_fee", "fee"),
    [(0, None, "0.00"), (35, None, "35.00"), (35, "20", "20.00"), (35, 0, "0.00"), (0, 20, "20.00")],
)
def test_the_jobs_inspection_fee_replaces_the_shops(shop_fee: int, job_fee: Any, fee: str) -> None:
    """Zero on the job means none."""
    book = shop(settings=build.settings(inspection_fee=shop_fee))
    tier = first_tier(book, WORN, **({} if job_fee is None else {"inspection_fee": job_fee}))
    assert texts(tier.amounts.inspection, tier.work) == [fee, "100.00"]


@pytest.mark.parametrize(
    ("rule", "credit", "subtotal"),
    [
        ("never", "0.00", "135.00"),
        ("when work goes ahead", "-35.00", "100.00"),
        ("100", "-35.00", "100.00"),
        ("100.01", "0.00", "135.00"),
        ("0", "-35.00", "100.00"),
    ],
)
def test_the_credit_in_full_under_the_shops_rule(rule: str, credit: str, subtotal: str) -> None:
    """An amount: when the work comes to at least that; the work is 100."""
    credited: Any = Decimal(rule) if rule[0].isdigit() else rule
    tier = first_tier(shop(settings=build.settings(inspection_fee=35, inspection_fee_credited=credited)), WORN)
    assert texts(tier.amounts.inspection_credit, tier.subtotal) == [credit, subtotal]


def test_the_subtotal_is_the_sum_of_the_amounts() -> None:
    book = shop(
        build.a_part("P", 20, core_charge=5),
        settings=build.settings(inspection_fee=35, inspection_fee_credited="when work goes ahead"),
        fees=[build.a_fee("GATE", 3, always=True)],
        bundles=[build.a_bundle("GIFT", ["NEW"], "labour amount off", 10)],
        taxes=[build.a_tax(charges=["parts"])],
    )
    tier = first_tier(book, WORN, old_parts="keep")
    amounts = tier.amounts
    parts = [amounts.labour, amounts.parts, amounts.cores, amounts.sublet, amounts.savings, amounts.supplies]
    parts += [amounts.fees, amounts.freight, amounts.inspection, amounts.inspection_credit]
    assert texts(*parts) == ["100.00", "30.00", "5.00", "0.00", "-10.00", "0.00", "3.00", "0.00", "35.00", "-35.00"]
    assert texts(tier.subtotal, tier.tax, tier.total) == ["128.00", "3.00", "131.00"]
    assert sum(parts) == tier.subtotal


@pytest.mark.parametrize(("paid", "due"), [("0", "100.00"), ("40", "60.00"), ("120", "-20.00"), ("33.335", "66.66")])
def test_due_is_the_total_less_what_was_paid(paid: str, due: str) -> None:
    assert str(first_tier(shop(), WORN, paid_so_far=paid).due) == due


@pytest.mark.parametrize(
    ("part", "deposit"),
    [
        ({}, "15.00"),
        ({"returnable": False}, "30.00"),
        ({"supplier": "SHELF"}, "0.00"),
        ({"supplier": "SHELF", "returnable": False}, "0.00"),
    ],
)
def test_deposit_on_ordered_parts(part: dict[str, Any], deposit: str) -> None:
    """A part sold at 30: half, all of it where it cannot be returned, nothing on stock of the shelf."""
    settings = build.settings(deposit_on_ordered_parts="0.5", deposit_on_non_returnable_parts="1")
    assert str(first_tier(shop(build.a_part("P", 20, **part), settings=settings), WORN).deposit) == deposit


def test_the_deposit_is_rounded_once_before_savings_and_tax() -> None:
    """0.33 and 0.33 at 50 %: 0.165 + 0.165 = 0.33, not 0.17 twice; the bundle and the tax do not matter."""
    book = shop(
        *(build.a_part(code, fixed_price_each="0.33") for code in "AB"),
        settings=build.settings(deposit_on_ordered_parts="0.5"),
        bundles=[build.a_bundle("GIFT", ["NEW"], "parts amount off", "0.20")],
        taxes=[build.a_tax()],
    )
    assert str(first_tier(book, WORN).deposit) == "0.33"


def test_own_parts_need_no_deposit_and_one_off_parts_do() -> None:
    """A one-off part of 20 x 1.5 from a supplier; one without a supplier is of the shelf."""
    book = shop(build.a_part("P", 20), settings=build.settings(deposit_on_ordered_parts="0.5"))
    lines = [build.a_one_off(1, "part", 1, unit_cost=20, supplier="NORTH"), build.a_one_off(2, "part", 1, unit_cost=20)]
    assert str(first_tier(book, WORN, own_parts=("P",), one_off=lines).deposit) == "15.00"


@pytest.mark.parametrize(
    ("part", "days"),
    [
        ({"lead_days": 6}, 6),
        ({}, 3),
        ({"lead_days": 0}, 0),
        ({"supplier": "BLANK"}, None),
        ({"supplier": "BLANK", "lead_days": 2}, 2),
        ({"supplier": "SHELF", "lead_days": 9}, 0),
    ],
)
def test_ready_days_are_the_parts_lead_else_its_suppliers(part: dict[str, Any], days: int | None) -> None:
    """NORTH takes 3 days; the shelf none; unknown where an ordered part has no lead."""
    assert first_tier(shop(build.a_part("P", 20, **part)), WORN).ready_days == days


def test_ready_days_are_the_longest_of_all_plus_the_queue() -> None:
    """Parts 6, sublet 8, one-off 4; a queue of 2."""
    parts = build.a_part("P", lead_days=6), build.a_part("Q", lead_days=1)
    book = shop(*parts, operations=[fit(*parts, sublet_cost=9, sublet_days=8)], settings=build.settings(queue_days=2))
    line = build.a_one_off(1, "part", 1, unit_cost=5, supplier="NORTH", lead_days=4)
    assert first_tier(book, WORN, one_off=[line]).ready_days == 10
    longer = build.a_one_off(1, "part", 1, unit_cost=5, supplier="NORTH", lead_days=11)
    assert first_tier(book, WORN, one_off=[longer]).ready_days == 13


def test_work_without_parts_is_ready_after_the_queue() -> None:
    assert first_tier(shop(settings=build.settings(queue_days=2)), WORN).ready_days == 2


def test_own_parts_are_there() -> None:
    assert first_tier(shop(build.a_part("P", supplier="BLANK")), WORN, own_parts=("P",)).ready_days == 0


def test_one_unknown_lead_makes_the_day_unknown() -> None:
    parts = build.a_part("P", lead_days=6), build.a_part("Q", supplier="BLANK")
    assert first_tier(shop(*parts), WORN).ready_days is None


@pytest.mark.parametrize(
    ("kind", "lead", "days"), [("sublet", 5, 5), ("labour", 5, 5), ("charge", 5, 5), ("sublet", None, 0)]
)
def test_lead_days_of_any_one_off_line_count(kind: str, lead: int | None, days: int) -> None:
    values = {"labour": {}, "sublet": {"unit_cost": 5}, "charge": {"unit_price": 5}}[kind]
    line = build.a_one_off(1, kind, 1, lead_days=lead, **values)
    assert first_tier(shop(), WORN, one_off=[line]).ready_days == days


@pytest.mark.parametrize(
    ("job", "expected"),
    [
        ({}, ["35.00", "0.00", "3.50", "38.50"]),
        ({"reassembly_hours": "0.75"}, ["35.00", "75.00", "7.25", "117.25"]),
        ({"inspection_fee": 0}, ["0.00", "0.00", "0.00", "0.00"]),
        ({"customer_class": "exempt", "exemption_certificate": "E-1"}, ["35.00", "0.00", "0.00", "35.00"]),
    ],
)
def test_what_a_no_costs(job: dict[str, Any], expected: list[str]) -> None:
    """Inspection 35 at 10 %; 0.75 hours of putting back at 100, labour taxed 5 %; no credit, no minimum."""
    book = shop(
        settings=build.settings(
            inspection_fee=35, minimum_labour_hours=2, inspection_fee_credited="when work goes ahead"
        ),
        taxes=[build.a_tax(charges=["inspection"]), build.a_tax(rate="0.05", charges=["labour"])],
    )
    no = build_quote(book, build.a_job(WORN, **job)).declined
    assert texts(no.inspection, no.reassembly, no.tax, no.total) == expected


def test_putting_back_is_at_the_jobs_rate() -> None:
    book = shop(labour_rates=[build.a_rate(), build.a_rate("FIELD", 150)])
    no = build_quote(book, build.a_job(WORN, reassembly_hours="0.5", labour_rate="FIELD")).declined
    assert str(no.reassembly) == "75.00"


def test_with_no_tax_a_no_is_plain() -> None:
    no = build_quote(shop(), build.a_job()).declined
    assert texts(no.inspection, no.reassembly, no.tax, no.total) == ["0.00"] * 4
