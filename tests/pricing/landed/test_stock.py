"""What is on the shelf and on its way, told by entries alone."""

from __future__ import annotations

from datetime import date
from decimal import Decimal

import pytest

from quotekit.model.entries import Ordered, Received, ShelfMove
from quotekit.model.landed import NEVER
from quotekit.pricing.landed.stock import Stock, each, stock_of
from tests.pricing.landed.orders import DAY, MONDAY, TUESDAY, a_line, a_move, a_take, an_order, came, entries


def told(stock: Stock, part: str = "SEAL") -> tuple[str, str]:
    """Units on the shelf and on the way."""
    return f"{stock.on_shelf(part).normalize():f}", f"{stock.on_the_way(part).normalize():f}"


def test_what_an_order_leaves_over_is_on_its_way_until_it_comes() -> None:
    """A pack of four for a job that needs one: three are left over, and are there with the pack."""
    order = an_order(a_line())
    assert told(stock_of(entries(order))) == ("0", "3")
    assert told(stock_of(entries(order, came(1, 1, 1)))) == ("3", "0")


def test_packs_that_come_serve_the_jobs_first() -> None:
    """Two packs of four for five units: the first pack is all for the job, the second leaves three."""
    order = an_order(a_line(packs=2, needed=5))
    assert told(stock_of(entries(order, came(1, 1, 1)))) == ("0", "3")
    assert told(stock_of(entries(order, came(1, 1, 1), came(1, 1, 1)))) == ("3", "0")


def test_a_take_uses_what_is_there_before_what_is_coming() -> None:
    first, second = an_order(a_line()), an_order(shelf=[a_take("SEAL", 2, "118")])
    assert told(stock_of(entries(first, a_move("SEAL", 1), second))) == ("0", "2")


def test_a_take_of_what_is_coming_is_gone_when_it_comes() -> None:
    first, second = an_order(a_line()), an_order(shelf=[a_take("SEAL", 2, "118")])
    assert told(stock_of(entries(first, second))) == ("0", "1")
    assert told(stock_of(entries(first, second, came(1, 1, 1)))) == ("1", "0")


def test_moves_by_hand() -> None:
    assert told(stock_of(entries(a_move("SEAL", 4), a_move("SEAL", -1)))) == ("3", "0")
    assert told(stock_of(entries(a_move("SEAL", 1), a_move("SEAL", -5), a_move("SEAL", 2)))) == ("2", "0")


def test_what_was_never_counted_is_not_known() -> None:
    """The shop's own stock: takes of it leave no debt, and the first count counts."""
    before = stock_of(entries(an_order(shelf=[a_take("COTTER", 6)])))
    assert (before.counted, before.parts(), told(before, "COTTER")) == (set(), [], ("0", "0"))
    after = stock_of(entries(an_order(shelf=[a_take("COTTER", 6)]), a_move("COTTER", 40)))
    assert (after.counted, told(after, "COTTER")) == ({"COTTER"}, ("40", "0"))


def test_a_count_of_nothing_is_a_count() -> None:
    stock = stock_of(entries(a_move("COTTER", 0)))
    assert (stock.counted, stock.parts(), told(stock, "COTTER")) == ({"COTTER"}, ["COTTER"], ("0", "0"))


def test_what_jobs_have() -> None:
    """By job key: a number typed in other capitals is the same job."""
    order = an_order(a_line(needed=2, jobs={"A-7": Decimal(2)}), shelf=[a_take("SEAL", 1, "a-7"), a_take("BELT", 1)])
    assert stock_of(entries(order)).got == {("a-7", "seal"): 3, ("117", "belt"): 1}


def test_when_it_is_there() -> None:
    """By the lead; by the day the supplier named last; nobody knows once that day has passed."""
    order = an_order(a_line(lead_days=2))
    put_off = came(1, 1, 0, back_ordered=1, expected=date(2026, 12, 14))
    days = [
        [(f"{lot.units}", lot.there_from) for lot in stock_of(found).lots(day)]
        for found, day in [
            (entries(order), DAY),
            (entries(order), TUESDAY),
            (entries(order, put_off), TUESDAY),
            (entries(order, came(1, 1, 0, back_ordered=1)), DAY),
            (entries(order, came(1, 1, 1)), MONDAY),
        ]
    ]
    assert days == [[("3", there)] for there in (MONDAY, NEVER, date(2026, 12, 14), NEVER, MONDAY)]


def test_what_units_cost() -> None:
    """As ordered, as charged, or as typed; the latest that is known."""
    order = an_order(a_line())
    assert stock_of(entries(order)).unit_cost("SEAL") == Decimal("1.6")
    assert stock_of(entries(order, came(1, 1, 1, pack_cost=Decimal("7.00")))).unit_cost("SEAL") == Decimal("1.75")
    assert stock_of(entries(order, a_move("SEAL", 1, "1.90"))).unit_cost("SEAL") == Decimal("1.90")
    assert stock_of(entries(a_move("SEAL", 1))).unit_cost("SEAL") is None
    assert each(Decimal(10), Decimal(3)) == Decimal("3.333333")


def test_each_order_and_line_by_itself() -> None:
    """Two orders of one part, two lines of one part from one supplier: a delivery belongs to its line."""
    order = an_order(a_line(), a_line(packs=1, pack=10, needed=0))
    found = entries(order, an_order(a_line(packs=1, pack=6, needed=6)), came(1, 2, 1))
    assert told(stock_of(found)) == ("10", "3")
    assert told(stock_of(entries(order, came(7, 1, 1)))) == ("0", "13")


GIVEN_BACK = [
    # bodies, then (has, on the shelf, on the way) of seals and job 117
    ([an_order(a_line(packs=1, pack=4, needed=2))], (1, 0, 3)),
    ([an_order(a_line(packs=1, pack=4, needed=2)), came(1, 1, 1)], (1, 3, 0)),
    ([a_move("SEAL", 3), an_order(shelf=[a_take("SEAL", 2)])], (1, 2, 0)),
    ([an_order(shelf=[a_take("SEAL", 2)])], (1, 0, 0)),
]


@pytest.mark.parametrize(("bodies", "then"), GIVEN_BACK)
def test_a_job_gives_one_back(bodies: list[Ordered | Received | ShelfMove], then: tuple[int, int, int]) -> None:
    """Its share of a pack is on its way as the pack is; what it took is there; of stock never counted nothing is."""
    stock = stock_of(entries(*bodies, a_move("SEAL", 1, job="117")))
    assert (stock.has("117", "SEAL"), stock.on_shelf("SEAL"), stock.on_the_way("SEAL")) == then


def test_what_is_taken_for_a_job_is_no_longer_needed_by_it() -> None:
    stock = stock_of(entries(a_move("SEAL", 3), a_move("SEAL", -2, job="117")))
    assert (stock.has("117", "SEAL"), stock.on_shelf("SEAL")) == (2, 1)


def test_stock_that_was_never_counted_stays_uncounted() -> None:
    """A pin given back to a box of pins that nobody counts: the box is as it was."""
    stock = stock_of(entries(an_order(shelf=[a_take("PIN", 2)]), a_move("PIN", 1, job="117")))
    assert (stock.parts(), stock.lots(DAY), stock.keeps_count("PIN")) == ([], [], False)
