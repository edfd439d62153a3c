"""`quotekit issue BOOK JOB`: the quote is written, and a numbered version with all it was made from is kept."""

from __future__ import annotations

import argparse
from pathlib import Path
from typing import TYPE_CHECKING

from quotekit.cli.report import DISK, DONE, PROBLEMS, print_json, print_problems, refusal_code, say, step
from quotekit.cli.which_ledger import add_ledger_options

if TYPE_CHECKING:
    from quotekit.cli.carry_out import Outcome
    from quotekit.cli.issuing import Issuing
    from quotekit.model.quote import Quote
    from quotekit.problems import Problem


EXAMPLE = """\
example:
  quotekit issue "shop book.xlsx" "job 117.xlsx"

writes the quote and the costing as `quotekit quote` does, and keeps in the ledger beside the shop book what they were
made from and what they say. The version is the ledger's: 1, 2, 3 and on for each job; a new one replaces the one
before. A later change in the shop book alters nothing that was issued.
"""


def add_command(verbs: argparse._SubParsersAction[argparse.ArgumentParser]) -> None:
    """Declare the verb and its options."""
    parser = verbs.add_parser(
        "issue",
        help="write a quote as a numbered version and keep it in the ledger",
        description="Write the quote of a job as a numbered version, and keep what it was made from.",
        epilog=EXAMPLE,
    )
    parser.add_argument("book", metavar="BOOK", type=Path, help="the shop book")
    parser.add_argument("job", metavar="JOB", type=Path, help="the job workbook")
    parser.add_argument("--out", metavar="FOLDER", type=Path, help="where to write (default: beside the job)")
    parser.add_argument("--pdf", action="store_true", help="also write the customer's quote as a PDF (LibreOffice)")
    parser.add_argument("--page", action="store_true", help="also write the customer's quote as one page of HTML")
    parser.add_argument(
        "--replace", action="store_true", help="write over a quote of this version that was priced and never issued"
    )
    add_ledger_options(parser)
    parser.set_defaults(run=run)


def run(options: argparse.Namespace) -> int:
    """Read, price, keep, write, say which version it is."""
    from quotekit.cli.carry_out import carry_out
    from quotekit.cli.inputs import read_inputs
    from quotekit.cli.issuing import prepare
    from quotekit.cli.quote import price, too_large
    from quotekit.cli.which_ledger import opened_ledger
    from quotekit.problems import has_errors
    from quotekit.workbook.cannot_write import CannotWrite, NoPdf

    inputs = read_inputs(options.book, options.job)
    quote, problems = price(inputs)
    if quote is None or has_errors(problems):
        return _refuse(options, quote, problems)
    issuing = prepare(options, quote, problems)
    try:
        with opened_ledger(options, book=options.book, create=True) as ledger, step("Keeping and writing"):
            outcome = carry_out(ledger, issuing.decide, hangs_on=issuing.hangs_on)
    except CannotWrite as refused:
        return _refuse(options, quote, [*problems, too_large(quote, refused)])
    except NoPdf as refused:
        return _refuse(options, quote, [*problems, refused.problem], DISK)
    if outcome.refused:
        return _refuse(options, quote, list(outcome.problems), refusal_code(outcome.problems))
    return _tell(options, issuing, outcome)


def _refuse(options: argparse.Namespace, quote: Quote | None, problems: list[Problem], code: int = PROBLEMS) -> int:
    from quotekit.documents.quote_json import lay_out_quote_json, lay_out_refusal_json

    print_problems(problems)
    say("Nothing was issued.")
    if options.json:
        print_json(lay_out_refusal_json(problems) if quote is None else lay_out_quote_json(quote, problems))
    return code


def _tell(options: argparse.Namespace, issuing: Issuing, outcome: Outcome) -> int:
    from quotekit.documents.quote_json import lay_out_quote_json
    from quotekit.model.entries import Issued

    print_problems(outcome.problems)
    entry, files = outcome.entries[0], [str(path) for path in outcome.files]
    issued = entry.told(Issued)
    if options.json:
        laid_out = lay_out_quote_json(issuing.quote, outcome.problems, files)
        laid_out["number"], laid_out["replaces"] = entry.number, issued.replaces
        laid_out["fingerprint"], laid_out["entry"] = issued.fingerprint, entry.seq
        print_json(laid_out)
        return DONE
    say(f"Job {entry.job}, version {entry.version}, is issued; it holds until {issued.valid_until.isoformat()}.")
    if issued.replaces is not None:
        say(f"It replaces version {issued.replaces}.")
    print("\n".join(files))
    return DONE
