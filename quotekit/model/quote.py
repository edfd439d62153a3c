"""What the engine works out of a shop book and a job: records only, exact amounts (DESIGN.md 5 and 7).

`Quote` is a shop document: it holds costs. The customer's document is laid out from it by `documents/customer_quote`,
which reads no field named cost, margin, markup, supplier or packs.
Amounts are Decimals with the currency's digits; hours are plain Decimals.
Every tuple has a fixed order: text order of code@side.
"""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import field
from datetime import date
from decimal import Decimal
from typing import TYPE_CHECKING, Literal

from quotekit.model.job import Job
from quotekit.model.live import LivePricing
from quotekit.model.shop_book import ShopBook
from quotekit.problems import Problem
from quotekit.record import record

if TYPE_CHECKING:
    from quotekit.model.proof import Proof
    from quotekit.model.repair_or_replace import RepairOrReplace
    from quotekit.model.why import TierWhy
    from quotekit.model.years import CostOverYears, Sensitivity

ItemKind = Literal["remedy", "extra", "operation", "one-off"]


@record
class WorkLine:
    """An operation or access step as present in a tier, with exact hours and the items that share it."""

    key: str
    code: str
    side: str | None
    hours: Decimal
    """Net hours (or second-side hours) of an operation; open plus close of a step."""
    labour: str
    """Labour rate code that bills it."""
    slowed_by_rust: bool = False
    further_side: bool = False
    """True where second-side hours were taken."""
    users: tuple[str, ...] = ()
    """Item keys that need it; empty for Always work, which all items share."""
    always: bool = False


@record
class LabourLine:
    """One labour rate of a tier, hours built up step by step (DESIGN.md 5.3)."""

    rate: str
    rate_per_hour: Decimal
    access: Decimal
    net: Decimal
    allowance: Decimal
    """To four decimals where the ceiling is split over several rates; exact otherwise."""
    off: Decimal
    billed: Decimal
    amount: Decimal
    cost: Decimal | None


@record
class PartLine:
    """One part of a tier. The customer's own parts have price, amount and packs zero."""

    part: str
    """Code of the final part, or ONEOFF-n."""
    name: str
    unit: str
    new_or_used: str
    quantity: Decimal
    packs: int
    unit_price: Decimal
    amount: Decimal
    sides: tuple[str, ...] = ()
    """Positions that use it, in the machine's order; empty when no side matters."""
    own: bool = False
    supplier: str = ""
    suppliers_number: str = ""
    pack_quantity: Decimal = Decimal(1)
    pack_cost: Decimal | None = None
    unit_cost: Decimal | None = None
    """To six decimals, for people."""
    cost: Decimal | None = None
    """Of the units used, rounded."""
    left_over: Decimal = Decimal(0)
    core_charge: Decimal = Decimal(0)
    """Charged for this line, rounded."""
    ordered: bool = False
    """True unless it is shelf stock or the customer's own."""
    returnable: bool = True
    lead_days: int | None = None
    replaces: tuple[str, ...] = ()
    """Codes this part stands for, where the book has superseded them."""
    why_price: str = ""
    """In words: markup band, list price, fixed price."""
    taken_from_kits: Decimal = Decimal(0)


@record
class MoneyLine:
    """A named amount: sublet, fee, one-off charge, freight per supplier, or a saving (negative)."""

    key: str
    name: str
    amount: Decimal
    quantity: Decimal = Decimal(1)
    unit: str = ""
    cost: Decimal | None = None
    wording: str = ""


@record
class TaxLine:
    """One tax of a tier: what it is on and what it comes to."""

    tax: str
    base: Decimal
    amount: Decimal


@record
class Hours:
    """Hours of a tier (DESIGN.md 5.3), over all labour rates."""

    access: Decimal
    net: Decimal
    allowance: Decimal
    off: Decimal
    billed: Mapping[str, Decimal]
    minimum_added: Decimal


@record
class Amounts:
    """The order of money (DESIGN.md 5.5); savings and inspection_credit are negative or zero."""

    labour: Decimal
    parts: Decimal
    cores: Decimal
    sublet: Decimal
    savings: Decimal
    supplies: Decimal
    fees: Decimal
    freight: Decimal
    inspection: Decimal
    inspection_credit: Decimal


@record
class Share:
    """An item's fair share of a tier; hours to four decimals, money to the minor unit."""

    item: str
    hours: Decimal
    labour: Decimal
    parts: Decimal
    sublet: Decimal
    amount: Decimal


@record
class Cost:
    """What a tier costs the shop; labour and total are None where a labour cost is unknown."""

    labour: Decimal | None
    parts_used: Decimal | None
    cores: Decimal
    sublet: Decimal | None
    freight: Decimal
    total: Decimal | None


@record
class TierItem:
    """A remedy, extra, operation or one-off line taken in a tier."""

    key: str
    code: str
    side: str | None
    kind: ItemKind
    name: str
    """The owner's name of it."""
    wording: str
    """Customer wording, else the name."""
    fixes: tuple[str, ...] = ()
    """Keys of the job's faults it puts right."""
    life_years: Decimal | None = None
    warranty_days: int | None = None
    leaves: str = ""
    remedy_kind: str = ""
    asked: bool = False
    done_by_larger_work: bool = False


@record
class OfferedExtra:
    """An extra, or a remedy for what the tier leaves, offered beside it (DESIGN.md 5.8)."""

    extra: str
    """CODE or CODE@side."""
    code: str
    side: str | None
    kind: Literal["extra", "remedy"]
    name: str
    wording: str
    why: str
    """`while it is open`, `on the job's list` or `found, not in this option`."""
    fixes: tuple[str, ...]
    price: Decimal
    at_most: Decimal
    work: Decimal
    subtotal: Decimal
    tax: Decimal
    total: Decimal


@record
class PricedTier:
    """One tier, worked out in full. `offered` False carries the reason."""

    code: str
    name: str
    aim: str
    planned: bool
    offered: bool
    reason: str | None
    items: tuple[TierItem, ...]
    operations: tuple[WorkLine, ...]
    access: tuple[WorkLine, ...]
    dropped: tuple[str, ...]
    fixed: tuple[str, ...]
    left: tuple[str, ...]
    safety_left: tuple[str, ...]
    hours: Hours
    labour_lines: tuple[LabourLine, ...]
    minimum_amount: Decimal
    part_lines: tuple[PartLine, ...]
    sublet_lines: tuple[MoneyLine, ...]
    saving_lines: tuple[MoneyLine, ...]
    """Bundles in book order (an hours-off bundle has amount zero), then DISCOUNT-LABOUR, DISCOUNT-PARTS."""
    fee_lines: tuple[MoneyLine, ...]
    """Fees, then one-off charges."""
    freight_lines: tuple[MoneyLine, ...]
    amounts: Amounts
    bundles: tuple[tuple[str, Decimal | None], ...]
    work: Decimal
    subtotal: Decimal
    taxes: tuple[TaxLine, ...]
    tax: Decimal
    total: Decimal
    deposit: Decimal
    due: Decimal
    ready_days: int | None
    horizon_cost: Decimal
    shares: tuple[Share, ...]
    cost: Cost
    cash_for_parts: Decimal
    margin: Decimal | None
    compared: int
    lives: Mapping[str, Decimal | None]
    """Years stated for each fixed finding key; None where not stated."""
    opening_amount: Decimal
    """The part of labour that opens and closes, for the customer's own line: by exact hours, largest remainder."""
    extras: tuple[OfferedExtra, ...] = ()
    over_years: tuple[Decimal, ...] = ()
    """Work today, then with repeats due before each year's end, up to the horizon; empty where a life is unknown."""
    priced: bool = True
    """False where the tier could not be worked out: its figures are zero and mean nothing."""
    proof: Proof | None = None
    """How sure the choice is; None where the tier could not be worked out."""
    repair_or_replace: RepairOrReplace | None = None
    """Keeping against replacing, where the job gives what a machine is worth."""
    why: TierWhy | None = field(default=None, compare=False)
    """Why it takes what it takes, for the shop; None where a tier is priced by itself."""
    years: CostOverYears | None = None
    """What it comes to over the years, repair by repair; None where a life is not stated."""


@record
class NotPermitted:
    """A candidate remedy that does not fit as measured."""

    remedy: str
    side: str | None
    why: str


@record
class OnlyWith:
    """A candidate that fits only together with one of others (`CODE` or `CODE@side`)."""

    remedy: str
    side: str | None
    with_: tuple[str, ...]


@record
class Declined:
    """What a no costs."""

    inspection: Decimal
    reassembly: Decimal
    tax: Decimal
    total: Decimal


@record
class Quote:
    """The whole answer. With errors, `tiers` is empty and `problems` is full."""

    book: ShopBook
    job: Job
    valid_until: date
    currency: str
    tiers: tuple[PricedTier, ...]
    not_permitted: tuple[NotPermitted, ...]
    only_with: tuple[OnlyWith, ...]
    measure_next: tuple[str, ...]
    look_next: tuple[str, ...]
    declined: Declined
    problems: tuple[Problem, ...] = field(default=())
    live: LivePricing | None = field(default=None, compare=False)
    """How the customer's documents follow a choice; None where they can't, for the reason in `not_live`."""
    not_live: str = ""
    sensitivity: Sensitivity | None = field(default=None, compare=False)
    """What the order of the tiers by cost over the years hangs on, for the shop."""

    @property
    def offered(self) -> tuple[PricedTier, ...]:
        """The tiers the customer sees."""
        return tuple(tier for tier in self.tiers if tier.offered)
