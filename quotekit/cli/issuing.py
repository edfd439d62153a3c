"""What issuing a quote records and writes: the ledger's version, the frozen inputs, the customer's documents."""

from __future__ import annotations

import argparse
import hashlib
import json
from collections.abc import Mapping
from dataclasses import replace
from pathlib import Path
from typing import TYPE_CHECKING

from quotekit.cli.carry_out import Decision
from quotekit.cli.paid_together import paid_counted_together
from quotekit.cli.which_ledger import Facts, facts_of
from quotekit.problems import Place, Problem, error, has_errors, warning
from quotekit.record import record

if TYPE_CHECKING:
    from quotekit.cli.output_files import WriteTo
    from quotekit.ledger.ledger import Ledger
    from quotekit.model.agreed import Agreed
    from quotekit.model.entries import Draft, Entry, Issued, KeptFile, OfferedOption, Revision
    from quotekit.model.quote import PricedTier, Quote
    from quotekit.model.story import Story, Told

_PRICE_AGAIN = "Run it again: the quote must be of the workbooks as they are."


@record
class Asked:
    """What was asked for on the command line."""

    book: Path
    job: Path
    folder: Path
    pdf: bool = False
    page: bool = False
    replace: bool = False
    """Write over a quote of this version that was priced and never issued."""


def prepare(options: argparse.Namespace, quote: Quote, problems: list[Problem]) -> Issuing:
    """A priced quote, ready to be issued as the options say."""
    folder = options.out if options.out is not None else options.job.parent
    asked = Asked(
        book=options.book,
        job=options.job,
        folder=folder,
        pdf=options.pdf,
        page=options.page,
        replace=options.replace,
    )
    return Issuing(asked, quote, problems, facts_of(options))


class Issuing:
    """One quote on its way into the ledger."""

    def __init__(self, asked: Asked, quote: Quote, problems: list[Problem], facts: Facts) -> None:
        self.asked, self.quote, self.problems, self.facts = asked, quote, problems, facts
        self._as_read = quote, facts
        self.paid_typed = quote.job.paid_so_far
        self.revision: Revision | None = None
        """What the changed job means for what was agreed, where it is one."""

    def hangs_on(self, ledger: Ledger) -> int:
        """The last entry of the job: the decision holds while there is no later one."""
        return ledger.last_seq(self.quote.job.job_number)

    def decide(self, ledger: Ledger) -> Decision:
        """The next version of the job, unless the last one is of the same workbooks and was never written out."""
        self.quote, self.facts = self._as_read
        story = ledger.story(self.quote.job.job_number)
        files, changed = self._files()
        unfinished, more = self._as_version(ledger, story, files)
        problems = [*self.problems, *more, *changed]
        if not self.quote.offered:
            problems.append(_nothing_offered(self.quote))
        elif self.revision is None and self.facts.day > self.quote.valid_until:
            problems.append(_out_of_date(self.quote))
        documents, in_the_way = ({}, []) if has_errors(problems) else self._documents(problems, unfinished is not None)
        problems += in_the_way
        if has_errors(problems):
            return Decision(problems=problems)
        drafts = [] if unfinished is not None else [self._draft(story, files)]
        return Decision(
            problems=problems,
            drafts=drafts,
            files=list(files.values()),
            documents=documents,
            unfinished=unfinished,
            numbered=True,
        )

    def _as_version(
        self, ledger: Ledger, story: Story, files: dict[str, tuple[str, bytes]]
    ) -> tuple[Entry | None, list[Problem]]:
        """Give the quote its version: the last one, where it says the same and was never written out; else the next.

        Money that came in since would make other documents than those that were recorded, and a new version.
        """
        last, as_read = story.current, self.quote
        if last is not None and story.documents_of(last.entry) is None and self._of_same_inputs(last.body, files):
            more = self._with_ledger(story, last.entry.version or 1)
            if self.quote.offered and _fingerprint(self.asked.job, self.quote) == last.body.fingerprint:
                return last.entry, more
            self.quote = as_read
        return None, self._with_ledger(story, ledger.next_version(story.job))

    def _of_same_inputs(self, body: Issued, files: dict[str, tuple[str, bytes]]) -> bool:
        same = self._of_these_workbooks(body) and body.photos == _photos(_kept(files))
        return same and (body.revision is None) == (self.revision is None)

    def _of_these_workbooks(self, body: Issued) -> bool:
        """Whether a version was made from the shop book and the job that were read."""
        return (body.book.sha256, body.job_workbook.sha256) == (self.quote.book.sha256, self.quote.job.sha256)

    def _with_ledger(self, story: Story, version: int) -> list[Problem]:
        """Give the quote the ledger's version, and the money that the ledger knows of."""
        job, found = self.quote.job, []
        if job.version not in (1, version) and "Version" in job.sources:
            place = job.place_of("Version")
            message = f"The job workbook says version {job.version}; in the ledger this is version {version}."
            found.append(warning(place, "version-of-ledger", message, "Empty the cell: the ledger counts versions."))
        recorded = story.payments
        if recorded:
            if job.paid_so_far:
                found.append(paid_counted_together(job, recorded, "Empty the cell if it is the same money."))
            from quotekit.pricing import build_quote

            job = replace(job, paid_so_far=job.paid_so_far + recorded, version=version)
            self.quote = build_quote(self.quote.book, job)
        else:
            self.quote = replace(self.quote, job=replace(job, version=version))
        return found

    def _files(self) -> tuple[dict[str, tuple[str, bytes]], list[Problem]]:
        """The workbooks as they were read, by what they are; a problem where one was changed meanwhile."""
        files: dict[str, tuple[str, bytes]] = {}
        changed = []
        for what, path, known in (
            ("book", self.asked.book, self.quote.book.sha256),
            ("job", self.asked.job, self.quote.job.sha256),
        ):
            data = path.read_bytes()
            files[what] = (path.name, data)
            if hashlib.sha256(data).hexdigest() != known:
                message = "It was changed while the quote was worked out."
                changed.append(error(Place(str(path)), "input-changed", message, _PRICE_AGAIN))
        for name in dict.fromkeys(finding.photo for finding in self.quote.job.findings if finding.photo):
            photo = self.asked.job.parent / name
            if Path(name).name == name and photo.is_file():
                files[f"photo {name}"] = (name, photo.read_bytes())
        return files, changed

    def _documents(self, problems: list[Problem], again: bool) -> tuple[Mapping[Path, WriteTo], list[Problem]]:
        from quotekit.cli.quote import documents_of_quote

        return documents_of_quote(
            self.quote,
            problems,
            self.asked.folder,
            inputs=(self.asked.book, self.asked.job),
            replace=again or self.asked.replace,
            page=self.asked.page,
            pdf=self.asked.pdf,
        )

    def _draft(self, story: Story, files: dict[str, tuple[str, bytes]]) -> Draft:
        results = self._results()
        files["results"] = ("results.json", results)
        kept = _kept(files)
        return self.facts.draft(
            "issued",
            self._body(story.current, kept),
            job=self.quote.job.job_number,
            version=self.quote.job.version,
        )

    def _results(self) -> bytes:
        from quotekit.documents.quote_json import lay_out_quote_json

        told = json.dumps(lay_out_quote_json(self.quote, self.problems), ensure_ascii=False)
        return told.encode(errors="backslashreplace")  # half a letter, as a file name may hold, as JSON writes it

    def _body(self, before: Told[Issued] | None, kept: Mapping[str, KeptFile]) -> Issued:
        from quotekit.model.entries import Issued
        from quotekit.pricing.agreed import consent_rule

        quote, job = self.quote, self.quote.job
        machine = " ".join(filter(None, (job.make, job.model))) or job.machine_class_name or job.machine_class
        return Issued(
            book=kept["book"],
            job_workbook=kept["job"],
            photos=_photos(kept),
            results=kept["results"],
            quote_date=job.quote_date,
            valid_until=quote.valid_until,
            currency=quote.currency,
            customer=job.customer,
            phone=job.phone,
            machine=machine,
            offered=tuple(_option(tier) for tier in quote.offered),
            declined_total=quote.declined.total,
            rule=consent_rule(quote.book.settings),
            fingerprint=self._mark(),
            engine=_engine(),
            replaces=before.entry.version if before is not None else None,
            spending_limit=job.spending_limit,
            revision=self.revision,
            customer_class=job.customer_class,
            language=quote.book.settings.language,
            paid_typed=self.paid_typed,
        )

    def _mark(self) -> str:
        """The fingerprint of what the customer gets."""
        return _fingerprint(self.asked.job, self.quote)


def offered_option(code: str, name: str, priced: PricedTier | Agreed, extras: tuple[str, ...] = ()) -> OfferedOption:
    """An option as the customer sees it, and what it leaves the shop."""
    from quotekit.model.entries import OfferedOption

    return OfferedOption(
        code=code,
        name=name,
        subtotal=priced.subtotal,
        tax=priced.tax,
        total=priced.total,
        deposit=priced.deposit,
        ready_days=priced.ready_days,
        margin=priced.margin,
        extras=extras,
    )


def _option(tier: PricedTier) -> OfferedOption:
    return offered_option(tier.code, tier.name, tier, tuple(offered.extra for offered in tier.extras))


def _kept(files: Mapping[str, tuple[str, bytes]]) -> dict[str, KeptFile]:
    from quotekit.model.entries import KeptFile

    return {what: KeptFile.of(name, data) for what, (name, data) in files.items()}


def _photos(kept: Mapping[str, KeptFile]) -> tuple[KeptFile, ...]:
    return tuple(file for what, file in kept.items() if what.startswith("photo "))


def _out_of_date(quote: Quote) -> Problem:
    """A quote that is handed over after its last day: its Quote date was left as it was."""
    message = f"The quote was valid until {quote.valid_until.isoformat()}."
    remedy = "Type today's date as Quote date of the job, and issue it again."
    return warning(quote.job.place_of("Quote date"), "quote-expired", message, remedy)


def _fingerprint(job: Path, quote: Quote) -> str:
    """The mark that the customer's quote carries, so that a returned one is known."""
    from quotekit.cli.quote import photos_of
    from quotekit.documents.customer_quote import lay_out_customer_quote
    from quotekit.documents.fingerprint import fingerprint_of

    photos, _ = photos_of(quote, job)
    return fingerprint_of(lay_out_customer_quote(quote, photos))


def _engine() -> str:
    from importlib.metadata import PackageNotFoundError, version

    try:
        return version("quotekit")
    except PackageNotFoundError:
        return ""


def _nothing_offered(quote: Quote) -> Problem:
    reasons = "; ".join(f"{tier.name}: {tier.reason}" for tier in quote.tiers)
    message = f"No option can be offered, so there is nothing to issue ({reasons})."
    remedy = "Mend the job, or write the costing alone with `quotekit quote`."
    return error(Place(quote.job.file), "nothing-to-issue", message, remedy)
