"""What touches an open quote: a figure that would be another, and the parts by which."""

from __future__ import annotations

from decimal import Decimal as D
from typing import Any

import pytest

from quotekit.model.quote import PartLine, PricedTier
from quotekit.pricing.proposals.touched import ALONE, Changed, OnBook, touched_by
from tests.documents import quotes

ALL = Changed(amounts=frozenset({"BELT", "OIL", "PIN"}))
Touching = tuple[tuple[str, ...], tuple[str, ...]]


def line(part: str = "BELT", **values: Any) -> PartLine:
    """One for 20.00 that costs 10.00, in a pack of one, in two days."""
    told: dict[str, Any] = {"cost": D("10"), "pack_cost": D("10"), "packs": 1, "lead_days": 2}
    return quotes.part(part, "20", part=part, **(told | values))


def option(*lines: PartLine, **values: Any) -> PricedTier:
    """An option for 100.00 that leaves 40.00."""
    told: dict[str, Any] = {"total": D("100"), "margin": D("40"), "ready_days": 3, "offered": True}
    return quotes.tier("good", (quotes.GUARD_ITEM,), lines, **(told | values))


def on_book(now: PricedTier | None, held: PricedTier | None = None, **extras: PricedTier) -> OnBook:
    """A quote of one option `good`, as the engine would quote it and held as it was offered, also with extras."""
    priced = {} if now is None else {"good": now}
    of_held = {**({} if held is None else {ALONE: held}), **extras}
    return OnBook(priced=priced, held={"good": of_held} if of_held else {})


def touched(before: OnBook, after: OnBook, changed: Changed = ALL, of_job: tuple[str, ...] = ()) -> Touching:
    return touched_by(before, after, changed, of_job, 2)


@pytest.mark.parametrize(
    "dearer",
    [
        {"unit_price": D("21")},
        {"amount": D("21")},
        {"core_charge": D("5")},
        {"cost": D("11")},
        {"pack_cost": D("10.01")},
        {"packs": 2},
        {"pack_cost": None},
    ],
)
def test_any_figure_of_a_part_line_touches(dearer: dict[str, Any]) -> None:
    assert touched(on_book(option(line())), on_book(option(line(**dearer)))) == (("BELT",), ())
    assert touched(on_book(option(line(**dearer))), on_book(option(line()))) == (("BELT",), ())


@pytest.mark.parametrize(
    "other",
    [
        {"suppliers_number": "N-9"},
        {"lead_days": 9},
        {"why_price": "list price"},
        {"pack_cost": D("10.004")},
        {"left_over": D(1)},
    ],
)
def test_what_no_figure_shows_touches_nothing(other: dict[str, Any]) -> None:
    """A tenth of a cent in what a pack costs is no cent of what goes out of the till."""
    assert touched(on_book(option(line())), on_book(option(line(**other)))) == ((), ())


def test_packs_are_bought_whole() -> None:
    """Three packs at 10.004 are 30.01 and not 30.00."""
    before, after = (option(line(packs=3, pack_cost=D(cost))) for cost in ("10.000", "10.004"))
    assert touched(on_book(before), on_book(after)) == (("BELT",), ())


def test_only_parts_with_a_proposal_touch() -> None:
    before, after = option(line(), line("NUT")), option(line(cost=D("11")), line("NUT", cost=D("11")))
    assert touched(on_book(before), on_book(after)) == (("BELT",), ())


def test_a_part_that_only_one_of_the_books_asks_for() -> None:
    assert touched(on_book(option()), on_book(option(line()))) == (("BELT",), ())
    assert touched(on_book(option(line())), on_book(option())) == (("BELT",), ())
    assert touched(on_book(option(line())), on_book(None)) == (("BELT",), ())
    assert touched(on_book(None), on_book(option(line()))) == (("BELT",), ())


def test_what_the_customer_brings_and_what_the_job_has_a_price_for() -> None:
    own = on_book(option(line(own=True))), on_book(option(line(own=True, cost=D("11"))))
    assert touched(*own) == ((), ())
    before, after = on_book(option(line())), on_book(option(line(cost=D("11"))))
    assert touched(before, after, of_job=("BELT",)) == ((), ())
    with_extra = (
        on_book(None, option(), CLEAN=option(line())),
        on_book(None, option(), CLEAN=option(line(cost=D("11")))),
    )
    assert touched(*with_extra) == ((), ("BELT",))
    assert touched(*with_extra, of_job=("BELT",)) == ((), ())


def test_an_option_that_is_not_offered_touches_nothing() -> None:
    before, after = option(line(), offered=False), option(line(cost=D("11")), offered=False)
    assert touched(on_book(before), on_book(after)) == ((), ())
    offered = option(line(cost=D("11")))
    assert touched(on_book(before), on_book(offered)) == (("BELT",), ())
    assert touched(on_book(offered), on_book(before)) == (("BELT",), ())


@pytest.mark.parametrize("moved", [{"total": D("101")}, {"margin": D("39")}, {"ready_days": 4}, {"offered": False}])
def test_what_is_offered_may_hang_on_an_option_that_is_not(moved: dict[str, Any]) -> None:
    """A figure moves and no part of an offered option does: then every part with a proposal is told."""

    def book(pin: str, **values: Any) -> OnBook:
        hidden = option(line("PIN", cost=D(pin)), line("NUT"), offered=False)
        return OnBook(priced={"good": option(line(), **values), "best": hidden}, held={})

    assert touched(book("10"), book("11", **moved)) == (("BELT", "PIN"), ())
    assert touched(book("10"), book("11")) == ((), ())


def test_the_work_held_as_it_was_offered_touches_too() -> None:
    """The engine would choose other work now; what was promised costs more."""
    before, after = on_book(option(), held=option(line())), on_book(option(), held=option(line(cost=D("11"))))
    assert touched(before, after) == (("BELT",), ())


def test_what_only_an_extra_would_hold_is_told_apart() -> None:
    def book(oil: str, belt: str = "10") -> OnBook:
        held = option(line(cost=D(belt)))
        return on_book(held, held=held, CLEAN=option(line(cost=D(belt)), line("OIL", cost=D(oil))))

    assert touched(book("10"), book("11")) == ((), ("OIL",))
    assert touched(book("10"), book("11", belt="11")) == (("BELT",), ("OIL",))
    assert touched(book("10"), book("10", belt="11")) == (("BELT",), ())


def test_a_part_in_whose_place_another_comes() -> None:
    changed = Changed(places=frozenset({"BELT"}))
    before, after = option(line()), option(line("LONG", replaces=("BELT",)))
    assert touched(on_book(before), on_book(after), changed) == (("BELT",), ())
    assert touched(on_book(after), on_book(before), changed) == (("BELT",), ())
    assert touched(on_book(option(line("PIN"))), on_book(option(line("PIN", cost=D("11")))), changed) == ((), ())
    both = Changed(amounts=frozenset({"PIN"}), places=frozenset({"BELT"}))
    before, after = option(line(), line("PIN")), option(line("LONG", replaces=("BELT",)), line("PIN", cost=D("11")))
    assert touched(on_book(before), on_book(after), both) == (("BELT", "PIN"), ())


SLOW = Changed(leads=frozenset({"BELT"}))


@pytest.mark.parametrize(
    ("before", "after", "ready", "expected"),
    [
        ({"BELT": 2, "PIN": 5}, {"BELT": 7, "PIN": 5}, (6, 8), ("BELT",)),
        ({"BELT": 7, "PIN": 5}, {"BELT": 2, "PIN": 5}, (8, 6), ("BELT",)),
        ({"BELT": 2, "PIN": 5}, {"BELT": 4, "PIN": 5}, (6, 6), ()),
        ({"BELT": 2, "PIN": 5}, {"BELT": 4, "PIN": 9}, (6, 10), ()),
        ({"BELT": 5, "PIN": 5}, {"BELT": 4, "PIN": 5}, (6, 6), ()),
        ({"BELT": 2, "PIN": 5}, {"BELT": None, "PIN": 5}, (6, None), ("BELT",)),
        ({"BELT": 9, "PIN": None}, {"BELT": 9, "PIN": 5}, (None, 10), ("BELT",)),
        ({"BELT": 5, "PIN": None}, {"BELT": 4, "PIN": None}, (None, 9), ()),
    ],
)
def test_a_lead_time_touches_where_the_option_waits_for_it(
    before: dict[str, Any], after: dict[str, Any], ready: tuple[Any, Any], expected: tuple[str, ...]
) -> None:
    was, now = (
        option(*(line(part, lead_days=days) for part, days in leads.items()), ready_days=day)
        for leads, day in zip((before, after), ready, strict=True)
    )
    assert touched(on_book(was), on_book(now), SLOW) == (expected, ())
