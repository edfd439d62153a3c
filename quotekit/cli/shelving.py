"""What a move on the shelf records: units put there, taken for no job, or the difference that a count finds."""

from __future__ import annotations

from collections.abc import Iterable
from decimal import Decimal
from typing import TYPE_CHECKING

from quotekit.cli.carry_out import Decision
from quotekit.problems import Place, Problem, error, warning

if TYPE_CHECKING:
    from quotekit.cli.which_ledger import Facts
    from quotekit.ledger.ledger import Ledger
    from quotekit.pricing.landed.stock import Stock


class Shelving:
    """One move on its way into the ledger."""

    def __init__(
        self, what: str, part: str, quantity: Decimal, facts: Facts, *, cost: Decimal | None = None, job: str = ""
    ) -> None:
        self.what, self.part, self.quantity, self.facts, self.cost = what, part.strip(), quantity, facts, cost
        self.job = job.strip()

    def decide(self, ledger: Ledger) -> Decision:
        """The move, unless more is taken than there is, or than a job has."""
        from quotekit.cli.jobs_to_order import orders_so_far
        from quotekit.model.entries import ShelfMove

        stock = orders_so_far(ledger)
        part, problems = self._known(ledger, stock)
        wrong = self._of_job(ledger, stock, part)
        if wrong:
            return Decision(problems=wrong)
        there = stock.on_shelf(part)
        if self.what == "take" and self.quantity > there:
            message = f"{self.quantity} of {part} can't be taken; on the shelf: {there.normalize():f}."
            remedy = f'If more are there, count them first: `quotekit shelf --count "{part}" QUANTITY`.'
            return Decision(problems=[_wrong(ledger, "shelf-too-few", message, remedy, self.part)])
        moves = {"put": self.quantity, "take": -self.quantity, "count": self.quantity - there}
        note = "counted" if self.what == "count" else ""
        move = ShelfMove(part=part, quantity=moves[self.what], unit_cost=self.cost, note=note, job=self.job)
        return Decision(problems=problems, drafts=[self.facts.draft("shelf", move)])

    def _of_job(self, ledger: Ledger, stock: Stock, part: str) -> list[Problem]:
        """A job that is named must be known, and have what it gives."""
        if not self.job:
            return []
        from quotekit.cli.jobs import known_job

        story, problems = known_job(ledger, self.job)
        if story is None:
            return problems
        self.job, has = story.job, stock.has(self.job, part)
        if self.what == "put" and self.quantity > has:
            message = f"{self.quantity} of {part} can't come from job {self.job}; it has {has.normalize():f}."
            remedy = f"`quotekit jobs {self.job}` tells what was ordered for it; without --job they come from nowhere."
            return [_wrong(ledger, "job-has-too-few", message, remedy, self.part)]
        return []

    def _known(self, ledger: Ledger, stock: Stock) -> tuple[str, list[Problem]]:
        """The part as it is spelled elsewhere; a warning with the nearest where nobody knows it."""
        from quotekit.workbook.names import did_you_mean

        known = {name.casefold(): name for name in (*_of_last_book(ledger), *stock.names, *stock.parts())}
        if self.part.casefold() in known:
            return known[self.part.casefold()], []
        message = f"No job, order or shop book knows a part {self.part}."
        remedy = f"{did_you_mean(self.part, known.values())}An order finds it on the shelf by this code alone."
        return self.part, [warning(Place(ledger.address.shown), "shelf-unknown-part", message, remedy, self.part)]


def _of_last_book(ledger: Ledger) -> Iterable[str]:
    """Parts of the shop book that the last quote was made with."""
    from quotekit.cli.frozen import read_frozen

    jobs = ledger.jobs()
    current = ledger.story(jobs[-1]).current if jobs else None
    return [] if current is None else list(read_frozen(ledger, current).book.parts)


def _wrong(ledger: Ledger, code: str, message: str, remedy: str, text: str) -> Problem:
    return error(Place(ledger.address.shown), code, message, remedy, text)
