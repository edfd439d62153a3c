"""What the customer last agreed to, and what is to be done now, told by the entries of a job.

The last yes holds until a later no to the same version; a no to a revision leaves the yes before it as it was.
A revision that needs no consent is in force without a yes, and raises nothing that is authorised: the next one is
measured from the last yes again. A revision that needs consent is in force once the customer has said yes to it.
Source: common practice and TRADE.md 6 (the last authorised total, not the first, not the sum of options).

Worked example: yes to version 1 at 300.00, threshold 30.00. Version 2 at 320.00 needs no consent and is done.
Version 3 at 335.00 is 35.00 above the yes and needs consent, though it is but 15.00 above version 2. The customer says
no to version 3: version 2 is in force.
"""

from __future__ import annotations

from decimal import Decimal

from quotekit.model.agreed import Agreed
from quotekit.model.entries import Accepted, Entry, Issued
from quotekit.model.story import Story, Told
from quotekit.pricing.consent.threshold import amount_on, threshold_of


def last_yes(story: Story) -> Told[Accepted] | None:
    """What the customer last said yes to and has not taken back."""
    if not story.accepted:
        return None
    yes = story.accepted[-1]
    return None if _refused(story, yes.entry.version, yes.entry.seq) else yes


def agreed_now(story: Story) -> Agreed | None:
    """What is to be done and billed: of the last yes, or of a later revision that needed no consent."""
    yes = last_yes(story)
    if yes is None:
        return None
    revision = next(filter(None, (_in_force(story, yes, told) for told in reversed(story.issued))), None)
    return yes.body.agreed if revision is None else revision


def version_now(story: Story) -> int | None:
    """The version of the quote that `agreed_now` is of."""
    yes = last_yes(story)
    if yes is None:
        return None
    in_force = (told for told in reversed(story.issued) if _in_force(story, yes, told) is not None)
    return next((told.entry.version for told in in_force), yes.entry.version)


def pending(story: Story) -> Told[Issued] | None:
    """The revision that waits for the customer's yes or no; None where there is none."""
    current = story.current
    if current is None or current.body.revision is None or not current.body.revision.needs_consent:
        return None
    return _unanswered(story, current)


def quote_since(story: Story) -> Told[Issued] | None:
    """The new quote (no change) that was issued since the last yes and waits for an answer; None for none."""
    current, yes = story.current, last_yes(story)
    if current is None or yes is None or current.body.revision is not None or current.entry.seq < yes.entry.seq:
        return None
    return _unanswered(story, current)


def waiting(story: Story) -> Told[Issued] | None:
    """The change or the new quote that waits for an answer while something is agreed; None for none."""
    return pending(story) or quote_since(story)


def _unanswered(story: Story, told: Told[Issued]) -> Told[Issued] | None:
    return told if answer_to(story, told.entry) is None else None


def answer_to(story: Story, issued: Entry) -> Entry | None:
    """The last yes or no to a version, as its entry; None while it waits."""
    version, seq = issued.version, issued.seq
    yes = [told.entry for told in story.accepted if told.entry.version == version]
    no = [told.entry for told in story.declined if told.entry.version in (None, version)]
    later = [entry for entry in (*yes, *no) if entry.seq > seq]
    return max(later, key=lambda entry: entry.seq, default=None)


def authorised_amount(accepted: Accepted) -> Decimal:
    """What the customer agreed to, on the basis of the rule that was agreed with it."""
    return amount_on(accepted.rule.compares, accepted.agreed)


def most_without_asking(accepted: Accepted, digits: int) -> Decimal:
    """How far the amount may go, on the basis of the rule, before the customer must be asked again."""
    authorised = authorised_amount(accepted)
    return authorised + threshold_of(accepted.rule, authorised, digits)


def _refused(story: Story, version: int | None, since: int) -> bool:
    """Whether a no to this version, or to the whole job, came later."""
    return any(no.entry.seq > since and no.entry.version in (None, version) for no in story.declined)


def _in_force(story: Story, yes: Told[Accepted], told: Told[Issued]) -> Agreed | None:
    revision = told.body.revision
    if revision is None or revision.needs_consent or told.entry.seq < yes.entry.seq:
        return None
    return None if _refused(story, told.entry.version, told.entry.seq) else revision.agreed
