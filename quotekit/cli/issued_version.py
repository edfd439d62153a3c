"""Whether a quote on the disk was issued: then it is what the customer has, and nothing is written over it unasked."""

from __future__ import annotations

from pathlib import Path
from typing import TYPE_CHECKING

from quotekit.record import record

if TYPE_CHECKING:
    from datetime import date

    from quotekit.model.quote import Quote
    from quotekit.problems import Problem


@record
class IssuedVersion:
    """A version of a job that a ledger issued, and whose quote or costing lies on the disk."""

    day: date
    job_workbooks: frozenset[str]
    """SHA-256 of the job workbooks that its versions were made from, this one's and all others'."""
    following: int
    """The number the next version would have."""


def issued_version(quote: Quote, book: Path, folder: Path) -> IssuedVersion | None:
    """The issued version whose files this quote would write over; None where there is none. Raises LedgerFault."""
    from quotekit.cli.output_files import file_start

    start = file_start(quote.job.job_number, quote.job.version)
    there = any((folder / f"{start} {name}").exists() for name in ("quote.xlsx", "costing.xlsx"))
    return version_in_ledger(quote, book) if there else None


def version_in_ledger(quote: Quote, book: Path) -> IssuedVersion | None:
    """The version that a ledger issued under this number; None where none did. Raises LedgerFault."""
    for address in _ledgers(book):
        issued = _version_in(address, quote)
        if issued is not None:
            return issued
    return None


def _version_in(address: str | Path, quote: Quote) -> IssuedVersion | None:
    """As one ledger says; one that is not made yet issued nothing."""
    from quotekit.ledger.fault import LedgerFault
    from quotekit.ledger.open_ledger import open_ledger

    job = quote.job
    try:
        with open_ledger(address, create=False) as ledger:
            story = ledger.story(job.job_number)
            issued, following = story.version(job.version), ledger.next_version(job.job_number)
    except LedgerFault as raised:
        if raised.problem.code != "ledger-missing":
            raise
        return None
    if issued is None:
        return None
    made_from = frozenset(told.body.job_workbook.sha256 for told in story.issued)
    return IssuedVersion(day=issued.entry.day, job_workbooks=made_from, following=following)


def issued_problem(quote: Quote, issued: IssuedVersion) -> Problem:
    """That it is not written over, and what to do."""
    from quotekit.problems import error

    job = quote.job
    message = f"Version {job.version} of job {job.job_number} was issued on {issued.day.isoformat()}; its quote is not"
    remedy = f"Type {issued.following} under Version on the sheet Job, then price it; after a yes `quotekit revise`."
    return error(job.place_of("Version"), "version-issued", f"{message} written over.", remedy, str(job.version))


def _ledgers(book: Path) -> list[str | Path]:
    """The ledger that the environment names; else all beside the shop book, which may have another name by now."""
    from quotekit.cli.which_ledger import ENDING, ledger_address

    address = ledger_address(None, book=book)
    return sorted(book.parent.glob(f"*{ENDING}")) if isinstance(address, Path) else [address]
