"""Outside checks 2.11 to 2.23: a standard cost card, and variances of material, labour and overhead.

Source: OpenStax, Principles of Accounting, Volume 2: Managerial Accounting (Franklin, Graybeal, Cooper), sections 8.1
to 8.5, as read in November 2026. Sign: actual minus standard, F favourable, U unfavourable. Where a job can stand for
the example, the check runs through the review of a whole job.
Check 2.22: the book prints 108 and 508, from a rate rounded first; what is asserted is the exact 100 and 500.
"""

from __future__ import annotations

from decimal import Decimal
from fractions import Fraction

import pytest

from quotekit.model.review import Variance
from quotekit.money import Exact, round_to
from quotekit.pricing.review.paid_costs import paid_costs
from quotekit.pricing.review.reviewed import review_job
from quotekit.pricing.review.variances import (
    cost_at_standard,
    price_variance,
    quantity_variance,
    rate_of,
    variance,
)
from tests import build
from tests.pricing.review.stories import a_job, an_order, done

D = Decimal


def told(amount: Exact) -> tuple[str, str]:
    """A variance to the cent with its sign."""
    shown = variance(amount, 2)
    return f"{shown.amount:f}", shown.sign


def test_2_11_standard_cost_card() -> None:
    """2.11 (section 8.1, bicycle): each line of the card, and the card."""
    material = [(4, D("5.25"))]
    labour = [(D("2.75"), 11), (4, 15)]
    hours = D("2.75") + 4
    overhead = [(hours, 5), (hours, 3)]
    lines = [cost_at_standard([line]) for line in (*material, *labour, *overhead)]
    assert [f"{round_to(line, 2):f}" for line in lines] == ["21.00", "30.25", "60.00", "33.75", "20.25"]
    assert cost_at_standard([*material, *labour, *overhead]) == D("165.25")


@pytest.mark.parametrize(("actual", "amount", "sign"), [("6", "-20.00", "F"), ("9", "40.00", "U")])
def test_2_12_material_price(actual: str, amount: str, sign: str) -> None:
    """2.12 (section 8.2): 20 units against a standard price of 7."""
    assert told(price_variance(D(actual), 7, 20)) == (amount, sign)


@pytest.mark.parametrize(("actual", "amount", "sign"), [("6", "-20.00", "F"), ("9", "40.00", "U")])
def test_2_12_as_a_job(actual: str, amount: str, sign: str) -> None:
    """2.12: the same as 20 seals agreed at a cost of 7 and used at what they came for."""
    job = a_job(parts="SEAL 20 at 7 for 9", used=f"SEAL 20 at {actual}")
    found = review_job(done(job), paid_costs([], [])).job.variances
    assert (f"{found.material_price.amount:f}", found.material_price.sign) == (amount, sign)
    assert found.material_quantity == Variance(amount=D("0.00"))


@pytest.mark.parametrize(("used", "amount", "sign"), [("0.20", "-0.35", "F"), ("0.50", "1.75", "U")])
def test_2_13_material_quantity(used: str, amount: str, sign: str) -> None:
    """2.13 (section 8.2): a standard of 0.25 at 7."""
    assert told(quantity_variance(D(used), D("0.25"), 7)) == (amount, sign)
    job = a_job(parts="SAND 0.25 at 7 for 9", used=f"SAND {used}")
    found = review_job(done(job), paid_costs([], [])).job.variances.material_quantity
    assert (f"{found.amount:f}", found.sign) == (amount, sign)


def test_2_14_material_variances_add_up() -> None:
    """2.14 (section 8.2): 0.50 at 9 against 0.25 at 7, as bought by an order that came at 9."""
    price, quantity = price_variance(9, 7, D("0.50")), quantity_variance(D("0.50"), D("0.25"), 7)
    assert [told(each) for each in (price, quantity, price + quantity)] == [("1.00", "U"), ("1.75", "U"), ("2.75", "U")]
    job = a_job("117", parts="SAND 0.25 at 7 for 9", used="SAND 0.50")
    found = review_job(done(job), paid_costs([an_order("SAND 9 for 117 1")], [])).job.variances
    assert (found.material_price.amount, found.material_quantity.amount) == (D("1.00"), D("1.75"))


@pytest.mark.parametrize(("rate", "amount", "sign"), [("7.50", "-0.05", "F"), ("9.50", "0.15", "U")])
def test_2_16_labour_rate(rate: str, amount: str, sign: str) -> None:
    """2.16 (section 8.3): 0.10 h against a standard rate of 8."""
    assert told(price_variance(D(rate), 8, D("0.10"))) == (amount, sign)


@pytest.mark.parametrize(("hours", "amount", "sign"), [("0.05", "-0.40", "F"), ("0.20", "0.80", "U")])
def test_2_17_labour_time(hours: str, amount: str, sign: str) -> None:
    """2.17 (section 8.3): a standard of 0.10 h at 8, also as a job of one operation."""
    assert told(quantity_variance(D(hours), D("0.10"), 8)) == (amount, sign)
    job = a_job(work="MIX 0.10", hours=f"MIX {hours}", cost_per_hour=D(8))
    found = review_job(done(job), paid_costs([], [])).job.variances.labour_time
    assert found is not None
    assert (f"{found.amount:f}", found.sign) == (amount, sign)


def test_2_18_labour_variances_add_up() -> None:
    """2.18 (section 8.3): 0.20 h at 9.50 against 0.10 h at 8, by somebody whose own row costs 9.50."""
    job = a_job(work="MIX 0.10", hours="MIX 0.20 by Ann", cost_per_hour=D(8))
    rates = [build.a_rate("MAIN", 20, 8), build.a_rate("ANN", 20, "9.50", name="Ann")]
    found = review_job(done(job), paid_costs([], []), rates).job.variances
    assert found.labour_rate is not None and found.labour_time is not None
    assert (found.labour_rate.amount, found.labour_time.amount) == (D("0.30"), D("0.80"))
    assert found.labour_rate.amount + found.labour_time.amount == D("1.10")


def test_2_20_four_variances_of_a_month() -> None:
    """2.20 (section 8.5, Barley): 10,000 units of 4 lb at 15 and 2 h at 20."""
    pound, hour = Fraction(800000, 50000), Fraction(450000, 25000)
    found = [
        price_variance(pound, 15, 50000),
        quantity_variance(50000, 4 * 10000, 15),
        price_variance(hour, 20, 25000),
        quantity_variance(25000, 2 * 10000, 20),
    ]
    assert [told(each) for each in found] == [
        ("50000.00", "U"),
        ("150000.00", "U"),
        ("-50000.00", "F"),
        ("100000.00", "U"),
    ]
    assert (told(found[0] + found[1]), told(found[2] + found[3])) == (("200000.00", "U"), ("50000.00", "U"))


@pytest.mark.parametrize(
    ("overhead", "hours", "rate", "efficiency"),
    [(7000, 2500, ("2000.00", "U"), ("1000.00", "U")), (3500, 2000, ("-500.00", "F"), ("0.00", ""))],
)
def test_2_21_variable_overhead(overhead: int, hours: int, rate: tuple[str, str], efficiency: tuple[str, str]) -> None:
    """2.21 (section 8.4): a standard of 2,000 h at 2.00; the second efficiency was worked out from the inputs."""
    an_hour = rate_of(overhead, hours)
    assert an_hour is not None
    assert told(price_variance(an_hour, 2, hours)) == rate
    assert told(quantity_variance(hours, 2000, 2)) == efficiency


def test_2_22_the_rate_is_not_rounded_first() -> None:
    """2.22 (section 8.4): 3,500 over 1,800 h. The book's 108 and 508 come from a rate rounded to 1.94."""
    an_hour = rate_of(3500, 1800)
    assert an_hour is not None
    rate, efficiency = price_variance(an_hour, 2, 1800), quantity_variance(1800, 2000, 2)
    found = [told(each) for each in (rate, efficiency, rate + efficiency)]
    assert found == [("-100.00", "F"), ("-400.00", "F"), ("-500.00", "F")]


@pytest.mark.parametrize(
    ("hours", "overhead", "rate"), [(1800, 9600, "5.33"), (2000, 10000, "5.00"), (2200, 10400, "4.73")]
)
def test_2_23_flexible_overhead_rates(hours: int, overhead: int, rate: str) -> None:
    """2.23 (section 8.4): rounded to cents."""
    found = rate_of(overhead, hours)
    assert found is not None and f"{round_to(found, 2):f}" == rate
