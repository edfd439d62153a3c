"""What a delivery records: packs that came in, were put off or go back, held against the order as it stands."""

from __future__ import annotations

from collections.abc import Iterable, Sequence
from dataclasses import replace
from datetime import date
from decimal import Decimal
from typing import TYPE_CHECKING, Literal

from quotekit.cli.carry_out import Decision
from quotekit.cli.known_order import known_order, line_meant, packs_said, wrong_order
from quotekit.problems import has_errors
from quotekit.record import record

if TYPE_CHECKING:
    from quotekit.cli.known_order import KnownOrder
    from quotekit.cli.which_ledger import Facts
    from quotekit.documents.received_text import DeliveryState
    from quotekit.ledger.ledger import Ledger
    from quotekit.model.entries import ReceivedLine
    from quotekit.model.landed import LineState
    from quotekit.problems import Problem


@record
class Delivered:
    """A part that came in, was put off, or goes back, as it was typed."""

    word: str
    what: Literal["part", "back-ordered", "returned"] = "part"
    packs: int | None = None
    cost: Decimal | None = None
    supplier: str = ""
    expected: date | None = None


_TOLD_IN_ORDER = ("part", "back-ordered", "returned")


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

        order, problems = known_order(ledger, self.number)
        if order is None:
            return Decision(problems=problems)
        before = order.states
        lines, problems = self._lines(ledger, order, before)
        if has_errors(problems):
            return Decision(problems=problems)
        received = Received(order=self.number, lines=tuple(lines), note=self.facts.why)
        after = order.states_with(received)
        self.state = DeliveryState(ordered=order.ordered, before=tuple(before), after=tuple(after), lines=tuple(lines))
        if not lines:
            last = order.deliveries[-1][0] if order.deliveries else None
            return Decision(already=last if self._asks else None)
        return Decision(problems=problems, drafts=[self.facts.draft("received", received)])

    @property
    def _asks(self) -> bool:
        return self.everything or bool(self.delivered)

    def _lines(
        self, ledger: Ledger, order: KnownOrder, states: Sequence[LineState]
    ) -> tuple[list[ReceivedLine], list[Problem]]:
        """A line for each line of the order that something is said of, and one for what goes back."""
        found: dict[int, ReceivedLine] = {}
        back: list[ReceivedLine] = []
        problems: list[Problem] = []
        for one in sorted(self.delivered, key=lambda one: _TOLD_IN_ORDER.index(one.what)):
            state, wrong = line_meant(ledger, self.number, states, one.word, one.supplier)
            problems += wrong
            if state is None:
                continue
            if one.what == "returned":
                now = [line for line in (*found.values(), *back) if line.line == state.place]
                lines, wrong = self._send_back(ledger, state, one, [*order.came_of(state.place), *now])
                back, problems = [*back, *lines], [*problems, *wrong]
            else:
                problems += self._add(ledger, found, state, one)
        if self.everything:
            self._add_all(found, states)
        came = [found[place] for place in sorted(found) if found[place].packs or found[place].back_ordered]
        return [*came, *back], problems

    def _add(self, ledger: Ledger, found: dict[int, ReceivedLine], state: LineState, one: Delivered) -> list[Problem]:
        line = found.get(state.place) or _nothing_of(state)
        left = state.open - line.packs - line.back_ordered
        packs = left if one.packs is None else one.packs
        if packs > left:
            message = f"{packs_said(packs, state.line.part)} to be here or put off; open: {left}."
            remedy = "Put what came above the order onto the shelf: `quotekit shelf --put`."
            return [wrong_order(ledger, "received-too-many", message, remedy, one.word)]
        if one.what == "back-ordered":
            found[state.place] = replace(line, back_ordered=line.back_ordered + packs, expected=one.expected)
        else:
            found[state.place] = replace(line, packs=line.packs + packs, pack_cost=one.cost)
        return []

    def _send_back(
        self, ledger: Ledger, state: LineState, one: Delivered, so_far: Sequence[ReceivedLine]
    ) -> tuple[list[ReceivedLine], list[Problem]]:
        """Packs that go back to the supplier, at what they were charged."""
        from quotekit.pricing.landed.open_orders import charged_last

        came = sum(line.packs for line in so_far)
        packs = came if one.packs is None else one.packs
        part, supplier = state.line.part, state.line.supplier
        used_up = self._used_up(ledger, state)
        if came and came - used_up < packs <= came:
            message = f"{packs_said(packs, part)} to go back; of {came} that came in {used_up} are used up, for no job."
            remedy = "Say with --packs how many whole packs go back."
            return [], [wrong_order(ledger, "returned-too-many", message, remedy, one.word)]
        if packs > came or not came:
            message = (
                f"{packs_said(packs, part)} to go back; came in: {came}." if came else f"No {part} came in so far."
            )
            remedy = f"What has not come in is called off: `quotekit cancel-order {self.number}`."
            return [], [wrong_order(ledger, "returned-too-many", message, remedy, one.word)]
        if not self.facts.why.strip():
            message = f"Nothing says why {part} goes back to {supplier}."
            return [], [wrong_order(ledger, "why-missing", message, "Say it with --because: damaged, wrong part.")]
        charged = charged_last(so_far, packs) if one.cost is None else [(packs, one.cost)]
        nothing = replace(_nothing_of(state), expected=one.expected)
        lines = [replace(nothing, packs=-count, pack_cost=cost) for count, cost in charged]
        return lines, [] if state.line.returnable else [_not_returnable(part, supplier)]

    def _used_up(self, ledger: Ledger, state: LineState) -> int:
        """Packs that came in before and of which units were taken from the shelf for nobody."""
        from quotekit.cli.jobs_to_order import orders_so_far

        return state.received - orders_so_far(ledger).line(self.number, state.place).can_go_back

    def _add_all(self, found: dict[int, ReceivedLine], states: Iterable[LineState]) -> None:
        """All open packs of lines that nothing else is said of; of one that is put off, the packs that are not."""
        for state in states:
            if self.of and self.of.casefold() != state.line.supplier.casefold():
                continue
            line = found.get(state.place) or _nothing_of(state)
            if not line.packs:
                found[state.place] = replace(line, packs=state.open - line.back_ordered)


def _nothing_of(state: LineState) -> ReceivedLine:
    from quotekit.model.entries import ReceivedLine

    return ReceivedLine(supplier=state.line.supplier, part=state.line.part, packs=0, line=state.place)


def _not_returnable(part: str, supplier: str) -> Problem:
    from quotekit.problems import Place, warning

    message = f"The shop book says that {part} cannot be returned: ask {supplier} first."
    return warning(Place("parts order"), "part-not-returnable", message, "A wrong or damaged part is another matter.")
