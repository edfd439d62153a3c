"""The story of every job in one pass through the ledger: a question for each job took most of the time."""

from __future__ import annotations

from collections.abc import Iterator
from itertools import groupby
from operator import itemgetter
from typing import TYPE_CHECKING

from quotekit.ledger.rows import entry_of
from quotekit.ledger.tables import ENTRIES

if TYPE_CHECKING:
    from quotekit.ledger.ledger import Ledger
    from quotekit.model.story import Story


def each_story(ledger: Ledger) -> Iterator[Story]:
    """Every job with a quote, as `Ledger.story` tells it, one by one; not in the order of their quotes.

    Raises LedgerFault where an entry can't be read.
    """
    rows = ledger.each_row(ENTRIES.select().order_by(ENTRIES.c.job_key, ENTRIES.c.seq))
    for job, of_one in groupby(rows, key=itemgetter("job_key")):
        with ledger.readable(job):
            entries = [entry_of(row) for row in of_one]
        names = [entry.job for entry in entries if entry.kind == "issued"]
        if names:
            yield ledger.story_told(min(names), entries)
