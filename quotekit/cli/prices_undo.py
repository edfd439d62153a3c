"""`quotekit prices undo BOOK`: the last change of prices taken back, in the owner's own shop book."""

from __future__ import annotations

import argparse
from pathlib import Path
from typing import TYPE_CHECKING

from quotekit.cli.report import DONE, print_json, print_problems, refusal_code, say, step
from quotekit.cli.which_ledger import add_ledger_options

if TYPE_CHECKING:
    from collections.abc import Sequence

    from quotekit.model.book_changes import BookChange
    from quotekit.model.changed_file import ChangedWhat
    from quotekit.model.entries import Entry
    from quotekit.problems import Problem

EXAMPLE = """\
examples:
  quotekit prices undo "shop book.xlsx"
  quotekit prices undo "shop book.xlsx" --change 3

takes back the last change of prices that stands; run again, the one before it. While nobody has saved the shop book
since, it becomes the old file byte for byte; else the changed cells alone are put back, and where one says something
else by now it is named and nothing is put back. To undo an undo, name it with --change.
"""


def add_action(doing: argparse._SubParsersAction[argparse.ArgumentParser]) -> None:
    """Declare `undo` and its options."""
    parser = doing.add_parser(
        "undo",
        help="take back the last change of prices in the shop book",
        description="Take back a change of prices in the shop book itself.",
        epilog=EXAMPLE,
    )
    parser.add_argument("book", metavar="BOOK", type=Path, help="the shop book, which is changed")
    parser.add_argument(
        "--change", metavar="N", type=int, help="the change to take back (default: the last that stands)"
    )
    add_ledger_options(parser)
    parser.set_defaults(run=run)


def run(options: argparse.Namespace) -> int:
    """Find the change, put back, record, say."""
    return undo(options, "prices")


def undo(options: argparse.Namespace, what: ChangedWhat) -> int:
    """Take back a change of prices or of times."""
    from quotekit.cli.changing_book import make_change
    from quotekit.cli.undoing import changes_here, finished_now, prepare_back, which_change
    from quotekit.cli.which_ledger import facts_of, ledger_of_book
    from quotekit.workbook.in_place.replace_file import ChangedMeanwhile

    if not options.book.is_file():
        return _refuse(options, _missing(options.book))
    with ledger_of_book(options, options.book, create=False) as ledger:
        changes, mended = changes_here(options, ledger)
        told = [one.problem for one in mended]
        done = finished_now(mended, what, options.change)
        if done is not None:
            return _tell(options, done.entry, told, whole=_whole(done, changes))
        change, problems = which_change(changes, what, options.change, options.book)
        if change is None or ledger is None:
            return _refuse(options, [*told, *problems])
        with step("Looking for the cells, and working out what hangs on them"):
            prepared, body, problems = prepare_back(options.book, change)
        if prepared is None or body is None:
            return _refuse(options, [*told, *problems])
        try:
            entry, more = make_change(ledger, prepared, body, facts_of(options))
        except ChangedMeanwhile as fault:
            return _refuse(options, [*told, *problems, fault.problem])
    whole = body.file.after == change.body.file.before
    return _tell(options, entry, [*told, *problems, *more], whole=whole)


def _whole(done: BookChange, changes: Sequence[BookChange]) -> bool:
    """True where the workbook is byte for byte what it was before the change that is taken back."""
    return any(one.number == done.body.undoes and one.body.file.before == done.body.file.after for one in changes)


def _missing(path: Path) -> list[Problem]:
    from quotekit.workbook.package import open_package

    return open_package(path)[1]


def _refuse(options: argparse.Namespace, problems: Sequence[Problem]) -> int:
    print_problems(problems)
    say("Nothing was changed.")
    if options.json:
        print_json(_as_json(None, problems))
    return refusal_code(problems)


def _tell(options: argparse.Namespace, entry: Entry, problems: Sequence[Problem], *, whole: bool) -> int:
    from quotekit.documents.changed_book import lay_out_change
    from quotekit.model.entries import Changed

    print_problems(problems)
    body = entry.told(Changed)
    if options.json:
        print_json(_as_json(entry, problems) | {"whole": whole})
        return DONE
    print("\n".join(lay_out_change(body.file)))
    how = "the shop book is byte for byte what it was before" if whole else "the other cells stay as they are"
    say(f"Change {body.undoes} is taken back by change {entry.number}: {how}.")
    return DONE


def _as_json(entry: Entry | None, problems: Sequence[Problem]) -> dict[str, object]:
    from quotekit.documents.changed_book import changed_json
    from quotekit.documents.quote_json import problem_json

    return {**changed_json(entry), "problems": [problem_json(one) for one in problems]}
