"""What was begun on a job when the customer says no to all of it: hours at the bench, parts that were ordered.

A no is billed with the inspection and putting back together alone. Work that was done before it is billed by closing
the job with what was not done and billing that while the yes still holds; what cannot be sent back to a supplier is put
on the job as a charge, which is for the customer to agree to.
"""

from __future__ import annotations

from collections.abc import Iterator
from decimal import Decimal
from typing import TYPE_CHECKING

from quotekit.problems import Place, Problem, warning

if TYPE_CHECKING:
    from quotekit.ledger.ledger import Ledger
    from quotekit.model.entries import OrderLine
    from quotekit.model.story import Story

_PLACE = Place("quotekit decline")


def begun_work(ledger: Ledger, story: Story) -> list[Problem]:
    """What the shop should look at before it lets the job go; nothing where nothing was begun."""
    found = []
    hours = sum((told.body.hours for told in story.clocked), Decimal(0))
    if hours or story.closed:
        done = f"{hours:f} h were clocked on it" if hours else "It was closed"
        message = f"{done} before this no, which is billed with the inspection and putting back together alone."
        remedy = "Where the customer owes for the work: accept again, close with what was not done, and bill that."
        found.append(warning(_PLACE, "work-begun", message, remedy))
    parts = [f"{line.name}{'' if line.returnable else ' (cannot be returned)'}" for line in _ordered(ledger, story.job)]
    if parts:
        message = f"Parts were ordered for it: {', '.join(parts)}."
        remedy = "Call off what has not been sent; what comes goes to the shelf."
        found.append(warning(_PLACE, "parts-were-ordered", message, remedy))
    return found


def _ordered(ledger: Ledger, job: str) -> Iterator[OrderLine]:
    from quotekit.model.entries import Ordered
    from quotekit.model.story import same_job

    for entry in ledger.entries(kinds=("ordered",)):
        for line in entry.told(Ordered).lines:
            if any(same_job(of, job) for of in line.jobs):
                yield line
