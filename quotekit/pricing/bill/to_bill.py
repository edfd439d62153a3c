"""What a bill is made from: what was agreed, frozen, and what was done, paid and billed since."""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import field
from datetime import date
from decimal import Decimal

from quotekit.model.agreed import Agreed
from quotekit.model.entries import Accepted, Billed, Closed, Comeback
from quotekit.model.job import FoundFinding, Job
from quotekit.model.shop_book import ShopBook, Tax
from quotekit.problems import Place
from quotekit.record import record


@record
class ToBill:
    """One job on the day of its bill; `book` and `job` are the frozen ones of the version that is billed."""

    book: ShopBook
    job: Job
    day: date
    payments: tuple[tuple[date | None, str, Decimal], ...] = ()
    """Money taken and given back: day, in words, amount."""
    before: tuple[Billed, ...] = ()
    """The job's earlier bills."""
    taxes: tuple[Tax, ...] | None = None
    """Rows that count in place of the frozen book's."""
    left: tuple[str, ...] = ()
    """Safety findings left with a no, in plain words."""

    @property
    def tax_rows(self) -> tuple[Tax, ...]:
        """All rows that may count on the day of the quote or of a bill."""
        return (*self.book.taxes, *(self.taxes or ()))

    @property
    def place(self) -> Place:
        """Where its problems are."""
        return place_of(self.job.job_number)


@record
class WorkToBill(ToBill):
    """Agreed work to be billed."""

    agreed: Agreed
    """Of the version that is billed."""
    accepted: Accepted
    """What the customer last said yes to."""
    findings: tuple[FoundFinding, ...] = ()
    """All that was ever found, also what a refused change would have put right."""
    closed: Closed | None = None
    """What was done; None where all was done as agreed."""
    comeback: Comeback | None = None
    cores_back: Mapping[str, Decimal] = field(default_factory=dict)
    """Units of old parts handed back that nothing was told of before, by part code."""


def place_of(job: str) -> Place:
    """The place of a problem with what is recorded of a job."""
    return Place(f"job {job}")
