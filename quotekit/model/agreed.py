"""What a customer agreed to, line by line, as it was frozen on that day: base of work order, order, bill, review.

Amounts are Decimals with the currency's digits, hours and quantities plain Decimals. Everything is of the option chosen
with the extras chosen; nothing here is ever worked out again from a shop book that changed since.
"""

from __future__ import annotations

from collections.abc import Mapping
from decimal import Decimal
from typing import Literal

from quotekit.record import record

WorkKind = Literal["operation", "access", "one-off"]
Basis = Literal["before tax", "with tax"]


@record
class ConsentRule:
    """When the customer must be called (DESIGN.md 3.1): over a percent, an amount, the greater or lesser, a ceiling."""

    over_percent: Decimal = Decimal(0)
    """A fraction: 0.1 is ten percent."""
    over_amount: Decimal = Decimal(0)
    over: Literal["the greater", "the lesser"] = "the lesser"
    compares: Basis = "with tax"
    at_most: Decimal | None = None
    """A ceiling on what those come to; None for none."""


@record
class AgreedItem:
    """A remedy, extra, operation or one-off line that was agreed."""

    key: str
    code: str
    side: str | None
    kind: str
    name: str
    wording: str
    fixes: tuple[str, ...] = ()
    asked: bool = False
    added: bool = False
    """True where the customer added it to the option."""
    warranty_days: int | None = None


@record
class AgreedWork:
    """An operation, an access step or one-off labour, with its standard hours."""

    key: str
    code: str
    side: str | None
    kind: WorkKind
    name: str
    hours: Decimal
    """Net hours of an operation; opening and closing together of a step."""
    labour: str
    slowed_by_rust: bool = False
    users: tuple[str, ...] = ()
    """Item keys that need it; empty for work that is always done."""


@record
class AgreedLabour:
    """One labour rate: hours and money."""

    rate: str
    rate_per_hour: Decimal
    cost_per_hour: Decimal | None
    access: Decimal
    net: Decimal
    allowance: Decimal
    off: Decimal
    billed: Decimal
    amount: Decimal


@record
class AgreedPart:
    """One part: what is fitted, what is ordered for it and what it sells for."""

    part: str
    name: str
    unit: str
    new_or_used: str
    quantity: Decimal
    packs: int
    pack_quantity: Decimal
    pack_cost: Decimal | None
    unit_price: Decimal
    amount: Decimal
    unit_cost: Decimal | None
    cost: Decimal | None
    """Of the units used, rounded."""
    supplier: str
    suppliers_number: str
    sides: tuple[str, ...] = ()
    own: bool = False
    """The customer's own part."""
    ordered: bool = False
    """True unless it is shelf stock or the customer's own."""
    returnable: bool = True
    core_charge: Decimal = Decimal(0)
    lead_days: int | None = None


@record
class AgreedLine:
    """A named amount: sublet, fee, one-off charge, freight or a saving (negative)."""

    key: str
    name: str
    amount: Decimal
    quantity: Decimal = Decimal(1)
    unit: str = ""
    cost: Decimal | None = None
    wording: str = ""


@record
class AgreedTax:
    """A tax, what it is on and what it comes to."""

    tax: str
    base: Decimal
    amount: Decimal


@record
class Agreed:
    """The chosen option with the chosen extras, worked out in full."""

    tier: str
    option: str
    items: tuple[AgreedItem, ...]
    work: tuple[AgreedWork, ...]
    labour: tuple[AgreedLabour, ...]
    minimum_amount: Decimal
    """What the minimum adds to the labour; zero where the work reaches it."""
    minimum_hours: Decimal
    parts: tuple[AgreedPart, ...]
    sublet: tuple[AgreedLine, ...]
    savings: tuple[AgreedLine, ...]
    fees: tuple[AgreedLine, ...]
    freight: tuple[AgreedLine, ...]
    amounts: Mapping[str, Decimal]
    """By the names of the JSON: labour, parts, cores, sublet, savings, supplies, fees, freight, inspection,
    inspection_credit."""
    subtotal: Decimal
    taxes: tuple[AgreedTax, ...]
    tax: Decimal
    total: Decimal
    deposit: Decimal
    ready_days: int | None
    cost_labour: Decimal | None
    cost_parts: Decimal | None
    cost_sublet: Decimal | None
    cost_freight: Decimal
    cost_total: Decimal | None
    margin: Decimal | None
    condition: str = ""
    """Code of the rust or wear that slowed the work; empty for none."""
    left: tuple[str, ...] = ()
    """Keys of faults that stay."""
