"""`quotekit rate BOOK`: what an hour must sell for, from the sheet Rate builder."""

from __future__ import annotations

import argparse
import re
from datetime import date
from pathlib import Path
from typing import TYPE_CHECKING

from quotekit.cli.rate_file import FILE
from quotekit.cli.report import DISK, DONE, PROBLEMS, print_json, print_problems, say

if TYPE_CHECKING:
    from decimal import Decimal

    from quotekit.model.rate import ShopRate
    from quotekit.problems import Problem

EXAMPLE = """\
examples:
  quotekit rate "shop book.xlsx"
  quotekit rate "shop book.xlsx" --sold-hours "1400; 1600" --out rates --replace

prints what the year costs, the hours that are sold, the rate that breaks even, the rate for the wanted profit, both
against other numbers of sold hours, and a warning for each labour rate in force that is below break-even.
It writes the same with a chart as `shop rate.xlsx`, beside the book or to the folder given; an earlier one is kept
unless --replace is given. No quote hangs on any of it.
"""
MOST_HOURS = 40
"""Numbers of sold hours in one table."""

_SHEETS = ("Shop", "Labour rates", "Rate builder")
_HOURS = re.compile(r"[0-9]{1,9}(?:\.[0-9]{1,4})?")
_THOUSANDS = re.compile(r"[1-9][0-9]{0,2}(?:,[0-9]{3})+")


def add_command(verbs: argparse._SubParsersAction[argparse.ArgumentParser]) -> None:
    """Declare the verb and its options."""
    parser = verbs.add_parser(
        "rate",
        help="what an hour must sell for",
        description="Work out the shop's hourly rate from the sheet Rate builder of its shop book.",
        epilog=EXAMPLE,
    )
    parser.add_argument("book", metavar="BOOK", type=Path, help="the shop book")
    parser.add_argument("--json", action="store_true", help="print every figure as one JSON object")
    parser.add_argument("--out", metavar="FOLDER", type=Path, help=f"where to write {FILE} (default: beside the book)")
    parser.add_argument("--replace", action="store_true", help=f"write over an earlier {FILE}")
    parser.add_argument(
        "--sold-hours", metavar="LIST", type=hours_listed, default=(), help='hours for the table: "1400; 1600"'
    )
    parser.add_argument("--on", metavar="DATE", type=_day, help="labour rates in force on this day (default: today)")
    parser.set_defaults(run=run)


def run(options: argparse.Namespace) -> int:
    """Read, work out, write, say."""
    from quotekit.cli.inputs import read_inputs
    from quotekit.cli.rate_file import write_rate
    from quotekit.pricing.rate import work_out_rate
    from quotekit.problems import has_errors

    inputs = read_inputs(options.book)
    problems = [problem for problem in inputs.problems if _concerns_rates(problem)]
    if inputs.book is None or has_errors(problems):
        return _refuse(options, problems, PROBLEMS)
    if len(problems) < len(inputs.problems):
        say("Other sheets have problems, on which no rate hangs: quotekit check lists them.")
    rate, found = work_out_rate(inputs.book, options.on or date.today(), options.sold_hours)
    problems += found
    if rate is None:
        return _refuse(options, problems, PROBLEMS)
    files, in_the_way = write_rate(rate, problems, options.book, options.out, replace=options.replace)
    if has_errors(in_the_way):
        return _refuse(options, [*problems, *in_the_way], DISK)
    _tell(options, rate, [*problems, *in_the_way], files)
    return DONE


def hours_listed(text: str) -> tuple[Decimal, ...]:
    """Numbers of sold hours, separated by `;` or `,`.

    >>> [str(hours) for hours in hours_listed("1400; 1600.5,1800")]
    ['1400', '1600.5', '1800']
    """
    from decimal import Decimal

    if any(_THOUSANDS.fullmatch(entry.strip()) for entry in text.split(";")):
        raise argparse.ArgumentTypeError(f"{text} could be several numbers or one: put ; between, and no , in a number")
    entries = [entry.strip() for entry in re.split("[;,]", text) if entry.strip()]
    wrong = [entry for entry in entries if not _HOURS.fullmatch(entry) or not Decimal(entry)]
    if wrong or not entries:
        raise argparse.ArgumentTypeError(f"{''.join(wrong[:1]) or 'nothing'} is no number of hours above zero")
    if len(entries) > MOST_HOURS:
        raise argparse.ArgumentTypeError(f"a table holds {MOST_HOURS} numbers of hours at the most")
    return tuple(Decimal(entry) for entry in entries)


def _day(text: str) -> date:
    try:
        return date.fromisoformat(text)
    except ValueError:
        raise argparse.ArgumentTypeError(f"{text} is no date: type it like 2026-11-25") from None


def _concerns_rates(problem: Problem) -> bool:
    """True for what is wrong with the file, with the sheets that rates come from, or with their names."""
    from quotekit.workbook.columns import SHOP_BOOK
    from quotekit.workbook.names import name_key

    known = {name_key(sheet.name) for sheet in SHOP_BOOK}
    sheet = name_key(problem.place.sheet)
    if sheet in known:
        return sheet in {name_key(name) for name in _SHEETS}
    if problem.code in ("missing-sheet", "near-sheet"):
        return any(name in f"{problem.message} {problem.remedy}" for name in _SHEETS)
    return not sheet


def _refuse(options: argparse.Namespace, problems: list[Problem], code: int) -> int:
    print_problems(problems)
    if options.json:
        from quotekit.documents.rate_json import lay_out_rate_json

        print_json(lay_out_rate_json(None, problems))
    return code


def _tell(options: argparse.Namespace, rate: ShopRate, problems: list[Problem], files: list[Path]) -> None:
    print_problems(problems)
    names = [str(file) for file in files]
    if options.json:
        from quotekit.documents.rate_json import lay_out_rate_json

        print_json(lay_out_rate_json(rate, problems, names))
        return
    from quotekit.documents.rate_text import lay_out_rate_text

    print("\n".join([*lay_out_rate_text(rate), *(["", *names] if names else [])]))
