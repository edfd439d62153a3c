"""What a review needs of the ledger: the stories of the jobs that something happened to within the days."""

from __future__ import annotations

from datetime import timedelta
from typing import TYPE_CHECKING

from quotekit.cli.report import say

if TYPE_CHECKING:
    from collections.abc import Iterable

    from quotekit.ledger.ledger import Ledger
    from quotekit.model.entries import Entry, EntryKind
    from quotekit.model.review import Span
    from quotekit.model.shop_book import ShopBook
    from quotekit.pricing.review.review import Kept

KINDS: tuple[EntryKind, ...] = ("issued", "accepted", "declined", "closed", "billed", "comeback")
_OF_ORDERS: tuple[EntryKind, ...] = ("ordered", "received", "cancelled")
ORDERS_BEFORE = timedelta(days=366)
"""How long before the first day orders are looked for: parts of a job come before it is closed."""


def kept_within(ledger: Ledger, span: Span) -> Kept:
    """The jobs that anything happened to within the days, each from its first entry on, and the orders.

    Raises LedgerFault where an entry can't be read.
    """
    from quotekit.model.entries import Cancelled, Comeback, Ordered, Received
    from quotekit.model.story import Told, story_of
    from quotekit.pricing.review.review import Kept

    with ledger.readable():
        within = _by_job(ledger.entries(kinds=KINDS, first=span.first, last=span.last))
        whole = [each if _from_first(each) else ledger.entries(each[0].job, KINDS) for each in within]
        comebacks = ledger.entries(kinds=("comeback",), last=span.last)
        orders = ledger.entries(kinds=_OF_ORDERS, first=span.first - ORDERS_BEFORE, last=span.last)
        return Kept(
            stories=tuple(story_of(each[0].job, each) for each in whole),
            ordered=tuple(Told(one, one.told(Ordered)) for one in orders if one.kind == "ordered"),
            received=tuple(Told(one, one.told(Received)) for one in orders if one.kind == "received"),
            cancelled=tuple(Told(one, one.told(Cancelled)) for one in orders if one.kind == "cancelled"),
            comebacks=tuple(Told(one, one.told(Comeback)) for one in comebacks),
        )


def newest_book(ledger: Ledger, kept: Kept) -> ShopBook | None:
    """The shop book of the newest quote; None where there is none, or it can no longer be read."""
    from quotekit.cli.frozen import read_frozen
    from quotekit.ledger.fault import LedgerFault

    last = [story.issued[-1] for story in kept.stories if story.issued]
    if not last:
        return None
    try:
        return read_frozen(ledger, max(last, key=lambda told: told.entry.seq)).book
    except LedgerFault as fault:
        say(f"Without a shop book: {fault.problem.message}")
        return None


def _by_job(entries: Iterable[Entry]) -> list[list[Entry]]:
    from quotekit.model.story import job_key

    found: dict[str, list[Entry]] = {}
    for entry in entries:
        found.setdefault(job_key(entry.job), []).append(entry)
    return list(found.values())


def _from_first(entries: list[Entry]) -> bool:
    """True where the job's first version is among them, so that nothing came before."""
    return entries[0].kind == "issued" and entries[0].version == 1
