"""Open quotes under proposed prices: each option as it was offered, priced today, and under the new prices.

Money is in the shop's currency, rounded as the engine rounds it. `None` is not known, never zero.
"""

from __future__ import annotations

from datetime import date
from decimal import Decimal

from quotekit.record import record


@record
class OpenTier:
    """One option of an open quote: as it was offered, priced today, and under the new prices."""

    code: str
    name: str
    offered_total: Decimal | None
    """As it was handed over; None for a job that was not issued."""
    offered_subtotal: Decimal | None
    total_now: Decimal | None
    """With the shop book as it is; None where it could not be worked out."""
    margin_now: Decimal | None
    total_new: Decimal | None
    """With every proposal taken."""
    margin_new: Decimal | None
    margin_held: Decimal | None
    """The work as offered, at the price it was offered for (else today's) and the new costs."""
    same_work: bool = True
    """False where the option would hold other work under the new prices."""

    @property
    def loses(self) -> bool | None:
        """True where holding the price would lose money; None where a cost is not known."""
        return None if self.margin_held is None else self.margin_held < 0


@record
class OpenQuote:
    """A quote that waits for an answer, or a job that was not issued yet."""

    job: str
    version: int
    customer: str
    valid_until: date
    issued: bool
    tiers: tuple[OpenTier, ...] = ()
    parts: tuple[str, ...] = ()
    """Codes of the parts with a proposal that it holds."""
    extra_parts: tuple[str, ...] = ()
    """Codes of those that it would hold only with an extra, or a found item, that it offers beside an option."""
    trouble: str = ""
    """Why it could not be priced."""

    @property
    def touched(self) -> bool:
        """True where a figure of it would be another under the new prices."""
        return bool(self.parts or self.extra_parts)

    @property
    def name(self) -> str:
        """Job and version as on the quote."""
        return f"{self.job}-{self.version}"
