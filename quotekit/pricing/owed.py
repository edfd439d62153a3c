"""What the customer owes for a job, told by its entries.

To pay: the bills together, once there is one; before that the total of what is agreed now; after a no to everything
what a no costs; before any answer nothing is known. Due: to pay less the money taken; below zero, to be given back.
The deposit asked is that of what is agreed now; due of it is what the money taken does not cover yet.
Units: money, tax included. Source: DESIGN.md 5.5 and 5.9.

Worked example: agreed 180.68 with a deposit of 21.55, taken 10.00: due 170.68, of the deposit 11.55. After a bill of
175.00 and 100.00 more taken: due 65.00, and no deposit is owed.
"""

from __future__ import annotations

from decimal import Decimal

from quotekit.model.story import Story
from quotekit.pricing.consent.authorised import agreed_now
from quotekit.record import record

_NOTHING = Decimal(0)


@record
class Owed:
    """What is to pay, what was taken, and what is due."""

    to_pay: Decimal | None
    """None before the customer's answer."""
    paid: Decimal
    deposit: Decimal
    """Asked for."""
    deposit_due: Decimal

    @property
    def due(self) -> Decimal | None:
        """Below zero it is to be given back; None before the customer's answer."""
        return None if self.to_pay is None else self.to_pay - self.paid


def owed(story: Story) -> Owed:
    """What the customer owes for a job."""
    paid, agreed = story.paid_so_far, agreed_now(story)
    deposit = agreed.deposit if agreed is not None and not story.billed else _NOTHING
    return Owed(
        to_pay=_to_pay(story),
        paid=paid,
        deposit=deposit,
        deposit_due=max(deposit - paid, _NOTHING),
    )


def _to_pay(story: Story) -> Decimal | None:
    if story.billed:
        return sum((told.body.total for told in story.billed), _NOTHING)
    agreed = agreed_now(story)
    if agreed is not None:
        return agreed.total
    current = story.current
    refused = current is not None and bool(story.declined) and story.declined[-1].entry.seq > current.entry.seq
    return current.body.declined_total if refused and current is not None else None
