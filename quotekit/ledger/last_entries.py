"""The last entry of each job of some kinds, without what it tells: for what looks through every job there ever was."""

from __future__ import annotations

from collections.abc import Sequence
from typing import TYPE_CHECKING

from quotekit.ledger.tables import ENTRIES

if TYPE_CHECKING:
    from quotekit.ledger.ledger import Ledger
    from quotekit.model.entries import EntryKind


def last_entries(ledger: Ledger, kinds: Sequence[EntryKind]) -> dict[str, int]:
    """Place of the last entry of these kinds, by job key, in the order of the first of each job."""
    from sqlalchemy import func, select

    first, last = func.min(ENTRIES.c.seq), func.max(ENTRIES.c.seq)
    query = select(ENTRIES.c.job_key, last.label("last")).where(ENTRIES.c.kind.in_(kinds))
    rows = ledger.each_row(query.group_by(ENTRIES.c.job_key).order_by(first))
    return {row["job_key"]: row["last"] for row in rows}
