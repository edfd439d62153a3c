"""`quotekit prices apply BOOK PROPOSALS`: the ticked prices into the owner's own shop book, and nothing else of it."""

from __future__ import annotations

import argparse
from pathlib import Path
from typing import TYPE_CHECKING

from quotekit.cli.report import DONE, PROBLEMS, print_json, print_problems, refusal_code, say, step
from quotekit.cli.which_ledger import add_ledger_options

if TYPE_CHECKING:
    from collections.abc import Sequence

    from quotekit.cli.applying_prices import Applying
    from quotekit.model.entries import Entry
    from quotekit.problems import Problem

EXAMPLE = """\
example:
  quotekit prices apply "shop book.xlsx" "shop book price proposals 2026-12-01.xlsx"

changes the ticked cells of the shop book itself, all of them or none; every other byte of it stays. A dated copy of the
old file is kept beside it, and the ledger keeps old and new. `quotekit prices undo` takes it back. Close the shop book
in the spreadsheet first.
"""


def add_action(doing: argparse._SubParsersAction[argparse.ArgumentParser]) -> None:
    """Declare `apply` and its options."""
    parser = doing.add_parser(
        "apply",
        help="change the ticked prices in the shop book itself, and keep a dated copy of it",
        description="Change the prices that were ticked in a workbook of proposals, in the shop book itself.",
        epilog=EXAMPLE,
    )
    parser.add_argument("book", metavar="BOOK", type=Path, help="the shop book, which is changed")
    parser.add_argument("proposals", metavar="PROPOSALS", type=Path, help="the workbook of proposals, ticked")
    add_ledger_options(parser)
    parser.set_defaults(run=run)


def run(options: argparse.Namespace) -> int:
    """Read, find the cells, change, record, say."""
    from quotekit.cli.applying_prices import prepare
    from quotekit.cli.changing_book import change_recorded, mended_before
    from quotekit.problems import has_errors
    from quotekit.workbook.read_price_proposals import read_price_proposals

    with step("Reading the proposals"):
        proposals, problems = read_price_proposals(options.proposals)
    if [one.code for one in problems if one.severity == "error"] == ["nothing-ticked"]:
        return _nothing(options, [one for one in problems if one.severity != "error"], "No row is ticked")
    if proposals is None or has_errors(problems):
        return _refuse(options, problems)
    problems += mended_before(options)
    with step("Looking for the cells, and working out what hangs on them"):
        applying, found = prepare(options.book, proposals, options.proposals)
    problems += found
    if applying is None:
        return _refuse(options, problems)
    if applying.prepared is None:
        said = "Every ticked cell says its new value already" if applying.placed.already else "No value has a cell"
        return _nothing(options, problems, said, applying)
    entry, told = change_recorded(options, applying.prepared, applying.body)
    problems += told
    return _refuse(options, problems) if entry is None else _tell(options, applying, entry, problems)


def _refuse(options: argparse.Namespace, problems: Sequence[Problem]) -> int:
    print_problems(problems)
    say("Nothing was changed.")
    if options.json:
        print_json(_as_json(None, None, problems))
    return refusal_code(problems) if problems else PROBLEMS


def _nothing(
    options: argparse.Namespace, problems: Sequence[Problem], said: str, applying: Applying | None = None
) -> int:
    """Nothing is to be done, and that is no fault."""
    print_problems(problems)
    say(f"{said}: nothing was changed.")
    if options.json:
        print_json(_as_json(applying, None, problems))
    return DONE


def _tell(options: argparse.Namespace, applying: Applying, entry: Entry, problems: Sequence[Problem]) -> int:
    from quotekit.documents.changed_book import lay_out_change
    from quotekit.model.entries import Changed

    print_problems(problems)
    if options.json:
        print_json(_as_json(applying, entry, problems))
        return DONE
    print("\n".join(lay_out_change(entry.told(Changed).file)))
    already = len(applying.placed.already)
    if already:
        say(f"{already} of the ticked cells said their new value already.")
    say(f"This is change {entry.number}; `quotekit prices undo` takes it back.")
    return DONE


def _as_json(applying: Applying | None, entry: Entry | None, problems: Sequence[Problem]) -> dict[str, object]:
    from quotekit.documents.changed_book import changed_json
    from quotekit.documents.quote_json import problem_json

    already = () if applying is None else applying.placed.already
    return {
        **changed_json(entry),
        "already": [f"{one.sheet}!{one.cell}" for one in already],
        "problems": [problem_json(one) for one in problems],
    }
