"""What holds of every order: never above the usual one, everything covered in time, no dearer where prices fall."""

from __future__ import annotations

from dataclasses import replace
from decimal import Decimal
from random import Random

from hypothesis import given, settings
from hypothesis import strategies as st

from quotekit.model.landed import NEVER, OrderTask
from quotekit.pricing.landed.choose import is_order
from quotekit.pricing.landed.in_time import covers_of, due_day, offers_for
from quotekit.pricing.landed.price import landed_cost
from quotekit.pricing.landed.share import left_over, share_out
from quotekit.pricing.landed.usual import usual_order
from quotekit.pricing.landed.working_days import arrival
from tests.landed.compared import chosen
from tests.landed.random_orders import a_random_order

SEEDS = st.integers(0, 100_000)


def a_task(seed: int) -> OrderTask:
    draw = Random(seed)
    return a_random_order(draw, draw.randint(1, 6), draw.randint(1, 4))


@given(SEEDS)
@settings(max_examples=30, deadline=None)
def test_it_never_lands_above_the_usual_order(seed: int) -> None:
    """And it is what its packs cost, an order that can be placed, at its own bound."""
    task = a_task(seed)
    choice, covers = chosen(task), covers_of(task)
    usual = usual_order(task, covers)
    assert usual.landed is None or choice.landed <= usual.landed
    assert choice.landed == landed_cost(task, choice.packs) == choice.bound
    assert is_order(covers, choice.packs)


@given(SEEDS)
@settings(max_examples=30, deadline=None)
def test_every_need_gets_its_units_in_time(seed: int) -> None:
    """From what is there by its day, or by the day of the soonest supplier; nothing is handed out twice."""
    task = a_task(seed)
    choice = chosen(task)
    given_out = share_out(task, choice.packs)
    for need in task.needs:
        mine = [one for one in given_out if one.need == need]
        assert sum(one.quantity for one in mine) == need.quantity
        due = due_day(task, need, offers_for(task, need.part))
        assert all(one.offer is None or arrival(task.day, one.offer.lead_days) <= due for one in mine)
    assert all(left_over(line, given_out) >= 0 for line in choice.packs)
    for part in task.parts:
        shelf = sum(one.quantity for one in given_out if one.need.part == part and one.offer is None)
        assert shelf <= sum(lot.units for lot in task.lots if lot.part == part)


@given(SEEDS, st.integers(0, 20))
@settings(max_examples=20, deadline=None)
def test_a_lower_price_never_makes_it_dearer(seed: int, which: int) -> None:
    """Where goods count for no threshold; near one a lower price may cost free freight."""
    task = a_task(seed)
    free = replace(
        task,
        terms={code: replace(terms, free_freight_from=None, minimum_order=None) for code, terms in task.terms.items()},
    )
    offers = list(free.offers)
    offer = offers[which % len(offers)]
    offers[which % len(offers)] = replace(offer, pack_cost=offer.pack_cost / 2)
    cheaper = replace(free, offers=tuple(offers))
    before, after = chosen(free), chosen(cheaper)
    assert after.landed <= before.landed


@given(SEEDS)
@settings(max_examples=20, deadline=None)
def test_more_time_and_one_more_offer_never_make_it_dearer(seed: int) -> None:
    """An order in time for a day is in time for any later one; another supplier need not be used."""
    task = a_task(seed)
    any_time = replace(task, needs=tuple(replace(need, by=NEVER) for need in task.needs), lots=())
    tight = replace(task, lots=())
    before, after = chosen(tight), chosen(any_time)
    assert after.landed <= before.landed
    offer = replace(any_time.offers[0], supplier="NEW", usual=False, suppliers_number="N", pack_cost=Decimal("0.01"))
    more = chosen(replace(any_time, offers=(*any_time.offers, offer)))
    assert more.landed <= after.landed


@given(SEEDS)
@settings(max_examples=15, deadline=None)
def test_the_order_of_rows_moves_nothing(seed: int) -> None:
    """Ties are settled by names, never by where a row stands."""
    task = a_task(seed)
    turned = replace(task, offers=tuple(reversed(task.offers)), needs=tuple(reversed(task.needs)))
    assert chosen(task) == chosen(turned)
