"""Outside checks 2.01 to 2.11: cost of a job from parts, labour and overhead, and the bill against that cost.

Source: OpenStax, Principles of Accounting, Volume 2: Managerial Accounting (numbers used, text not copied), sections
4.4, 4.6, 4.8 and 8.1. Overhead on labour is part of the shop's `Cost per hour`, the one place for it in a shop book.

Left out: 2.07 (over and under applied overhead) and 2.12 to 2.23 (variances) need what a job really took, which no
rule of pricing knows; 2.24 to 2.31 (break-even, operating leverage) build a rate, which no rule of pricing does.
"""

from __future__ import annotations

from decimal import Decimal
from typing import Any

import pytest

from quotekit.model.quote import PricedTier
from quotekit.money import round_to
from tests.outside_checks.small_shop import price_of, repair

TV_REPAIR: dict[str, Any] = {"labour": {"MAIN": ("3", "80", "50")}, "parts": [("1", "42", "70")]}
"""Section 4.8: wage 25 and overhead of 100 % of it are 50 an hour of cost."""


def percent(part: Decimal, whole: Decimal) -> Decimal:
    """A percentage to 0.01."""
    return round_to(part / whole * 100, 2)


def test_2_01_job_cost() -> None:
    """2.01 (section 4.8): part 42, labour 75 and overhead 75: the job costs 192."""
    tier = repair(**TV_REPAIR)
    assert (tier.cost.parts_used, tier.cost.labour, tier.cost.total) == (Decimal(42), Decimal(150), Decimal(192))


def test_2_02_the_bill() -> None:
    """2.02 (section 4.8): part 70 and 3 h at 80 make 310; with the diagnosis of 50 it is 360 (worked out)."""
    assert repair(**TV_REPAIR).subtotal == Decimal(310)
    assert repair(**TV_REPAIR, inspection_fee="50").subtotal == Decimal(360)


def test_2_03_markup_margin_and_profit() -> None:
    """2.03 (section 4.8, inputs read, worked out; percent to 0.01): markup 66.67 %, margin 40.00 %, profit 118."""
    part, job = price_of("42", "0.6667"), repair(**TV_REPAIR)
    assert part.subtotal == Decimal(70)
    assert job.margin == Decimal(118)
    assert percent(part.subtotal - 42, Decimal(42)) == Decimal("66.67")
    assert margin_percent(part) == Decimal("40.00")
    assert margin_percent(job) == Decimal("38.06")
    assert repair(**TV_REPAIR, inspection_fee="50").margin == Decimal(168)


def margin_percent(tier: PricedTier) -> Decimal:
    """Margin of a tier on its price."""
    assert tier.margin is not None
    return percent(tier.margin, tier.subtotal)


def test_2_04_predetermined_overhead() -> None:
    """2.04 (section 4.4): 250,000 over 100,000 of labour is 2.50 a dollar; labour of 66 carries 165."""
    rate = Decimal(250000) / Decimal(100000)
    assert rate == Decimal("2.50")
    wage = Decimal(22)
    tier = repair(labour={"MAIN": ("3", "100", str(wage * (1 + rate)))})
    assert tier.cost.labour == Decimal(66) + Decimal(165)


@pytest.mark.parametrize(
    ("materials", "labour", "total"), [("7560", "3760", "16020"), ("1525", "3824", "10129"), ("3290", "3796", "11831")]
)
def test_2_09_overhead_as_a_percent_of_labour(materials: str, labour: str, total: str) -> None:
    """2.09 (section 4.4, exercise; inputs read, answers worked out): overhead 125 % of labour, wage 20 an hour."""
    hours = str(Decimal(labour) / 20)
    tier = repair(labour={"MAIN": (hours, "100", "45")}, parts=[("1", materials, materials)])
    assert tier.cost.total == Decimal(total)


def test_2_11_standard_cost_card() -> None:
    """2.11 (section 8.1): material 4 x 5.25, two kinds of labour, overhead of 5 and 3 an hour: 165.25."""
    overhead = 5 + 3
    card = {"ASSEMBLY": ("2.75", "50", str(11 + overhead)), "FINISHING": ("4", "50", str(15 + overhead))}
    tier = repair(labour=card, parts=[("4", "5.25", "8")])
    assert tier.cost.parts_used == Decimal("21.00")
    assert tier.cost.labour == Decimal("30.25") + Decimal("60.00") + Decimal("33.75") + Decimal("20.25")
    assert tier.cost.total == Decimal("165.25")
