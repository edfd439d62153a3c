"""What became of each quote that was handed over within the span.

A job counts once, by the version that was decided: the one first agreed to, or the one refused, else the last issued.
It is accepted where a yes stands (a no to a later revision leaves it), declined where a no stands, lapsed where its day
of validity is past and nothing was heard, else open. Comebacks are no quotes to be won, and a version that offered
nothing is none either. A supplement that was agreed later does not win a second time.
Days to a decision run from the day that version was issued. Source: TRADE 12; shop policy.

Example: issued on the 1st, valid until the 31st, silent: open on the 31st, lapsed the day after.
"""

from __future__ import annotations

from collections.abc import Iterable
from datetime import date
from typing import Literal

from quotekit.model.entries import Accepted, Declined, Issued
from quotekit.model.review import Span
from quotekit.model.story import Story, Told
from quotekit.pricing.consent.authorised import last_yes
from quotekit.record import record

Outcome = Literal["accepted", "declined", "lapsed", "open"]


@record
class Fate:
    """A quote and its end."""

    job: str
    issued: Told[Issued]
    outcome: Outcome
    days: int
    """To the decision; of one that is open or lapsed, to the last day of the span."""
    tier: str = ""
    """That was accepted."""
    reason: str = ""
    """For a no."""


def fates(stories: Iterable[Story], span: Span) -> tuple[Fate, ...]:
    """Of every quote within the span; the stories end with its last day."""
    found = (fate_of(story, span.last) for story in stories if not story.comeback)
    return tuple(one for one in found if one is not None and span.holds(one.issued.entry.day))


def fate_of(story: Story, last: date) -> Fate | None:
    """Of one job's quote; None where nothing was offered."""
    told = _decision(story)
    shown = story.current if told is None else _version(story, told.entry.version)
    if shown is None or not shown.body.offered:
        return None
    until = last if told is None else told.entry.day
    days = max((until - shown.entry.day).days, 0)
    if told is None:
        outcome: Outcome = "open" if shown.body.valid_until >= last else "lapsed"
        return Fate(job=story.job, issued=shown, outcome=outcome, days=days)
    if isinstance(told.body, Accepted):
        return Fate(job=story.job, issued=shown, outcome="accepted", days=days, tier=told.body.tier)
    return Fate(job=story.job, issued=shown, outcome="declined", days=days, reason=told.body.reason)


def _decision(story: Story) -> Told[Accepted] | Told[Declined] | None:
    if last_yes(story) is not None:
        return next(yes for yes in story.accepted if not _taken_back(story, yes))
    if not story.declined:
        return None
    newer = story.current is not None and story.current.entry.seq > story.declined[-1].entry.seq
    return None if newer else story.declined[-1]


def _taken_back(story: Story, yes: Told[Accepted]) -> bool:
    """True where a later no was to the same version, or to the whole job."""
    seq, version = yes.entry.seq, yes.entry.version
    return any(no.entry.seq > seq and no.entry.version in (None, version) for no in story.declined)


def _version(story: Story, version: int | None) -> Told[Issued] | None:
    found = None if version is None else story.version(version)
    return story.current if found is None else found
