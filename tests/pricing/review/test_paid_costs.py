"""What parts and freight really cost each job, from its orders."""

from __future__ import annotations

from dataclasses import replace
from decimal import Decimal
from fractions import Fraction
from typing import Any

import pytest
from hypothesis import given
from hypothesis import strategies as st

from quotekit.model.entries import Cancelled, CancelledLine, Ordered, Received, ReceivedLine, ShelfTake
from quotekit.model.story import Told
from quotekit.pricing.review.paid_costs import PaidCosts, paid_costs
from tests.pricing.review.stories import DAY, an_entry, an_order, received

D = Decimal


def cost(found: PaidCosts, job: str, part: str, agreed: str | None = "3") -> Fraction | None:
    """Of a unit of a part, agreed at 3 unless told."""
    return found.unit_cost(job, part, None if agreed is None else Fraction(agreed))


def on_line(order: Told[Ordered], place: int, **values: Any) -> Told[Ordered]:
    """The order with something else on one of its lines."""
    lines = tuple(
        replace(line, **values) if number == place else line for number, line in enumerate(order.body.lines, start=1)
    )
    return order._replace(body=replace(order.body, lines=lines))


def delivered(line: int, packs: int, pack_cost: str | None) -> Told[Received]:
    """Packs of a line of order 1."""
    paid = None if pack_cost is None else D(pack_cost)
    one = ReceivedLine(supplier="NORTH", part="SEAL", packs=packs, pack_cost=paid, line=line)
    return Told(an_entry("received", "", 2, DAY), Received(order=1, lines=(one,)))


def called_off(line: int, packs: int, **jobs: str) -> Told[Cancelled]:
    """Packs of a line of order 1 that will not come, and units that jobs do not get."""
    units = {job: D(quantity) for job, quantity in jobs.items()}
    gone = CancelledLine(supplier="NORTH", part="SEAL", packs=packs, line=line, jobs=units)
    return Told(an_entry("cancelled", "", 3, DAY), Cancelled(order=1, lines=(gone,)))


def test_the_cost_of_a_unit_as_ordered() -> None:
    """By job and part, compared without case; a part that was not ordered costs as agreed."""
    found = paid_costs([an_order("SEAL 4.50 for J1 2 + j2 1")], [])
    assert [cost(found, *each) for each in (("j1", "seal"), ("J2", "SEAL"), ("J1", "BELT"))] == [
        D("4.50"),
        D("4.50"),
        3,
    ]
    assert cost(found, "J1", "BELT", None) is None


def test_a_delivery_counts_before_the_order() -> None:
    """What was charged when it came in, of that order, supplier and part alone."""
    orders = [an_order("SEAL 4.50 for J1 2; BELT 20 for J1 1"), an_order("SEAL 5 for J2 1", number=2)]
    found = paid_costs(orders, [received(1, "seal", "4.80"), received(1, "BELT", "9", supplier="SOUTH")])
    assert [cost(found, *each) for each in (("j1", "seal"), ("j1", "belt"), ("j2", "seal"))] == [D("4.80"), 20, 5]


@pytest.mark.parametrize(
    ("deliveries", "expected"),
    [
        ([], "4.50"),
        ([(1, 2, "5.00"), (1, 1, "6.20")], "5.40"),
        ([(1, 2, "5.00"), (1, 1, None)], "29/6"),
        ([(1, 3, "5.00"), (1, -1, None)], "5.00"),
        ([(1, 0, "9.00")], "4.50"),
    ],
)
def test_several_deliveries_of_a_line(deliveries: list[tuple[int, int, str | None]], expected: str) -> None:
    """By the packs each brought; one without a price came as ordered; packs sent back tell nothing."""
    order = an_order("SEAL 4.50 for J1 3")
    found = paid_costs([order], [delivered(*each) for each in deliveries])
    assert cost(found, "J1", "SEAL") == Fraction(expected)


def test_two_lines_of_one_part_on_an_order() -> None:
    """Packs of one and of ten from one supplier: what was charged for the ten is not the price of the one."""
    order = on_line(an_order("SEAL 2 for J1 1; SEAL 15 for J1 10"), 2, pack_quantity=D(10))
    found = paid_costs([order], [delivered(2, 1, "14")])
    assert cost(found, "J1", "SEAL") == Fraction(16, 11)


def test_units_from_the_shelf_cost_as_agreed() -> None:
    """Two of three from the shelf at 3, one bought at 9: not 9 each. Not known where the agreed cost is not."""
    order = an_order("SEAL 9 for J1 1")
    take = ShelfTake(part="SEAL", name="Seal", job="j1", quantity=D(2))
    found = paid_costs([order._replace(body=replace(order.body, shelf=(take,)))], [])
    assert (cost(found, "J1", "SEAL"), cost(found, "J1", "SEAL", None)) == (5, None)


@pytest.mark.parametrize(("deliveries", "expected"), [([], None), ([(1, 1, None)], None), ([(1, 1, "0")], 0)])
def test_a_cost_nobody_typed(deliveries: list[tuple[int, int, str | None]], expected: int | None) -> None:
    """It is not zero until it comes in; a gift is."""
    order = on_line(an_order("SEAL 0 for J1 1"), 1, cost_known=False)
    assert cost(paid_costs([order], [delivered(*each) for each in deliveries]), "J1", "SEAL", None) == expected


def test_what_was_called_off_costs_nothing() -> None:
    """The supplier that could not send is not in the mean; an order called off as a whole bears no freight."""
    orders = [an_order("SEAL 4 for J1 2", freight="8"), an_order("SEAL 6 for J1 2", number=2, freight="5")]
    found = paid_costs(orders, [], [called_off(1, 2, j1="2")])
    assert (cost(found, "J1", "SEAL"), found.freight) == (6, {"j1": 5})


def test_packs_called_off_in_part() -> None:
    """A unit that a job does not get weighs nothing; freight follows what is left of each line."""
    order = an_order("SEAL 4 for J1 2 + J2 2; BELT 8 for J2 1", freight="12")
    found = paid_costs([order, an_order("SEAL 7 for J1 1", number=2)], [], [called_off(1, 2, J1="1", J2="1")])
    assert cost(found, "J1", "SEAL") == Fraction(11, 2)
    assert found.freight == {"j1": 3, "j2": 9}


def test_a_pack_of_several() -> None:
    """Cost of a unit = pack cost by pack quantity, exact."""
    packed = on_line(an_order("CLIP 1.00 for J1 3"), 1, pack_quantity=D(3))
    assert cost(paid_costs([packed], []), "J1", "CLIP") == Fraction(1, 3)


def test_two_orders_of_one_part() -> None:
    """The mean by the units each brought."""
    orders = [an_order("SEAL 4 for J1 3"), an_order("SEAL 8 for J1 1", number=2)]
    assert cost(paid_costs(orders, []), "J1", "SEAL") == 5


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


def test_no_order_no_freight() -> None:
    """A job of shelf parts alone bears none."""
    assert paid_costs([], []).freight == {}


def test_freight_of_goods_that_cost_nothing() -> None:
    """A part sent for nothing still came by freight, which is split by units."""
    order = an_order("GIFT 0 for J1 1; FREE 0 for J1 1 + J2 2", freight="5", fee="3")
    assert paid_costs([order], []).freight == {"j1": 4, "j2": 4}
