"""A customer's choice as it came back: what was picked of which quote, and whether the quote is as it was sent.

No amount is in it: what the choice comes to is worked out again from the shop book and the job.
"""

from __future__ import annotations

from datetime import date

from quotekit.record import record


@record
class ReturnedChoice:
    """What could be read; a field that could not be is None or empty, and a problem says why."""

    job_number: str
    version: int | None
    quote_date: date | None
    valid_until: date | None
    expired: bool | None
    """On the day it was read; None where the last day is not known."""
    tier: str | None
    """Code of the option chosen."""
    option: str | None
    """Its name as the customer read it."""
    extras: tuple[str, ...]
    """CODE or CODE@side of what was ticked, in the order of the quote, without what adds nothing."""
    fingerprint: str
    """Of the content as it was sent; of a reply text only the first digits."""
    unchanged: bool | None
    """True where nothing but the choice differs from what was sent; None where that cannot be known."""
    changed: tuple[str, ...] = ()
    """`Sheet!A1` of each cell that differs, a sheet or a name of cells where one is gone or new."""
