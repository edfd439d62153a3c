"""`quotekit revise BOOK JOB`: a changed job held against what the customer last agreed to."""

from __future__ import annotations

import argparse
from pathlib import Path
from typing import TYPE_CHECKING, Any

from quotekit.cli.report import DONE, nothing_recorded, print_json, print_problems, recorded_already, step
from quotekit.cli.which_ledger import add_ledger_options

if TYPE_CHECKING:
    from quotekit.cli.carry_out import Outcome
    from quotekit.cli.revising import Revising
    from quotekit.model.quote import Quote
    from quotekit.model.story import Story
    from quotekit.problems import Problem


EXAMPLE = """\
example:
  quotekit revise "shop book.xlsx" "job 117.xlsx"

prices the changed job for the option and the extras that were agreed, and holds it against the last total the customer
agreed to: what is new, what it costs, and whether the customer must be asked under the shop's rule. Writes a sheet for
the customer, `117-2 change.xlsx`, and the costing. A yes is recorded with quotekit accept, a no with quotekit decline.
"""


def add_command(verbs: argparse._SubParsersAction[argparse.ArgumentParser]) -> None:
    """Declare the verb and its options."""
    parser = verbs.add_parser(
        "revise",
        help="a changed job against what was agreed: what is new, and whether to ask",
        description="Hold a changed job against what the customer last agreed to.",
        epilog=EXAMPLE,
    )
    parser.add_argument("book", metavar="BOOK", type=Path, help="the shop book")
    parser.add_argument("job", metavar="JOB", type=Path, help="the changed job workbook")
    parser.add_argument(
        "--extra", metavar="CODE", action="append", default=[], help="an extra taken beside those agreed; repeatable"
    )
    parser.add_argument("--out", metavar="FOLDER", type=Path, help="where to write (default: beside the job)")
    add_ledger_options(parser)
    parser.set_defaults(run=run)


def run(options: argparse.Namespace) -> int:
    """Read, price, compare, keep, write, say whether the customer must be asked."""
    from quotekit.cli.carry_out import carry_out
    from quotekit.cli.inputs import read_inputs
    from quotekit.cli.quote import price, too_large
    from quotekit.cli.which_ledger import opened_ledger
    from quotekit.problems import has_errors
    from quotekit.workbook.cannot_write import CannotWrite

    inputs = read_inputs(options.book, options.job)
    quote, problems = price(inputs)
    if quote is None or has_errors(problems):
        return nothing_recorded(None, problems, as_json=options.json)
    revising = _revising(options, quote, problems)
    try:
        with opened_ledger(options, book=options.book) as ledger, step("Keeping and writing"):
            outcome = carry_out(ledger, revising.decide, hangs_on=revising.hangs_on)
            story = ledger.story(quote.job.job_number)
    except CannotWrite as refused:
        return nothing_recorded(None, [*problems, too_large(quote, refused)], as_json=options.json)
    if outcome.refused:
        return nothing_recorded(None, outcome.problems, as_json=options.json)
    _tell(options, outcome, revising, story)
    return DONE


def _revising(options: argparse.Namespace, quote: Quote, problems: list[Problem]) -> Revising:
    from quotekit.cli.chosen import listed
    from quotekit.cli.issuing import Asked
    from quotekit.cli.revising import Revising
    from quotekit.cli.which_ledger import facts_of

    folder = options.out if options.out is not None else options.job.parent
    revising = Revising(Asked(book=options.book, job=options.job, folder=folder), quote, problems, facts_of(options))
    revising.more = listed(options.extra)
    return revising


def _tell(options: argparse.Namespace, outcome: Outcome, revising: Revising, story: Story) -> None:
    from quotekit.documents.revision_json import lay_out_revision_json
    from quotekit.pricing.consent.authorised import answer_to

    print_problems(outcome.problems)
    told = lay_out_revision_json(
        outcome.entries[0],
        outcome.problems,
        [str(path) for path in outcome.files],
        book_alone=revising.book_alone,
        recorded=not outcome.already,
        answer=answer_to(story, outcome.entries[0]),
    )
    if options.json:
        print_json(told)
        return
    if outcome.already:
        entry = outcome.entries[0]
        print(recorded_already(entry.day.isoformat(), entry.seq))
    for line in _lines(told):
        print(line)


def _lines(told: dict[str, Any]) -> list[str]:
    """What is new, what it comes to, and what to do."""
    rule = f"{told['authorised']} {told['basis']}, which may rise by {told['threshold']} without a new yes"
    lines = [f"Job {told['job']}, version {told['version']}, against version {told['of_version']}:"]
    lines += [f"  {words}" for words in told["new"]]
    lines.append(f"Total {told['total']} {told['currency']}: {_change(told['rise'])} than agreed ({rule}).")
    if told["answer"] is not None:
        lines.append(f"The customer said {told['answer']} to it on {told['answered_on']}.")
    elif told["needs_consent"]:
        lines.append("The customer must be asked. Record the answer with:")
        lines.append(f"  quotekit accept --job {told['job']} --by phone --who NAME --phone NUMBER --note TEXT")
        lines.append(f"  quotekit decline {told['job']} --reason REASON")
    else:
        lines.append("No consent is needed; the work order follows.")
    return [*lines, *told["files"]]


def _change(rise: str) -> str:
    """A difference in words.

    >>> _change("12.50"), _change("-3.00")
    ('12.50 more', '3.00 less')
    """
    return f"{rise.removeprefix('-')} {'less' if rise.startswith('-') else 'more'}"
