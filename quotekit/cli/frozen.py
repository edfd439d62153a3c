"""The workbooks of an issued version, read again from the bytes the ledger keeps: later changes change nothing."""

from __future__ import annotations

import tempfile
from collections.abc import Collection, Iterator
from contextlib import contextmanager
from dataclasses import replace
from pathlib import Path
from typing import TYPE_CHECKING

from quotekit.record import record

if TYPE_CHECKING:
    from quotekit.ledger.ledger import Ledger
    from quotekit.model.agreed import Agreed
    from quotekit.model.entries import Issued
    from quotekit.model.job import Job
    from quotekit.model.quote import PricedTier, Quote
    from quotekit.model.shop_book import ShopBook
    from quotekit.model.story import Told


@record
class Frozen:
    """An issued version with the shop book and the job it was made from."""

    issued: Told[Issued]
    book: ShopBook
    job: Job
    """With the version under which it was issued."""


def read_frozen(ledger: Ledger, issued: Told[Issued]) -> Frozen:
    """The shop book and the job of an issued version. Raises LedgerFault where they can no longer be read."""
    from quotekit.cli.inputs import read_inputs
    from quotekit.problems import has_errors

    with frozen_files(ledger, issued) as (book, job):
        inputs = read_inputs(book, job)
    if inputs.book is None or inputs.job is None or has_errors(inputs.problems):
        raise _unreadable(ledger, issued, "; ".join(problem.message for problem in inputs.problems[:3]))
    version = issued.entry.version or inputs.job.version
    return Frozen(issued=issued, book=inputs.book, job=replace(inputs.job, version=version))


@contextmanager
def frozen_files(ledger: Ledger, issued: Told[Issued]) -> Iterator[tuple[Path, Path]]:
    """Shop book and job of an issued version as files of their own names, with the photos, until the block ends."""
    from quotekit.ledger.hidden_folder import hidden_folder

    body = issued.body
    with hidden_folder(Path(tempfile.gettempdir())) as folder:
        paths = []
        for place, file in (("book", body.book), ("job", body.job_workbook)):
            path = folder / place / file.name
            path.parent.mkdir()
            path.write_bytes(ledger.file(file.sha256))
            paths.append(path)
        for photo in body.photos:
            (paths[1].parent / photo.name).write_bytes(ledger.file(photo.sha256))
        yield paths[0], paths[1]


def frozen_quote(frozen: Frozen) -> Quote:
    """Every option of an issued version, worked out again."""
    from quotekit.pricing import build_quote

    return build_quote(frozen.book, frozen.job)


def frozen_choice(frozen: Frozen, tier: str, extras: Collection[str]) -> tuple[PricedTier, Agreed]:
    """An option with extras, worked out again, and as it is agreed. Raises KeyError for what was not offered."""
    from quotekit.pricing.agreed import agreed_of
    from quotekit.pricing.choice import price_choice

    priced = price_choice(frozen.book, frozen.job, tier, list(extras))
    return priced, agreed_of(frozen.book, frozen.job, priced, extras)


def _unreadable(ledger: Ledger, issued: Told[Issued], why: str) -> Exception:
    from quotekit.ledger.fault import fault

    message = f"The workbooks of job {issued.entry.job}, version {issued.entry.version}, can no longer be read: {why}"
    return fault(ledger.address.shown, "frozen-unreadable", message, "Use the quotekit that issued it.")
