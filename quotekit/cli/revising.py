"""What a changed job records: a new version held against the last yes, and the customer's sheet for it."""

from __future__ import annotations

from collections.abc import Collection, Mapping, Sequence
from dataclasses import replace
from datetime import timedelta
from decimal import Decimal
from functools import partial
from typing import TYPE_CHECKING

from quotekit.cli.carry_out import Decision
from quotekit.cli.issuing import Issuing, offered_option
from quotekit.cli.output_files import check_targets, file_start
from quotekit.problems import Place, Problem, error, has_errors, warning

if TYPE_CHECKING:
    from pathlib import Path

    from quotekit.cli.output_files import WriteTo
    from quotekit.ledger.ledger import Ledger
    from quotekit.model.agreed import Agreed
    from quotekit.model.consent import ChangedJob
    from quotekit.model.entries import Accepted, Entry, Issued, KeptFile
    from quotekit.model.story import Story, Told


_ASK_BESIDES = "Tell the customer; the law of your place may want a yes to it."


class Revising(Issuing):
    """One changed job on its way into the ledger."""

    more: Sequence[str] = ()
    """Extras taken beside those that were agreed."""
    changed: ChangedJob | None = None
    book_alone: Decimal | None = None
    """By how much the shop book alone moves the total; None where it could not be worked out."""

    def decide(self, ledger: Ledger) -> Decision:
        """The next version as a change to the last yes; or why it can't be one; or the entry that is it already."""
        from quotekit.pricing.consent.authorised import last_yes

        self.quote, self.facts = self._as_read
        self.changed = self.revision = None
        story = ledger.story(self.quote.job.job_number)
        yes = last_yes(story)
        if yes is None or story.current is None:
            return Decision(problems=[*self.problems, _nothing_agreed(self.quote.job.file, story)])
        same = self._same_workbooks(story)
        if same is not None and story.documents_of(same) is not None:
            return Decision(problems=self.problems, already=same)
        if same is None and self._is_what_was_agreed(story, yes):
            return Decision(problems=[*self.problems, _nothing_changed(self.quote.job.file, yes)])
        same, found = self._as_version_of(ledger, story, yes, same)
        files, changed = self._files()
        problems = [*self.problems, *found, *changed]
        documents: Mapping[Path, WriteTo] = {}
        if not has_errors(problems):
            documents, found = self._documents(problems, same is not None)
            problems += found
        if has_errors(problems):
            return Decision(problems=problems)
        drafts = [] if same is not None else [self._draft(story, files)]
        kept = list(files.values())
        return Decision(
            problems=problems, drafts=drafts, files=kept, documents=documents, unfinished=same, numbered=True
        )

    def _as_version_of(
        self, ledger: Ledger, story: Story, yes: Told[Accepted], same: Entry | None
    ) -> tuple[Entry | None, list[Problem]]:
        """Held against the yes as the last version, where its sheet would say what was recorded; else as the next."""
        from quotekit.model.entries import Issued

        as_read, facts = self.quote, self.facts
        if same is not None:
            self.facts = facts._replace(day=same.day)
            found = [*self._with_ledger(story, same.version or 1), *self._against(ledger, story, yes)]
            if self.changed is not None and self._mark() == same.told(Issued).fingerprint:
                return same, found
            self.quote, self.facts = as_read, facts
        version = ledger.next_version(story.job)
        return None, [*self._with_ledger(story, version), *self._against(ledger, story, yes)]

    def _same_workbooks(self, story: Story) -> Entry | None:
        """The last version, where it is the same change."""
        last = story.current
        if last is None or last.body.revision is None:
            return None
        same = self._of_these_workbooks(last.body)
        later = any(
            yes.entry.seq > last.entry.seq and yes.entry.version != last.entry.version for yes in story.accepted
        )
        return last.entry if same and not later and set(self.more) <= set(last.body.revision.extras) else None

    def _is_what_was_agreed(self, story: Story, yes: Told[Accepted]) -> bool:
        """Whether both workbooks are those of the version in force, and nothing is added."""
        from quotekit.pricing.consent.authorised import version_now

        issued = story.version(version_now(story) or 0)
        if issued is None or not set(self.more) <= set(yes.body.extras):
            return False
        return self._of_these_workbooks(issued.body)

    def _against(self, ledger: Ledger, story: Story, yes: Told[Accepted]) -> list[Problem]:
        """The same option and extras of the changed job, held against what was agreed."""
        from quotekit.cli.choice import choose
        from quotekit.pricing.agreed import agreed_of
        from quotekit.pricing.choice import price_choice

        assert story.current is not None
        if self.quote.currency != story.current.body.currency:
            return [_currency(self.quote.book.file, story.current.body.currency, self.quote.currency)]
        tier, keys, found = choose(self.quote, yes.body.tier, [*yes.body.extras, *self.more])
        problems = [replace(problem, place=Place(self.quote.job.file)) for problem in _of_choice(found)]
        if tier is None or has_errors(problems):
            return problems
        book, job = self.quote.book, self.quote.job
        priced = price_choice(book, job, tier.code, keys) if keys else tier
        now = agreed_of(book, job, priced, keys)
        self._hold_against(ledger, story, yes, now, keys)
        return [*problems, *self._beside_money(yes.body.agreed, now), *self._moved_by_book(ledger, story, yes)]

    def _beside_money(self, before: Agreed, now: Agreed) -> list[Problem]:
        """What the customer may have to be asked for another reason than money."""
        from quotekit.documents.consent_words import item_name, part_change_words
        from quotekit.documents.wording import ready_words
        from quotekit.pricing.consent.beside_money import exchanged, is_later

        assert self.changed is not None
        if self.changed.revision.needs_consent:
            return []
        place, language = Place(self.quote.job.file), self.quote.book.settings.language
        gone = [item_name(item) for item in self.changed.changes.gone]
        found = [warning(place, "agreed-work-gone", f"Agreed work goes: {name}.", _ASK_BESIDES) for name in gone]
        if is_later(before, now):
            message = f"It is ready later than agreed. Before: {ready_words(before.ready_days).lower()}; now: "
            message += f"{ready_words(now.ready_days).lower()}."
            found.append(warning(place, "ready-later", message, _ASK_BESIDES))
        for change in exchanged(self.changed.changes):
            said = part_change_words(change, language)
            found.append(warning(place, "part-exchanged", f"A part is not the one agreed to: {said}.", _ASK_BESIDES))
        return found

    def _hold_against(
        self, ledger: Ledger, story: Story, yes: Told[Accepted], now: Agreed, keys: Collection[str]
    ) -> None:
        from quotekit.cli.agreed_findings import agreed_findings
        from quotekit.documents.consent_words import new_words
        from quotekit.model.consent import ChangedJob
        from quotekit.model.entries import Revision
        from quotekit.money import minor_digits
        from quotekit.pricing.consent.authorised import agreed_now
        from quotekit.pricing.consent.changes import changes_of
        from quotekit.pricing.consent.declined_safety import safety_without
        from quotekit.pricing.consent.need import need_of_consent
        from quotekit.pricing.consent.what_it_adds import what_each_adds

        digits, limit = minor_digits(self.quote.currency), self.quote.job.spending_limit
        need = need_of_consent(yes.body, now, digits, limit)
        changes = changes_of(yes.body.agreed, now)
        adds = what_each_adds(self.quote.book, self.quote.job, now, [item.key for item in changes.new])
        settings = self.quote.book.settings
        self.revision = Revision(
            of_version=yes.entry.version or 1,
            tier=now.tier,
            extras=tuple(keys),
            before=need.before,
            after=need.after,
            threshold=need.threshold,
            needs_consent=need.needed,
            agreed=now,
            new=new_words(changes, settings.language),
            adds=adds,
        )
        self.changed = ChangedJob(
            quote=self.quote,
            before=yes.body.agreed,
            agreed_on=yes.entry.day,
            revision=self.revision,
            changes=changes,
            rule=yes.body.rule,
            valid_until=self.facts.day + timedelta(days=settings.quote_valid_days),
            paid=self.quote.job.paid_so_far,
            safety=safety_without(self.quote.job.findings, agreed_now(story), agreed_findings(ledger, story)),
            spending_limit=need.limit,
        )

    def _moved_by_book(self, ledger: Ledger, story: Story, yes: Told[Accepted]) -> list[Problem]:
        """What the shop book alone does to the total: what was agreed, priced from the book as it is now."""
        from quotekit.cli.frozen import frozen_files
        from quotekit.pricing.choice import price_choice
        from quotekit.workbook.read_job import read_job

        agreed = story.version(yes.entry.version or 1)
        if agreed is None or agreed.body.book.sha256 == self.quote.book.sha256:
            self.book_alone = Decimal(0)
            return []
        with frozen_files(ledger, agreed) as (_, path):
            job, found = read_job(path, self.quote.book)
        place = Place(self.quote.book.file)
        try:
            if job is None or has_errors(found):
                raise KeyError(path.name)
            then = price_choice(self.quote.book, job, yes.body.tier, list(yes.body.extras))
        except KeyError:
            message = (
                "What was agreed can't be priced from this shop book, so what the book alone changes is not known."
            )
            remedy = "Look at what is new on the customer's sheet before you hand it over."
            return [warning(place, "book-not-comparable", message, remedy)]
        self.book_alone = then.total - yes.body.agreed.total
        return [_book_moved(place, then.total, self.book_alone)] if self.book_alone else []

    def _documents(self, problems: list[Problem], again: bool) -> tuple[Mapping[Path, WriteTo], list[Problem]]:
        """The customer's sheet and the shop's costing of the changed job."""
        from quotekit.cli.quote import documents_of_quote

        assert self.changed is not None
        inputs = (self.asked.book, self.asked.job)
        start = file_start(self.quote.job.job_number, self.quote.job.version)
        sheet, costing = (self.asked.folder / f"{start} {what}.xlsx" for what in ("change", "costing"))
        in_the_way = check_targets((sheet, costing), inputs, replace=again)
        if in_the_way:
            return {}, in_the_way
        every, found = documents_of_quote(self.quote, problems, self.asked.folder, inputs=inputs, replace=True)
        if costing not in every:
            return {}, found
        return {sheet: partial(_write_sheet, self.changed), costing: every[costing]}, found

    def _body(self, before: Told[Issued] | None, kept: Mapping[str, KeptFile]) -> Issued:
        """As of a quote, with the one option that was agreed to, on the terms agreed with it."""
        assert self.changed is not None
        agreed = self.changed.revision.agreed
        option = offered_option(agreed.tier, agreed.option, agreed)
        body = super()._body(before, kept)
        valid_until = self.changed.valid_until
        return replace(body, offered=(option,), rule=self.changed.rule, valid_until=valid_until)

    def _mark(self) -> str:
        from quotekit.documents.consent_sheet import lay_out_consent_sheet
        from quotekit.documents.fingerprint import fingerprint_of

        assert self.changed is not None
        return fingerprint_of(lay_out_consent_sheet(self.changed))


def _write_sheet(changed: ChangedJob, path: Path) -> None:
    from quotekit.documents.consent_sheet import lay_out_consent_sheet
    from quotekit.workbook.write_sheet import write_workbook

    write_workbook(lay_out_consent_sheet(changed), path)


def _of_choice(found: Sequence[Problem]) -> list[Problem]:
    """What was agreed may go on where it would no longer be offered beside the other options."""
    return [problem for problem in found if problem.code != "option-not-offered"]


def _nothing_agreed(file: str, story: Story) -> Problem:
    message = f"Nothing is agreed for job {story.job}, so there is nothing to change."
    remedy = "Issue the quote (quotekit issue), and record the customer's yes (quotekit accept)."
    return error(Place(file), "nothing-agreed", message, remedy)


def _nothing_changed(file: str, yes: Told[Accepted]) -> Problem:
    message = f"Both workbooks are those that were agreed to on {yes.entry.day.isoformat()}: nothing is new."
    return error(Place(file), "nothing-changed", message, "Write what was found into the job workbook, and save it.")


def _currency(file: str, agreed: str, now: str) -> Problem:
    message = f"The shop book is in {now}; what was agreed is in {agreed}."
    return error(Place(file), "currency-changed", message, f"Use a shop book in {agreed}, or issue a new quote.")


def _book_moved(place: Place, total: Decimal, moved: Decimal) -> Problem:
    way = "more" if moved > 0 else "less"
    message = f"From this shop book what was agreed comes to {total:f}: the book alone makes it {abs(moved):f} {way}."
    remedy = "Use the shop book of the quote if the customer is to pay for the new work alone; else say so."
    return warning(place, "book-moves-total", message, remedy)
