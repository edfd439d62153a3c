"""The integer program: how many packs are in question, and that its money is what the order lands for."""

from __future__ import annotations

from decimal import Decimal
from random import Random

import pytest

from quotekit.model.landed import Packs
from quotekit.pricing.exact.solver import Solver
from quotekit.pricing.landed.in_time import covers_of
from quotekit.pricing.landed.price import landed_cost
from quotekit.pricing.landed.program import most_packs, order_program
from tests.landed.random_orders import a_random_order
from tests.pricing.landed.orders import FRIDAY, a_need, a_task, an_offer, terms

MOST = [
    ("all that is needed", terms(), 3),
    ("all goods for free freight", terms(freight=9, free_freight_from=100), 10),
    ("no freight to save", terms(free_freight_from=100), 3),
    ("a minimum without a fee to save", terms(minimum_order=75), 3),
    ("a fee to save", terms(minimum_order=75, small_order_fee=4), 8),
    ("a fee of zero", terms(minimum_order=75, small_order_fee=0), 3),
    ("the larger of both", terms(freight=9, free_freight_from=45, minimum_order=75, small_order_fee=4), 8),
]


@pytest.mark.parametrize(("why", "north", "most"), MOST)
def test_the_most_packs_in_question(why: str, north: object, most: int) -> None:
    """Five seals in packs of two at 10.00: three packs, or what alone reaches a threshold worth reaching."""
    task = a_task([a_need("SEAL", 5)], [an_offer("SEAL", pack=2)], [north])  # type: ignore[list-item]
    assert list(most_packs(task, covers_of(task)).values()) == [most], why


def test_packs_without_a_price_reach_no_threshold() -> None:
    task = a_task([a_need("SEAL", 5)], [an_offer("SEAL", cost=0)], [terms(minimum_order=75, small_order_fee=4)])
    assert list(most_packs(task, covers_of(task)).values()) == [5]


def test_offers_that_are_too_late_are_no_unknowns() -> None:
    task = a_task([a_need("SEAL", by=FRIDAY)], [an_offer("SEAL", lead_days=5), an_offer("SEAL", "AXLE")])
    assert [offer.supplier for offer in order_program(task, covers_of(task)).packs] == ["AXLE"]


@pytest.mark.parametrize("seed", range(20))
def test_its_least_is_what_the_packs_land_for(seed: int) -> None:
    """Rounding and thresholds are stated exactly: the solver's sum and the priced order are one number."""
    task = a_random_order(Random(7000 + seed), 4, 3)
    covers = covers_of(task)
    if not covers:
        return
    stated = order_program(task, covers)
    answer = Solver(stated.program, 20).least(stated.money)
    if answer.values is None:
        assert answer.ending == "none"
        return
    packs = stated.chosen(answer.values)
    landed = landed_cost(task, packs)
    assert Decimal(int(stated.money.value(answer.values))).scaleb(-task.digits) == landed
    assert answer.bound == int(landed.scaleb(task.digits))
    assert all(isinstance(line, Packs) and line.packs > 0 for line in packs)
