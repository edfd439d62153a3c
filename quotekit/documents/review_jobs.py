"""The sheets of single jobs: comebacks and every job by what its bench hour left, and each job's variances."""

from __future__ import annotations

from collections.abc import Iterator
from dataclasses import replace
from decimal import Decimal

from quotekit.documents.costing_style import amount, head, hours, note, section
from quotekit.documents.review_blocks import Block, block, lay_out_blocks
from quotekit.documents.review_words import VARIANCES
from quotekit.documents.sheet import Cell, Row, Sheet, day, row, text
from quotekit.model.review import ComebackCharged, Review, ReviewedJob, Variance

JOBS, VARIANCE_SHEET = "Jobs", "Variances"
_WIDTHS = (8.5, 9.0, 11.0, 7.0, 9.0, 7.5, 7.5, 7.5, 6.9, 6.9, 6.9, 7.3, 9.2, 6.5, 5.2, 6.1)
_VARIANCE_WIDTHS = (10.0, 12.0, 28.0, *(12.0, 5.0) * 4)


def lay_out_jobs(review: Review) -> Sheet:
    """Jobs, the best bench hour first; those of which it is not known last."""
    blocks = [block(_comebacks(review), _WIDTHS)] if review.comebacks else []
    above = [*section("Jobs by contribution per bench hour", len(_WIDTHS))]
    above += [note(words, len(_WIDTHS)) for words in _NOTES]
    rows = block([*above, _head(), *map(_job, ranked(review))], _WIDTHS)
    return lay_out_blocks(review, JOBS, _WIDTHS, [*blocks, rows], head=len(block(above, _WIDTHS).rows))


def lay_out_variances(review: Review) -> Sheet:
    """The variances of each job, in the order of closing."""
    return lay_out_blocks(review, VARIANCE_SHEET, _VARIANCE_WIDTHS, [_variance_block(review)], head=2)


def ranked(review: Review) -> list[ReviewedJob]:
    """Jobs by what a bench hour left."""
    known = [job for job in review.jobs if job.per_bench_hour is not None]
    unknown = [job for job in review.jobs if job.per_bench_hour is None]
    return [*sorted(known, key=lambda job: -(job.per_bench_hour or 0)), *unknown]


_NOTES = (
    "Contribution = invoiced less parts, outside work and freight; profit takes off labour at cost as well. "
    "After comebacks: with what the job's comebacks left.",
    "Profit is not known where the job is not billed or a cost is missing; the column Marks says which.",
)


def _head() -> Row:
    titles = ("Closed", "Job", "Machine", "Option", "Marks", "First quote", "Agreed", "Invoiced", "Parts", "Labour")
    more = ("Outside, freight", "Profit", "After comebacks", "A bench hour", "Hours sold", "Hours worked")
    return head(*titles, *more, right=range(5, 16))


def _job(job: ReviewedJob) -> Row:
    bought = None if job.sublet is None else job.sublet + job.freight
    marks = "; ".join([*job.tags, *([f"of {job.first_job}"] if job.first_job else []), *job.unknown])
    return row(
        day(job.closed, "left"),
        text(job.job, "beside"),
        text(job.machine),
        text(job.option),
        text(marks),
        _known(job.first_quoted),
        amount(job.agreed),
        _known(job.invoiced),
        _known(job.parts),
        _known(job.labour),
        _known(bought),
        _known(job.profit, "strong money"),
        _known(job.after_comebacks),
        _known(job.per_bench_hour),
        hours(job.sold_hours),
        text("", "number") if "no hours" in job.tags else hours(job.actual_hours),
    )


def _known(value: Decimal | None, style: str = "money") -> Cell:
    return text("", style) if value is None else amount(value, style)


def _comebacks(review: Review) -> Iterator[Row]:
    yield from section("Comebacks", len(_WIDTHS))
    titles = ("Closed", "Comeback", ("Charged to", 2), ("Cause", 2))
    yield head(*titles, ("Worked h", 2), ("Result", 2), ("Lost on other work", 2), ("", 4), right=(4, 5, 6))
    for one in review.comebacks:
        yield _comeback(one)
    yield note("Lost on other work: its hours x what a bench hour leaves on jobs that are no comebacks.", len(_WIDTHS))


def _comeback(one: ComebackCharged) -> Row:
    return row(
        day(one.closed, "left"),
        text(one.job),
        text(one.first_job, across=2),
        text(one.cause, across=2),
        _wide(hours(one.hours)),
        _wide(_known(one.result)),
        _wide(_known(one.lost_work)),
        text("", across=4),
    )


def _wide(cell: Cell) -> Cell:
    return replace(cell, across=2)


def _variance_block(review: Review) -> Block:
    titles: list[str] = []
    for _, title, _ in VARIANCES:
        titles += [title, ""]
    rows = [
        *section("Actual minus standard: F below zero, U above", len(_VARIANCE_WIDTHS)),
        head("Closed", "Job", "Machine", *titles, right=(3, 5, 7, 9)),
    ]
    rows += [_variances(job) for job in review.jobs]
    return block(rows, _VARIANCE_WIDTHS)


def _variances(job: ReviewedJob) -> Row:
    cells: list[Cell] = []
    for field, _, _ in VARIANCES:
        variance: Variance | None = getattr(job.variances, field)
        cells += [
            _known(None if variance is None else variance.amount),
            text("" if variance is None else variance.sign),
        ]
    return row(day(job.closed, "left"), text(job.job, "beside"), text(job.machine), *cells)
