"""Orders whose cheapest way can be found by hand: packs, freight, thresholds, minimums, days, ties."""

from __future__ import annotations

from decimal import Decimal

import pytest

from quotekit.model.landed import OrderTask, Packs
from quotekit.pricing.landed.choose import choose_order, is_order, only_way
from quotekit.pricing.landed.in_time import covers_of
from quotekit.pricing.landed.usual import usual_order
from tests.pricing.landed.orders import FRIDAY, a_lot, a_need, a_task, an_offer, bought, chosen, terms

SEAL, SEALS = an_offer("SEAL", pack=2, cost="6.40"), an_offer("SEAL", "AXLE", pack=5, cost="14.50")
FREIGHT = [terms("NORTH", freight="11.95"), terms("AXLE", freight="14.50")]

CASES: list[tuple[str, OrderTask, dict[str, int], str]] = [
    ("two fit a pack of two", a_task([a_need("SEAL", 2)], [SEAL, SEALS]), {"SEAL from NORTH": 1}, "6.40"),
    ("five fit the larger pack", a_task([a_need("SEAL", 5)], [SEAL, SEALS]), {"SEAL from AXLE": 1}, "14.50"),
    (
        "seven: packs of both are mixed, 20.90 against 25.60 and 29.00",
        a_task([a_need("SEAL", 7)], [SEAL, SEALS]),
        {"SEAL from NORTH": 1, "SEAL from AXLE": 1},
        "20.90",
    ),
    (
        "seven with freight: one order of four packs, 25.60 + 11.95",
        a_task([a_need("SEAL", 7)], [SEAL, SEALS], FREIGHT),
        {"SEAL from NORTH": 4},
        "37.55",
    ),
    (
        "two jobs share a pack",
        a_task([a_need("SEAL", 1), a_need("SEAL", 1, "118")], [SEAL]),
        {"SEAL from NORTH": 1},
        "6.40",
    ),
    (
        "the shelf first",
        a_task([a_need("SEAL", 5)], [SEAL, SEALS], lots=[a_lot("SEAL", 3)]),
        {"SEAL from NORTH": 1},
        "6.40",
    ),
    (
        "a second part makes the dearer supplier the cheaper one: one freight",
        a_task(
            [a_need("SEAL", 2), a_need("HUB")],
            [SEAL, SEALS, an_offer("HUB", "AXLE", cost=58, usual=True)],
            FREIGHT,
        ),
        {"HUB from AXLE": 1, "SEAL from AXLE": 1},
        "87.00",
    ),
    (
        "one pack more makes freight free: 3 x 1.60 against 1.60 + 9.00",
        a_task([a_need("SEAL")], [an_offer("SEAL", cost="1.60")], [terms(freight=9, free_freight_from="4.80")]),
        {"SEAL from NORTH": 3},
        "4.80",
    ),
    (
        "and where the packs cost more than the freight, not",
        a_task([a_need("SEAL")], [an_offer("SEAL", cost=6)], [terms(freight=9, free_freight_from=18)]),
        {"SEAL from NORTH": 1},
        "15.00",
    ),
    (
        "a small order fee is paid where filling up costs more",
        a_task([a_need("SEAL")], [an_offer("SEAL", cost=6)], [terms(minimum_order=18, small_order_fee=4)]),
        {"SEAL from NORTH": 1},
        "10.00",
    ),
    (
        "below a minimum without a fee nothing is charged and nothing filled up",
        a_task([a_need("SEAL")], [an_offer("SEAL", cost=6)], [terms(minimum_order=18)]),
        {"SEAL from NORTH": 1},
        "6.00",
    ),
    (
        "a fee that is more than what fills the order up",
        a_task([a_need("SEAL")], [an_offer("SEAL", cost=6)], [terms(minimum_order=18, small_order_fee=13)]),
        {"SEAL from NORTH": 3},
        "18.00",
    ),
    (
        "or it is bought elsewhere, dearer by the pack",
        a_task(
            [a_need("SEAL")],
            [an_offer("SEAL", cost=6), an_offer("SEAL", "AXLE", cost=16)],
            [terms(minimum_order=18, small_order_fee=13)],
        ),
        {"SEAL from AXLE": 1},
        "16.00",
    ),
    (
        "extra freight for each pack turns the choice",
        a_task(
            [a_need("TIRE", 2)],
            [an_offer("TIRE", cost=50, extra_freight=Decimal("7.50")), an_offer("TIRE", "AXLE", pack=2, cost=110)],
        ),
        {"TIRE from AXLE": 1},
        "110.00",
    ),
    (
        "the cheap one is too late for Friday",
        a_task(
            [a_need("SEAL", by=FRIDAY)],
            [an_offer("SEAL", cost=5, lead_days=3), an_offer("SEAL", "AXLE", cost=9, lead_days=1)],
        ),
        {"SEAL from AXLE": 1},
        "9.00",
    ),
    (
        "one for Friday from the quick one, the rest from the cheap one",
        a_task(
            [a_need("SEAL", by=FRIDAY), a_need("SEAL", 3, "118")],
            [an_offer("SEAL", cost=5, lead_days=3), an_offer("SEAL", "AXLE", cost=9, lead_days=1)],
        ),
        {"SEAL from NORTH": 3, "SEAL from AXLE": 1},
        "24.00",
    ),
]


@pytest.mark.parametrize(("why", "task", "packs", "landed"), CASES, ids=[case[0] for case in CASES])
def test_the_cheapest_order(why: str, task: OrderTask, packs: dict[str, int], landed: str) -> None:
    choice = chosen(task)
    assert (bought(choice), str(choice.landed)) == (packs, landed), why
    assert choice.proven and choice.bound == choice.landed


TIES: list[tuple[str, OrderTask, dict[str, int]]] = [
    (
        "fewer suppliers",
        a_task(
            [a_need("BELT"), a_need("HUB")],
            [an_offer("BELT"), an_offer("BELT", "AXLE"), an_offer("HUB", "AXLE", usual=True)],
        ),
        {"BELT from AXLE": 1, "HUB from AXLE": 1},
    ),
    (
        "then fewer packs",
        a_task([a_need("SEAL", 4)], [an_offer("SEAL", pack=2, cost=5), an_offer("SEAL", "AXLE", pack=4, cost=10)]),
        {"SEAL from AXLE": 1},
    ),
    (
        "then the usual supplier",
        a_task([a_need("SEAL")], [an_offer("SEAL", "AXLE"), an_offer("SEAL")]),
        {"SEAL from NORTH": 1},
    ),
    (
        "then text order of suppliers",
        a_task([a_need("SEAL")], [an_offer("SEAL", "ZED"), an_offer("SEAL", "AXLE")]),
        {"SEAL from AXLE": 1},
    ),
]


@pytest.mark.parametrize(("why", "task", "packs"), TIES, ids=[case[0] for case in TIES])
def test_orders_that_land_for_the_same(why: str, task: OrderTask, packs: dict[str, int]) -> None:
    choice = chosen(task)
    assert bought(choice) == packs, why
    assert choice.ties_settled


def test_the_proof_names_what_was_compared() -> None:
    """A person reads how many offers were in question and what nothing lands below."""
    assert chosen(CASES[2][1]).compared == (
        "Proved by an integer program over all ways to buy these parts from 2 offers of 2 suppliers:"
        " none lands for less."
    )


def test_where_there_is_one_way_no_program_is_stated() -> None:
    """One offer a part and no threshold left to reach: the common order needs no solver."""
    task = a_task([a_need("SEAL", 3), a_need("BELT")], [SEAL, an_offer("BELT")], [terms(freight=9)])
    assert only_way(task, covers_of(task)) is not None
    assert "one supplier in question" in chosen(task).compared
    for turned in (terms(freight=9, free_freight_from=100), terms(minimum_order=100, small_order_fee=1)):
        other = a_task([a_need("SEAL", 3)], [SEAL], [turned])
        assert only_way(other, covers_of(other)) is None


def test_nothing_to_buy_is_an_order_of_nothing() -> None:
    choice = chosen(a_task([a_need("SEAL")], [SEAL], lots=[a_lot("SEAL", 1)]))
    assert (choice.packs, choice.landed, choice.proven) == ((), Decimal(0), True)


def test_goods_without_a_price_pay_the_fee() -> None:
    """No number of packs reaches the minimum."""
    choice = chosen(a_task([a_need("SEAL")], [an_offer("SEAL", cost=0)], [terms(minimum_order=5, small_order_fee=4)]))
    assert (bought(choice), choice.landed) == ({"SEAL from NORTH": 1}, Decimal(4))


def test_out_of_time_the_usual_order_stands_with_its_gap() -> None:
    """No seconds, no search: what is known is told, and nothing is called proved."""
    task = a_task([a_need("SEAL", 7)], [SEAL, SEALS])
    covers = covers_of(task)
    choice = choose_order(task, covers, usual_order(task, covers), 0)
    assert bought(choice) == {"SEAL from NORTH": 4}
    assert (choice.proven, choice.bound, choice.ties_settled) == (False, Decimal("0.00"), False)
    assert choice.compared.startswith("Not proved in the time given")


def test_out_of_time_without_a_usual_order_the_quickest_stands() -> None:
    """Seals by Friday from who sends by then, at the least a unit."""
    offers = [
        an_offer("SEAL", lead_days=5),
        an_offer("SEAL", "AXLE", pack=2, cost=12),
        an_offer("SEAL", "VALLEY", cost=7),
    ]
    task = a_task([a_need("SEAL", 3, by=FRIDAY), a_need("SEAL", 2, "118")], offers)
    covers = covers_of(task)
    choice = choose_order(task, covers, usual_order(task, covers), 0)
    assert (bought(choice), choice.proven, choice.landed) == ({"SEAL from AXLE": 3}, False, Decimal(36))


@pytest.mark.parametrize(("packs", "whole"), [(1, False), (2, True), (3, True)])
def test_an_order_is_one_only_where_it_covers(packs: int, whole: bool) -> None:
    task = a_task([a_need("SEAL", 3)], [SEAL])
    assert is_order(covers_of(task), [Packs(offer=SEAL, packs=packs)]) is whole
