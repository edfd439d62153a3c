"""What a bill records: the facts of the job as the ledger keeps them, its bill, and one that was made before."""

from __future__ import annotations

from collections.abc import Mapping, Sequence
from dataclasses import replace
from decimal import Decimal
from pathlib import Path
from typing import TYPE_CHECKING

from quotekit.cli.carry_out import Decision
from quotekit.cli.output_files import check_targets, safe_file_name, these_bytes
from quotekit.problems import Problem, error, has_errors

if TYPE_CHECKING:
    from quotekit.cli.frozen import Frozen
    from quotekit.cli.which_ledger import Facts
    from quotekit.documents.bill import BillFacts
    from quotekit.ledger.ledger import Ledger
    from quotekit.model.entries import Billed, Draft, Entry
    from quotekit.model.shop_book import Tax
    from quotekit.model.story import Story
    from quotekit.pricing.bill.to_bill import ToBill


class Billing:
    """One bill on its way into the ledger."""

    def __init__(
        self, job: str, facts: Facts, *, folder: Path | None, templates: Sequence[Path], replace_file: bool = False
    ) -> None:
        self.job, self.facts = job, facts
        self.folder, self.templates, self.replace_file = folder, templates, replace_file
        self.taxes: tuple[Tax, ...] | None = None
        """Rows in place of the frozen book's."""
        self.cores_back: Mapping[str, Decimal] = {}
        """Old parts handed back after the closing, by part code."""
        self.before: Entry | None = None
        """The bill that was recorded before, where nothing new is billed."""

    def told_back(self, counts: Sequence[tuple[str, int]]) -> None:
        """Old parts handed back, each with how many; the same part may be named again."""
        units: dict[str, Decimal] = {}
        for part, count in counts:
            units[part] = units.get(part, Decimal(0)) + count
        self.cores_back = units

    def hangs_on(self, ledger: Ledger) -> tuple[int, int]:
        """The last entry of the job or of the shop (what came in for it), and the number of the bill."""
        return ledger.last_seq(self.job, ""), ledger.next_number("billed")

    def decide(self, ledger: Ledger) -> Decision:
        """The next bill of the job, or the last one where there is nothing new to bill."""
        from quotekit.cli.bill_facts import facts_to_bill
        from quotekit.cli.jobs import known_job

        self.before = None
        story, problems = known_job(ledger, self.job)
        if story is None:
            return Decision(problems=problems)
        last = story.billed[-1].entry if story.billed else None
        if last is not None and story.documents_of(last) is None:
            return self._again(ledger, last, [], finishing=True)
        facts, frozen, problems = facts_to_bill(ledger, story, self.facts.day)
        if facts is None or frozen is None:
            return Decision(problems=problems)
        bill, more = self._bill(facts)
        problems += more
        if has_errors(problems):
            return Decision(problems=problems)
        if bill is None:
            assert last is not None, "a first bill is made, or a problem says why not"
            return self._again(ledger, last, problems)
        return self._new(ledger, story, frozen, bill, problems)

    def _bill(self, facts: ToBill) -> tuple[Billed | None, list[Problem]]:
        from quotekit.pricing.bill.make_bill import bill_of_no, bill_of_work
        from quotekit.pricing.bill.to_bill import WorkToBill

        facts = replace(facts, taxes=self.taxes)
        if isinstance(facts, WorkToBill):
            return bill_of_work(replace(facts, cores_back=_as_spelled(facts, self.cores_back)))
        if self.cores_back:
            message, remedy = "The job was declined: no core charge was billed.", "Leave --core-back out."
            return None, [error(facts.place, "core-not-charged", message, remedy)]
        return bill_of_no(facts)

    def _new(self, ledger: Ledger, story: Story, frozen: Frozen, bill: Billed, problems: list[Problem]) -> Decision:
        facts, issued = self.facts, frozen.issued.entry
        draft = facts.draft("billed", bill, job=issued.job, version=issued.version, number=ledger.next_number("billed"))
        path, data, more = self._filled(ledger, _sheet(story, frozen, draft, bill))
        more += self._in_the_way(path, replace_file=self.replace_file)
        documents = {path: these_bytes(data)} if data is not None else {}
        return Decision(problems=[*problems, *more], drafts=[draft], documents=documents)

    def _again(self, ledger: Ledger, entry: Entry, problems: list[Problem], *, finishing: bool = False) -> Decision:
        """The same document as before; nothing where it stands in its place unchanged."""
        from quotekit.cli.frozen import read_frozen
        from quotekit.model.entries import Billed
        from quotekit.model.story import story_of

        self.before = entry
        story = story_of(entry.job, [one for one in ledger.entries(entry.job) if one.seq < entry.seq])
        issued = story.version(entry.version or 0)
        assert issued is not None, "a bill is of an issued version"
        path, data, more = self._filled(ledger, _sheet(story, read_frozen(ledger, issued), entry, entry.told(Billed)))
        if data is None:
            return Decision(problems=[*problems, *more])
        if not finishing and path.exists() and path.read_bytes() == data:
            return Decision(problems=problems, already=entry)
        more += self._in_the_way(path, replace_file=self.replace_file or finishing)
        return Decision(problems=[*problems, *more], documents={path: these_bytes(data)}, unfinished=entry)

    def _filled(self, ledger: Ledger, sheet: BillFacts) -> tuple[Path, bytes | None, list[Problem]]:
        """Where the bill goes, and its bytes; or what is wrong with the template."""
        from quotekit.cli.which_template import filled
        from quotekit.documents.bill import fill_bill

        name = f"{safe_file_name(sheet.job.job_number)} bill {sheet.number}.xlsx"
        path = (self.folder or ledger.address.folder or Path()) / name
        return path, *filled("bill", self.templates, sheet.settings.language, [fill_bill(sheet)])

    def _in_the_way(self, path: Path, *, replace_file: bool) -> list[Problem]:
        return check_targets([path], [], replace=replace_file)


def _sheet(story: Story, frozen: Frozen, entry: Draft | Entry, bill: Billed) -> BillFacts:
    from quotekit.documents.bill import BillFacts
    from quotekit.pricing.consent.authorised import last_yes

    yes = last_yes(story) if bill.of == "work" else None
    no = story.declined[-1] if bill.of == "no" and story.declined else None
    return BillFacts(
        bill=bill,
        number=entry.number or 0,
        day=entry.day,
        version=entry.version or 1,
        settings=frozen.book.settings,
        job=frozen.job,
        accepted=yes.body if yes else None,
        agreed_on=yes.entry.day if yes else None,
        declined=no.body if no else None,
        declined_on=no.entry.day if no else None,
    )


def _as_spelled(facts: ToBill, counts: Mapping[str, Decimal]) -> dict[str, Decimal]:
    """Part codes as the shop book spells them, whatever the case they were typed in."""
    known = {code.casefold(): code for code in (*facts.book.parts, *facts.job.parts)}
    spelled: dict[str, Decimal] = {}
    for typed, count in counts.items():
        code = known.get(typed.casefold(), typed)
        spelled[code] = spelled.get(code, Decimal(0)) + count
    return spelled
