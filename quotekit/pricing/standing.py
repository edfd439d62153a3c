"""Where a job stands, in words: what it waits for, told by its entries.

Statement: the last of these that happened says where a job stands: issued, answered, done, billed, paid. A revision
that needs the customer's yes, or a new quote, waits for it, whatever was agreed, done or billed before. What is due is
that of all bills together. Source: shop policy.

Worked example: version 1 accepted, version 2 revised above the threshold: "version 2 waits for an answer; version 1 is
agreed". After the yes to it: "version 2 is agreed, in work".
"""

from __future__ import annotations

from decimal import Decimal

from quotekit.model.story import Story
from quotekit.pricing.consent.authorised import last_yes, version_now, waiting
from quotekit.pricing.owed import owed


def standing_of(story: Story) -> str:
    """Where a job stands.

    >>> standing_of(Story(job="117"))
    'nothing issued'
    """
    current, waits = story.current, waiting(story)
    if current is None:
        return "nothing issued"
    if waits is not None:
        return f"version {waits.entry.version} waits for an answer; version {version_now(story)} is agreed"
    since = _since(story)
    if any(told.entry.seq > since for told in story.billed):
        answer = "declined; " if last_yes(story) is None else ""
        return answer + _billed(owed(story).due or Decimal(0))
    if last_yes(story) is None:
        no = any(told.entry.seq > since for told in story.declined)
        return "declined, to be billed" if no else f"version {current.entry.version} waits for an answer"
    if any(told.entry.seq > since for told in story.closed):
        return "done, to be billed"
    return f"version {version_now(story)} is agreed, in work"


def _since(story: Story) -> int:
    """Place of what is in force: the last yes, or a later revision that needed none; without a yes the last version."""
    yes, version = last_yes(story), version_now(story)
    issued = story.version(version) if version is not None else story.current
    return max(told.entry.seq for told in (yes, issued) if told is not None)


def _billed(due: Decimal) -> str:
    if due > 0:
        return f"billed, {due:f} to pay"
    return "billed and paid" if due == 0 else f"billed, {-due:f} to give back"
