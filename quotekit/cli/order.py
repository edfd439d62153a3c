"""`quotekit order [JOB ...]`: the parts of accepted jobs, bought where all together lands for least."""

from __future__ import annotations

import argparse
from datetime import date
from pathlib import Path
from typing import TYPE_CHECKING

from quotekit.cli.report import DONE, print_json, print_problems, refusal_code, say, step, with_entry
from quotekit.cli.typed_day import typed_day
from quotekit.cli.which_ledger import add_ledger_options
from quotekit.cli.which_template import add_template_option

if TYPE_CHECKING:
    from collections.abc import Iterator

    from quotekit.cli.carry_out import Outcome
    from quotekit.cli.ordering import Ordering


EXAMPLE = """\
examples:
  quotekit order                             parts of every accepted job that are not ordered yet
  quotekit order 117 118 --book "shop book.xlsx"
  quotekit order 117 --needed-by 117=2026-12-04
  quotekit order --only-show                 what would be ordered; nothing is recorded or written

Prices, offers and terms are those of the shop book of the last issued of these jobs, or of --book. Parts must be there
by the day that was promised to the customer, or by the day named.
"""


def add_command(verbs: argparse._SubParsersAction[argparse.ArgumentParser]) -> None:
    """Declare the verb and its options."""
    parser = verbs.add_parser(
        "order",
        help="order the parts of accepted jobs where they land for least",
        description="Order the parts of accepted jobs: shelf first, then the suppliers that together land for least.",
        epilog=EXAMPLE,
    )
    parser.add_argument("jobs", metavar="JOB", nargs="*", help="job numbers (default: all that need parts)")
    parser.add_argument("--book", metavar="BOOK", type=Path, help="the shop book of today, for prices and suppliers")
    parser.add_argument(
        "--needed-by",
        metavar="[JOB=]DATE",
        type=day_by_job,
        action="append",
        default=[],
        help="when the parts of a job, or of all, must be there; `any` for any time (default: as promised)",
    )
    parser.add_argument("--only-show", action="store_true", help="show it; record and write nothing")
    parser.add_argument("--out", metavar="FOLDER", type=Path, help="where to write (default: beside the ledger)")
    add_template_option(parser)
    add_ledger_options(parser)
    parser.set_defaults(run=run)


def day_by_job(words: str) -> tuple[str, date]:
    """A day, and for which job it is: `2026-12-04`, `117=2026-12-04`, `117=any`; the job is empty for all.

    >>> day_by_job("117=2026-12-04"), day_by_job("any")
    (('117', datetime.date(2026, 12, 4)), ('', datetime.date(9999, 12, 31)))
    """
    job, _, day = words.rpartition("=")
    return job.strip(), date.max if day.strip().casefold() == "any" else typed_day(day.strip())


def run(options: argparse.Namespace) -> int:
    """Choose, record, write, say what is bought where."""
    from quotekit.cli.carry_out import Outcome, carry_out
    from quotekit.cli.inputs import read_inputs
    from quotekit.cli.ordering import Ordering
    from quotekit.cli.which_ledger import facts_of, opened_ledger
    from quotekit.cli.which_template import template_folders
    from quotekit.model.story import job_key
    from quotekit.problems import has_errors

    inputs = read_inputs(options.book) if options.book is not None else None
    with opened_ledger(options, beside=options.book.parent if options.book else None) as ledger:
        beside = [path.parent for path in (options.book, ledger.address.path) if path is not None]
        ordering = Ordering(
            options.jobs,
            facts_of(options),
            book=inputs.book if inputs is not None else None,
            days={job_key(job): day for job, day in options.needed_by},
            folder=options.out,
            templates=template_folders(options, beside),
            only_show=options.only_show,
        )
        if inputs is not None and has_errors(inputs.problems):
            outcome = Outcome(problems=tuple(inputs.problems))
        else:
            with step("Choosing suppliers"):
                outcome = carry_out(ledger, ordering.decide, hangs_on=ordering.hangs_on)
    return _tell(options, ordering, outcome)


def _tell(options: argparse.Namespace, ordering: Ordering, outcome: Outcome) -> int:
    from quotekit.documents.parts_order_json import lay_out_order_json

    print_problems(outcome.problems)
    ordered = None if outcome.refused else ordering.ordered
    files = [str(path) for path in outcome.files]
    if options.json:
        told = lay_out_order_json(ordering.number, ordering.facts.day, ordered, outcome.problems, files)
        print_json(with_entry(told, outcome, recorded=bool(outcome.entries) and not ordering.finished_before))
    elif ordered is not None:
        print("\n".join([*_lines(ordering), *files]))
    if outcome.refused:
        say("Nothing was ordered.")
        return refusal_code(outcome.problems)
    if ordered is None:
        all_there = "No parts are needed: all are ordered, on the shelf, or the customer's own."
        say(all_there if ordering.any_agreed else "No parts are needed: no job that is open has a customer's yes.")
    elif ordering.only_show:
        say("Nothing was recorded or written.")
    return DONE


def _lines(ordering: Ordering) -> Iterator[str]:
    """What a person reads: packs by supplier, the shelf, and what it lands for."""
    from quotekit.documents.parts_order_text import order_text

    if ordering.finished_before:
        yield f"Order {ordering.number} was recorded before; its sheets are written now. Run it again for more."
    if ordering.ordered is not None:
        yield from order_text(ordering.number, ordering.ordered)
