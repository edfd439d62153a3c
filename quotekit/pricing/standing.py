"""Where a job stands, in words: what it waits for, told by its entries.

Statement: the last of these that happened says where a job stands: issued, answered, done, billed, paid. A revision
that needs the customer's yes waits for it, whatever was agreed before. Source: shop policy.

Worked example: version 1 accepted, version 2 revised above the threshold: "version 2 waits for an answer; version 1 is
agreed". After the yes to it: "version 2 is agreed, in work".
"""

from __future__ import annotations

from decimal import Decimal

from quotekit.model.story import Story
from quotekit.pricing.consent.authorised import last_yes, pending, version_now


def standing_of(story: Story) -> str:
    """Where a job stands.

    >>> standing_of(Story(job="117"))
    'nothing issued'
    """
    current, waiting = story.current, pending(story)
    if current is None:
        return "nothing issued"
    yes = last_yes(story)
    if story.billed and (yes is None or story.billed[-1].entry.seq > yes.entry.seq):
        return _billed(story.billed[-1].body.total - story.paid_so_far)
    if yes is None:
        no = story.declined and story.declined[-1].entry.seq > current.entry.seq
        return "declined, to be billed" if no else f"version {current.entry.version} waits for an answer"
    if waiting is not None:
        return f"version {waiting.entry.version} waits for an answer; version {version_now(story)} is agreed"
    if story.closed and story.closed[-1].entry.seq > yes.entry.seq:
        return "done, to be billed"
    return f"version {version_now(story)} is agreed, in work"


def _billed(due: Decimal) -> str:
    if due > 0:
        return f"billed, {due:f} to pay"
    return "billed and paid" if due == 0 else f"billed, {-due:f} to give back"
