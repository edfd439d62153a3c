"""`quotekit prices propose BOOK`: what suppliers' lists would change in the shop book, as a workbook to tick."""

from __future__ import annotations

import argparse
import shlex
from dataclasses import replace as changed
from pathlib import Path
from typing import TYPE_CHECKING

from quotekit.cli.report import DISK, DONE, PROBLEMS, print_json, print_problems, say, step
from quotekit.cli.typed_day import typed_day
from quotekit.cli.typed_number import typed_quantity
from quotekit.cli.which_ledger import add_ledger_options

if TYPE_CHECKING:
    from quotekit.model.proposed_prices import ProposedPrices
    from quotekit.problems import Problem

LIMIT = "20"

EXAMPLE = """\
examples:
  quotekit prices propose "shop book.xlsx"
  quotekit prices propose "shop book.xlsx" --list "acme 2026.csv" --supplier ACME --jobs jobs --limit 15

writes `shop book price proposals DATE.xlsx` beside the shop book: a row for each part whose cost, pack, list price,
lead time or number differs, what that does to selling prices, to margins, to a year and to open quotes, and a cell to
tick. Nothing changes by itself; the shop book is only read. Without --list it takes, for each mapping
`SUPPLIER price list.toml` beside the shop book, the newest list there whose name begins with SUPPLIER.
"""


def add_action(doing: argparse._SubParsersAction[argparse.ArgumentParser]) -> None:
    """Declare `propose` and its options."""
    parser = doing.add_parser(
        "propose",
        help="what lists would change in the shop book, as a workbook to tick",
        description="Hold suppliers' price lists against the shop book; what differs goes into a workbook to tick.",
        epilog=EXAMPLE,
    )
    more = "may be given several times"
    parser.add_argument("book", metavar="BOOK", type=Path, help="the shop book; it is not changed")
    parser.add_argument("--list", metavar="LIST", type=Path, action="append", default=[], help=f"a price list; {more}")
    parser.add_argument(
        "--supplier", metavar="NAME", action="append", default=[], help=f"whose list it is, in the same order; {more}"
    )
    parser.add_argument(
        "--mapping", metavar="FILE", type=Path, action="append", default=[], help="its mapping, where kept elsewhere"
    )
    parser.add_argument("--jobs", metavar="FOLDER", type=Path, help="jobs that were not issued yet, priced too")
    parser.add_argument("--on", metavar="DATE", type=typed_day, help="prices in force on this day (default: today)")
    parser.add_argument(
        "--limit", metavar="PERCENT", type=typed_quantity, default=LIMIT,
        help=f"changes beyond it need a second tick (default: {LIMIT})",
    )  # fmt: skip
    parser.add_argument("--out", metavar="FILE", type=Path, help="the workbook (default: beside the shop book)")
    parser.add_argument("--replace", action="store_true", help="write over earlier proposals; their ticks are lost")
    add_ledger_options(parser, records=False)
    parser.set_defaults(run=run)


def run(options: argparse.Namespace) -> int:
    """Read, propose, write, say."""
    from quotekit.cli.proposing_prices import proposals_of

    found, problems = proposals_of(options)
    if found is None:
        return _tell(options, None, problems, None) or PROBLEMS
    target = options.out or options.book.with_name(f"{options.book.stem} price proposals {found.day.isoformat()}.xlsx")
    in_the_way = _write(options, found, target)
    problems += in_the_way
    _tell(options, found, problems, None if in_the_way else target)
    return DISK if in_the_way else DONE


def _write(options: argparse.Namespace, found: ProposedPrices, target: Path) -> list[Problem]:
    """What stands in the way of writing the workbook."""
    from quotekit.cli.output_files import check_targets, these_bytes, write_together
    from quotekit.documents.price_proposals import lay_out_price_proposals
    from quotekit.problems import Place, error
    from quotekit.workbook.cannot_write import CannotWrite
    from quotekit.workbook.write_sheet import workbook_bytes

    problems = check_targets((target,), (options.book, *options.list), replace=options.replace)
    if problems:
        remedy = "Move it away, name another file with --out, or add --replace: its ticks are lost then."
        return [changed(one, remedy=remedy) if one.code == "output-exists" else one for one in problems]
    try:
        with step("Writing the workbook"):
            data = workbook_bytes(lay_out_price_proposals(found))
            write_together({target: these_bytes(data)})
    except CannotWrite as refused:
        remedy = "Look for an amount or a text that is far too large in the list, and leave its rows out."
        return [error(Place(target.name), "figure-too-large", f"A workbook can't hold this: {refused}.", remedy)]
    return []


def _tell(
    options: argparse.Namespace, found: ProposedPrices | None, problems: list[Problem], target: Path | None
) -> int:
    """Problems, then the result as JSON or as lines; 0, so that the caller's code counts."""
    print_problems(problems)
    files = [] if target is None else [str(target)]
    if options.json:
        from quotekit.documents.price_proposals_json import lay_out_proposals_json

        print_json(lay_out_proposals_json(found, problems, files))
    elif found is not None:
        from quotekit.documents.price_proposals_text import lay_out_proposals_text

        print("\n".join([*lay_out_proposals_text(found), *files]))
        if target is not None and found.proposals:
            say(next_step(target, options.book))
    return 0


def next_step(target: Path, book: Path) -> str:
    """What to do with the workbook.

    >>> next_step(Path("proposals.xlsx"), Path("book.xlsx"))
    'Type Yes beside what you want, save it, then: quotekit prices apply book.xlsx proposals.xlsx'
    """
    command = shlex.join(["quotekit", "prices", "apply", str(book), str(target)])
    return f"Type Yes beside what you want, save it, then: {command}"
