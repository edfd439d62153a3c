"""What a closing records: the filled work order held against what was agreed, with the clock, once."""

from __future__ import annotations

import argparse
from typing import TYPE_CHECKING

from quotekit.cli.carry_out import Decision
from quotekit.cli.which_ledger import facts_of
from quotekit.problems import Place, Problem, has_errors

if TYPE_CHECKING:
    from quotekit.cli.agreed_work import AgreedWorkOfJob
    from quotekit.ledger.ledger import Ledger
    from quotekit.model.entries import Closed, Draft, KeptFile
    from quotekit.model.filled_work_order import FilledWorkOrder


class Closing:
    """One closing on its way into the ledger."""

    def __init__(self, options: argparse.Namespace) -> None:
        self.options = options
        self.facts = facts_of(options)
        self.filled: FilledWorkOrder | None = None
        self.file: KeptFile | None = None
        self.data = b""
        self.warnings: list[Problem] = []

    def read(self) -> list[Problem]:
        """Read the file; what is wrong with it, where it can't be taken."""
        from quotekit.model.entries import KeptFile
        from quotekit.workbook.read_work_order import read_work_order

        path = self.options.work_order
        if path is None:
            return []
        self.filled, problems = read_work_order(path)
        if self.filled is None:
            return problems
        self.data = path.read_bytes()
        self.file = KeptFile.of(path.name, self.data)
        self.warnings = problems
        return []

    def decide(self, ledger: Ledger) -> Decision:
        """The work that was done as an entry, or why it can't be one, or the entry that says the same."""
        from quotekit.cli.agreed_work import agreed_work
        from quotekit.pricing.actual.close_work import JobToClose, close_work, nothing_written

        work, problems = agreed_work(ledger, self.options.job)
        if work is None:
            return Decision(problems=[*self.warnings, *problems])
        to_close = JobToClose(
            book=work.frozen.book,
            job=work.frozen.job,
            agreed=work.agreed,
            version=work.version,
            agreement=work.yes.entry.seq,
        )
        filled = self.filled or nothing_written(Place(ledger.address.shown), to_close)
        clocked = [told.body for told in work.story.clocked]
        body, problems = close_work(to_close, filled, clocked, file=self.file, sheet_alone=self.options.sheet_alone)
        problems = [*self.warnings, *self._of_day(work), *problems]
        if body is None or has_errors(problems):
            return Decision(problems=problems)
        last = work.story.closed[-1] if work.story.closed else None
        if last is not None and _same(last.body, body):
            return Decision(problems=problems, already=last.entry)
        files = [(self.file.name, self.data)] if self.file is not None else []
        return Decision(problems=problems, drafts=[self._draft(work, body)], files=files)

    def _of_day(self, work: AgreedWorkOfJob) -> list[Problem]:
        """A word about a day on the sheet that is hardly the one on which the work was done."""
        from quotekit.problems import warning

        filled, agreed = self.filled, work.yes.entry.day
        if filled is None or filled.finished_on is None or filled.finished_at is None or self.options.on is not None:
            return []
        day = filled.finished_on
        if agreed <= day <= self.facts.day:
            return []
        message = f"{day} is before the customer agreed, on {agreed}" if day < agreed else f"{day} is still to come"
        remedy = "Where it is wrong, correct the day in the cell, or give it with --on, and close again."
        return [warning(filled.finished_at, "finished-day", message, remedy)]

    def _draft(self, work: AgreedWorkOfJob, body: Closed) -> Draft:
        finished = self.filled.finished_on if self.filled is not None else None
        facts = self.facts._replace(day=self.options.on or finished or self.facts.day)
        return facts.draft("closed", body, job=work.yes.entry.job, version=work.version)


def _same(before: Closed, now: Closed) -> bool:
    """True where the same was read from the same file, whatever it is called now."""
    from dataclasses import replace

    files = before.work_order, now.work_order
    if files[0] is None or files[1] is None or files[0].sha256 != files[1].sha256:
        return before == now
    return replace(before, work_order=files[1]) == now
