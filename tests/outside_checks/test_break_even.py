"""Outside checks 2.24 to 2.31: break-even, a target profit, a fixed mix, operating leverage.

Source: OpenStax, Principles of Accounting, Volume 2: Managerial Accounting (Franklin, Graybeal, Cooper), sections 3.2,
3.4 and 3.5. Where an hour of labour can stand for the unit sold, the check runs through a whole shop book.
"""

from __future__ import annotations

from datetime import date
from decimal import Decimal
from fractions import Fraction

import pytest

from quotekit.model.rate import RateInForce
from quotekit.money import round_to, whole_units
from quotekit.pricing.break_even import Product, composite, leverage, profit_of, units_to_sell
from quotekit.pricing.rate import work_out_rate
from tests import build
from tests.rate_rows import Typed, book_with

BIRDBATH = Product(price=100, variable=20)
SERVICE = Product(price=400, variable=150)


def sold_at(contribution: int, fixed: int, hours: int) -> RateInForce:
    """A shop whose hours each leave so much, of which it sells so many, with so much cost."""
    rows: tuple[Typed, ...] = (
        ("Rent", fixed, "overhead"),
        ("Owner", hours, "clock hours"),
        ("Owner", "100%", "share at the bench"),
        ("Owner", "100%", "efficiency"),
    )
    rate, _ = work_out_rate(book_with(*rows, labour_rates=[build.a_rate("MAIN", contribution)]), date(2026, 11, 28))
    assert rate is not None
    return rate.in_force[0]


def test_2_24_break_even_units_and_sales() -> None:
    """2.24 (section 3.2, birdbath)."""
    units = units_to_sell(BIRDBATH, 18000)
    assert units is not None
    assert (units, units * BIRDBATH.price) == (225, 22500)


@pytest.mark.parametrize(("units", "income"), [(175, -4000), (225, 0), (300, 6000)])
def test_2_24_income_on_either_side(units: int, income: int) -> None:
    """2.24 (section 3.2): also as hours of a shop that sell for what a birdbath leaves."""
    assert profit_of(BIRDBATH, units, 18000) == income
    row = sold_at(80, 18000, units)
    assert (row.leaves, row.break_even_hours) == (income, 225)


def test_2_26_break_even_and_target_profit_of_a_service() -> None:
    """2.26 (section 3.2, per job)."""
    even, target = units_to_sell(SERVICE, 14000), units_to_sell(SERVICE, 14000, 10000)
    assert even is not None and target is not None
    assert (even, even * SERVICE.price) == (56, 22400)
    assert (target, target * SERVICE.price) == (96, 38400)
    assert sold_at(250, 14000, 96).leaves == 10000
    assert sold_at(250, 14000, 96).break_even_hours == 56


MIX = (5, 3, 2)
SIDING = tuple(
    Product(price=Decimal(price), variable=Decimal(variable))
    for price, variable in (("6.25", "3.25"), ("7.75", "4.50"), ("9.25", "6.25"))
)


def test_2_28_one_unit_of_a_mix() -> None:
    """2.28 (section 3.4, siding): 73.00 less 42.25 leaves 30.75; 4,715.45 units, so 4,716 whole ones."""
    unit = composite(zip(MIX, SIDING, strict=True))
    assert (unit.price, unit.variable, unit.contribution) == (73, Fraction("42.25"), Fraction("30.75"))
    units = units_to_sell(unit, 145000)
    assert units is not None
    assert (round_to(units, 2), whole_units(units, Decimal(1))) == (Decimal("4715.45"), 4716)


def test_2_28_units_and_sales_of_each_product() -> None:
    """2.28: units to the nearest; sales within 1 dollar, from unrounded units."""
    units = units_to_sell(composite(zip(MIX, SIDING, strict=True)), 145000)
    assert units is not None
    assert [round_to(units * many, 0) for many in MIX] == [23577, 14146, 9431]
    sales = [units * many * Fraction(product.price) for many, product in zip(MIX, SIDING, strict=True)]
    assert all(abs(sold - printed) <= 1 for sold, printed in zip(sales, (147358, 109634, 87236), strict=True))
    assert abs(sum(sales) - 344228) <= 1


@pytest.mark.parametrize(("contribution", "income", "printed"), [(148000, 85000, "1.74"), (210000, 85000, "2.47")])
def test_2_31_degree_of_operating_leverage(contribution: int, income: int, printed: str) -> None:
    """2.31 (section 3.5; to 0.01)."""
    times = leverage(contribution, income)
    assert times is not None and round_to(times, 2) == Decimal(printed)
