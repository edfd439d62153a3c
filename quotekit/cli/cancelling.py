"""What calling off parts of an order records: packs that have not come in, and the jobs that lose units by it."""

from __future__ import annotations

from collections.abc import Sequence
from typing import TYPE_CHECKING, Literal

from quotekit.cli.carry_out import Decision
from quotekit.cli.known_order import is_written, known_order, line_meant, packs_said, wrong_order
from quotekit.record import record

if TYPE_CHECKING:
    from quotekit.cli.known_order import KnownOrder
    from quotekit.cli.which_ledger import Facts
    from quotekit.documents.cancelled_text import CancelledState
    from quotekit.ledger.ledger import Ledger
    from quotekit.model.entries import CancelledLine
    from quotekit.model.landed import LineState
    from quotekit.problems import Problem


@record
class CalledOff:
    """What is called off, as it was typed; an empty word stands for every part."""

    word: str = ""
    packs: int | None = None
    supplier: str = ""
    by: Literal["supplier", "shop"] = "supplier"


class Cancelling:
    """Packs called off, on their way into the ledger."""

    def __init__(self, number: int, what: CalledOff, facts: Facts) -> None:
        self.number, self.what, self.facts = number, what, facts
        self.state: CancelledState | None = None
        """The order before and after."""

    def decide(self, ledger: Ledger) -> Decision:
        """What is called off, unless it came in, or nothing says why."""
        from quotekit.documents.cancelled_text import CancelledState
        from quotekit.model.entries import Cancelled
        from quotekit.pricing.landed.cancel import what_is_left

        order, problems = known_order(ledger, self.number)
        if order is None:
            return Decision(problems=problems)
        meant, problems = self._meant(ledger, order)
        problems = [*problems, *self._not_now(ledger, order)]
        if problems:
            return Decision(problems=problems)
        packs = {state.place: self._packs(state) for state in meant}
        wrong = self._too_many(ledger, meant, packs)
        if not wrong and not any(packs.values()):
            wrong = self._nothing_open(ledger, order, meant)
            if not wrong:
                return Decision(already=order.cancellations[-1])
        if wrong:
            return Decision(problems=wrong)
        cancelled = Cancelled(order=self.number, lines=tuple(self._lines(ledger, meant, packs)), by=self.what.by)
        left = what_is_left(order.ordered, [cancelled])
        self.state = CancelledState(before=order.ordered, after=left, lines=cancelled.lines, came=_came(meant))
        return Decision(drafts=[self.facts.draft("cancelled", cancelled)])

    def _meant(self, ledger: Ledger, order: KnownOrder) -> tuple[list[LineState], list[Problem]]:
        """The lines that are meant: one part, all of one supplier, or all."""
        what, states = self.what, order.states
        if what.word:
            state, problems = line_meant(ledger, self.number, states, what.word, what.supplier)
            return [] if state is None else [state], problems
        of = what.supplier.strip().casefold()
        meant = [state for state in states if not of or state.line.supplier.casefold() == of]
        if meant:
            return meant, []
        suppliers = ", ".join(dict.fromkeys(state.line.supplier for state in states))
        message = f"Order {self.number} buys nothing{f' from {what.supplier}' if of else ''}."
        remedy = f"It buys from {suppliers}." if suppliers else "Units of the shelf go back with `shelf --put`."
        return [], [wrong_order(ledger, "nothing-to-cancel", message, remedy, what.supplier)]

    def _not_now(self, ledger: Ledger, order: KnownOrder) -> list[Problem]:
        """Without a reason, or before the sheets of the order were written, nothing is called off."""
        problems = []
        if not self.facts.why.strip():
            message = f"Nothing says why order {self.number} is called off."
            problems.append(wrong_order(ledger, "why-missing", message, "Say it with --because."))
        if not is_written(ledger, order.entry):
            message = f"Order {self.number} was stopped before its sheets were written."
            remedy = "Run `quotekit order` first: it finishes them, and orders nothing new."
            problems.append(wrong_order(ledger, "order-unfinished", message, remedy))
        return problems

    def _packs(self, state: LineState) -> int:
        return state.open if self.what.packs is None else self.what.packs

    def _too_many(self, ledger: Ledger, meant: Sequence[LineState], packs: dict[int, int]) -> list[Problem]:
        return [
            self._came_in(ledger, state, f"{packs_said(packs[state.place], state.line.part)} to be called off")
            for state in meant
            if packs[state.place] > state.open
        ]

    def _nothing_open(self, ledger: Ledger, order: KnownOrder, meant: Sequence[LineState]) -> list[Problem]:
        """Refused where all came in; no problem where all that did not was called off before."""
        if any(state.line.packs < first for state, first in zip(meant, order.packs_at_first(meant), strict=True)):
            return []
        return [self._came_in(ledger, state, f"All of {state.line.part} came in") for state in meant if state.received]

    def _came_in(self, ledger: Ledger, state: LineState, words: str) -> Problem:
        message = f"{words}; still to come: {state.open}, came in: {state.received}."
        remedy = f'What came in goes back with `quotekit receive {self.number} --returned "{state.line.part}"`.'
        return wrong_order(ledger, "cancelled-too-many", message, remedy, state.line.part)

    def _lines(self, ledger: Ledger, meant: Sequence[LineState], packs: dict[int, int]) -> list[CancelledLine]:
        from quotekit.cli.jobs_to_order import orders_so_far
        from quotekit.model.entries import CancelledLine
        from quotekit.pricing.landed.cancel import units_lost

        stock = orders_so_far(ledger)
        return [
            CancelledLine(
                supplier=state.line.supplier,
                part=state.line.part,
                packs=packs[state.place],
                line=state.place,
                jobs=units_lost(stock.line(self.number, state.place), packs[state.place]),
            )
            for state in meant
            if packs[state.place]
        ]


def _came(meant: Sequence[LineState]) -> dict[str, int]:
    """Packs of each part that came in, and stay."""
    found: dict[str, int] = {}
    for state in meant:
        if state.received:
            found[state.line.part] = found.get(state.line.part, 0) + state.received
    return found
