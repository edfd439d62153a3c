"""What of an order came in, what is still open, and what was charged otherwise than ordered.

A line is open for its packs less those that came in. A pack that the supplier put off stays open, with the day that was
named last. The difference of a delivery is packs x (what was charged for a pack - what was ordered), plus is dearer.
Units: packs, money. Source: shop policy.

Worked example: three packs ordered at 7.90, two came at 8.20, one is put off until 14 December: one is open, the
difference is 0.60. One goes back: one of those that came last, at 8.20, so the difference is 0.30 again.
"""

from __future__ import annotations

from collections.abc import Iterable, Sequence
from decimal import Decimal

from quotekit.model.entries import Ordered, OrderLine, Received, ReceivedLine
from quotekit.model.landed import LineState

ZERO = Decimal(0)


def line_states(ordered: Ordered, received: Iterable[Received]) -> list[LineState]:
    """The lines of an order after deliveries, in their order."""
    deliveries = [line for one in received for line in one.lines]
    return [
        _state(place, line, [one for one in deliveries if one.line == place])
        for place, line in enumerate(ordered.lines, 1)
    ]


def _state(place: int, line: OrderLine, deliveries: Sequence[ReceivedLine]) -> LineState:
    state = LineState(place=place, line=line)
    for one in deliveries:
        came = state.received + one.packs
        put_off, expected = state.back_ordered, state.expected
        if one.back_ordered:
            put_off, expected = one.back_ordered, one.expected
        put_off = min(put_off, line.packs - came)
        state = LineState(
            place=place,
            line=line,
            received=came,
            back_ordered=put_off,
            expected=expected if put_off else None,
            difference=state.difference + difference_of(line, one),
        )
    return state


def difference_of(line: OrderLine, received: ReceivedLine) -> Decimal:
    """What a delivery was charged more than ordered."""
    return ZERO if received.pack_cost is None else received.packs * (received.pack_cost - line.pack_cost)


Charged = list[tuple[int, Decimal | None]]
"""Packs, and what each was charged; None for as ordered."""


def charged_last(deliveries: Iterable[ReceivedLine], packs: int) -> Charged:
    """What so many packs of a line that go back were charged, None for as ordered: those that came last go first."""
    here: Charged = []
    for one in deliveries:
        if one.packs > 0:
            here.append((one.packs, one.pack_cost))
        elif one.packs:
            alike = [each for each in here if each[1] == one.pack_cost]
            here = [each for each in here if each[1] != one.pack_cost] + _less(alike, -one.packs)[0]
    return _less(here, packs)[1]


def _less(here: Charged, packs: int) -> tuple[Charged, Charged]:
    """What is left, and what was taken, from the end."""
    left, taken = list(here), list[tuple[int, Decimal | None]]()
    while packs and left:
        count, cost = left.pop()
        less = min(count, packs)
        taken.append((less, cost))
        packs -= less
        if count > less:
            left.append((count - less, cost))
    return left, taken


def lines_meant(states: Iterable[LineState], word: str, supplier: str = "") -> list[LineState]:
    """Lines that a word names: the part, its code, or the supplier's number; of a supplier where one is named."""
    wanted, of = _plain(word), _plain(supplier)
    return [
        state
        for state in states
        if wanted in map(_plain, (state.line.part, state.line.code, state.line.suppliers_number))
        and (not of or of == _plain(state.line.supplier))
    ]


def _plain(word: str) -> str:
    return " ".join(word.split()).casefold()
