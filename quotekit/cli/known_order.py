"""An order of the ledger as it stands: what of it was not called off, what came in, and which line a word means."""

from __future__ import annotations

from collections.abc import Iterable, Sequence
from typing import TYPE_CHECKING

from quotekit.problems import Place, Problem, error
from quotekit.record import record

if TYPE_CHECKING:
    from quotekit.ledger.ledger import Ledger
    from quotekit.model.entries import Entry, Ordered, Received, ReceivedLine
    from quotekit.model.landed import LineState


@record
class KnownOrder:
    """An order with what happened to it since."""

    entry: Entry
    ordered: Ordered
    """Less what was called off."""
    deliveries: tuple[tuple[Entry, Received], ...]
    cancellations: tuple[Entry, ...]

    def packs_at_first(self, states: Iterable[LineState]) -> list[int]:
        """Packs of these lines as they were ordered."""
        from quotekit.model.entries import Ordered

        lines = self.entry.told(Ordered).lines
        return [lines[state.place - 1].packs for state in states]

    @property
    def states(self) -> list[LineState]:
        """Its lines with what came in so far."""
        return self.states_with()

    def came_of(self, place: int) -> list[ReceivedLine]:
        """What came in of a line, and went back, in order."""
        return [line for _, told in self.deliveries for line in told.lines if line.line == place]

    def states_with(self, *more: Received) -> list[LineState]:
        """Its lines after a delivery more."""
        from quotekit.pricing.landed.open_orders import line_states

        return line_states(self.ordered, [*(told for _, told in self.deliveries), *more])


def known_order(ledger: Ledger, number: int) -> tuple[KnownOrder | None, list[Problem]]:
    """The order of a number; a problem that says which there are where there is none of it."""
    from quotekit.model.entries import Cancelled, Ordered, Received
    from quotekit.pricing.landed.cancel import what_is_left

    orders = {entry.number: entry for entry in ledger.entries(kinds=("ordered",))}
    entry = orders.get(number)
    if entry is None:
        known = f"Orders so far: 1 to {len(orders)}." if orders else "No order was made yet."
        return None, [wrong_order(ledger, "unknown-order", f"There is no order {number}.", known)]
    came = [(one, one.told(Received)) for one in ledger.entries(kinds=("received",))]
    off = [(one, one.told(Cancelled)) for one in ledger.entries(kinds=("cancelled",))]
    return (
        KnownOrder(
            entry=entry,
            ordered=what_is_left(entry.told(Ordered), [told for _, told in off if told.order == number]),
            deliveries=tuple(each for each in came if each[1].order == number),
            cancellations=tuple(one for one, told in off if told.order == number),
        ),
        [],
    )


def is_written(ledger: Ledger, order: Entry) -> bool:
    """Whether the sheets of an order came into their place."""
    return any(entry.body.get("of") == order.seq for entry in ledger.entries(job="", kinds=("written",)))


def line_meant(
    ledger: Ledger, number: int, states: Sequence[LineState], word: str, supplier: str = ""
) -> tuple[LineState | None, list[Problem]]:
    """The line that a word names: of several the one that is open."""
    from quotekit.pricing.landed.open_orders import lines_meant

    meant = lines_meant(states, word, supplier)
    if len(meant) > 1:
        meant = [state for state in meant if state.open] or meant[:1]
    if len(meant) == 1:
        return meant[0], []
    if meant:
        which = ", ".join(f"{state.line.supplier} {state.line.suppliers_number}".strip() for state in meant)
        remedy = f"Say which with --supplier, or by the supplier's number: {which}."
        message = f"{word} stands on several lines of order {number}."
        return None, [wrong_order(ledger, "part-on-several-lines", message, remedy, word)]
    return None, [_not_ordered(ledger, number, states, word, supplier)]


def packs_said(packs: int, part: str) -> str:
    """Packs as somebody told them.

    >>> packs_said(1, "BELT"), packs_said(3, "BELT")
    ('1 pack of BELT is said', '3 packs of BELT are said')
    """
    return f"{packs} pack of {part} is said" if packs == 1 else f"{packs} packs of {part} are said"


def wrong_order(ledger: Ledger, code: str, message: str, remedy: str, text: str = "") -> Problem:
    """A problem with an order, placed at the ledger."""
    return error(Place(ledger.address.shown), code, message, remedy, text)


def _not_ordered(ledger: Ledger, number: int, states: Iterable[LineState], word: str, supplier: str) -> Problem:
    from quotekit.workbook.names import did_you_mean

    near = did_you_mean(word, [state.line.part for state in states])
    message = f"{word} is not in order {number}{' from ' + supplier if supplier else ''}."
    remedy = f"{near}What came without an order goes onto the shelf: `quotekit shelf --put`."
    return wrong_order(ledger, "part-not-ordered", message, remedy, word)
