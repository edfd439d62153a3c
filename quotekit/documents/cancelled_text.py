"""What of an order was called off, in lines for the screen and as JSON: what is needed again, and what still comes."""

from __future__ import annotations

from collections.abc import Iterable, Iterator, Mapping
from datetime import date
from decimal import Decimal
from typing import Any

from quotekit.documents.parts_order_json import supplier_json
from quotekit.documents.quote_json import money, plain, problem_json
from quotekit.model.entries import CancelledLine, Ordered, SupplierOrder
from quotekit.money import minor_digits
from quotekit.problems import Problem
from quotekit.record import record


@record
class CancelledState:
    """An order before packs were called off and after."""

    before: Ordered
    after: Ordered
    lines: tuple[CancelledLine, ...]
    came: Mapping[str, int]
    """Packs of these parts that came in before, and stay."""

    @property
    def needed_again(self) -> list[tuple[str, str, Decimal]]:
        """Job, part and units that it does not get."""
        found: dict[tuple[str, str], Decimal] = {}
        for line in self.lines:
            for job, units in line.jobs.items():
                found[job, line.part] = found.get((job, line.part), Decimal(0)) + units
        return [(job, part, units) for (job, part), units in sorted(found.items())]

    @property
    def still_send(self) -> list[SupplierOrder]:
        """Suppliers that lost some packs and send others, with goods, freight and fee as first worked out."""
        less = {line.supplier for line in self.lines}
        return [one for one in self.after.suppliers if one.supplier in less]


def cancelled_json(number: int, day: date, state: CancelledState | None, problems: Iterable[Problem]) -> dict[str, Any]:
    """One object for `quotekit cancel-order`; without what was called off where nothing was."""
    told = [problem_json(problem) for problem in problems]
    if state is None:
        return {"order": number, "day": day.isoformat(), "cancelled": [], "needed_again": [], "problems": told}
    digits = minor_digits(state.before.currency)
    return {
        "order": number,
        "day": day.isoformat(),
        "currency": state.before.currency,
        "cancelled": [
            {"line": one.line, "supplier": one.supplier, "part": one.part, "packs": one.packs} for one in state.lines
        ],
        "needed_again": [
            {"job": job, "part": part, "quantity": plain(units)} for job, part, units in state.needed_again
        ],
        "came_in": dict(state.came),
        "still_send": [supplier_json(one, digits) for one in state.still_send],
        "problems": told,
    }


def cancelled_text(state: CancelledState) -> Iterator[str]:
    """What a person reads."""
    digits = minor_digits(state.before.currency)
    for line in state.lines:
        yield f"Called off: {line.packs} x {line.part} from {line.supplier}"
    for part, packs in state.came.items():
        yield f"Came in before, and stays: {packs} x {part}"
    for job, part, units in state.needed_again:
        yield f"Job {job} needs {plain(units)} {part} again."
    if state.needed_again:
        yield "`quotekit order` buys what is needed again."
    for one in state.still_send:
        beside = f", freight {money(one.freight, digits)}" if one.freight else ", no freight"
        beside += f", small order fee {money(one.fee, digits)}" if one.fee else ""
        goods = money(one.goods, digits)
        yield f"{one.name} still sends goods for {goods}{beside}, as first worked out: ask what it charges now."
