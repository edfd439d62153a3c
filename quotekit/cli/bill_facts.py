"""What a bill is made from, looked up in the ledger: the yes or the no, the closing, earlier bills and payments."""

from __future__ import annotations

from collections.abc import Iterator
from datetime import date
from decimal import Decimal
from typing import TYPE_CHECKING

from quotekit.cli.paid_together import paid_counted_together
from quotekit.problems import Problem, error, has_errors, warning

if TYPE_CHECKING:
    from quotekit.cli.agreed_work import AgreedWorkOfJob
    from quotekit.cli.frozen import Frozen
    from quotekit.ledger.ledger import Ledger
    from quotekit.model.entries import Closed, Paid
    from quotekit.model.job import FoundFinding
    from quotekit.model.story import Story
    from quotekit.pricing.bill.to_bill import ToBill, WorkToBill

_PURPOSES = {
    "deposit": "Deposit",
    "part payment": "Part payment",
    "bill": "Payment",
    "refund": "Given back",
    "rounding": "Rounding of cash",
}

Looked = tuple["ToBill | None", "Frozen | None", list[Problem]]
"""What is to be billed and from which frozen version, or why there is nothing."""


def facts_to_bill(ledger: Ledger, story: Story, day: date) -> Looked:
    """What was agreed and done of a job; or of a job that was declined, what a no costs."""
    from quotekit.pricing.consent.authorised import last_yes, pending

    if last_yes(story) is None:
        return _of_a_no(ledger, story, day)
    waiting = pending(story)
    if waiting is not None:
        return None, None, [_not_answered(story)]
    from quotekit.cli.agreed_work import agreed_work

    work, problems = agreed_work(ledger, story.job)
    if work is None:
        return None, None, problems
    closed, problems = _closing(work)
    if has_errors(problems):
        return None, None, problems
    facts, more = _of_work(ledger, work, closed, day)
    return facts, work.frozen, [*problems, *more]


def _of_a_no(ledger: Ledger, story: Story, day: date) -> Looked:
    from quotekit.cli.frozen import read_frozen
    from quotekit.pricing.bill.to_bill import ToBill, place_of

    current = story.current
    if current is None or not any(no.entry.seq > current.entry.seq for no in story.declined):
        message = "The customer has answered neither yes nor no."
        if story.declined and current is not None:
            message = f"Version {current.entry.version} waits for an answer: the customer's no was to an earlier one."
        remedy = "Record the answer first: quotekit accept, or quotekit decline to bill what a no costs."
        return None, None, [error(place_of(story.job), "not-answered", message, remedy)]
    frozen = read_frozen(ledger, current)
    payments, problems = _payments(story, frozen)
    facts = ToBill(
        book=frozen.book,
        job=frozen.job,
        day=day,
        payments=payments,
        before=tuple(told.body for told in story.billed),
        left=story.declined[-1].body.safety_left,
    )
    return facts, frozen, problems


def _of_work(
    ledger: Ledger, work: AgreedWorkOfJob, closed: Closed | None, day: date
) -> tuple[WorkToBill, list[Problem]]:
    from quotekit.pricing.bill.to_bill import WorkToBill

    story, frozen = work.story, work.frozen
    payments, problems = _payments(story, frozen)
    facts = WorkToBill(
        book=frozen.book,
        job=frozen.job,
        day=day,
        payments=payments,
        before=tuple(told.body for told in story.billed),
        findings=_findings(ledger, work),
        agreed=work.agreed,
        accepted=work.yes.body,
        closed=closed,
        comeback=story.comeback[-1].body if story.comeback else None,
    )
    return facts, problems


def _findings(ledger: Ledger, work: AgreedWorkOfJob) -> tuple[FoundFinding, ...]:
    """What was found by the last version issued, whether or not it is the one that is billed."""
    from quotekit.cli.frozen import read_frozen

    current = work.story.current
    if current is None or current.entry.seq == work.frozen.issued.entry.seq:
        return tuple(work.frozen.job.findings)
    return tuple(read_frozen(ledger, current).job.findings)


def _closing(work: AgreedWorkOfJob) -> tuple[Closed | None, list[Problem]]:
    """What was done of what is agreed now; None with a warning where nobody closed the job: all, as agreed.

    A closing before the last change says nothing of the change, and may say that something was not done.
    """
    from quotekit.pricing.bill.to_bill import place_of

    story = work.story
    issued = story.version(work.version)
    since = max(work.yes.entry.seq, issued.entry.seq if issued else 0)
    if story.closed and story.closed[-1].entry.seq > since:
        return story.closed[-1].body, []
    place = place_of(story.job)
    if story.closed:
        message = f"The work was closed before version {work.version} was agreed."
        remedy = "Close it again, with the work order of that version, or alone where all was done as agreed."
        return None, [error(place, "closed-before-change", message, remedy)]
    message = f"Job {story.job} was never closed: it is billed as agreed."
    remedy = "Close it so that its hours and parts count; where they differ, bill it again."
    return None, [warning(place, "not-closed", message, remedy)]


def _not_answered(story: Story) -> Problem:
    """A revision that waits: what it comes to, and by how much that is above what may be billed."""
    from quotekit.pricing.bill.to_bill import place_of
    from quotekit.pricing.consent.authorised import pending

    waiting = pending(story)
    assert waiting is not None and waiting.body.revision is not None
    revision = waiting.body.revision
    over = revision.after - revision.before - revision.threshold
    above = f"{over} above" if over > 0 else "within"
    message = (
        f"Version {waiting.entry.version} waits for the customer's answer. It comes to {revision.after}, {above} the "
        f"{revision.before} that is authorised and the {revision.threshold} it may rise by."
    )
    remedy = "Record the answer first: quotekit accept to bill it, quotekit decline to bill what was agreed before."
    return error(place_of(story.job), "above-authorised", message, remedy)


def _payments(story: Story, frozen: Frozen) -> tuple[tuple[tuple[date | None, str, Decimal], ...], list[Problem]]:
    """Money of the ledger, and what the frozen job says was paid before."""
    current = story.current
    typed = current.body.paid_typed if current is not None else frozen.job.paid_so_far
    rows = list(_paid(story))
    if not typed:
        return tuple(rows), []
    problems = []
    if rows:
        remedy = "If it is the same money, empty the cell and revise the job before billing."
        problems = [paid_counted_together(frozen.job, story.payments, remedy, typed)]
    return ((None, "Paid before, as noted on the job", typed), *rows), problems


def _paid(story: Story) -> Iterator[tuple[date | None, str, Decimal]]:
    for told in story.paid:
        yield told.entry.day, _paid_words(told.body), told.body.amount


def _paid_words(paid: Paid) -> str:
    words = _PURPOSES[paid.purpose]
    return f"{words}, {paid.how}" if paid.how else words
