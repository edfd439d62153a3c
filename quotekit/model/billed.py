"""A bill as it was handed over: its lines, taxes and payments, the work it is for, and what the next one must know."""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import field
from datetime import date
from decimal import Decimal
from typing import Literal

from quotekit.record import record


@record
class BillLine:
    """A line of a bill."""

    key: str
    text: str
    amount: Decimal
    kind: str = ""
    """The charge by which it is taxed."""
    detail: str = ""
    """Condition of a part, what a fee is for."""
    quantity: Decimal | None = None
    unit: str = ""
    each: Decimal | None = None
    """Price of one unit."""


@record
class BilledWork:
    """Agreed work that was done, as the customer reads it."""

    text: str
    warranty_days: int | None = None
    labour: Decimal | None = None
    """Its share, where the shop shows labour by repair."""


@record
class Billed:
    """A bill, as it was handed over."""

    lines: tuple[BillLine, ...]
    subtotal: Decimal
    taxes: tuple[tuple[str, Decimal, Decimal], ...]
    """Tax, what it is on, amount."""
    tax: Decimal
    total: Decimal
    paid: Decimal
    due: Decimal
    authorised: Decimal
    """On the basis of the rule."""
    currency: str
    of: Literal["work", "no"] = "work"
    """What was agreed, or what a no costs."""
    billed_before: Decimal = Decimal(0)
    """Totals of the job's earlier bills."""
    refund: Decimal = Decimal(0)
    """To be given back; the amount due is then zero."""
    payments: tuple[tuple[date | None, str, Decimal], ...] = ()
    """Money taken and given back: day, in words, amount."""
    work: tuple[BilledWork, ...] = ()
    not_done: tuple[str, ...] = ()
    left: tuple[str, ...] = ()
    """Safety findings the customer leaves, in plain words."""
    cautions: tuple[str, ...] = ()
    """For the customer."""
    notes: tuple[str, ...] = ()
    """What else the customer should know: parts that cost nothing, a tax that changed."""
    upgrade_labour: Decimal = Decimal(0)
    """Part of the labour that counts as upgrade labour."""
    taxed_on: date | None = None
    """The day whose tax rows counted."""
    cores_back: Mapping[str, Decimal] = field(default_factory=dict)
    """Units of old parts handed back that this bill was told of, by part code."""
