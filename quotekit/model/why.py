"""Why a tier takes what it takes, and why another is missing: records for the shop, never for the customer.

Amounts are money of the currency before tax, lives are years, hours are hours. A difference is the alternative less
what is taken: above zero the alternative is dearer, or lasts longer.
"""

from __future__ import annotations

from decimal import Decimal
from typing import Literal

from quotekit.model.source import NOWHERE, Source
from quotekit.record import record

DecidedBy = Literal[
    "lowest price", "least to own", "shortest life", "lives together", "work", "operations", "codes", "not the best"
]
"""What told two choices apart: the aim itself (a price, a cost over the years, a life), or the rule for ties after it.
`not the best` is said where a search was stopped by its time limit and the alternative is the better one."""

FigureKind = Literal[
    "price of the alternative",
    "price of what is taken",
    "hours of the alternative",
    "hours of what is taken",
    "life of the alternative",
    "life of what is taken",
]
"""A price is the selling price of one part, hours are net hours of one operation, a life is that of one remedy."""

Among = Literal["every choice", "all else as chosen"]
MissingKind = Literal["same work", "leaves safety", "costs no less", "not worked out", "nothing to do"]


@record
class Named:
    """A code, with its side where it has one, and what the owner calls it."""

    key: str
    name: str


@record
class Figures:
    """What a whole choice comes to."""

    work: Decimal
    over_years: Decimal
    """Over the horizon; a life that is not stated is taken to last it."""
    shortest_life: Decimal
    """Of the covered findings that remedies fix, counted up to the horizon."""
    lives_together: Decimal
    operations: int


@record
class Alternative:
    """The best other complete choice without a remedy, all else in the tier as it is."""

    takes: tuple[Named, ...]
    """Taken in place; may be empty where a finding is then left."""
    drops: tuple[Named, ...]
    """No longer taken: the remedy, and what went with it."""
    leaves: tuple[str, ...]
    """Findings that would then be left."""
    figures: Figures
    difference: Decimal
    """In work today."""
    over_years: Decimal | None
    """None where a remedy that differs has no Life years."""
    no_life: tuple[Named, ...]
    """Those remedies."""
    decided_by: DecidedBy


@record
class BreakEven:
    """One figure of the shop book, and the value at which something else is taken; all other figures as they are."""

    figure: FigureKind
    of: Named
    """The part, the operation or the remedy."""
    present: Decimal
    step: Decimal
    """Values were tried in whole steps: the currency's minor unit, hundredths of an hour or of a year."""
    wins_at: Decimal | None
    """The value nearest to the present one at which the remedy is no longer taken; one step nearer it still is.
    None where no value does it."""
    tried: Decimal
    """The most favourable value tried."""
    then: tuple[Named, ...] = ()
    """What is taken at that value and is not now."""
    among: Among = "every choice"
    """`every choice` of the tier was compared at that value, or only the alternative with all else as it is."""
    pack_cost: Decimal | None = None
    """The pack cost nearest to the present one that brings the price to `wins_at` or past it.
    None where the price does not follow from it alone."""
    pack_cost_now: Decimal | None = None
    source: Source = NOWHERE
    column: str = ""
    """The cell to change is `source.place(column)`."""


@record
class Refused:
    """Another remedy for the same findings that cannot be taken on this job, and why."""

    remedy: Named
    why: str


@record
class RemedyWhy:
    """Why one remedy is in a tier."""

    remedy: Named
    fixes: tuple[str, ...]
    standing: Literal["compared", "the only one", "not compared", "planned"]
    only_for: tuple[str, ...] = ()
    """Findings that nothing else puts right; the remedy is `the only one` because of them."""
    refused: tuple[Refused, ...] = ()
    done_by_larger_work: bool = False
    choices: int = 0
    """Choices compared for the findings it belongs to, its own among them."""
    swaps_only: bool = False
    """True where there were too many choices: only those that exchange this one remedy were compared."""
    alternative: Alternative | None = None
    break_even: tuple[BreakEven, ...] = ()


@record
class Compared:
    """One line of a comparison of two tiers, in figures: what, this tier, the other."""

    what: str
    this: str
    other: str


@record
class Missing:
    """Why a tier is not offered, and what would have to change."""

    kind: MissingKind
    against: str = ""
    """The name of the tier it is compared with."""
    comparisons: tuple[Compared, ...] = ()
    details: tuple[str, ...] = ()
    would_change: tuple[str, ...] = ()
    cheaper_by: Decimal | None = None
    """How much less it would have to cost to be offered, where that alone would do."""


@record
class TierWhy:
    """Why a tier is what it is."""

    aim: str
    planned: bool
    horizon: Decimal
    figures: Figures | None
    """None where the tier could not be worked out."""
    remedies: tuple[RemedyWhy, ...]
    missing: Missing | None
    notes: tuple[str, ...] = ()
    """What was not compared or searched, and why."""
