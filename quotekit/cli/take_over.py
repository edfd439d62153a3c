"""`quotekit take-over PROPOSALS BOOK`: a new shop book with the ticked times; the old one stays as it is."""

from __future__ import annotations

import argparse
from pathlib import Path
from typing import TYPE_CHECKING

from quotekit.cli.report import DONE, PROBLEMS, print_json, print_problems, refusal_code, say
from quotekit.cli.which_ledger import add_ledger_options

if TYPE_CHECKING:
    from quotekit.cli.carry_out import Outcome
    from quotekit.cli.taking_over import TakingOver
    from quotekit.problems import Problem

EXAMPLE = """\
example:
  quotekit take-over "proposed times 2026-11-28.xlsx" "shop book.xlsx"

writes `shop book 2026-11-28.xlsx` beside the shop book: the same workbook with the ticked values in their cells, and
with the sheet Replaced times, which keeps each old value and its day. The shop book itself is not touched: look at the
new one, then use it. What was taken over is recorded in the ledger.
"""


def add_command(verbs: argparse._SubParsersAction[argparse.ArgumentParser]) -> None:
    """Declare the verb and its options."""
    parser = verbs.add_parser(
        "take-over",
        help="a new shop book with the proposed times that were ticked",
        description="Write a new shop book with the proposed times that the owner ticked.",
        epilog=EXAMPLE,
    )
    parser.add_argument("proposals", metavar="PROPOSALS", type=Path, help="the workbook of proposed times, ticked")
    parser.add_argument("book", metavar="BOOK", type=Path, help="the shop book; it is not changed")
    parser.add_argument("--out", metavar="FILE", type=Path, help="the new shop book (default: beside, with the day)")
    parser.add_argument("--replace", action="store_true", help="write over an earlier new shop book")
    add_ledger_options(parser)
    parser.set_defaults(run=run)


def run(options: argparse.Namespace) -> int:
    """Read, change a copy, record, write, say."""
    from quotekit.cli.carry_out import carry_out
    from quotekit.cli.taking_over import prepare
    from quotekit.cli.which_ledger import opened_ledger

    taking, problems = prepare(options)
    if taking is None:
        return _refuse(options, problems, PROBLEMS)
    with opened_ledger(options, options.book.parent) as ledger:
        outcome = carry_out(ledger, taking.decide)
    if outcome.refused:
        return _refuse(options, list(outcome.problems), refusal_code(outcome.problems))
    return _tell(options, taking, outcome)


def _refuse(options: argparse.Namespace, problems: list[Problem], code: int) -> int:
    print_problems(problems)
    say("Nothing was taken over.")
    if options.json:
        from quotekit.documents.quote_json import problem_json

        print_json({"taken": [], "problems": [problem_json(problem) for problem in problems], "files": []})
    return code


def _tell(options: argparse.Namespace, taking: TakingOver, outcome: Outcome) -> int:
    from quotekit.documents.quote_json import problem_json

    print_problems(outcome.problems)
    files = [str(taking.target)]
    if options.json:
        taken = [
            {"sheet": one.sheet, "code": one.code, "column": one.column, "was": f"{one.now:f}", "is": f"{one.new:f}"}
            for one in taking.ticked
        ]
        found = [problem_json(problem) for problem in outcome.problems]
        print_json({"taken": taken, "entry": outcome.entries[0].seq, "problems": found, "files": files})
        return DONE
    for one in taking.ticked:
        say(f"{one.sheet} {one.code}, {one.column}: {one.now:f} is now {one.new:f}.")
    print("\n".join(files))
    return DONE
