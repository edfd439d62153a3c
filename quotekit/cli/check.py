"""`quotekit check BOOK [JOB]`: every problem, in one pass."""

from __future__ import annotations

import argparse
from datetime import date
from pathlib import Path
from typing import TYPE_CHECKING

from quotekit.cli.report import DONE, PROBLEMS, count_text, print_json, print_problems, step

if TYPE_CHECKING:
    from quotekit.cli.inputs import Inputs
    from quotekit.model.shop_book import ShopBook
    from quotekit.problems import Problem

EXAMPLE = """\
example:
  quotekit check "shop book.xlsx" "job 117.xlsx"

reads both, writes nothing, and prints each problem with its cell, what the cell holds and what to do:
  shop book.xlsx:Parts!D14: Pack cost is text that looks like a number.
      | $12
      Type 12 as a number.
Then, for each tax, the charges it does not touch.
"""


def add_command(verbs: argparse._SubParsersAction[argparse.ArgumentParser]) -> None:
    """Declare the verb and its options."""
    parser = verbs.add_parser(
        "check",
        help="every problem of a shop book, and of a job, in one pass",
        description="Find every problem of a shop book, and of a job when one is given. Nothing is written.",
        epilog=EXAMPLE,
    )
    parser.add_argument("book", metavar="BOOK", type=Path, help="the shop book")
    parser.add_argument("job", metavar="JOB", type=Path, nargs="?", help="a job workbook to check with it")
    parser.add_argument("--json", action="store_true", help="print the problems as one JSON object")
    parser.set_defaults(run=run)


def run(options: argparse.Namespace) -> int:
    """Read, check, print."""
    from quotekit.cli.inputs import read_inputs
    from quotekit.problems import has_errors

    inputs = read_inputs(options.book, options.job)
    problems = all_problems(inputs)
    taxes = taxes_told(inputs)
    if options.json:
        from quotekit.documents.quote_json import problem_json

        print_json({"problems": [problem_json(problem) for problem in problems], "taxes": taxes})
    else:
        print_problems(problems)
        for line in [*taxes, *([] if problems else [count_text(problems)])]:
            print(line)
    return PROBLEMS if has_errors(problems) else DONE


def all_problems(inputs: Inputs) -> list[Problem]:
    """What is wrong in the workbooks, and what only shows when they are worked out, in reading order."""
    from quotekit.cli.inputs import with_engine_problems

    return with_engine_problems(inputs, _engine_problems(inputs))


def _engine_problems(inputs: Inputs) -> list[Problem]:
    """What only shows when a book without errors, or the job with it, is worked out."""
    from quotekit.problems import has_errors

    book = inputs.book
    if book is None or has_errors(problem for problem in inputs.problems if problem.place.file == book.file):
        return []
    from quotekit.pricing import build_quote, check_book

    with step("Checking the shop book"):
        found = [*check_book(book), *_rate_problems(book, inputs)]
    if inputs.job is not None and not has_errors(inputs.problems):
        with step("Pricing the job"):
            found += build_quote(book, inputs.job).problems
    return found


def _rate_problems(book: ShopBook, inputs: Inputs) -> list[Problem]:
    """What the sheet Rate builder says of the rates in force: on the quote date of the job, else today."""
    if not book.rate_builder:
        return []
    from quotekit.pricing.rate import work_out_rate

    return work_out_rate(book, inputs.job.quote_date if inputs.job is not None else date.today())[1]


def taxes_told(inputs: Inputs) -> list[str]:
    """For each tax, the charges it does not touch."""
    if inputs.book is None:
        return []
    from quotekit.workbook.check_report import tax_coverage

    return tax_coverage(inputs.book)
