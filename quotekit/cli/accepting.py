"""What a customer's yes records: checked against the version that holds, priced again from it, once."""

from __future__ import annotations

from dataclasses import replace
from typing import TYPE_CHECKING

from quotekit.cli.against_issued import Chosen, against_issued, choose_frozen
from quotekit.cli.carry_out import Decision
from quotekit.problems import Problem, has_errors, warning

if TYPE_CHECKING:
    from quotekit.cli.said_yes import SaidYes
    from quotekit.cli.who_said_it import WhoSaidIt
    from quotekit.ledger.ledger import Ledger
    from quotekit.model.entries import Accepted, Draft, Issued, KeptFile
    from quotekit.model.story import Story, Told


class Accepting:
    """One yes on its way into the ledger."""

    def __init__(self, yes: SaidYes, who: WhoSaidIt, problems: list[Problem], hold: str = "") -> None:
        self.yes, self.who, self.problems, self.hold = yes, who, problems, hold
        self.chosen: Chosen | None = None
        self._priced: dict[int, tuple[Chosen | None, list[Problem]]] = {}

    def look_ahead(self, ledger: Ledger) -> None:
        """Price the choice before anybody has to wait for it; it holds while the version does."""
        story = ledger.story(self.yes.job)
        if story.current is not None and not has_errors([*self.problems, *self._against(story)]):
            self._choose(ledger, story.current)

    def decide(self, ledger: Ledger) -> Decision:
        """The yes as an entry; or why it can't be one; or the entry that says so already."""
        from quotekit.cli.jobs import known_job

        story, unknown = known_job(ledger, self.yes.job)
        if story is None or story.current is None:
            return Decision(problems=[*(replace(one, place=self.yes.job_at) for one in unknown), *self.problems])
        kept = self._same_file(story)
        if kept is not None:
            return Decision(problems=self.problems, already=kept.entry)
        problems = [*self._against(story), *self.problems]
        if has_errors(problems):
            return Decision(problems=problems)
        self.chosen, found = self._choose(ledger, story.current)
        problems += found
        if self.chosen is None or has_errors(problems):
            return Decision(problems=problems)
        body = self._body(story.current, self.chosen)
        same = self._same_words(story, body)
        if same is not None:
            return Decision(problems=problems, already=same.entry)
        problems += _earlier(story, body, self.yes) + _safety(body, self.yes)
        files = [self.yes.file] if self.yes.file is not None else []
        return Decision(problems=problems, drafts=[self._draft(story.current, body)], files=files)

    def _against(self, story: Story) -> list[Problem]:
        return against_issued(self.yes, story, self.who.facts.day, hold=bool(self.hold))

    def _choose(self, ledger: Ledger, issued: Told[Issued]) -> tuple[Chosen | None, list[Problem]]:
        seq = issued.entry.seq
        if seq not in self._priced:
            self._priced[seq] = choose_frozen(ledger, issued, self.yes)
        return self._priced[seq]

    def _same_file(self, story: Story) -> Told[Accepted] | None:
        """The last yes, where it was read from the same file."""
        from quotekit.pricing.consent.authorised import last_yes

        yes, kept = last_yes(story), self._kept()
        return yes if yes is not None and kept is not None and _sha(yes.body.returned) == kept.sha256 else None

    def _same_words(self, story: Story, body: Accepted) -> Told[Accepted] | None:
        """The last yes, where the same person said the same in the same way, whenever it is typed again."""
        from quotekit.pricing.consent.authorised import last_yes

        yes = last_yes(story)
        if yes is None or story.current is None or yes.entry.version != story.current.entry.version:
            return None
        before = yes.body
        same = _said(before) == _said(body) and before.returned is None and body.returned is None
        return yes if same else None

    def _body(self, issued: Told[Issued], chosen: Chosen) -> Accepted:
        from quotekit.model.entries import Accepted

        frozen, agreed = issued.body, chosen.agreed
        return Accepted(
            tier=agreed.tier,
            extras=chosen.extras,
            by=self.yes.by,
            customer=self.who.customer or frozen.customer,
            phone=self.who.phone or frozen.phone,
            note=self.who.note,
            said_at=self.who.said_at,
            agreed=agreed,
            rule=frozen.rule,
            returned=self._kept(),
            safety_left=chosen.safety_left,
            deposit=agreed.deposit,
            spending_limit=frozen.spending_limit,
            held=self.hold if self.who.facts.day > frozen.valid_until else "",
        )

    def _draft(self, issued: Told[Issued], body: Accepted) -> Draft:
        facts = self.who.facts
        return facts.draft("accepted", body, job=issued.entry.job, version=issued.entry.version)

    def _kept(self) -> KeptFile | None:
        from quotekit.model.entries import KeptFile

        if self.yes.file is None:
            return None
        name, data = self.yes.file
        return KeptFile.of(name, data)


def _sha(file: KeptFile | None) -> str:
    return file.sha256 if file is not None else ""


def _said(yes: Accepted) -> tuple[object, ...]:
    """What makes a yes by word of mouth the same."""
    return yes.tier, frozenset(yes.extras), yes.by, yes.customer.casefold(), yes.phone, yes.note.casefold()


def _earlier(story: Story, body: Accepted, yes: SaidYes) -> list[Problem]:
    """That another choice was agreed to before."""
    from quotekit.pricing.consent.authorised import last_yes

    before = last_yes(story)
    if before is None or (before.body.tier, set(before.body.extras)) == (body.tier, set(body.extras)):
        return []
    agreed = ", ".join((before.body.agreed.option, *before.body.extras))
    message = f"It takes the place of the yes of {before.entry.day.isoformat()} to {agreed}."
    return [warning(yes.tier_at, "earlier-yes", message, "See that parts and work follow the new one.")]


def _safety(body: Accepted, yes: SaidYes) -> list[Problem]:
    """That a matter of safety stays."""
    remedy = "Say so in writing, and do not hand the machine back as safe."
    return [
        warning(yes.tier_at, "safety-left", "A matter of safety stays as it is.", remedy, words)
        for words in body.safety_left
    ]
