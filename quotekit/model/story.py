"""What happened to one job, told by its entries: the state of things is always worked out, never stored."""

from __future__ import annotations

from collections.abc import Iterable
from decimal import Decimal
from typing import Any, Generic, NamedTuple, TypeVar

from quotekit.model.entries import (
    Accepted,
    Billed,
    Cancelled,
    Changed,
    Clocked,
    Closed,
    Comeback,
    Declined,
    Entry,
    Issued,
    Noted,
    Ordered,
    Paid,
    Proposed,
    Received,
    ShelfMove,
    Unchanged,
    Written,
)
from quotekit.record import record

Body = TypeVar("Body")

KINDS: dict[str, type[Any]] = {
    "issued": Issued,
    "written": Written,
    "accepted": Accepted,
    "declined": Declined,
    "ordered": Ordered,
    "received": Received,
    "shelf": ShelfMove,
    "clocked": Clocked,
    "closed": Closed,
    "paid": Paid,
    "billed": Billed,
    "comeback": Comeback,
    "proposed": Proposed,
    "noted": Noted,
    "cancelled": Cancelled,
    "changed": Changed,
    "unchanged": Unchanged,
}
"""The record that each kind of entry tells."""


class Told(NamedTuple, Generic[Body]):
    """An entry with what it tells."""

    entry: Entry
    body: Body


@record
class Story:
    """The entries of one job by kind, in order."""

    job: str
    issued: tuple[Told[Issued], ...] = ()
    accepted: tuple[Told[Accepted], ...] = ()
    declined: tuple[Told[Declined], ...] = ()
    clocked: tuple[Told[Clocked], ...] = ()
    closed: tuple[Told[Closed], ...] = ()
    paid: tuple[Told[Paid], ...] = ()
    billed: tuple[Told[Billed], ...] = ()
    comeback: tuple[Told[Comeback], ...] = ()
    written: tuple[Told[Written], ...] = ()

    @property
    def current(self) -> Told[Issued] | None:
        """The version that holds now: the last issued."""
        return self.issued[-1] if self.issued else None

    @property
    def payments(self) -> Decimal:
        """Money taken, less money given back, as the ledger alone knows it."""
        return sum((told.body.amount for told in self.paid), Decimal(0))

    @property
    def paid_so_far(self) -> Decimal:
        """Money taken, less money given back, with what the job workbook says was paid."""
        typed = self.current.body.paid_typed if self.current is not None else Decimal(0)
        return self.payments + typed

    def version(self, number: int) -> Told[Issued] | None:
        """An issued version by its number."""
        return next((told for told in self.issued if told.entry.version == number), None)

    def documents_of(self, entry: Entry) -> Told[Written] | None:
        """The documents written for an entry, None where that was never finished."""
        return next((told for told in self.written if told.body.of == entry.seq), None)


def story_of(job: str, entries: Iterable[Entry]) -> Story:
    """The story of a job from its entries, in their order; kinds that are of no job are passed over."""
    told: dict[str, list[Told[Any]]] = {}
    for entry in entries:
        told.setdefault(entry.kind, []).append(Told(entry, entry.told(KINDS[entry.kind])))
    return Story(job=job, **{kind: tuple(told.get(kind, ())) for kind in _OF_A_JOB})


def same_job(one: str, other: str) -> bool:
    """Job numbers compare without case and outer spaces."""
    return job_key(one) == job_key(other)


def job_key(job: str) -> str:
    """A job number as the ledger compares it."""
    return " ".join(job.split()).casefold()


_OF_A_JOB = ("issued", "accepted", "declined", "clocked", "closed", "paid", "billed", "comeback", "written")
