"""The files of a run: its results, and the summary of what open quotes would be under these prices."""

from __future__ import annotations

import argparse
from pathlib import Path
from typing import TYPE_CHECKING

if TYPE_CHECKING:
    from quotekit.batch.price_job import BookRead
    from quotekit.cli.batch_given import GivenByVersion
    from quotekit.cli.batch_places import Places
    from quotekit.cli.batch_told import Told
    from quotekit.model.batch import BatchSummary
    from quotekit.problems import Problem


def write_all(
    options: argparse.Namespace, places: Places, told: Told, read: BookRead, before: GivenByVersion
) -> tuple[list[Path], list[Problem]]:
    """Write the summary and put the results beside it; what was written, or what stood in the way.

    Raises OSError, LedgerFault.
    """
    from quotekit.batch.holding import first_losses
    from quotekit.cli.batch_kept import told_of
    from quotekit.documents.batch_summary import lay_out_batch
    from quotekit.workbook.write_sheet import CannotWrite, write_workbook

    hold_against_given(options, told, before)
    summary = summary_of(options, told, read)
    try:
        with told_of(places.out):
            write_workbook(lay_out_batch(summary, first_losses(summary.jobs)), places.staged(places.summary))
    except CannotWrite as refused:
        return [], [_too_large(places.summary, refused)]
    staged = {path: places.staged(path) for path in (places.summary, places.results)}
    problems = places.finish(staged)
    return ([] if problems else list(staged)), problems


def hold_against_given(options: argparse.Namespace, told: Told, before: GivenByVersion) -> None:
    """Each job with the quote that was given for it."""
    from quotekit.batch.costing_figures import given_in
    from quotekit.batch.holding import mark_same
    from quotekit.batch.read_lines import with_given
    from quotekit.cli.batch_given import given_in_ledger, together

    wanted = {(job.job, job.version or 0) for job in told.jobs if job.job}
    costings = dict(filter(None, map(given_in, told.figures)))
    given = together(before, given_in_ledger(options, wanted), costings)
    told.jobs = [with_given(job, given.get((job.job, job.version or 0))) for job in mark_same(told.jobs)]


def summary_of(options: argparse.Namespace, told: Told, read: BookRead) -> BatchSummary:
    """Everything the workbook says."""
    from datetime import date

    from quotekit.batch.holding import sums
    from quotekit.model.batch import BatchSummary

    settings = None if read.book is None else read.book.settings
    known = settings.sources if settings is not None else {}
    return BatchSummary(
        shop_name=settings.shop_name if settings is not None and "Shop name" in known else "",
        currency=settings.currency if settings is not None and "Currency" in known else "",
        language=settings.language if settings is not None else "en_US",
        folder=options.folder.resolve().name,
        book_file=options.book.name,
        day=max((job.day for job in told.jobs if job.day), default=date(2026, 1, 1)),
        jobs=tuple(told.jobs),
        sums=sums(told.jobs),
        book_problems=told.book_problems,
        passed_over=dict(sorted(told.passed_over.items())),
    )


def _too_large(path: Path, refused: Exception) -> Problem:
    from quotekit.problems import Place, error

    remedy = "Look for an amount that is far too large in the lines that --json prints."
    return error(Place(str(path)), "figure-too-large", f"A workbook can't hold this: {refused}.", remedy)
