"""What of an order came in, what is open, and what was charged otherwise."""

from __future__ import annotations

from datetime import date
from decimal import Decimal

import pytest

from quotekit.model.entries import ReceivedLine
from quotekit.model.landed import LineState
from quotekit.pricing.landed.open_orders import charged_last, difference_of, line_states, lines_meant
from tests.pricing.landed.orders import a_line, an_order, came

LATER = date(2026, 12, 14)
THREE = an_order(a_line("BELT", packs=3, pack=1, needed=3, pack_cost=Decimal("7.90")), a_line("SEAL"))


def state(*received: object) -> LineState:
    return line_states(THREE, received)[0]  # type: ignore[arg-type]


def test_the_worked_example() -> None:
    """Two of three came at 8.20 for 7.90, one is put off."""
    now = state(came(1, 1, 2, pack_cost=Decimal("8.20"), back_ordered=1, expected=LATER))
    assert (now.received, now.open, now.back_ordered, now.expected) == (2, 1, 1, LATER)
    assert now.difference == Decimal("0.60")


def test_before_anything_came_all_is_open() -> None:
    assert [(one.place, one.open, one.to_shelf) for one in line_states(THREE, [])] == [(1, 3, 0), (2, 1, 0)]


def test_a_put_off_that_came_is_put_off_no_more() -> None:
    put_off = came(1, 1, 1, back_ordered=2, expected=LATER)
    assert (state(put_off, came(1, 1, 1)).back_ordered, state(put_off, came(1, 1, 1)).expected) == (1, LATER)
    assert (state(put_off, came(1, 1, 2)).back_ordered, state(put_off, came(1, 1, 2)).expected) == (0, None)
    assert state(put_off, came(1, 2, 1)).back_ordered == 2


def test_the_day_that_was_named_last_counts() -> None:
    first, then = (came(1, 1, 0, back_ordered=2, expected=day) for day in (LATER, date(2027, 1, 4)))
    assert state(first, then).expected == date(2027, 1, 4)


def test_units_no_job_needs_go_to_the_shelf() -> None:
    """A pack of four for one unit leaves three, once it is there."""
    assert line_states(THREE, [came(1, 2, 1)])[1].to_shelf == 3


@pytest.mark.parametrize(
    ("cost", "difference"), [(None, "0"), (Decimal("7.90"), "0"), (Decimal("8.00"), "0.20"), (Decimal("7"), "-1.80")]
)
def test_differences_of_price(cost: Decimal | None, difference: str) -> None:
    line = ReceivedLine(supplier="NORTH", part="BELT", packs=2, pack_cost=cost)
    assert difference_of(THREE.lines[0], line) == Decimal(difference)


def test_a_part_is_named_by_code_or_number_in_any_capitals() -> None:
    """A part of one job is found by its code too; the supplier tells two lines apart."""
    order = an_order(
        a_line("SEAL"), a_line("SEAL", supplier="AXLE", suppliers_number="A-1"), a_line("SHAFT of 117", code="SHAFT")
    )
    states = line_states(order, [])
    places = [
        [one.place for one in lines_meant(states, word, supplier)]
        for word, supplier in [
            ("seal", ""),
            ("seal", "axle"),
            (" a-1 ", ""),
            ("SHAFT", ""),
            ("shaft  of 117", ""),
            ("BELT", ""),
        ]
    ]
    assert places == [[1, 2], [2], [2], [3], [3], []]


CHARGED = [
    ([(2, None)], 1, [(1, None)]),
    ([(2, "8.20"), (1, None)], 2, [(1, None), (1, "8.20")]),
    ([(2, "8.20"), (1, None), (-1, None)], 1, [(1, "8.20")]),
    ([(1, "8.20"), (1, None), (-1, "8.20")], 1, [(1, None)]),
    ([(3, "0")], 3, [(3, "0")]),
]


@pytest.mark.parametrize(("came_in", "packs", "charged"), CHARGED)
def test_what_goes_back_was_charged_what_came_last(
    came_in: list[tuple[int, str | None]], packs: int, charged: list[tuple[int, str | None]]
) -> None:
    """Else the difference would keep what was charged for a part that is not there any more."""
    lines = [
        ReceivedLine(supplier="NORTH", part="SEAL", packs=count, pack_cost=_amount(cost)) for count, cost in came_in
    ]
    assert charged_last(lines, packs) == [(count, _amount(cost)) for count, cost in charged]


def _amount(text: str | None) -> Decimal | None:
    return None if text is None else Decimal(text)
