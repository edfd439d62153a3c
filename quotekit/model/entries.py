"""What the ledger keeps: entries in the order in which they were made, never changed, and what each kind tells.

Who pays what, what was agreed and what was done is worked out from the entries of a job; nothing else is stored, so
that nothing can disagree. An entry holds what it tells as JSON; `told` reads it as its record.
"""

from __future__ import annotations

import hashlib
from collections.abc import Mapping
from dataclasses import field
from datetime import date
from decimal import Decimal
from typing import Any, Literal, TypeVar

from quotekit.model.agreed import Agreed, ConsentRule
from quotekit.model.billed import Billed as Billed
from quotekit.model.billed import BilledWork as BilledWork
from quotekit.model.billed import BillLine as BillLine
from quotekit.model.changed_file import Changed as Changed
from quotekit.model.changed_file import Unchanged as Unchanged
from quotekit.model.record_json import from_json
from quotekit.record import record

EntryKind = Literal[
    "issued", "written", "accepted", "declined", "ordered", "received", "shelf", "clocked", "closed", "paid", "billed",
    "comeback", "proposed", "noted", "cancelled", "changed", "unchanged",
]  # fmt: skip

Means = Literal["returned quote", "phone", "in-person", "message"]
WhyNo = Literal["price", "time", "not worth it", "went elsewhere", "no answer", "other"]
Cause = Literal["workmanship", "part", "training", "other"]
Purpose = Literal["deposit", "part payment", "bill", "refund", "rounding"]

Body = TypeVar("Body")


@record
class Entry:
    """One row of the ledger."""

    seq: int
    """1, 2, 3 and on, without a gap."""
    at: str
    """When it was written, UTC, `2026-11-28T12:55:13.123456Z`."""
    day: date
    """The shop's day on which it happened, which may be earlier."""
    who: str
    why: str
    kind: EntryKind
    job: str
    """Job number; empty for what is of no job."""
    version: int | None
    """Of the quote it is about."""
    number: int | None
    """Running number among the entries of its kind that are numbered: issued, ordered, billed, changed."""
    body: Mapping[str, Any]
    hash: str
    before: str
    """Hash of the entry before; 64 zeros for the first."""

    def told(self, kind: type[Body]) -> Body:
        """What it tells, as a record of its kind. Raises UnreadableRecord where the body is not one."""
        return from_json(kind, self.body)


@record
class Draft:
    """An entry that is to be made; the ledger adds its place, time and hash."""

    kind: EntryKind
    job: str
    body: object
    """A record of the kind."""
    day: date
    who: str
    why: str = ""
    version: int | None = None
    number: int | None = None


@record
class KeptFile:
    """A file whose bytes the ledger keeps, found by its digest."""

    name: str
    sha256: str

    @classmethod
    def of(cls, name: str, data: bytes) -> KeptFile:
        """As which the ledger keeps these bytes."""
        return cls(name=name, sha256=hashlib.sha256(data).hexdigest())


@record
class OfferedOption:
    """An option as the customer saw it."""

    code: str
    name: str
    subtotal: Decimal
    tax: Decimal
    total: Decimal
    deposit: Decimal
    ready_days: int | None
    margin: Decimal | None
    extras: tuple[str, ...] = ()
    """What could be added."""


@record
class Revision:
    """A changed job against what the customer last agreed to."""

    of_version: int
    tier: str
    extras: tuple[str, ...]
    before: Decimal
    """The last authorised amount, on the basis of the rule."""
    after: Decimal
    """The same amount of the changed job."""
    threshold: Decimal
    """How far it may rise without consent."""
    needs_consent: bool
    agreed: Agreed
    """The changed job for the same option and extras."""
    new: tuple[str, ...] = ()
    """What is new, in words for the customer."""
    adds: Mapping[str, Decimal] = field(default_factory=dict)
    """What each new repair adds before tax, by its key, in the order in which they are told."""


@record
class Issued:
    """A numbered version of a quote: everything it was made from, what it offered and what was handed over."""

    book: KeptFile
    job_workbook: KeptFile
    photos: tuple[KeptFile, ...]
    results: KeptFile
    """The whole quote as JSON, with costs."""
    quote_date: date
    valid_until: date
    currency: str
    customer: str
    phone: str
    machine: str
    offered: tuple[OfferedOption, ...]
    declined_total: Decimal
    rule: ConsentRule
    fingerprint: str
    """Of the customer's quote; empty where none could be offered."""
    engine: str
    """Version of quotekit that worked it out."""
    replaces: int | None = None
    spending_limit: Decimal | None = None
    revision: Revision | None = None
    customer_class: str = "household"
    language: str = "en_US"
    paid_typed: Decimal = Decimal(0)
    """Paid so far as the job workbook says, money that is not in the ledger."""


@record
class Document:
    """A file that was written for people: its name and the digest of its bytes."""

    name: str
    sha256: str


@record
class Written:
    """That the documents of an entry stand in their folder."""

    of: int
    """`seq` of that entry."""
    folder: str
    documents: tuple[Document, ...]


@record
class Accepted:
    """The customer's yes."""

    tier: str
    extras: tuple[str, ...]
    by: Means
    customer: str
    """Who said yes."""
    phone: str
    note: str
    said_at: str
    """Date and time of the consent, as the shop says it: `2026-11-28 14:05`."""
    agreed: Agreed
    rule: ConsentRule
    returned: KeptFile | None = None
    safety_left: tuple[str, ...] = ()
    """Safety findings the customer leaves, in plain words."""
    deposit: Decimal = Decimal(0)
    """Asked for."""
    spending_limit: Decimal | None = None
    held: str = ""
    """Why a quote that had expired was held all the same; empty for one that had not."""


@record
class Declined:
    """The customer's no."""

    reason: WhyNo
    customer: str = ""
    note: str = ""
    safety_left: tuple[str, ...] = ()


@record
class OrderLine:
    """Packs of one part from one supplier."""

    supplier: str
    part: str
    name: str
    suppliers_number: str
    packs: int
    pack_quantity: Decimal
    pack_cost: Decimal
    amount: Decimal
    """Packs x pack cost."""
    jobs: Mapping[str, Decimal]
    """Units for each job."""
    needed: Decimal
    left_over: Decimal
    returnable: bool = True
    lead_days: int | None = None
    extra_freight: Decimal = Decimal(0)
    """Of all its packs together."""
    unit: str = ""
    new_or_used: str = ""
    code: str = ""
    """The part's code in the shop book; `part` may be of one job alone."""
    instead_of: str = ""
    """The part's usual supplier, where it is bought elsewhere."""
    cost_known: bool = True
    """False for a one-off part whose cost nobody typed: its pack cost is zero until it comes in."""


@record
class SupplierOrder:
    """What one supplier gets."""

    supplier: str
    name: str
    goods: Decimal
    freight: Decimal
    """Flat freight and extra freight of packs."""
    fee: Decimal
    """Small order fee."""
    total: Decimal


@record
class ShelfTake:
    """Units taken from the shop's shelf for a job."""

    part: str
    name: str
    job: str
    quantity: Decimal
    unit: str = ""


@record
class Ordered:
    """A parts order over one or several jobs."""

    jobs: tuple[str, ...]
    lines: tuple[OrderLine, ...]
    suppliers: tuple[SupplierOrder, ...]
    shelf: tuple[ShelfTake, ...]
    landed: Decimal
    usual: Decimal | None
    """Landed cost of buying each part at its usual supplier; None where that can't be."""
    bound: Decimal
    """No order of these parts lands for less."""
    compared: str
    """How the choice was proved, in words."""
    currency: str
    usual_why: str = ""
    """Why buying each part at its usual supplier can't be."""
    needed_by: Mapping[str, date] = field(default_factory=dict)
    """By job: the day by which its parts must be there, where there is one."""
    proven: bool = True


@record
class ReceivedLine:
    """Packs that came in, or that the supplier will send later."""

    supplier: str
    part: str
    packs: int
    """Negative for packs sent back: the supplier owes them until they come again or are cancelled."""
    back_ordered: int = 0
    pack_cost: Decimal | None = None
    """What was really charged for a pack; None for as ordered."""
    expected: date | None = None
    line: int = 0
    """Place of the line in its order, from 1."""


@record
class Received:
    """Parts of an order that came in."""

    order: int
    lines: tuple[ReceivedLine, ...]
    note: str = ""


@record
class CancelledLine:
    """Packs of a line of an order that will not come."""

    supplier: str
    part: str
    packs: int
    line: int
    """Place of the line in its order, from 1."""
    jobs: Mapping[str, Decimal] = field(default_factory=dict)
    """Units that jobs do not get by it: those of the line, and those that later orders gave from what it left over."""


@record
class Cancelled:
    """What of an order was called off, by the shop or by the supplier; `why` of the entry says the reason."""

    order: int
    lines: tuple[CancelledLine, ...]
    by: Literal["supplier", "shop"] = "supplier"
    """Who called it off: a supplier who did is not asked again for these parts by the jobs that still need them."""


@record
class ShelfMove:
    """Units put on the shelf, or taken from it (negative)."""

    part: str
    quantity: Decimal
    unit_cost: Decimal | None = None
    note: str = ""
    job: str = ""
    """The job that gives its units to the shelf, or gets them from it; empty for none."""


@record
class Clocked:
    """Hours of one person on a job, or on one operation or step of it."""

    work: str
    """Key of the operation or step; empty for the job as a whole."""
    person: str
    hours: Decimal
    started: str = ""
    ended: str = ""
    note: str = ""


@record
class ActualHours:
    """Hours spent on an operation or step by one person, and whether they were measured there."""

    work: str
    """Key of the operation or step; empty for the job as a whole."""
    person: str
    hours: Decimal
    measured: bool = True
    """False where hours of the whole job were split by standard share."""


@record
class UsedPart:
    """Units really fitted."""

    part: str
    quantity: Decimal
    unit_cost: Decimal | None = None
    """Really paid; None for as agreed."""


@record
class Closed:
    """The work is done: hours, parts and what was noticed."""

    hours: tuple[ActualHours, ...]
    parts: tuple[UsedPart, ...]
    work_order: KeptFile | None = None
    notes: str = ""
    not_done: tuple[str, ...] = ()
    """Keys of agreed items that were not done."""
    cores_returned: Mapping[str, Decimal] = field(default_factory=dict)
    """Units of old parts handed back, by part code."""
    measured_again: Mapping[str, Decimal] = field(default_factory=dict)
    """Values measured when the work was done, by finding key, in the unit of its limit."""


@record
class Paid:
    """Money taken; negative for money given back."""

    amount: Decimal
    purpose: Purpose
    how: str = ""


@record
class Comeback:
    """A job that comes back to an earlier one."""

    first_job: str
    cause: Cause
    charged: Decimal
    """Part of its price that the customer pays: 0 for nothing."""
    note: str = ""


@record
class Proposed:
    """New standard times that were proposed or taken over; nothing changes by itself."""

    taken: Mapping[str, Decimal]
    """Hours by code of operation or step."""
    book: KeptFile | None = None


@record
class Noted:
    """Anything else worth keeping."""

    text: str
