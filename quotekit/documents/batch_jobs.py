"""The sheets of a batch summary that list everything: every option of every job, and every problem."""

from __future__ import annotations

from collections.abc import Iterator
from decimal import Decimal

from quotekit.documents.batch_figures import figure
from quotekit.documents.batch_page import batch_page
from quotekit.documents.costing_style import fit, head
from quotekit.documents.sheet import Cell, Row, Sheet, row, text
from quotekit.model.batch import BatchedJob, BatchSummary, TierHeld, ToldProblem

JOBS, PROBLEMS = "Jobs", "Problems"
MOST_PROBLEMS = 20_000
"""Rows of problems: nobody reads more, and every line of results holds its own."""

_JOB_WIDTHS = (18.0, 9.0, 13.0, 13.0, 14.0, *(10.0,) * 7, 7.0, 10.0, 26.0)
_PROBLEM_WIDTHS = (24.0, 26.0, 8.0, 60.0, 60.0)


def lay_out_batch_jobs(summary: BatchSummary) -> Sheet:
    """A row an option, jobs in the order of their files."""
    rows = (_job_head(), *(line for job in summary.jobs for line in _job(job)))
    return _listed(summary, JOBS, rows, _JOB_WIDTHS)


def lay_out_batch_problems(summary: BatchSummary) -> Sheet:
    """Problems of the shop book once, then those of each job, errors first."""
    rows = [head("File", "Where", "Kind", "What is wrong", "What to do")]
    of_book = set(summary.book_problems)
    rows += [_problem(summary.book_file, problem) for problem in summary.book_problems]
    own = [(job.file, problem) for job in summary.jobs for problem in job.problems if problem not in of_book]
    own.sort(key=lambda pair: pair[1].severity != "error")
    rows += [_problem(file, problem) for file, problem in own[:MOST_PROBLEMS]]
    if len(own) > MOST_PROBLEMS:
        rows.append(row(text(f"And {len(own) - MOST_PROBLEMS} more, in the lines of the results.", "note")))
    return _listed(summary, PROBLEMS, tuple(rows), _PROBLEM_WIDTHS)


def _listed(summary: BatchSummary, name: str, rows: tuple[Row, ...], widths: tuple[float, ...]) -> Sheet:
    page = batch_page(summary, name, head=0)
    fitted = tuple(piece for line in rows for piece in fit(line, widths))
    return Sheet(name=name, rows=fitted, widths=widths, page=page, frozen_rows=1, frozen_columns=1)


def _job_head() -> Row:
    names = ("File", "Job", "Customer", "Machine", "Option")
    figures = ("Total now", "Before tax", "Cost", "Left now", "Total given", "Difference", "Left of given")
    return head(*names, *figures, "Loses money", "Valid until", "Remarks", right=range(5, 12))


def _job(job: BatchedJob) -> Iterator[Row]:
    version = "" if job.version is None else f"-{job.version}"
    about = (_text(job.file), _text(f"{job.job}{version}"), _text(job.customer), _text(job.machine))
    if not job.tiers:
        errors = sum(problem.severity == "error" for problem in job.problems)
        said = "not priced: see Problems" if errors else "no option can be offered"
        yield row(*about, _text("", 10), _text(said, style="beside"))
    for tier in job.tiers:
        yield row(*about, _text(tier.new.name), *_figures(tier), *_remarks(job, tier))


def _figures(tier: TierHeld) -> Iterator[Cell]:
    now, given = tier.new, tier.given
    yield _money(now.total)
    yield _money(now.subtotal)
    yield figure(now.cost)
    yield figure(tier.left_now)
    yield _money(None if given is None else given.total)
    yield _money(tier.difference)
    yield _money(tier.left if tier.stands else None)


def _remarks(job: BatchedJob, tier: TierHeld) -> Iterator[Cell]:
    given = job.given if job.given is not None and tier.new.code in job.given.tiers else None
    valid = (given.valid_until if given is not None else "") or job.valid_until
    yield _text(tier.loses, style="beside")
    yield _text(valid)
    said = [] if tier.new.offered else [f"not offered: {tier.new.reason}" if tier.new.reason else "not offered"]
    if tier.other_work:
        said.append("other work than in the quote given")
    if given is not None:
        said.append(f"given: {given.standing or given.origin}")
        said += [f"in {job.other_currency}, so it is not compared"] if job.other_currency else []
    if job.same_as:
        said.append(f"the same number and version as {job.same_as}")
    yield _text("; ".join(said), style="beside")


def _problem(file: str, problem: ToldProblem) -> Row:
    cells = (file, problem.place, problem.severity, problem.message, problem.remedy)
    return row(*map(_text, cells))


def _text(words: str, across: int = 1, style: str = "body") -> Cell:
    return text(words, style, across)


def _money(value: Decimal | None) -> Cell:
    return text("", "money") if value is None else figure(value)
