"""What a customer's no records: to which version, why, and what stays that is a matter of safety."""

from __future__ import annotations

import argparse
from typing import TYPE_CHECKING

from quotekit.cli.carry_out import Decision
from quotekit.cli.which_ledger import facts_of
from quotekit.problems import Place, Problem, error, has_errors, warning

if TYPE_CHECKING:
    from datetime import date

    from quotekit.ledger.ledger import Ledger
    from quotekit.model.entries import Declined, Entry, Issued
    from quotekit.model.story import Story, Told

_REMEDY = "Say so in writing, do not hand the machine back as safe, and mark condemned parts as scrap."


class Declining:
    """One no on its way into the ledger."""

    def __init__(self, options: argparse.Namespace, reason: str) -> None:
        self.options, self.reason = options, reason

    def decide(self, ledger: Ledger) -> Decision:
        """The no as an entry, or why it can't be one, or the entry that says so already."""
        from quotekit.cli.begun_work import begun_work
        from quotekit.cli.jobs import known_job

        problems = self._incomplete()
        story, unknown = known_job(ledger, self.options.job)
        problems += unknown
        if story is None or story.current is None or has_errors(problems):
            return Decision(problems=problems)
        version = self._version(story)
        body = self._body(ledger, story, story.current, version)
        already = _already(story, version, body)
        if already is not None:
            return Decision(problems=problems, already=already)
        facts = facts_of(self.options)
        early = _too_early(story, version, facts.day)
        if early is not None:
            return Decision(problems=[*problems, early])
        if story.billed and version is None:
            problems.append(_billed(story))
        if version is None:
            problems += begun_work(ledger, story)
        problems += [_stays(words) for words in body.safety_left]
        draft = facts.draft("declined", body, job=story.current.entry.job, version=version)
        return Decision(problems=problems, drafts=[draft])

    def _incomplete(self) -> list[Problem]:
        if self.reason != "other" or self.options.note.strip():
            return []
        message = "Another reason is not recorded without saying which."
        return [error(Place("--note"), "note-needed", message, "Add --note TEXT.")]

    def _version(self, story: Story) -> int | None:
        """The version that is refused; None for everything, where something was agreed.

        A no said once more, perhaps for another reason, is to the version that was refused, not to all the rest.
        """
        from quotekit.pricing.consent.authorised import answer_to, last_yes, waiting

        assert story.current is not None
        current = story.current.entry
        if last_yes(story) is None:
            return current.version
        answer = answer_to(story, current)
        refused = answer is not None and answer.kind == "declined" and answer.version == current.version
        return current.version if (waiting(story) is not None or refused) and not self.options.all else None

    def _body(self, ledger: Ledger, story: Story, current: Told[Issued], version: int | None) -> Declined:
        from quotekit.model.entries import Declined

        words = (" ".join(text.split()) for text in (self.options.who, self.options.note))
        who, note = words
        return Declined(
            reason=self.reason,  # type: ignore[arg-type]
            customer=who or current.body.customer,
            note=note,
            safety_left=_safety(ledger, story, current, version),
        )


def _safety(ledger: Ledger, story: Story, current: Told[Issued], version: int | None) -> tuple[str, ...]:
    """Every matter of safety of the job; of a refused change, what the work that is agreed does not put right."""
    from quotekit.cli.agreed_findings import agreed_findings
    from quotekit.cli.frozen import read_frozen
    from quotekit.pricing.consent.authorised import agreed_now
    from quotekit.pricing.consent.declined_safety import safety_without

    findings = read_frozen(ledger, current).job.findings
    if version is None:
        return safety_without(findings, None)
    return safety_without(findings, agreed_now(story), agreed_findings(ledger, story))


def _already(story: Story, version: int | None, body: Declined) -> Entry | None:
    """The last answer, where it is this no, or one to all the work: nothing was issued or agreed since."""
    if not story.declined:
        return None
    last = story.declined[-1]
    since = max(
        entry.seq for entry in (*(told.entry for told in story.issued), *(told.entry for told in story.accepted))
    )
    same = (last.body.reason, last.body.customer, last.body.note) == (body.reason, body.customer, body.note)
    return last.entry if same and last.entry.version in (None, version) and last.entry.seq > since else None


def _too_early(story: Story, version: int | None, day: date) -> Problem | None:
    """A no before the version was there, or before the yes that it takes back."""
    from quotekit.pricing.consent.authorised import last_yes

    current, yes = story.current, last_yes(story)
    assert current is not None
    if version is None and yes is not None:
        first, what = yes.entry.day, "The yes is of"
    else:
        first, what = min(current.body.quote_date, current.entry.day), "The quote is of"
    if day >= first:
        return None
    message = f"{what} {first.isoformat()}; nobody can have said no to it on {day.isoformat()}."
    return error(Place("--on"), "no-before-quote", message, "Give the day on which it was said with --on.")


def _billed(story: Story) -> Problem:
    number = story.billed[-1].entry.number
    message = f"Bill {number} was written for this job already."
    return warning(Place("--all"), "billed-already", message, "See what is to be given back.")


def _stays(words: str) -> Problem:
    message = "A matter of safety stays as it is."
    return warning(Place("quotekit decline"), "safety-left", message, _REMEDY, words)
