"""From work to the total to pay, and the money outside the subtotal (DESIGN.md 5.5 and 5.9).

The job is one hour at 100 and a belt that costs 10 and sells at 15.
"""

from __future__ import annotations

from decimal import Decimal
from typing import Any

import pytest

from quotekit.model.quote import PricedTier, Quote
from quotekit.model.shop_book import Part
from quotekit.pricing import build_quote
from tests import build
from tests.pricing.priced import texts


def a_quote(settings: dict[str, Any] | None = None, job: dict[str, Any] | None = None, **values: Any) -> Quote:
    """The quote of a frayed belt."""
    book = build.a_book(
        **{
            "settings": build.settings(**(settings or {})),
            "operations": [build.an_operation("FIT-BELT", 1, parts="BELT")],
            "parts": [build.a_part("BELT", 10)],
            "findings": [build.a_finding("FRAYED")],
            "remedies": [build.a_remedy("NEW-BELT", ["FRAYED"], ["FIT-BELT"])],
            "tiers": [build.a_tier("good")],
        }
        | values
    )
    return build_quote(book, build.a_job(build.a_finding_on("FRAYED"), **(job or {})))


def the_tier(**values: Any) -> PricedTier:
    """The only tier."""
    return a_quote(**values).tiers[0]


@pytest.mark.parametrize(
    ("shop", "job", "rule", "fee", "credit", "subtotal"),
    [
        (0, None, "never", "0.00", "0.00", "115.00"),
        (40, None, "never", "40.00", "0.00", "155.00"),
        (40, 25, "never", "25.00", "0.00", "140.00"),
        (40, 0, "never", "0.00", "0.00", "115.00"),
        (0, 25, "when work goes ahead", "25.00", "-25.00", "115.00"),
        (40, None, "when work goes ahead", "40.00", "-40.00", "115.00"),
        (40, None, Decimal(115), "40.00", "-40.00", "115.00"),
        (40, None, Decimal("115.01"), "40.00", "0.00", "155.00"),
    ],
)
def test_the_inspection_fee_and_its_credit(
    shop: int, job: int | None, rule: str | Decimal, fee: str, credit: str, subtotal: str
) -> None:
    """The job's fee, else the shop's; given back in full, or from an amount of work, which includes that amount."""
    tier = the_tier(settings={"inspection_fee": shop, "inspection_fee_credited": rule}, job={"inspection_fee": job})
    amounts = tier.amounts
    assert [str(value) for value in (amounts.inspection, amounts.inspection_credit, tier.subtotal)] == [
        fee,
        credit,
        subtotal,
    ]


def test_the_total_is_the_subtotal_and_all_taxes() -> None:
    """115.00 and a tenth; prices shown with tax change what is printed and no total."""
    for shown in ("before tax", "with tax"):
        tier = the_tier(settings={"prices_shown": shown}, taxes=[build.a_tax()])
        assert [str(value) for value in (tier.work, tier.subtotal, tier.tax, tier.total)] == [
            "115.00",
            "115.00",
            "11.50",
            "126.50",
        ]


@pytest.mark.parametrize(("paid", "due"), [(0, "126.50"), ("26.50", "100.00"), (200, "-73.50")])
def test_what_was_paid_is_taken_off_what_is_due(paid: int | str, due: str) -> None:
    """Never off the total; what was paid too much is due back."""
    tier = the_tier(taxes=[build.a_tax()], job={"paid_so_far": paid})
    assert [str(tier.total), str(tier.due)] == ["126.50", due]


DEPOSITS = {"deposit_on_ordered_parts": Decimal("0.3"), "deposit_on_non_returnable_parts": Decimal(1)}


@pytest.mark.parametrize(
    ("part", "job", "deposit"),
    [
        ({}, {}, "4.50"),
        ({"returnable": False}, {}, "15.00"),  # in place of the other percent
        ({"supplier": "SHELF"}, {}, "0.00"),
        ({"supplier": "SHELF", "returnable": False}, {}, "0.00"),
        ({}, {"own_parts": ("BELT",)}, "0.00"),
        ({}, {"discount_percent": Decimal("0.5"), "discount_reason": "A friend"}, "4.50"),  # before savings
        ({"fixed_price_each": "15.05"}, {}, "4.52"),  # 4.515
    ],
)
def test_the_deposit(part: dict[str, Any], job: dict[str, Any], deposit: str) -> None:
    """On the selling amounts of what is ordered for this job, before savings and tax."""
    tier = the_tier(settings=DEPOSITS, parts=[build.a_part("BELT", 10, **part)], taxes=[build.a_tax()], job=job)
    assert str(tier.deposit) == deposit


def test_the_deposit_is_rounded_once() -> None:
    """Two parts at 0.05: 0.015 and 0.015 make 0.03, where each rounded would make 0.04."""
    parts = [build.a_part(code, "0.01", fixed_price_each="0.05") for code in ("CLIP", "PIN")]
    operations = [build.an_operation("FIT-BELT", 1, parts="CLIP; PIN")]
    assert str(the_tier(settings=DEPOSITS, parts=parts, operations=operations).deposit) == "0.03"


def belt(**values: Any) -> list[Part]:
    """The belt with other terms."""
    return [build.a_part("BELT", 10, **values)]


@pytest.mark.parametrize(
    ("parts", "job", "queue", "days"),
    [
        (belt(), {}, 0, 3),  # the supplier's lead
        (belt(), {}, 2, 5),
        (belt(lead_days=8), {}, 2, 10),  # the part's own lead wins
        (belt(lead_days=0), {}, 2, 2),
        (belt(supplier="SHELF", lead_days=8), {}, 2, 2),
        (belt(lead_days=8), {"own_parts": ("BELT",)}, 2, 2),
        (belt(supplier="SLOW"), {}, 2, None),  # nobody knows
        (belt(supplier="SLOW"), {"own_parts": ("BELT",)}, 2, 2),
        (belt(), {"one_off": [build.a_one_off(1, "charge", unit_price=1, lead_days=9)]}, 0, 9),
        (belt(), {"one_off": [build.a_one_off(1, "charge", unit_price=1)]}, 0, 3),
    ],
)
def test_ready_days(parts: list[Part], job: dict[str, Any], queue: int, days: int | None) -> None:
    """The longest of all leads, and then the queue; unknown where one ordered part's lead is."""
    suppliers = [build.a_supplier(), build.a_supplier("SLOW", lead_days=None), build.a_supplier("SHELF", shelf=True)]
    tier = the_tier(parts=parts, job=job, settings={"queue_days": queue}, suppliers=suppliers)
    assert tier.ready_days == days


def test_work_sent_out_takes_its_days() -> None:
    """Seven days at the machinist, three for the belt: seven, not ten."""
    operations = [build.an_operation("FIT-BELT", 1, parts="BELT", sublet_cost=10, sublet_days=7)]
    assert the_tier(operations=operations).ready_days == 7


@pytest.mark.parametrize(
    ("settings", "job", "taxes", "expected"),
    [
        ({}, {}, [], ["0.00", "0.00", "0.00", "0.00"]),
        ({"inspection_fee": 40}, {}, [], ["40.00", "0.00", "0.00", "40.00"]),
        ({"inspection_fee": 40}, {"reassembly_hours": "0.5"}, [], ["40.00", "50.00", "0.00", "90.00"]),
        (
            {"inspection_fee": 40, "inspection_fee_credited": "when work goes ahead"},
            {"reassembly_hours": "0.5"},
            [build.a_tax("STATE", "0.1", ["labour"])],
            ["40.00", "50.00", "5.00", "95.00"],
        ),
        (
            {"inspection_fee": 40},
            {"reassembly_hours": "0.5", "inspection_fee": 10},
            [build.a_tax("STATE", "0.1", ["inspection"]), build.a_tax("CITY", "0.01")],
            ["10.00", "50.00", "1.60", "61.60"],
        ),
        (
            {},
            {"reassembly_hours": "0.5"},
            [build.a_tax("STATE", "0", ["labour"]), build.a_tax("STATE", "0.1", ["upgrade labour"])],
            ["0.00", "50.00", "0.00", "50.00"],
        ),
    ],
)
def test_what_a_no_costs(settings: dict[str, Any], job: dict[str, Any], taxes: list[Any], expected: list[str]) -> None:
    """The inspection without credit, putting it back together at the default rate, and their tax."""
    no = a_quote(settings=settings, job=job, taxes=taxes).declined
    assert [str(value) for value in (no.inspection, no.reassembly, no.tax, no.total)] == expected


def test_putting_it_back_together_is_at_the_jobs_labour_rate() -> None:
    """A job's rate stands for the default."""
    rates = [build.a_rate(), build.a_rate("FARM", 80)]
    no = a_quote(labour_rates=rates, job={"labour_rate": "FARM", "reassembly_hours": "0.5"}).declined
    assert str(no.reassembly) == "40.00"


@pytest.mark.parametrize(("supplier", "deposit"), [("NORTH", "9.90"), ("", "4.50")])
def test_a_one_off_part_that_is_ordered_takes_a_deposit(supplier: str, deposit: str) -> None:
    """Three tenths of 15.00 and of 18.00; without a supplier it comes from the shelf."""
    lines = [build.a_one_off(1, "part", 2, unit_price=9, supplier=supplier)]
    assert str(the_tier(settings=DEPOSITS, job={"one_off": lines}).deposit) == deposit


def test_an_exempt_customer_pays_no_tax_on_a_no_either() -> None:
    """The inspection at 30 and an hour to put it together again."""
    job = {"customer_class": "exempt", "exemption_certificate": "E-1", "reassembly_hours": 1}
    assert str(a_quote({"inspection_fee": 30}, job, taxes=[build.a_tax()]).declined.total) == "130.00"


def test_the_minimum_line_is_taxed_as_labour() -> None:
    """One hour worked, one more to the minimum: a tenth of 200."""
    tier = the_tier(settings={"minimum_labour_hours": 2}, taxes=[build.a_tax("STATE", "0.1", ["labour"])])
    assert texts(tier.minimum_amount, tier.tax) == ["100.00", "20.00"]
