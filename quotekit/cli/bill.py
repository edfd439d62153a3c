"""`quotekit bill JOB`: what was agreed and done, less what was paid, within what the customer agreed to."""

from __future__ import annotations

import argparse
import re
from pathlib import Path
from typing import TYPE_CHECKING, Any

from quotekit.cli.report import DONE, print_json, print_problems, refusal_code, say, step
from quotekit.cli.which_ledger import add_ledger_options
from quotekit.cli.which_template import add_template_option

if TYPE_CHECKING:
    from collections.abc import Iterator, Sequence
    from decimal import Decimal

    from quotekit.cli.billing import Billing
    from quotekit.cli.carry_out import Outcome
    from quotekit.model.story import Story
    from quotekit.problems import Problem


EXAMPLE = """\
examples:
  quotekit bill 117                            what was agreed and done, less what was paid
  quotekit bill 117 --core-back STARTER        an old part was handed back: its core charge and the tax on it
  quotekit bill 117 --taxes "shop book.xlsx"   taxes by the rows of this shop book: the law changed since the quote

A job that nobody closed is billed as agreed. After a no it bills what a no costs. Nothing above what is authorised is
billed. Run again with nothing new, it writes the same bill again, with its number.
"""


def add_command(verbs: argparse._SubParsersAction[argparse.ArgumentParser]) -> None:
    """Declare the verb and its options."""
    parser = verbs.add_parser(
        "bill",
        help="bill what was agreed and done",
        description="Bill a job: what was agreed and done, within consent, less what was paid.",
        epilog=EXAMPLE,
    )
    parser.add_argument("job", metavar="JOB", help="a job number")
    parser.add_argument(
        "--core-back",
        metavar="PART",
        action="append",
        default=[],
        type=part_and_count,
        help="an old part handed back since the work was closed: CODE, or `CODE x 2`",
    )
    parser.add_argument("--taxes", metavar="BOOK", type=Path, help="the shop book whose sheet Taxes counts today")
    parser.add_argument("--out", metavar="FOLDER", type=Path, help="where to write (default: beside the ledger)")
    parser.add_argument("--replace", action="store_true", help="write over a file of the bill's name")
    add_template_option(parser)
    add_ledger_options(parser)
    parser.set_defaults(run=run)


def part_and_count(text: str) -> tuple[str, int]:
    """A part code with how many of it.

    >>> part_and_count("STARTER"), part_and_count("CELL x 2")
    (('STARTER', 1), ('CELL', 2))
    """
    code, times, count = text.rpartition(" x ")
    if not times:
        return text.strip(), 1
    if not re.fullmatch("[1-9][0-9]{0,5}", count.strip()):
        raise argparse.ArgumentTypeError(f"{count} is no number of parts")
    return code.strip(), int(count)


def run(options: argparse.Namespace) -> int:
    """Look up, work out, record, write, say what is due."""
    from quotekit.cli.billing import Billing
    from quotekit.cli.carry_out import carry_out
    from quotekit.cli.which_ledger import facts_of, opened_ledger
    from quotekit.cli.which_template import template_folders

    with opened_ledger(options) as ledger, step("Making the bill"):
        billing = Billing(
            options.job,
            facts_of(options),
            folder=options.out,
            templates=template_folders(options, [ledger.address.folder]),
            replace_file=options.replace,
        )
        billing.told_back(options.core_back)
        problems = _with_taxes(options, billing)
        if problems:
            return _refuse(options, problems)
        outcome = carry_out(ledger, billing.decide, hangs_on=billing.hangs_on)
        since = paid_since(ledger.story(options.job)) if not outcome.refused else None
    if since is None:
        return _refuse(options, outcome.problems)
    return _tell(options, billing, outcome, since)


def _with_taxes(options: argparse.Namespace, billing: Billing) -> Sequence[Problem]:
    """Take the tax rows of another shop book, unless it has errors."""
    if options.taxes is None:
        return ()
    from quotekit.cli.inputs import read_inputs
    from quotekit.problems import has_errors

    inputs = read_inputs(options.taxes)
    if inputs.book is None or has_errors(inputs.problems):
        return inputs.problems
    billing.taxes = inputs.book.taxes
    return ()


def _refuse(options: argparse.Namespace, problems: Sequence[Problem]) -> int:
    from quotekit.documents.bill_json import lay_out_refused_bill_json

    print_problems(problems)
    say("Nothing was billed.")
    if options.json:
        print_json(lay_out_refused_bill_json(options.job, problems))
    return refusal_code(problems)


def _tell(options: argparse.Namespace, billing: Billing, outcome: Outcome, since: Decimal) -> int:
    from quotekit.documents.bill_json import lay_out_bill_json

    print_problems(outcome.problems)
    entry, files, already = outcome.entries[0], [str(path) for path in outcome.files], billing.before is not None
    told = lay_out_bill_json(entry, outcome.problems, files, already=already, paid_since=since)
    if options.json:
        print_json(told)
    else:
        print("\n".join([*_lines(told), *files]))
    return DONE


def paid_since(story: Story) -> Decimal:
    """Money taken after the last bill of a job."""
    from decimal import Decimal

    last = story.billed[-1].entry.seq
    return sum((told.body.amount for told in story.paid if told.entry.seq > last), Decimal(0))


def _lines(told: dict[str, Any]) -> Iterator[str]:
    """What a person reads: the bill, what it comes to, what is due or to be given back, and what is so now."""
    if not told["recorded"]:
        yield f"It is billed already, on {told['day']}; there is nothing new to bill."
    yield f"Bill {told['bill']}, job {told['job']}: {told['total']} {told['currency']}."
    if told["billed_before"].strip("0."):
        yield f"Billed before: {told['billed_before']}."
    yield f"Paid so far {told['paid']}; {_left(told['due'], told['refund'])}."
    if told["paid_now"] != told["paid"]:
        yield f"Paid since: {told['paid_now']} in all now; {_left(told['due_now'], told['refund_now'])}."


def _left(due: str, refund: str) -> str:
    return f"to be given back {refund}" if refund.strip("0.") else f"due {due}"
