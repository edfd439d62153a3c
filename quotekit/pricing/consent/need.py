"""Whether a changed job needs the customer's consent, measured from the last authorised amount.

rise = amount now - last authorised amount, both on the basis of the rule that was agreed.
Consent is needed where the rise is above the threshold, and where the total to pay passes the customer's spending limit
that the agreed total was within: a limit lets nothing pass, whatever the threshold. A total agreed above the limit has
taken its place. A lower amount needs no consent and lowers nothing that is authorised.
Units: money. Source: shop policy; TRADE.md 6.

Worked example: agreed 300.00, rule 10 % or 50.00, the lesser. At 330.00 the rise is 30.00, the threshold 30.00: no
consent. At 330.01 it is needed. With a spending limit of 320.00 it is needed at 320.01.
"""

from __future__ import annotations

from decimal import Decimal

from quotekit.model.agreed import Agreed
from quotekit.model.entries import Accepted
from quotekit.pricing.consent.authorised import authorised_amount
from quotekit.pricing.consent.threshold import amount_on, threshold_of
from quotekit.record import record


@record
class Need:
    """A changed job against what was agreed, on the basis of the rule."""

    before: Decimal
    after: Decimal
    threshold: Decimal
    limit: Decimal | None = None
    """The customer's spending limit, where the total to pay passes it."""

    @property
    def rise(self) -> Decimal:
        """How much more it is; negative for less."""
        return self.after - self.before

    @property
    def passes_limit(self) -> bool:
        """Whether the total to pay passes the customer's spending limit."""
        return self.limit is not None

    @property
    def over(self) -> Decimal:
        """How much of the rise is above the threshold; zero for none."""
        return max(self.rise - self.threshold, Decimal(0))

    @property
    def needed(self) -> bool:
        """Whether the customer must be asked."""
        return self.rise > self.threshold or self.passes_limit


def need_of_consent(accepted: Accepted, now: Agreed, digits: int, limit: Decimal | None = None) -> Need:
    """A changed job against the customer's last yes; `limit` is a spending limit told since."""
    before = authorised_amount(accepted)
    passed = [
        known
        for known in (accepted.spending_limit, limit)
        if known is not None and _passes(known, accepted.agreed, now)
    ]
    return Need(
        before=before,
        after=amount_on(accepted.rule.compares, now),
        threshold=threshold_of(accepted.rule, before, digits),
        limit=min(passed, default=None),
    )


def _passes(limit: Decimal, agreed: Agreed, now: Agreed) -> bool:
    return agreed.total <= limit < now.total
