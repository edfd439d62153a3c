"""What a season taught: jobs with their actual cost, times against standards, quotes won and lost, proposed times.

Amounts are Decimals with the currency's digits, before tax; hours plain Decimals; ratios and shares Decimals of four
digits. `None` is not known, never zero. Nothing here changes a shop book.
"""

from __future__ import annotations

from datetime import date
from decimal import Decimal
from typing import Literal

from quotekit.model.agreed import WorkKind
from quotekit.model.entries import Cause
from quotekit.record import record

Tag = Literal["rust", "minimum", "comeback", "supplement", "not billed", "no hours"]
Circumstance = Literal["usual", "rust", "minimum"]
Sign = Literal["F", "U", ""]


@record
class Span:
    """The days looked at, both included."""

    first: date
    last: date

    @property
    def days(self) -> int:
        """How many days that is."""
        return (self.last - self.first).days + 1

    def holds(self, day: date) -> bool:
        """True for a day within."""
        return self.first <= day <= self.last


@record
class Variance:
    """Actual minus standard: negative is favourable (F), positive unfavourable (U)."""

    amount: Decimal

    @property
    def sign(self) -> Sign:
        """F where less was spent than the standard, U where more."""
        return "" if not self.amount else "F" if self.amount < 0 else "U"


@record
class JobVariances:
    """Of one job, or of all: labour in money at the cost of an hour, material at the cost of a unit."""

    labour_rate: Variance | None
    labour_time: Variance | None
    material_price: Variance
    material_quantity: Variance
    parts_left_out: int = 0
    """Parts without a known cost, which no variance counts."""


@record
class ReviewedJob:
    """A job whose work was closed within the span."""

    job: str
    customer: str
    machine: str
    closed: date
    tier: str
    option: str
    tags: tuple[Tag, ...]
    first_quoted: Decimal | None
    """The same option in the first version."""
    agreed: Decimal
    """What was last agreed."""
    invoiced: Decimal | None
    """All its bills; None where none was written."""
    parts: Decimal | None
    labour: Decimal | None
    sublet: Decimal | None
    freight: Decimal
    profit: Decimal | None
    """Invoiced less parts, labour, sublet and freight; comebacks not counted."""
    unknown: tuple[str, ...]
    """Why the profit is not known."""
    contribution: Decimal | None
    """Invoiced less parts, sublet and freight: what is left for labour, overhead and profit."""
    per_bench_hour: Decimal | None
    sold_hours: Decimal
    standard_hours: Decimal
    """Allowed for the work that was done."""
    actual_hours: Decimal
    """Written down; where none were, labour and profit are not known and the job is in no ratio of hours."""
    measured_hours: Decimal
    """Of these, measured at their operation or step."""
    variances: JobVariances
    first_job: str = ""
    """Of a comeback: the job it is charged to."""
    comebacks: tuple[str, ...] = ()
    comebacks_result: Decimal | None = Decimal(0)
    """Profit of its comebacks, as a rule below zero."""
    after_comebacks: Decimal | None = None


@record
class Month:
    """The jobs closed in a calendar month."""

    first: date
    jobs: int
    known: int
    """Whose profit is known: `invoiced` and `profit` are theirs."""
    invoiced: Decimal
    profit: Decimal
    sold_hours: Decimal
    actual_hours: Decimal
    per_bench_hour: Decimal | None


@record
class Totals:
    """All closed jobs together."""

    jobs: int
    known: int
    """Whose profit is known: the amounts are theirs."""
    invoiced: Decimal
    parts: Decimal
    labour: Decimal
    sublet: Decimal
    freight: Decimal
    profit: Decimal
    contribution: Decimal
    """Of these jobs."""
    per_bench_hour: Decimal | None
    """Their contribution by their hours."""
    first_quoted: Decimal
    """Of the billed jobs whose option was in the first version."""
    first_agreed: Decimal
    """What was last agreed on the same jobs."""
    first_invoiced: Decimal
    """What was billed for the same jobs."""
    variances: JobVariances


@record
class ComebackCharged:
    """A comeback and the job that bears it."""

    job: str
    first_job: str
    closed: date
    cause: Cause
    hours: Decimal
    result: Decimal | None
    """What it left, as a rule below zero."""
    lost_work: Decimal | None
    """What its hours leave on other jobs of the span."""


@record
class Accuracy:
    """Measured hours of one operation or step against its standard, as a ratio of sums."""

    kind: WorkKind
    code: str
    name: str
    circumstance: Circumstance
    jobs: int
    standard: Decimal
    actual: Decimal
    ratio: Decimal
    """Sum of actual hours by sum of standard hours."""
    spread: Decimal | None
    """Standard deviation of single jobs about the ratio; None for one job."""
    weight: Decimal
    """How far its own jobs count, from 0 to 1; the rest is the shop's mean."""
    shrunk: Decimal
    low: Decimal
    high: Decimal
    older: int = 0
    """Jobs that had another standard time, not counted here."""


@record
class SplitHours:
    """Hours of whole jobs that were split by standard share: no measure of any operation."""

    code: str
    name: str
    jobs: int
    standard: Decimal
    hours: Decimal


@record
class ShopAccuracy:
    """All operations and steps together, and how the single ones are drawn toward it."""

    circumstance: Circumstance
    groups: int
    jobs: int
    mean: Decimal
    """The shop's mean ratio."""
    within: Decimal | None
    """Variance of one job about its operation's ratio; None where it can't be told."""
    between: Decimal | None
    """Variance of the operations' own ratios about the mean."""
    prior_jobs: Decimal | None
    """How many jobs the shop's mean counts for; None where operations do not differ beyond chance."""


@record
class Change:
    """One cell of the shop book and what is proposed for it."""

    sheet: str
    code: str
    column: str
    in_force: Decimal
    new: Decimal
    low: Decimal
    high: Decimal


@record
class Proposal:
    """A time, or an allowance for rust, that the season speaks against; nothing changes by itself."""

    kind: Literal["operation", "access", "condition"]
    code: str
    name: str
    jobs: int
    in_force: Decimal
    """The standard in hours, opening and closing together; of a condition its allowance."""
    ratio: Decimal
    shrunk: Decimal
    new: Decimal
    low: Decimal
    high: Decimal
    changes: tuple[Change, ...] = ()
    """Empty where no shop book was given."""


@record
class TierWins:
    """An option over the quotes that showed it."""

    tier: str
    name: str
    shown: int
    open: int
    chosen: int
    other_chosen: int
    declined: int
    lapsed: int
    rate: Decimal | None
    """Chosen by shown and no longer open."""


@record
class AgeBand:
    """Quotes by the days since they were handed over."""

    name: str
    open: int
    open_from: Decimal
    """The least that the open ones would bring: their cheapest options."""
    accepted: int
    """Agreed to within so many days."""
    declined: int


@record
class LostReason:
    """Why quotes were lost."""

    reason: str
    quotes: int


@record
class PartsBand:
    """Parts sold, by what a unit costs."""

    over: Decimal
    up_to: Decimal | None
    lines: int
    sales: Decimal
    cost: Decimal
    margin: Decimal
    share: Decimal | None
    """Margin by sales."""


@record
class PartsMargin:
    """All parts, and what could not be counted."""

    bands: tuple[PartsBand, ...]
    from_book: bool
    """The bands are those of the sheet Markup."""
    cost_unknown: int
    sales_unknown: Decimal
    """Sales of parts whose cost is not known."""


@record
class Productivity:
    """Hours paid, worked on jobs and sold. Shares are null where the clock hours are not known."""

    jobs: int
    sold: Decimal
    actual: Decimal
    labour_sales: Decimal
    efficiency: Decimal | None
    """Sold by actual, over the jobs whose hours were written down."""
    rate_sold: Decimal | None
    """Labour sales by sold hours."""
    rate_actual: Decimal | None
    """Labour sales by actual hours, over the same jobs."""
    without_hours: int = 0
    """Jobs whose hours were not written down."""
    clock: Decimal | None = None
    """Hours paid in the span, from the Rate builder."""
    planned_sold: Decimal | None = None
    productivity: Decimal | None = None
    """Sold by clock."""
    on_jobs: Decimal | None = None
    """Actual by clock."""
    break_even_rate: Decimal | None = None


@record
class LossChance:
    """How often jobs like it lose money; `chance` is None where there are too few."""

    job: str
    version: int
    tier: str
    name: str
    subtotal: Decimal
    cost: Decimal
    jobs: int
    """Whose spread was used."""
    same_tier: bool
    """They had the same option."""
    losing: int
    chance: Decimal | None
    low: Decimal | None = None
    high: Decimal | None = None


@record
class TierLoss:
    """Closed jobs of one option, and how many of them lost money."""

    tier: str
    name: str
    jobs: int
    losing: int
    chance: Decimal | None
    low: Decimal | None
    high: Decimal | None
    cost_ratio: Decimal | None
    """Sum of actual cost by sum of agreed cost."""


@record
class Review:
    """The whole season."""

    span: Span
    currency: str
    shop_name: str
    language: str
    jobs: tuple[ReviewedJob, ...]
    totals: Totals
    months: tuple[Month, ...]
    comebacks: tuple[ComebackCharged, ...]
    shop: tuple[ShopAccuracy, ...]
    accuracy: tuple[Accuracy, ...]
    split: tuple[SplitHours, ...]
    proposals: tuple[Proposal, ...]
    wins: tuple[TierWins, ...]
    quotes: int
    ageing: tuple[AgeBand, ...]
    lost: tuple[LostReason, ...]
    parts: PartsMargin
    productivity: Productivity
    losses: tuple[LossChance, ...]
    tier_losses: tuple[TierLoss, ...]
    other_currency: int = 0
    """Jobs in another currency, left out."""
