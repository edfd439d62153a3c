"""What a search has found: a choice, what it comes to, and what no choice can be below."""

from __future__ import annotations

from decimal import Decimal

from quotekit.pricing.aims import Value
from quotekit.pricing.charges import Charges
from quotekit.pricing.covers import Cover
from quotekit.pricing.items import Item
from quotekit.record import record


@record
class Found:
    """The choice found, what it comes to, and what no choice can be below."""

    covers: tuple[Cover, ...]
    items: tuple[Item, ...]
    covered: frozenset[str]
    charges: Charges
    value: Value
    priced: int = 0
    bound: Decimal = Decimal(0)
    """In money: the work, or the cost over the years, of any choice is at least this."""
    settled: bool = False
    """True when nothing is open, ties included."""
