"""What an order records and writes: the cheapest packs for the jobs, their sheets, and an order cut off before."""

from __future__ import annotations

from collections.abc import Mapping, Sequence
from datetime import date
from pathlib import Path
from typing import TYPE_CHECKING

from quotekit.cli.carry_out import Decision
from quotekit.cli.known_order import is_written
from quotekit.cli.output_files import check_targets, these_bytes
from quotekit.problems import Place, Problem, error

if TYPE_CHECKING:
    from quotekit.cli.output_files import WriteTo
    from quotekit.cli.which_ledger import Facts
    from quotekit.ledger.ledger import Ledger
    from quotekit.model.entries import Entry, Ordered
    from quotekit.model.shop_book import ShopBook
    from quotekit.pricing.landed.open_needs import JobToOrder


class Ordering:
    """One order on its way into the ledger."""

    def __init__(
        self,
        jobs: Sequence[str],
        facts: Facts,
        *,
        book: ShopBook | None,
        days: Mapping[str, date],
        folder: Path | None,
        templates: Sequence[Path],
        only_show: bool = False,
    ) -> None:
        self.named, self.facts, self.book, self.days = jobs, facts, book, days
        self.folder, self.templates, self.only_show = folder, templates, only_show
        self._facts_read = facts
        self.number: int | None = None
        self.ordered: Ordered | None = None
        self.any_agreed = True
        """False where no customer of an open job has said yes."""
        self.finished_before = False
        """True where an order that was cut off was finished in place of a new one."""

    def hangs_on(self, ledger: Ledger) -> int:
        """The last entry of any job: each may need parts, or have brought some."""
        return ledger.last_seq()

    def decide(self, ledger: Ledger) -> Decision:
        """The order of what is needed now; or the sheets of the last order, where they never came into their place."""
        self.facts, self.ordered, self.number, self.finished_before = self._facts_read, None, None, False
        unfinished = self._unfinished(ledger)
        if unfinished is not None:
            return self._finish(ledger, unfinished)
        from quotekit.cli.jobs_to_order import jobs_to_order, orders_so_far, parts_of_declined, unknown_days
        from quotekit.pricing.landed.build_order import build_order

        stock = orders_so_far(ledger)
        jobs, newest, problems = jobs_to_order(ledger, self.named, stock, self.days)
        problems = [*problems, *unknown_days(ledger, self.days)]
        self.any_agreed = bool(jobs) or bool(stock.got)
        book = self.book or newest
        declined = [] if self.named else parts_of_declined(ledger, stock)
        if problems or book is None or not jobs:
            return Decision(problems=[*problems, *declined])
        problems = _other_currencies(ledger, jobs, book)
        if problems:
            return Decision(problems=problems)
        plan = build_order(jobs, stock, book, self.facts.day)
        problems = [*declined, *plan.notes]
        self.ordered = plan.ordered
        if plan.ordered is None or self.only_show:
            return Decision(problems=problems)
        self.number = ledger.next_number("ordered")
        documents, more = self._documents(ledger, plan.ordered, book, problems)
        draft = self.facts.draft("ordered", plan.ordered, number=self.number)
        return Decision(problems=[*problems, *more], drafts=[draft], documents=documents)

    def _unfinished(self, ledger: Ledger) -> Entry | None:
        """The last order, where its sheets were never written."""
        orders = ledger.entries(kinds=("ordered",))
        if not orders or self.only_show:
            return None
        return None if is_written(ledger, orders[-1]) else orders[-1]

    def _finish(self, ledger: Ledger, entry: Entry) -> Decision:
        from quotekit.cli.jobs_to_order import jobs_to_order, orders_so_far
        from quotekit.model.entries import Ordered

        self.number, self.ordered, self.finished_before = entry.number, entry.told(Ordered), True
        self.facts = self.facts._replace(day=entry.day)
        _, newest, problems = jobs_to_order(ledger, self.ordered.jobs, orders_so_far(ledger), {})
        book = self.book or newest
        if book is None:
            return Decision(problems=problems)
        documents, more = self._documents(ledger, self.ordered, book, [], replace=True)
        return Decision(problems=more, documents=documents, unfinished=entry)

    def _documents(
        self, ledger: Ledger, ordered: Ordered, book: ShopBook, problems: Sequence[Problem], *, replace: bool = False
    ) -> tuple[Mapping[Path, WriteTo], list[Problem]]:
        from quotekit.cli.which_template import filled
        from quotekit.documents.parts_order import OrderSheets, lay_out_parts_order
        from quotekit.model.landed import NEVER
        from quotekit.pricing.landed.working_days import arrival

        target = self._folder(ledger) / f"order {self.number}.xlsx"
        found = check_targets([target], [], replace=replace)
        if found:
            return {}, found
        there = {place: arrival(self.facts.day, line.lead_days) for place, line in enumerate(ordered.lines, 1)}
        sheets = OrderSheets(
            number=self.number or 0,
            day=self.facts.day,
            ordered=ordered,
            settings=book.settings,
            terms=book.suppliers or {},
            arrives={place: day for place, day in there.items() if day != NEVER},
            notes=[problem.message for problem in problems],
        )
        data, wrong = filled("parts order", self.templates, book.settings.language, lay_out_parts_order(sheets))
        if data is None:
            return {}, wrong
        return {target: these_bytes(data)}, wrong

    def _folder(self, ledger: Ledger) -> Path:
        return self.folder or ledger.address.folder or Path()


def _other_currencies(ledger: Ledger, jobs: Sequence[JobToOrder], book: ShopBook) -> list[Problem]:
    currency = book.settings.currency
    return [
        error(
            Place(ledger.address.shown),
            "order-currency",
            f"Job {job.job} was quoted in {job.book.settings.currency}; this order is in {currency}.",
            "Order for it by itself.",
            job.job,
        )
        for job in jobs
        if job.book.settings.currency != currency
    ]
