"""The summary of a folder of jobs as a workbook, for the shop only: what would lose money, open quotes, every job."""

from __future__ import annotations

from collections.abc import Iterable, Iterator, Mapping, Sequence
from decimal import Decimal

from quotekit.documents.batch_figures import figure
from quotekit.documents.batch_jobs import lay_out_batch_jobs, lay_out_batch_problems
from quotekit.documents.batch_page import batch_page
from quotekit.documents.costing_style import LOOKS, head, note, section
from quotekit.documents.money_text import money_format
from quotekit.documents.review_blocks import Block, Drawing, block, equal
from quotekit.documents.sheet import (
    Cell,
    Kind,
    NamedRange,
    Properties,
    Row,
    Sheet,
    WorkbookValue,
    number,
    row,
    text,
)
from quotekit.documents.wording import counted
from quotekit.model.batch import BatchedJob, BatchSummary, TierHeld

NAME = "Batch"
MARK = "quotekit_batch"
"""A name in the workbook that tells that the program wrote it, and may write over it."""
COLUMNS = 8
MOST_LINES = 200
"""Losses, and jobs with errors, listed on the first sheet; all of them are on the others."""

_WIDTHS = equal(COLUMNS)
_LABEL, _SAID = 3, 4

Losses = Sequence[tuple[BatchedJob, TierHeld]]


def lay_out_batch(summary: BatchSummary, losses: Losses) -> WorkbookValue:
    """The whole workbook; `losses` are the options that lose money, those to be seen first at the top."""
    sheets = (_first_sheet(summary, losses), lay_out_batch_jobs(summary), lay_out_batch_problems(summary))
    return WorkbookValue(
        sheets=sheets,
        properties=Properties(
            title="Batch summary", subject="For the shop only", author=summary.shop_name, created=summary.day
        ),
        formats=_formats(summary),
        looks=LOOKS,
        names=(NamedRange(name=MARK, sheet=NAME, first_row=0, first_column=0, last_row=0, last_column=0),),
    )


def _formats(summary: BatchSummary) -> Mapping[Kind, str]:
    scale = money_format(summary.currency or "USD", summary.language)
    return {"money": scale, "number": "General", "date": "yyyy-mm-dd"}


def _first_sheet(summary: BatchSummary, losses: Losses) -> Sheet:
    rows: list[Row] = []
    charts = []
    for each in _blocks(summary, losses):
        charts += [make(len(rows)) for make in each.charts]
        rows += each.rows
    page = batch_page(summary, NAME)
    return Sheet(name=NAME, rows=tuple(rows), widths=_WIDTHS, page=page, charts=tuple(charts))


def _blocks(summary: BatchSummary, losses: Losses) -> Iterator[Block]:
    yield block([*_opening(summary), *_counts(summary, losses)], _WIDTHS)
    yield block(_losses(losses), _WIDTHS)
    if summary.sums:
        yield _open_quotes(summary)
    refused = [job for job in summary.jobs if job.refused]
    if refused:
        yield block(_refused(refused), _WIDTHS)


def _opening(summary: BatchSummary) -> Iterator[Row]:
    yield row(text(f"Jobs in {summary.folder}, priced with {summary.book_file}", "title", COLUMNS))
    shop = f"{summary.shop_name}. " if summary.shop_name else ""
    yield note(f"{shop}Amounts in {summary.currency}. Nothing here was told to a customer.", COLUMNS)


def _line(words: str, found: Cell, said: str = "") -> Row:
    return row(text(words, "body", _LABEL), found, text(said, "aside", _SAID))


def _counts(summary: BatchSummary, losses: Losses) -> Iterator[Row]:
    refused = sum(job.refused for job in summary.jobs)
    held = [job for job in summary.jobs if job.given is not None and not job.same_as]
    same = sum(bool(job.same_as) for job in summary.jobs)
    still = sum(job.given is not None and job.given.open for job in held)
    yield from section("What was found", COLUMNS)
    yield _line("Jobs", number(len(summary.jobs)))
    yield _line("Priced", number(len(summary.jobs) - refused))
    yield _line("Not priced, because of an error", number(refused), "listed below" if refused else "")
    yield _line("With a quote that was given", number(len(held)), f"{still} of them open" if held else "")
    other = sorted(job.other_currency for job in held if job.other_currency)
    if other:
        said = f"{', '.join(dict.fromkeys(other))}: not compared with today's"
        yield _line("With a quote in another currency", number(len(other)), said)
    if same:
        yield _line("With the number and version of another file", number(same), "their quotes count once")
    losing = len({job.file for job, _ in losses})
    yield _line("With an option that loses money", number(losing), "listed below" if losing else "")
    passed = [f"{name}: {count}" for name, count in summary.passed_over.items() if count]
    if passed:
        yield note(f"Passed over, as they are no jobs: {', '.join(passed)}.", COLUMNS)


def _losses(losses: Losses) -> Iterator[Row]:
    yield from section("Would lose money", COLUMNS)
    if not losses:
        yield note("None: every option that can be judged leaves something after what it costs the shop.", COLUMNS)
        return
    yield note("Before tax. The price that stands is the quote's while it is open, else today's.", COLUMNS)
    titles = (("Job", 2), "Customer", "Option", "Price that stands", "Cost today", "Left", "Price of")
    yield head(*titles, right=(3, 4, 5))
    for job, tier in losses[:MOST_LINES]:
        yield _loss(job, tier)
    if len(losses) > MOST_LINES:
        yield note(f"And {len(losses) - MOST_LINES} more: see the sheet Jobs, column Loses money.", COLUMNS)


def _loss(job: BatchedJob, tier: TierHeld) -> Row:
    left, cost = tier.left or Decimal(0), tier.new.cost or Decimal(0)
    valid = (job.given.valid_until if job.given is not None else "") or job.valid_until
    of_quote = f"the quote, valid until {valid}" if valid else "the quote"
    return row(
        text(f"{job.job}, {job.file}", across=2),
        text(job.customer),
        text(tier.new.name),
        figure(left + cost),
        figure(cost),
        figure(left, "strong money"),
        text(of_quote if tier.stands else "today", "beside"),
    )


def _open_quotes(summary: BatchSummary) -> Block:
    rows = [
        *section("Open quotes under these prices", COLUMNS),
        head(("Option", 2), "Quotes", "As given", "Now", "Difference", ("", 2), right=(1, 2, 3, 4)),
    ]
    titles = len(rows) - 1
    for each in summary.sums:
        figures = (figure(each.given), figure(each.new), figure(each.difference, "strong money"))
        rows.append(row(text(each.name, across=2), number(each.quotes), *figures, text("", across=2)))
    scale = money_format(summary.currency or "USD", summary.language)
    drawing = Drawing(
        title="Totals of open quotes, as given and now", head=titles, count=len(summary.sums), values=(3, 4),
        number_format=scale, alt="Bars of what open quotes came to when they were given and would come to now.",
    )  # fmt: skip
    made = block(rows, _WIDTHS, [drawing], sheet=NAME)
    said = "With tax. A customer takes one option of each quote, so the options are not added up."
    return Block(rows=(*made.rows, *block([note(said, COLUMNS)], _WIDTHS).rows), charts=made.charts)


def _refused(jobs: Sequence[BatchedJob]) -> Iterable[Row]:
    yield from section("Not priced", COLUMNS)
    yield head(("File", 2), ("First error", 5), "Errors", right=(2,))
    for job in jobs[:MOST_LINES]:
        errors = [problem for problem in job.problems if problem.severity == "error"]
        said = f"{errors[0].place}: {errors[0].message}" if errors else ""
        yield row(text(job.file, across=2), text(said, across=5), number(len(errors)))
    if len(jobs) > MOST_LINES:
        yield note(f"And {counted(len(jobs) - MOST_LINES, 'job')} more: see the sheet Problems.", COLUMNS)
