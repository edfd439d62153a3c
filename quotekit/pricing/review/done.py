"""The facts of a job whose work was closed: what was last agreed, what was clocked and used, what was billed.

What counts is what was last agreed (the last yes, or a later revision that needed none) and the last closing up to the
last day looked at; later entries are not seen. The bills of a job add up. A comeback that is charged nothing and has
no bill was billed at zero.
Work is not done when it was left out at closing itself, or with every item that needs it; work that is always done has
no item.
Source: TRADE 12, compare with the accepted version; shop policy.

Example: a job accepted as version 1 and again as version 2 is held against version 2.
"""

from __future__ import annotations

from datetime import date
from decimal import Decimal
from typing import Any, TypeVar

from quotekit.model.agreed import Agreed, AgreedWork
from quotekit.model.entries import Closed, Comeback, Issued
from quotekit.model.review import Span
from quotekit.model.story import Story, Told
from quotekit.pricing.consent.authorised import agreed_now
from quotekit.record import record

Body = TypeVar("Body")

_KINDS = ("issued", "accepted", "declined", "clocked", "closed", "paid", "billed", "comeback", "written")
_PART = "part:"
_CORES = ("core:", "core-back:")
"""Before the code, in the key of a bill's line."""


@record
class Done:
    """A closed job."""

    job: str
    on: date
    first: Issued | None
    """The first version that was issued."""
    issued: Issued
    """The last."""
    agreed: Agreed
    """What was last agreed, line by line."""
    closed: Closed
    invoiced: Decimal | None
    comeback: Comeback | None
    changes: int
    """How often what was agreed was changed."""
    billed_parts: frozenset[str] | None
    """Codes of the parts that stand on its bills, as compared; None where there is none."""
    billed_cores: Decimal | None
    """Core charges on its bills, less those given back; None where there is no bill."""


def seen_until(story: Story, last: date) -> Story:
    """The story as it stood at the end of a day."""
    seen: dict[str, Any] = {kind: _until(getattr(story, kind), last) for kind in _KINDS}
    return Story(job=story.job, **seen)


def done_within(story: Story, span: Span) -> Done | None:
    """The closed job, where its work was closed within the span."""
    agreed = agreed_now(story)
    if not story.closed or not story.issued or agreed is None or not span.holds(story.closed[-1].entry.day):
        return None
    comeback = story.comeback[-1].body if story.comeback else None
    return Done(
        job=story.job,
        on=story.closed[-1].entry.day,
        first=story.issued[0].body,
        issued=story.issued[-1].body,
        agreed=agreed,
        closed=story.closed[-1].body,
        invoiced=_invoiced(story, comeback),
        comeback=comeback,
        changes=len(story.accepted) - 1 + sum(_unasked(told.body) for told in story.issued),
        billed_parts=_billed_parts(story),
        billed_cores=_billed_cores(story),
    )


def work_done(done: Done) -> tuple[AgreedWork, ...]:
    """The agreed work without that of items that were not done."""
    not_done = set(done.closed.not_done)
    return tuple(
        work
        for work in done.agreed.work
        if work.key not in not_done and (not work.users or not set(work.users) <= not_done)
    )


def work_not_done(done: Done) -> tuple[AgreedWork, ...]:
    """The agreed work that fell away."""
    kept = {work.key for work in work_done(done)}
    return tuple(work for work in done.agreed.work if work.key not in kept)


def _until(told: tuple[Told[Body], ...], last: date) -> tuple[Told[Body], ...]:
    return tuple(one for one in told if one.entry.day <= last)


def code_key(code: str) -> str:
    """A code as it is compared."""
    return " ".join(code.split()).casefold()


def _unasked(issued: Issued) -> bool:
    """A revision that was in force without a yes."""
    return issued.revision is not None and not issued.revision.needs_consent


def _billed_parts(story: Story) -> frozenset[str] | None:
    if not story.billed:
        return None
    lines = (line for told in story.billed for line in told.body.lines)
    return frozenset(code_key(line.key.removeprefix(_PART)) for line in lines if line.key.startswith(_PART))


def _billed_cores(story: Story) -> Decimal | None:
    if not story.billed:
        return None
    lines = (line for told in story.billed for line in told.body.lines)
    return sum((line.amount for line in lines if line.key.startswith(_CORES)), Decimal(0))


def _invoiced(story: Story, comeback: Comeback | None) -> Decimal | None:
    if story.billed:
        return sum((told.body.subtotal for told in story.billed), Decimal(0))
    return Decimal(0) if comeback is not None and not comeback.charged else None
