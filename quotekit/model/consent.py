"""A changed job against what was agreed: what differs, and what the customer is told of it."""

from __future__ import annotations

from datetime import date
from decimal import Decimal

from quotekit.model.agreed import Agreed, AgreedItem, AgreedPart, ConsentRule
from quotekit.model.entries import Revision
from quotekit.model.quote import Quote
from quotekit.record import record


@record
class AmountChange:
    """A named amount, before and after the change."""

    name: str
    before: Decimal
    after: Decimal

    @property
    def difference(self) -> Decimal:
        """How much more; negative for less."""
        return self.after - self.before


@record
class PartChange:
    """A part whose quantity, price or condition is not what was agreed; `before` or `after` is None for none."""

    before: AgreedPart | None
    after: AgreedPart | None


@record
class Changes:
    """All that differs, as the customer knows it."""

    new: tuple[AgreedItem, ...]
    gone: tuple[AgreedItem, ...]
    parts: tuple[PartChange, ...]
    amounts: tuple[AmountChange, ...]
    """Before tax, in the order of money; those that stay the same too."""
    taxes: tuple[AmountChange, ...]


@record
class ChangedJob:
    """What the customer's sheet for a changed job is laid out from."""

    quote: Quote
    """The changed job as priced: who, which machine, what was found."""
    before: Agreed
    agreed_on: date
    revision: Revision
    changes: Changes
    rule: ConsentRule
    valid_until: date
    paid: Decimal
    """Money taken so far."""
    safety: tuple[str, ...] = ()
    """Matters of safety that stay if the customer says no, in plain words."""
    spending_limit: Decimal | None = None
    """Where the total passes it: the most the customer wanted to spend."""
