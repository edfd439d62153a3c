"""Packs called off: who needs units again, what is left of the order, and who is not asked again."""

from __future__ import annotations

from dataclasses import replace
from datetime import date
from decimal import Decimal

import pytest

from quotekit.model.entries import Cancelled, CancelledLine, SupplierOrder
from quotekit.pricing.landed.called_off import without_called_off
from quotekit.pricing.landed.cancel import units_lost, what_is_left
from quotekit.pricing.landed.stock import stock_of
from tests.pricing.landed.orders import (
    DAY,
    FRIDAY,
    MONDAY,
    a_line,
    a_need,
    a_take,
    a_task,
    an_offer,
    an_order,
    bought,
    came,
    chosen,
    entries,
    number,
)

LATER = date(2026, 12, 3)


def off(
    packs: int, jobs: dict[str, object] | None = None, *, line: int = 1, order: int = 1, by: str = "supplier"
) -> Cancelled:
    told = {job: number(units) for job, units in (jobs or {}).items()}
    one = CancelledLine(supplier="NORTH", part="SEAL", packs=packs, line=line, jobs=told)
    return Cancelled(order=order, lines=(one,), by=by)  # type: ignore[arg-type]


LOST = [
    # packs of the line, units a pack, jobs, units received, packs called off, units lost by job
    (1, 4, {"117": 1}, 0, 1, {"117": 1}),
    (2, 2, {"A": 2, "B": 1}, 0, 1, {"B": 1}),
    (2, 2, {"A": 2, "B": 1}, 0, 2, {"A": 2, "B": 1}),
    (3, 1, {"A": 1, "B": 1, "C": 1}, 1, 1, {"C": 1}),
    (3, 1, {"A": 1, "B": 1, "C": 1}, 1, 2, {"B": 1, "C": 1}),
    (2, 4, {"A": 1}, 0, 1, {}),
    (2, "2.5", {"A": "2.5", "B": "0.5"}, 0, 1, {"B": "0.5"}),
]  # fmt: skip


@pytest.mark.parametrize(("packs", "pack", "jobs", "received", "called_off", "lost"), LOST)
def test_the_last_in_order_of_jobs_lose_theirs(
    packs: int, pack: object, jobs: dict[str, object], received: int, called_off: int, lost: dict[str, object]
) -> None:
    """What would be left over goes first, so a pack more than needed is called off at nobody's cost."""
    told = {job: number(units) for job, units in jobs.items()}
    line = a_line(packs=packs, pack=pack, needed=sum(told.values()), jobs=told)
    stock = stock_of(entries(an_order(line), came(1, 1, received)))
    assert units_lost(stock.line(1, 1), called_off) == {job: number(units) for job, units in lost.items()}


def test_who_needs_it_latest_loses_first() -> None:
    """A needs its seal by Monday, B by Friday before: A loses, though B comes later in text order."""
    line = a_line(packs=2, pack=1, needed=2, jobs={"A": Decimal(1), "B": Decimal(1)})
    order = an_order(line, needed_by={"A": MONDAY, "B": FRIDAY})
    assert units_lost(stock_of(entries(order)).line(1, 1), 1) == {"A": Decimal(1)}


def test_later_orders_that_were_given_what_is_left_over_lose_before_the_jobs_of_the_line() -> None:
    """Two packs of two for A, who needs three; order 2 gives the fourth seal to B. One pack less: B and A lose one."""
    first = an_order(a_line(packs=2, pack=2, needed=3, jobs={"A": Decimal(3)}))
    second = an_order(shelf=[a_take("SEAL", 1, "B")])
    stock = stock_of(entries(first, second))
    assert units_lost(stock.line(1, 1), 1) == {"A": Decimal(1), "B": Decimal(1)}
    after = stock_of(entries(first, second, off(1, {"A": 1, "B": 1})))
    assert (after.has("A", "SEAL"), after.has("B", "SEAL"), after.on_the_way("SEAL")) == (2, 0, 0)


def test_stock_after_packs_were_called_off() -> None:
    """Two packs of four for one seal: seven are on the way; one pack less leaves three, and what comes is there."""
    line = a_line(packs=2, pack=4, needed=1)
    stock = stock_of(entries(an_order(line), off(1)))
    assert (stock.on_shelf("SEAL"), stock.on_the_way("SEAL"), stock.has("117", "SEAL")) == (0, 3, 1)
    stock = stock_of(entries(an_order(line), off(1), came(1, 1, 1)))
    assert (stock.on_shelf("SEAL"), stock.on_the_way("SEAL")) == (3, 0)


def test_what_went_back_is_on_the_way_again() -> None:
    """A pack of four came in for one seal, three are there; it goes back: none is there, three are to come."""
    line = a_line(packs=1, pack=4, needed=1)
    stock = stock_of(entries(an_order(line), came(1, 1, 1), came(1, 1, -1)))
    assert (stock.on_shelf("SEAL"), stock.on_the_way("SEAL"), stock.has("117", "SEAL")) == (0, 3, 1)


def test_what_is_left_of_an_order() -> None:
    """Three packs at 6.40 with 1.50 of extra freight and 9.00 flat; one is called off: 12.80, and 10.00 of freight."""
    line = a_line(packs=3, pack=2, needed=6, extra_freight=Decimal("1.50"), jobs={"A": Decimal(4), "B": Decimal(2)})
    supplier = SupplierOrder(
        supplier="NORTH",
        name="North",
        goods=Decimal("19.20"),
        freight=Decimal("10.50"),
        fee=Decimal(4),
        total=Decimal("33.70"),
    )
    order = an_order(line, suppliers=(supplier,))
    left = what_is_left(order, [off(1, {"B": 2})])
    assert [(one.packs, one.amount, dict(one.jobs), one.left_over) for one in left.lines] == [
        (2, Decimal("12.80"), {"A": Decimal(4)}, 0)
    ]
    (one,) = left.suppliers
    assert (one.goods, one.freight, one.fee, one.total) == tuple(map(Decimal, ("12.80", "10.00", "4", "26.80")))
    gone = what_is_left(order, [off(1, {"B": 2}), off(2, {"A": 4})])
    assert (gone.suppliers, gone.lines[0].packs, gone.lines[0].jobs, gone.landed) == ((), 0, {}, 0)
    assert what_is_left(order, []) is order


NORTHS, AXLES = an_offer("SEAL", "NORTH", cost=10), an_offer("SEAL", "AXLE", cost=14)


@pytest.mark.parametrize(
    ("dated", "by", "job", "seller"),
    [
        (None, "supplier", "117", "AXLE"),
        (DAY, "supplier", "117", "AXLE"),
        (LATER, "supplier", "117", "NORTH"),
        (None, "shop", "117", "NORTH"),
        (None, "supplier", "118", "NORTH"),
    ],
)
def test_who_called_it_off_is_not_asked_again(dated: date | None, by: str, job: str, seller: str) -> None:
    """By the jobs that lost theirs, until its price is asked again; not where the shop called it off."""
    line = a_line(packs=1, pack=1, needed=1)
    stock = stock_of(entries(an_order(line), off(1, {"117": 1}, by=by)))
    task = a_task([a_need("SEAL", 1, job)], [replace(NORTHS, dated=dated), AXLES])
    marked, notes = without_called_off(task, stock)
    assert (list(bought(chosen(marked))), notes) == ([f"SEAL from {seller}"], [])


def test_where_nobody_else_sells_it_it_is_asked_again() -> None:
    stock = stock_of(entries(an_order(a_line(packs=1, pack=1, needed=1)), off(1, {"117": 1})))
    task = a_task([a_need("SEAL")], [NORTHS])
    marked, (note,) = without_called_off(task, stock)
    assert marked == task
    assert note.message == "SEAL was called off by NORTH, and nobody else offers it: it is ordered there again."
