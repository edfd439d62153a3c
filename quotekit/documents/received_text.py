"""A delivery in lines for the screen and as JSON: what came in or goes back, what goes onto the shelf, what is open."""

from __future__ import annotations

from collections.abc import Iterable, Iterator
from datetime import date
from decimal import Decimal
from typing import Any

from quotekit.documents.parts_order_json import exact_money
from quotekit.documents.parts_order_text import unit_beside, without_job
from quotekit.documents.quote_json import plain, problem_json
from quotekit.model.entries import Ordered, OrderLine, ReceivedLine
from quotekit.model.landed import LineState
from quotekit.money import minor_digits
from quotekit.problems import Problem
from quotekit.record import record

ZERO = Decimal(0)


@record
class DeliveryState:
    """An order before and after a delivery, line by line."""

    ordered: Ordered
    before: tuple[LineState, ...]
    after: tuple[LineState, ...]
    lines: tuple[ReceivedLine, ...]


def received_text(number: int, state: DeliveryState) -> list[str]:
    """What a person reads."""
    return [*_came(state), *_shelf(state), *_open(number, state)]


def received_json(number: int, day: date, state: DeliveryState | None, problems: Iterable[Problem]) -> dict[str, Any]:
    """One object for `quotekit receive`."""
    told = [problem_json(problem) for problem in problems]
    if state is None:
        return {"order": number, "day": day.isoformat(), "received": [], "open": [], "problems": told}
    digits = minor_digits(state.ordered.currency)
    lines = {now.place: now.line for now in state.after}
    return {
        "order": number,
        "day": day.isoformat(),
        "currency": state.ordered.currency,
        "received": [_received(one, lines[one.line], digits) for one in state.lines],
        "to_shelf": [{"part": line.part, "quantity": plain(units)} for line, units in _to_shelf(state)],
        "difference": exact_money(_difference(state), digits),
        "difference_so_far": exact_money(sum((now.difference for now in state.after), ZERO), digits),
        "open": [
            {
                "line": now.place,
                "supplier": now.line.supplier,
                "part": now.line.part,
                "packs": now.open,
                "back_ordered": now.back_ordered,
                "expected": None if now.expected is None else now.expected.isoformat(),
                "jobs": sorted(now.line.jobs),
            }
            for now in state.after
            if now.open
        ],
        "problems": told,
    }


def _received(one: ReceivedLine, line: OrderLine, digits: int) -> dict[str, Any]:
    return {
        "line": one.line,
        "supplier": one.supplier,
        "part": one.part,
        "packs": one.packs,
        "back_ordered": one.back_ordered,
        "expected": None if one.expected is None else one.expected.isoformat(),
        "pack_cost": exact_money(line.pack_cost if one.pack_cost is None else one.pack_cost, digits),
    }


def _came(state: DeliveryState) -> Iterator[str]:
    digits = minor_digits(state.ordered.currency)
    for one in state.lines:
        charged = "" if one.pack_cost is None else f", charged {exact_money(one.pack_cost, digits)} a pack"
        if one.packs > 0:
            yield f"Came in: {one.packs} x {one.part} from {one.supplier}{charged}"
        elif one.packs:
            yield f"Goes back: {-one.packs} x {one.part} to {one.supplier}{charged}"
    lines = {now.place: now.line for now in state.after}
    difference = sum(
        (
            one.packs * (one.pack_cost - lines[one.line].pack_cost)
            for one in state.lines
            if one.packs > 0 and one.pack_cost is not None
        ),
        ZERO,
    )
    if difference:
        more = "more" if difference > 0 else "less"
        yield f"Charged {exact_money(abs(difference), digits)} {more} than ordered."


def _shelf(state: DeliveryState) -> Iterator[str]:
    for line, units in _to_shelf(state):
        yield f"Onto the shelf: {plain(units)} {unit_beside(line.unit)} {line.part}".replace("  ", " ")


def _open(number: int, state: DeliveryState) -> Iterator[str]:
    still = [now for now in state.after if now.open]
    if not still:
        yield f"Nothing of order {number} is open."
    for now in still:
        when = "" if now.expected is None else f", expected {now.expected.isoformat()}"
        put_off = f", {now.back_ordered} put off{when}" if now.back_ordered else ""
        jobs = ", ".join(sorted(now.line.jobs)) or "nobody"
        part = without_job(now.line.part, now.line.jobs)
        yield f"Open: {now.open} x {part} from {now.line.supplier} for {jobs}{put_off}"


def _difference(state: DeliveryState) -> Decimal:
    """What this delivery was charged more than ordered."""
    return sum(
        (after.difference - before.difference for before, after in zip(state.before, state.after, strict=True)), ZERO
    )


def _to_shelf(state: DeliveryState) -> Iterator[tuple[OrderLine, Decimal]]:
    for before, after in zip(state.before, state.after, strict=True):
        if after.to_shelf > before.to_shelf:
            yield after.line, after.to_shelf - before.to_shelf
