"""Quotes that wait for an answer: those of the ledger, and jobs of a folder that were not issued yet."""

from __future__ import annotations

import json
from collections.abc import Iterable, Iterator
from dataclasses import replace
from datetime import date, timedelta
from decimal import Decimal
from pathlib import Path
from typing import TYPE_CHECKING, Any

if TYPE_CHECKING:
    from quotekit.ledger.ledger import Ledger
    from quotekit.model.entries import Issued
    from quotekit.model.job import Job
    from quotekit.model.shop_book import ShopBook
    from quotekit.model.story import Story, Told
    from quotekit.pricing.proposals.open_quotes import OfferedTier, Waiting
    from quotekit.problems import Problem


def waiting_in_ledger(ledger: Ledger, stories: Iterable[Story], book: ShopBook, day: date) -> Iterator[Waiting]:
    """Issued quotes without an answer that have not run out on a day, their jobs read with the shop book of today."""
    from quotekit.pricing.proposals.open_quotes import Waiting
    from quotekit.pricing.review.done import seen_until
    from quotekit.pricing.review.fates import fate_of

    for story in stories:
        seen = seen_until(story, day)
        fate = None if seen.comeback else fate_of(seen, day)
        if fate is None or fate.outcome != "open":
            continue
        body = fate.issued.body
        job, trouble = _job_of(ledger, fate.issued, book)
        yield Waiting(
            number=story.job,
            version=fate.issued.entry.version or 1,
            customer=body.customer,
            valid_until=body.valid_until,
            job=job,
            offered=_offered(ledger, body),
            trouble=trouble,
        )


def _job_of(ledger: Ledger, issued: Told[Issued], book: ShopBook) -> tuple[Job | None, str]:
    """The job of an issued version in the light of another shop book, or why it can't be read with it."""
    from quotekit.cli.frozen import frozen_files
    from quotekit.ledger.fault import LedgerFault
    from quotekit.problems import has_errors
    from quotekit.workbook.read_job import read_job

    try:
        with frozen_files(ledger, issued) as (_, path):
            job, problems = read_job(path, book)
    except LedgerFault as fault:
        return None, fault.problem.message
    if job is None or has_errors(problems):
        return None, next(problem.message for problem in problems if problem.severity == "error")
    return replace(job, version=issued.entry.version or job.version), ""


def _offered(ledger: Ledger, body: Issued) -> dict[str, OfferedTier]:
    """What each option came to and held, from the figures that were kept when it was issued."""
    from quotekit.pricing.proposals.open_quotes import OfferedTier

    kept: dict[str, Any] = json.loads(ledger.file(body.results.sha256))
    shown = {option.code for option in body.offered}
    return {
        tier["code"]: OfferedTier(
            total=Decimal(tier["total"]),
            subtotal=Decimal(tier["subtotal"]),
            items=tuple(tier["items"]),
            extras=tuple(extra["extra"] for extra in tier["extras"]),
        )
        for tier in kept["tiers"]
        if tier["code"] in shown
    }


def waiting_in_folder(
    folder: Path, book: ShopBook, day: date, known: frozenset[str]
) -> tuple[list[Waiting], list[Problem]]:
    """Jobs of a folder that the ledger does not know and whose prices would still hold; others are told as warnings."""
    from quotekit.model.story import job_key
    from quotekit.pricing.proposals.open_quotes import Waiting
    from quotekit.problems import Place, has_errors, warning
    from quotekit.workbook.read_job import read_job

    found: list[Waiting] = []
    told: list[Problem] = []
    for path in _job_files(folder):
        job, problems = read_job(path, book)
        if job is None or has_errors(problems):
            why = next(problem for problem in problems if problem.severity == "error")
            message = f"this job is not looked at: {why.message}"
            remedy = f"quotekit check with this job lists what is wrong. {why.remedy}"
            told.append(warning(Place(path.name), "job-not-priced", message, remedy))
            continue
        until = job.quote_date + timedelta(days=book.settings.quote_valid_days)
        if until >= day and job_key(job.job_number) not in known:
            found.append(
                Waiting(
                    number=job.job_number, version=job.version, customer=job.customer, valid_until=until, job=job
                )
            )  # fmt: skip
    return _newest(found), told


def _job_files(folder: Path) -> Iterator[Path]:
    from quotekit.workbook.compared_kind import kind_of_file

    for path in sorted(folder.glob("*.xlsx")):
        if not path.name.startswith("~$") and kind_of_file(path)[0] == "job":
            yield path


def _newest(found: Iterable[Waiting]) -> list[Waiting]:
    """The newest version of each job."""
    from quotekit.model.story import job_key

    by_job: dict[str, Waiting] = {}
    for one in found:
        key = job_key(one.number)
        if key not in by_job or by_job[key].version <= one.version:
            by_job[key] = one
    return list(by_job.values())
