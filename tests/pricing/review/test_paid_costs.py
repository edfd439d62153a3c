"""What parts and freight really cost each job, from its orders."""

from __future__ import annotations

from decimal import Decimal
from fractions import Fraction

import pytest
from hypothesis import given
from hypothesis import strategies as st

from quotekit.pricing.review.paid_costs import paid_costs
from tests.pricing.review.stories import an_order, received

D = Decimal


def test_the_cost_of_a_unit_as_ordered() -> None:
    """By job and part, compared without case."""
    found = paid_costs([an_order("SEAL 4.50 for J1 2 + j2 1")], [])
    assert found.unit == {("j1", "seal"): D("4.50"), ("j2", "seal"): D("4.50")}


def test_a_delivery_counts_before_the_order() -> None:
    """What was charged when it came in, of that order, supplier and part alone."""
    orders = [an_order("SEAL 4.50 for J1 2; BELT 20 for J1 1"), an_order("SEAL 5 for J2 1", number=2)]
    found = paid_costs(orders, [received(1, "seal", "4.80"), received(1, "BELT", "9", supplier="SOUTH")])
    assert found.unit == {("j1", "seal"): D("4.80"), ("j1", "belt"): 20, ("j2", "seal"): 5}


def test_a_pack_of_several() -> None:
    """Cost of a unit = pack cost by pack quantity, exact."""
    order = an_order("CLIP 1.00 for J1 3")
    line = order.body.lines[0]
    packed = order._replace(
        body=type(order.body)(**{**vars(order.body), "lines": (type(line)(**{**vars(line), "pack_quantity": D(3)}),)})
    )
    assert paid_costs([packed], []).unit["j1", "clip"] == Fraction(1, 3)


def test_two_orders_of_one_part() -> None:
    """The mean by the units each brought."""
    orders = [an_order("SEAL 4 for J1 3"), an_order("SEAL 8 for J1 1", number=2)]
    assert paid_costs(orders, []).unit["j1", "seal"] == 5


def test_freight_is_split_by_goods_and_then_by_units() -> None:
    """The example of the rule: 10 of freight over lines of 80 and 20, the second shared 1 : 3."""
    order = an_order("BELT 80 for J1 1; CLIP 5 for J1 1 + J2 3", freight="8", fee="2")
    assert paid_costs([order], []).freight == {"j1": Fraction("8.5"), "j2": Fraction("1.5")}


def test_the_second_freight_is_added() -> None:
    """A part that was forgotten costs its freight again."""
    orders = [an_order("BELT 80 for J1 1", freight="8"), an_order("CLIP 5 for J1 1", number=2, freight="6")]
    assert paid_costs(orders, []).freight == {"j1": 14}


@given(
    st.lists(
        st.tuples(st.integers(1, 500), st.lists(st.integers(1, 9), min_size=1, max_size=4)), min_size=1, max_size=5
    ),
    st.integers(0, 90),
)
def test_no_freight_is_lost(lines: list[tuple[int, list[int]]], freight: int) -> None:
    """The shares of all jobs add up to what was paid, exactly."""
    text = "; ".join(
        f"P{n} {cost} for " + " + ".join(f"J{place} {units}" for place, units in enumerate(jobs))
        for n, (cost, jobs) in enumerate(lines)
    )
    found = paid_costs([an_order(text, freight=str(freight))], [])
    assert sum(found.freight.values()) == freight


@pytest.mark.parametrize("orders", [[], [an_order("GIFT 0 for J1 1", freight="5")]])
def test_nothing_to_split(orders: list[object]) -> None:
    """No order, or goods that cost nothing: no freight is given to a job."""
    assert paid_costs(orders, []).freight == {}  # type: ignore[arg-type]
