"""`quotekit take-over PROPOSALS BOOK`: a new shop book with the ticked times; the old one stays as it is.

With `--in-place` the shop book itself is changed, as `prices apply` does it, and `--undo` takes that back.
"""

from __future__ import annotations

import argparse
from pathlib import Path
from typing import TYPE_CHECKING

from quotekit.cli.report import DONE, PROBLEMS, USAGE, print_json, print_problems, refusal_code, say
from quotekit.cli.which_ledger import add_ledger_options

if TYPE_CHECKING:
    from quotekit.cli.carry_out import Outcome
    from quotekit.cli.taking_over import TakingOver
    from quotekit.problems import Problem

EXAMPLE = """\
examples:
  quotekit take-over "proposed times 2026-11-28.xlsx" "shop book.xlsx"
  quotekit take-over "proposed times 2026-11-28.xlsx" "shop book.xlsx" --in-place
  quotekit take-over --undo "shop book.xlsx"

writes `shop book 2026-11-28.xlsx` beside the shop book: the same workbook with the ticked values in their cells, and
with the sheet Replaced times, which keeps each old value and its day. The shop book itself is not touched: look at the
new one, then use it. What was taken over is recorded in the ledger.

With --in-place the ticked cells of the shop book itself are changed and nothing else of it. A dated copy of the old
file is kept beside it, and the ledger keeps old and new. --undo takes the last such change back.
"""


def add_command(verbs: argparse._SubParsersAction[argparse.ArgumentParser]) -> None:
    """Declare the verb and its options."""
    parser = verbs.add_parser(
        "take-over",
        help="a new shop book with the proposed times that were ticked",
        description="Write a new shop book with the proposed times that the owner ticked.",
        epilog=EXAMPLE,
    )
    help_ = "the workbook of proposed times, ticked"
    parser.add_argument("proposals", metavar="PROPOSALS", nargs="?", type=Path, help=help_)
    parser.add_argument("book", metavar="BOOK", type=Path, help="the shop book; without --in-place it is not changed")
    where = parser.add_mutually_exclusive_group()
    where.add_argument("--out", metavar="FILE", type=Path, help="the new shop book (default: beside, with the day)")
    where.add_argument("--in-place", action="store_true", help="change the shop book itself, and keep a dated copy")
    where.add_argument("--undo", action="store_true", help="take back the last change of times in the shop book itself")
    parser.add_argument("--replace", action="store_true", help="write over an earlier new shop book")
    parser.add_argument("--change", metavar="N", type=int, help="with --undo: the change to take back")
    add_ledger_options(parser)
    parser.set_defaults(run=run)


def run(options: argparse.Namespace) -> int:
    """Change a copy or the shop book itself, or take that back."""
    wrong = _wrong_use(options)
    if wrong:
        say(f"quotekit take-over: {wrong}\n    quotekit take-over --help explains with examples.")
        return USAGE
    if options.undo:
        from quotekit.cli.prices_undo import undo

        return undo(options, "times")
    if options.in_place:
        from quotekit.cli.take_over_here import run_here

        return run_here(options)
    return _run_beside(options)


def _wrong_use(options: argparse.Namespace) -> str:
    """What can't be asked for together; empty where all is well."""
    if options.undo and (options.proposals is not None or options.replace):
        return "--undo wants the shop book alone"
    if not options.undo and options.proposals is None:
        return "the workbook of proposed times is missing: PROPOSALS, then BOOK"
    if options.in_place and options.replace:
        return "--replace is for a new shop book, not for --in-place"
    return "--change goes with --undo" if options.change is not None and not options.undo else ""


def _run_beside(options: argparse.Namespace) -> int:
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
