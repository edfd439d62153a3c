"""`quotekit compare OLD NEW`: which figures moved, by how much, and because of which cells."""

from __future__ import annotations

import argparse
from datetime import date
from pathlib import Path

from quotekit.cli.report import DONE, PROBLEMS, print_json, print_problems
from quotekit.cli.typed_day import typed_day

EXAMPLE = """\
examples:
  quotekit compare "shop book 2026.xlsx" "shop book 2027.xlsx" --job "job 117.xlsx"
  quotekit compare "job 117.xlsx" "job 117, second visit.xlsx" --book "shop book.xlsx"
  quotekit compare "117-1 costing.xlsx" "117-2 costing.xlsx"

What each file is shows in its content: two shop books, two workbooks of one job, or two quotes, costings or outputs of
quote --json of one job. Each changed cell is put back by itself, to see how much of the difference goes with it.
Quotes and JSON hold no cells: with the books and the job they were made from, the causes are told as well.
Nothing is written.
"""


def add_command(verbs: argparse._SubParsersAction[argparse.ArgumentParser]) -> None:
    """Declare the verb and its options."""
    parser = verbs.add_parser(
        "compare",
        help="what moved between two shop books or two quotes, and because of which cells",
        description="Compare two shop books, two jobs or two quotes of a job. Nothing is written.",
        epilog=EXAMPLE,
    )
    parser.add_argument("old", metavar="OLD", type=Path, help="the file as it was")
    parser.add_argument("new", metavar="NEW", type=Path, help="the file as it is")
    parser.add_argument("--job", metavar="JOB", type=Path, action="append", default=[], help="price this job on both")
    parser.add_argument("--book", metavar="BOOK", type=Path, help="the shop book of both jobs or quotes")
    for name, what in (("book", "shop book"), ("job", "job workbook")):
        for side in ("old", "new"):
            parser.add_argument(
                f"--{side}-{name}", metavar=name.upper(), type=Path, help=f"the {what} of {side.upper()}"
            )
    parser.add_argument("--on", metavar="DATE", type=typed_day, help="labour rates of this day (default: today)")
    parser.add_argument("--json", action="store_true", help="print one JSON object")
    parser.set_defaults(run=run)


def run(options: argparse.Namespace) -> int:
    """Read, compare, print."""
    from quotekit.cli.compare_files import Request, compare
    from quotekit.problems import has_errors

    found = compare(
        Request(
            old=options.old,
            new=options.new,
            jobs=tuple(options.job),
            books=(options.old_book or options.book, options.new_book or options.book),
            jobs_of=(options.old_job, options.new_job),
            day=options.on or date.today(),
        )
    )
    print_problems(found.problems)
    if options.json:
        from quotekit.documents.compare_json import lay_out_compare_json

        print_json(lay_out_compare_json(found))
    elif not has_errors(found.problems):
        from quotekit.documents.compare_text import compare_lines

        print("\n".join(compare_lines(found)))
    return PROBLEMS if has_errors(found.problems) else DONE
