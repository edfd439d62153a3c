"""`quotekit review`: what a season taught, as a workbook with charts, and the times it speaks for as another."""

from __future__ import annotations

import argparse
import shlex
from collections.abc import Sequence
from datetime import date, timedelta
from pathlib import Path
from typing import TYPE_CHECKING

from quotekit.cli.report import DISK, DONE, PROBLEMS, USAGE, print_json, print_problems, say, step
from quotekit.cli.typed_day import typed_day
from quotekit.cli.which_ledger import add_ledger_options

if TYPE_CHECKING:
    from quotekit.ledger.ledger import Ledger
    from quotekit.model.review import Review, Span
    from quotekit.model.shop_book import ShopBook
    from quotekit.problems import Problem

EXAMPLE = """\
examples:
  quotekit review --to 2026-10-31
  quotekit review --from 2026-03-01 --to 2026-10-31 --book "shop book.xlsx" --out reviews

prints the figures that matter and writes `review FROM to TO.xlsx`; where times are off beyond what chance explains it
also writes `proposed times TO.xlsx`, to be ticked and given to `quotekit take-over`. Without --from it looks at the
year that ends on the last day. Rates, bands and times are those of --book, else of the newest quote's shop book.
"""


def add_command(verbs: argparse._SubParsersAction[argparse.ArgumentParser]) -> None:
    """Declare the verb and its options."""
    parser = verbs.add_parser(
        "review",
        help="what the jobs of a season teach: profit, times, quotes won",
        description="What the jobs and quotes of some days teach: profit, variances, times, quotes won and lost.",
        epilog=EXAMPLE,
    )
    parser.add_argument("--from", metavar="DATE", type=typed_day, dest="first", help="first day (default: a year)")
    parser.add_argument("--to", metavar="DATE", type=typed_day, dest="last", help="last day (default: today)")
    parser.add_argument("--book", metavar="BOOK", type=Path, help="the shop book (default: that of the newest quote)")
    parser.add_argument("--out", metavar="FOLDER", type=Path, help="where to write (default: beside the ledger)")
    parser.add_argument("--replace", action="store_true", help="write over an earlier review of the same days")
    add_ledger_options(parser, records=False)
    parser.set_defaults(run=run)


def run(options: argparse.Namespace) -> int:
    """Read the ledger, work it out, write, say."""
    from quotekit.cli.review_files import write_review
    from quotekit.cli.which_ledger import opened_ledger
    from quotekit.problems import has_errors

    span = span_of(options.first, options.last or date.today())
    if span is None:
        say("quotekit review: --from is later than --to")
        return USAGE
    book, problems = _book(options.book)
    if has_errors(problems):
        return _refuse(options, problems, PROBLEMS)
    beside = options.book.parent if options.book is not None else None
    with opened_ledger(options, beside) as ledger:
        review = _review(ledger, span, book)
        folder = options.out or ledger.address.folder or Path()
    files, in_the_way = write_review(review, folder, replace=options.replace)
    if in_the_way:
        return _refuse(options, [*problems, *in_the_way], DISK)
    return _tell(options, review, problems, files)


def span_of(first: date | None, last: date) -> Span | None:
    """The days to look at: a year where no first day is given; None where it would be after the last.

    >>> span_of(None, date(2026, 11, 28)).first
    datetime.date(2025, 11, 29)
    """
    from quotekit.model.review import Span

    first = last - timedelta(days=364) if first is None else first
    return Span(first=first, last=last) if first <= last else None


def _book(path: Path | None) -> tuple[ShopBook | None, list[Problem]]:
    if path is None:
        return None, []
    from quotekit.cli.inputs import read_inputs

    inputs = read_inputs(path)
    return inputs.book, list(inputs.problems)


def _review(ledger: Ledger, span: Span, book: ShopBook | None) -> Review:
    from quotekit.cli.review_kept import kept_within, newest_book
    from quotekit.pricing.review.review import review_of

    with step("Reading the ledger"):
        kept = kept_within(ledger, span)
    if book is None:
        book = newest_book(ledger, kept)
    with step("Working it out"):
        return review_of(kept, span, book)


def _refuse(options: argparse.Namespace, problems: list[Problem], code: int) -> int:
    print_problems(problems)
    if options.json:
        from quotekit.documents.review_json import lay_out_review_json

        print_json(lay_out_review_json(None, problems))
    return code


def _tell(options: argparse.Namespace, review: Review, problems: list[Problem], files: list[Path]) -> int:
    print_problems(problems)
    names = [str(path) for path in files]
    if options.json:
        from quotekit.documents.review_json import lay_out_review_json

        print_json(lay_out_review_json(review, problems, names))
        return DONE
    from quotekit.documents.review_text import lay_out_review_text

    print("\n".join([*lay_out_review_text(review), "", *names]))
    if review.proposals:
        say(next_step(names, options.book))
    return DONE


def next_step(names: Sequence[str], book: Path | None) -> str:
    """What to do with proposed times; their workbook is the second file, where it could be written.

    >>> next_step(["review.xlsx", "proposed times.xlsx"], Path("book.xlsx"))
    "Type Yes beside the times you believe, then: quotekit take-over 'proposed times.xlsx' book.xlsx"
    >>> next_step(["review.xlsx"], None)
    'To take proposed times over, give the shop book with --book: then they are written as a workbook to tick.'
    """
    if len(names) < 2:
        return (
            "To take proposed times over, give the shop book with --book: then they are written as a workbook to tick."
        )
    command = shlex.join(["quotekit", "take-over", names[1], str(book or "SHOP BOOK.xlsx")])
    return f"Type Yes beside the times you believe, then: {command}"
