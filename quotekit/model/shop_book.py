"""The shop book as frozen records, one class a sheet (DESIGN.md 3).

Codes are spelled as in the row that defines them: a reader resolves case, so inside the engine codes compare exactly.
Money is in the shop's currency, before tax. Hours are hours. Percentages are fractions (0.45 for 45 %).
An absent optional cell is None, never zero.
"""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import field
from datetime import date
from decimal import Decimal
from functools import cached_property
from typing import Literal

from quotekit.model.rate import RateLine
from quotekit.model.source import NOWHERE, Source
from quotekit.record import record

FindingSeverity = Literal["safety", "needed", "advised", "watch"]
SEVERITIES: tuple[FindingSeverity, ...] = ("safety", "needed", "advised", "watch")
RemedyKind = Literal["repair", "replace", "upgrade"]
Aim = Literal["lowest price", "least to own", "longest life"]
SavingKind = Literal["hours off", "labour amount off", "parts amount off", "percent off parts"]
FailsWhen = Literal["above", "below"]
CHARGE_WORDS = (
    "all",
    "labour",
    "upgrade labour",
    "parts",
    "cores",
    "sublet",
    "supplies",
    "freight",
    "fees",
    "inspection",
)
"""What a tax row may charge, beside fee codes and `Taxed as` words."""


@record
class Quantity:
    """One entry of a quantity list: `SEAL-19 x 2`."""

    code: str
    quantity: Decimal


@record
class Settings:
    """The Shop sheet (DESIGN.md 3.1). `sources` gives the cell of each setting by its name."""

    shop_name: str
    currency: str
    minimum_labour_hours: Decimal
    address: str = ""
    phone: str = ""
    email: str = ""
    licence: str = ""
    tax_number: str = ""
    language: str = "en_US"
    hours_step: Decimal = Decimal("0.1")
    supplies_percent_of_labour: Decimal = Decimal(0)
    supplies_cap: Decimal | None = None
    supplies_shown_as: Literal["amount", "off"] = "amount"
    sublet_markup: Decimal = Decimal(0)
    freight_to_customer: Literal["none", "this job alone"] = "none"
    inspection_fee: Decimal = Decimal(0)
    inspection_fee_credited: Literal["never", "when work goes ahead"] | Decimal = "never"
    prices_shown: Literal["before tax", "with tax"] = "before tax"
    labour_shown: Literal["in total", "by repair"] = "in total"
    tax_rounding: Literal["invoice", "line"] = "invoice"
    show_hours: bool = False
    quote_valid_days: int = 30
    price_age_limit_days: int = 90
    queue_days: int = 0
    deposit_on_ordered_parts: Decimal = Decimal(0)
    deposit_on_non_returnable_parts: Decimal = Decimal(0)
    years_to_compare: Decimal = Decimal(5)
    interest_a_year: Decimal = Decimal(0)
    call_when_over_percent: Decimal = Decimal(0)
    call_when_over_amount: Decimal = Decimal(0)
    call_when_over: Literal["the greater", "the lesser"] = "the lesser"
    call_when_over_at_most: Decimal | None = None
    call_compares: Literal["before tax", "with tax"] = "with tax"
    sources: Mapping[str, Source] = field(default_factory=dict, compare=False)
    """By setting name as in DESIGN.md 3.1; the cell is `sources[name].place("Value")`."""


@record
class LabourRate:
    """Selling rate per sold hour. One code may have several dated rows."""

    code: str
    rate_per_hour: Decimal
    name: str = ""
    cost_per_hour: Decimal | None = None
    in_force_from: date | None = None
    source: Source = NOWHERE


@record
class Condition:
    """Rust and dirt: `allowance` is a fraction of the net hours slowed by rust, at most `at_most_hours` a job."""

    code: str
    name: str
    allowance: Decimal
    at_most_hours: Decimal | None = None
    source: Source = NOWHERE


@record
class MachineClass:
    """`positions` in the owner's order; `always` are operation codes done once on every job of the class."""

    code: str
    machine_class: str
    positions: tuple[str, ...] = ("left", "right")
    always: tuple[str, ...] = ()
    source: Source = NOWHERE


@record
class AccessStep:
    """Opening and closing something: charged once however many operations need it."""

    code: str
    step: str
    hours_to_open: Decimal
    hours_to_close: Decimal
    needs: tuple[str, ...] = ()
    each_side: bool = False
    labour: str | None = None
    parts: tuple[Quantity, ...] = ()
    cautions: tuple[str, ...] = ()
    source: Source = NOWHERE


@record
class Operation:
    """A unit of work with net hours; `second_side_hours` is for each further position."""

    code: str
    operation: str
    net_hours: Decimal
    second_side_hours: Decimal | None = None
    each_side: bool = False
    labour: str | None = None
    parts: tuple[Quantity, ...] = ()
    access: tuple[str, ...] = ()
    includes: tuple[str, ...] = ()
    requires: tuple[str, ...] = ()
    slowed_by_rust: bool = False
    sublet_cost: Decimal | None = None
    sublet_days: int | None = None
    cautions: tuple[str, ...] = ()
    customer_wording: str = ""
    source: Source = NOWHERE


@record
class Part:
    """A part as bought. `new_or_used` is the cell's words; `taxed_as` is lower case, None means parts."""

    code: str
    part: str
    pack_quantity: Decimal
    pack_cost: Decimal
    supplier: str
    unit: str = ""
    list_price_each: Decimal | None = None
    fixed_price_each: Decimal | None = None
    suppliers_number: str = ""
    new_or_used: str = ""
    replaced_by: str | None = None
    also_needs: tuple[Quantity, ...] = ()
    contains: tuple[Quantity, ...] = ()
    lead_days: int | None = None
    returnable: bool = True
    core_charge: Decimal | None = None
    extra_freight: Decimal | None = None
    cost_date: date | None = None
    taxed_as: str | None = None
    source: Source = NOWHERE


@record
class PartUsed:
    """A row of Parts used: `sides` in lower case, empty for every side; `machines` empty for all classes."""

    used_by: str
    part: str
    quantity: Decimal
    sides: tuple[str, ...] = ()
    machines: tuple[str, ...] = ()
    source: Source = NOWHERE


@record
class Offer:
    """Another supplier's price for a part: it matters only when parts are ordered."""

    part: str
    supplier: str
    pack_quantity: Decimal
    pack_cost: Decimal
    suppliers_number: str = ""
    lead_days: int | None = None
    dated: date | None = None
    source: Source = NOWHERE


@record
class Supplier:
    """Terms of one supplier; `shelf` is the shop's own stock. `restocking` is a fraction."""

    code: str
    supplier: str
    minimum_order: Decimal | None = None
    small_order_fee: Decimal | None = None
    freight: Decimal | None = None
    free_freight_from: Decimal | None = None
    lead_days: int | None = None
    restocking: Decimal | None = None
    return_days: int | None = None
    shelf: bool = False
    source: Source = NOWHERE


@record
class MarkupBand:
    """Markup on unit cost; `cost_over` is excluded, `cost_up_to` included, None has no end."""

    cost_over: Decimal
    cost_up_to: Decimal | None
    markup: Decimal
    source: Source = NOWHERE


@record
class Finding:
    """Something that may be observed; `machines` empty for all classes."""

    code: str
    finding: str
    severity: FindingSeverity
    machines: tuple[str, ...] = ()
    measure: str = ""
    unit: str = ""
    fails_when: FailsWhen | None = None
    limit: Decimal | None = None
    as_new: Decimal | None = None
    limit_source: str = ""
    customer_wording: str = ""
    if_left: str = ""
    also_check: tuple[str, ...] = ()
    source: Source = NOWHERE


@record
class Remedy:
    """One way to put one or more findings right."""

    code: str
    remedy: str
    kind: RemedyKind
    fixes: tuple[str, ...]
    operations: tuple[str, ...]
    parts: tuple[Quantity, ...] = ()
    needs_fixed: tuple[str, ...] = ()
    life_years: Decimal | None = None
    warranty_days: int | None = None
    customer_wording: str = ""
    leaves: str = ""
    source: Source = NOWHERE


@record
class FitsOnlyIf:
    """A remedy fits only while a finding's measured value lies in from_..to, ends included, None is open."""

    remedy: str
    finding: str
    from_: Decimal | None = None
    to: Decimal | None = None
    source: Source = NOWHERE


@record
class Extra:
    """Work that no finding calls for; `machines` empty for all classes."""

    code: str
    extra: str
    operations: tuple[str, ...]
    machines: tuple[str, ...] = ()
    parts: tuple[Quantity, ...] = ()
    life_years: Decimal | None = None
    customer_wording: str = ""
    source: Source = NOWHERE


@record
class Bundle:
    """A saving when all members are done together. `value` is hours, money or a fraction, by `saving`."""

    code: str
    bundle: str
    members: tuple[str, ...]
    saving: SavingKind
    value: Decimal
    from_: date | None = None
    to: date | None = None
    source: Source = NOWHERE


@record
class Fee:
    """`applies_to` are operation codes; `always` is True for every job; neither: only when the job names it."""

    code: str
    fee: str
    amount: Decimal
    unit: str = ""
    applies_to: tuple[str, ...] = ()
    always: bool = False
    customer_wording: str = ""
    required_wording: str = ""
    source: Source = NOWHERE


@record
class Tax:
    """A dated row. `charges` are lower-case charge words, fee codes (as spelled in Fees) or `Taxed as` words."""

    tax: str
    rate: Decimal
    charges: tuple[str, ...]
    machines: tuple[str, ...] = ()
    customer_class: str = ""
    in_force_from: date | None = None
    in_force_to: date | None = None
    source: Source = NOWHERE


@record
class Tier:
    """One option of the quote; listed from least to most."""

    code: str
    tier: str
    covers: frozenset[FindingSeverity]
    aim: Aim
    source: Source = NOWHERE


@record
class Caution:
    """A line for work sheets; some are for the customer too."""

    code: str
    caution: str
    caution_source: str = ""
    for_customer: bool = False
    source: Source = NOWHERE


DEFAULT_TIERS: tuple[Tier, ...] = (
    Tier(code="good", tier="Put right", covers=frozenset({"safety", "needed"}), aim="lowest price"),
    Tier(
        code="better",
        tier="Put right and prevent",
        covers=frozenset({"safety", "needed", "advised"}),
        aim="least to own",
    ),
    Tier(code="best", tier="Made to last", covers=frozenset({"safety", "needed", "advised"}), aim="longest life"),
)


@record
class ShopBook:
    """The owner's workbook. Every mapping keeps the order of the rows.

    `machines` and `suppliers` are None when their sheet is missing: then a machine class or supplier is free text.
    """

    settings: Settings
    labour_rates: tuple[LabourRate, ...]
    operations: Mapping[str, Operation]
    parts: Mapping[str, Part]
    markup: tuple[MarkupBand, ...]
    findings: Mapping[str, Finding]
    remedies: Mapping[str, Remedy]
    conditions: Mapping[str, Condition] = field(default_factory=dict)
    machines: Mapping[str, MachineClass] | None = None
    access: Mapping[str, AccessStep] = field(default_factory=dict)
    parts_used: tuple[PartUsed, ...] = ()
    offers: tuple[Offer, ...] = ()
    suppliers: Mapping[str, Supplier] | None = None
    fits_only_if: tuple[FitsOnlyIf, ...] = ()
    extras: Mapping[str, Extra] = field(default_factory=dict)
    bundles: Mapping[str, Bundle] = field(default_factory=dict)
    fees: Mapping[str, Fee] = field(default_factory=dict)
    taxes: tuple[Tax, ...] = ()
    tiers: tuple[Tier, ...] = DEFAULT_TIERS
    cautions: Mapping[str, Caution] = field(default_factory=dict)
    rate_builder: tuple[RateLine, ...] = ()
    file: str = ""
    sha256: str = ""

    @cached_property
    def remedies_by_finding(self) -> Mapping[str, tuple[Remedy, ...]]:
        """Remedies that fix each finding code, in the order of the sheet."""
        found: dict[str, list[Remedy]] = {}
        for remedy in self.remedies.values():
            for code in remedy.fixes:
                found.setdefault(code, []).append(remedy)
        return {code: tuple(remedies) for code, remedies in found.items()}

    @cached_property
    def parts_used_by(self) -> Mapping[str, tuple[PartUsed, ...]]:
        """Rows of Parts used by the code that uses them."""
        found: dict[str, list[PartUsed]] = {}
        for row in self.parts_used:
            found.setdefault(row.used_by, []).append(row)
        return {code: tuple(rows) for code, rows in found.items()}

    @cached_property
    def limits_of(self) -> Mapping[str, tuple[FitsOnlyIf, ...]]:
        """Rows of Fits only if by remedy code."""
        found: dict[str, list[FitsOnlyIf]] = {}
        for row in self.fits_only_if:
            found.setdefault(row.remedy, []).append(row)
        return {code: tuple(rows) for code, rows in found.items()}
