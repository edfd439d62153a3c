"""What a folder of jobs came to under one shop book, beside the quotes that were given for them before."""

from __future__ import annotations

from collections.abc import Mapping
from datetime import date
from decimal import Decimal
from typing import Literal

from quotekit.record import record

Origin = Literal["the ledger", "its costing", "earlier results"]
"""Where the figures of a quote that was given come from."""

Loses = Literal["yes", "no", "not known", ""]
"""Whether an option loses money; empty where it is not offered."""


@record
class TierNow:
    """One tier of a job as it is priced now; amounts are None where they are not known."""

    code: str
    name: str
    offered: bool
    items: tuple[str, ...]
    total: Decimal | None
    subtotal: Decimal | None
    cost: Decimal | None
    reason: str = ""


@record
class TierGiven:
    """One option of a quote that was given before; `items` is None where what it does is not known."""

    total: Decimal | None
    subtotal: Decimal | None
    items: frozenset[str] | None = None


@record
class Given:
    """A quote that was given before; `open` where the customer may still say yes to it."""

    origin: Origin
    tiers: Mapping[str, TierGiven]
    valid_until: str = ""
    currency: str = ""
    """What its amounts are in; empty where that is not known."""
    standing: str = ""
    """Where the job stands, in words of the ledger."""
    open: bool = True


@record
class TierHeld:
    """A tier now, held against the quote that was given: see `batch/holding.py` for the rules."""

    new: TierNow
    given: TierGiven | None
    other_work: bool
    """The option given does other work, so that its price can't be held against today's cost."""
    difference: Decimal | None
    """Total now less total given."""
    stands: bool
    """The price of the quote given stands; else today's does."""
    left: Decimal | None
    """What is left of the price that stands after today's cost."""
    left_now: Decimal | None
    """What is left of today's price after today's cost."""
    loses: Loses


@record
class ToldProblem:
    """A problem of a job, as it was told."""

    place: str
    severity: str
    message: str
    remedy: str


@record
class BatchedJob:
    """One job of the folder. Without tiers it could not be priced."""

    file: str
    job: str
    version: int | None
    customer: str
    machine: str
    valid_until: str
    day: date | None
    """Quote date."""
    tiers: tuple[TierHeld, ...]
    problems: tuple[ToldProblem, ...]
    given: Given | None = None
    same_as: str = ""
    """An earlier file of the same job number and version, as a copy has it."""
    currency: str = ""
    """What its amounts are in now; empty where that is not known."""

    @property
    def refused(self) -> bool:
        """Whether an error stood in its way."""
        return any(problem.severity == "error" for problem in self.problems)

    @property
    def loses(self) -> bool:
        """Whether an option that is offered loses money."""
        return any(tier.loses == "yes" for tier in self.tiers)

    @property
    def other_currency(self) -> str:
        """The currency of the quote given, where it is not today's: its amounts are compared with none of today's."""
        given = "" if self.given is None else self.given.currency
        return given if self.currency and given != self.currency else ""


@record
class TierSum:
    """All open quotes that offer a tier, before and now."""

    name: str
    quotes: int
    given: Decimal
    new: Decimal

    @property
    def difference(self) -> Decimal:
        """Now less given."""
        return self.new - self.given


@record
class BatchSummary:
    """A run over a folder of jobs."""

    shop_name: str
    currency: str
    language: str
    folder: str
    book_file: str
    day: date
    """The latest quote date of the jobs: the file's own date, so that equal runs give equal bytes."""
    jobs: tuple[BatchedJob, ...]
    sums: tuple[TierSum, ...]
    book_problems: tuple[ToldProblem, ...] = ()
    passed_over: Mapping[str, int]
