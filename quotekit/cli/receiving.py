"""What a delivery records: packs that came in or were put off, held against what the order still has open."""

from __future__ import annotations

from collections.abc import Iterable, Sequence
from dataclasses import replace
from datetime import date
from decimal import Decimal
from typing import TYPE_CHECKING

from quotekit.cli.carry_out import Decision
from quotekit.problems import Place, Problem, error
from quotekit.record import record

if TYPE_CHECKING:
    from quotekit.cli.which_ledger import Facts
    from quotekit.documents.received_text import DeliveryState
    from quotekit.ledger.ledger import Ledger
    from quotekit.model.entries import Entry, Ordered, Received, ReceivedLine
    from quotekit.model.landed import LineState


@record
class Delivered:
    """A part that came in, or was put off, as it was typed."""

    word: str
    put_off: bool = False
    packs: int | None = None
    cost: Decimal | None = None
    supplier: str = ""
    expected: date | None = None


class Receiving:
    """One delivery on its way into the ledger."""

    def __init__(
        self, number: int, delivered: Sequence[Delivered], facts: Facts, *, everything: bool, of: str = ""
    ) -> None:
        self.number, self.delivered, self.facts = number, delivered, facts
        self.everything, self.of = everything, of
        self.state: DeliveryState | None = None
        """The order before this delivery and after it."""

    def decide(self, ledger: Ledger) -> Decision:
        """The delivery, unless something typed is not of this order, or nothing of it is open."""
        from quotekit.documents.received_text import DeliveryState
        from quotekit.model.entries import Received
        from quotekit.pricing.landed.open_orders import line_states

        ordered, so_far, problems = self._order(ledger)
        if ordered is None:
            return Decision(problems=problems)
        before = line_states(ordered, [told for _, told in so_far])
        lines, problems = self._lines(ledger, before)
        if problems:
            return Decision(problems=problems)
        received = Received(order=self.number, lines=tuple(lines), note=self.facts.why)
        after = line_states(ordered, [*(told for _, told in so_far), received])
        self.state = DeliveryState(ordered=ordered, before=tuple(before), after=tuple(after), lines=tuple(lines))
        if not lines:
            last = so_far[-1][0] if so_far else None
            return Decision(already=last if self._asks else None)
        facts = self.facts
        draft = facts.draft("received", received)
        return Decision(drafts=[draft])

    @property
    def _asks(self) -> bool:
        return self.everything or bool(self.delivered)

    def _order(self, ledger: Ledger) -> tuple[Ordered | None, list[tuple[Entry, Received]], list[Problem]]:
        from quotekit.model.entries import Ordered, Received

        orders = {entry.number: entry for entry in ledger.entries(kinds=("ordered",))}
        entry = orders.get(self.number)
        if entry is None:
            known = f"Orders so far: 1 to {len(orders)}." if orders else "No order was made yet."
            return None, [], [self._wrong(ledger, "unknown-order", f"There is no order {self.number}.", known)]
        told = [(one, one.told(Received)) for one in ledger.entries(kinds=("received",))]
        return entry.told(Ordered), [(one, body) for one, body in told if body.order == self.number], []

    def _lines(self, ledger: Ledger, states: Sequence[LineState]) -> tuple[list[ReceivedLine], list[Problem]]:
        """A line for each line of the order that something is said of."""
        found: dict[int, ReceivedLine] = {}
        problems: list[Problem] = []
        for one in sorted(self.delivered, key=lambda one: one.put_off):
            state, wrong = self._meant(ledger, one, states)
            problems += wrong
            if state is not None:
                problems += self._add(ledger, found, state, one)
        if self.everything:
            self._add_all(found, states)
        return [found[place] for place in sorted(found) if found[place].packs or found[place].back_ordered], problems

    def _meant(
        self, ledger: Ledger, one: Delivered, states: Sequence[LineState]
    ) -> tuple[LineState | None, list[Problem]]:
        from quotekit.pricing.landed.open_orders import lines_meant

        meant = lines_meant(states, one.word, one.supplier)
        if len(meant) > 1:
            meant = [state for state in meant if state.open] or meant[:1]
        if len(meant) == 1:
            return meant[0], []
        if meant:
            which = ", ".join(f"{state.line.supplier} {state.line.suppliers_number}".strip() for state in meant)
            remedy = f"Say which with --supplier, or by the supplier's number: {which}."
            message = f"{one.word} stands on several lines of order {self.number}."
            return None, [self._wrong(ledger, "part-on-several-lines", message, remedy, one.word)]
        return None, [self._not_ordered(ledger, one, states)]

    def _not_ordered(self, ledger: Ledger, one: Delivered, states: Iterable[LineState]) -> Problem:
        from quotekit.workbook.names import did_you_mean

        near = did_you_mean(one.word, [state.line.part for state in states])
        message = f"{one.word} is not in order {self.number}{' from ' + one.supplier if one.supplier else ''}."
        remedy = f"{near}What came without an order goes onto the shelf: `quotekit shelf --put`."
        return self._wrong(ledger, "part-not-ordered", message, remedy, one.word)

    def _add(self, ledger: Ledger, found: dict[int, ReceivedLine], state: LineState, one: Delivered) -> list[Problem]:
        line = found.get(state.place) or _nothing_of(state)
        left = state.open - line.packs - line.back_ordered
        packs = left if one.packs is None else one.packs
        if packs > left:
            message = f"{packs} packs of {state.line.part} are said to be here or put off; open: {left}."
            remedy = "Put what came above the order onto the shelf: `quotekit shelf --put`."
            return [self._wrong(ledger, "received-too-many", message, remedy, one.word)]
        if one.put_off:
            found[state.place] = replace(line, back_ordered=line.back_ordered + packs, expected=one.expected)
        else:
            found[state.place] = replace(line, packs=line.packs + packs, pack_cost=one.cost)
        return []

    def _add_all(self, found: dict[int, ReceivedLine], states: Iterable[LineState]) -> None:
        """All open packs of lines that nothing else is said of; of one that is put off, the packs that are not."""
        for state in states:
            if self.of and self.of.casefold() != state.line.supplier.casefold():
                continue
            line = found.get(state.place) or _nothing_of(state)
            if not line.packs:
                found[state.place] = replace(line, packs=state.open - line.back_ordered)

    def _wrong(self, ledger: Ledger, code: str, message: str, remedy: str, text: str = "") -> Problem:
        return error(Place(ledger.address.shown), code, message, remedy, text)


def _nothing_of(state: LineState) -> ReceivedLine:
    from quotekit.model.entries import ReceivedLine

    return ReceivedLine(supplier=state.line.supplier, part=state.line.part, packs=0, line=state.place)
