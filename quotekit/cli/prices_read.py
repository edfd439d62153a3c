"""`quotekit prices read LIST`: what a supplier's list says on a day, every row accounted for."""

from __future__ import annotations

import argparse
from datetime import date
from typing import TYPE_CHECKING

from quotekit.cli.prices_mapping import add_list_options, currency_code, mapping_in_use, shop_currency
from quotekit.cli.report import DONE, PROBLEMS, print_json, print_problems, step
from quotekit.cli.typed_day import typed_day

if TYPE_CHECKING:
    from collections.abc import Iterable

    from quotekit.model.price_list import FoundPrice, ListReport
    from quotekit.problems import Problem

EXAMPLE = """\
examples:
  quotekit prices read "acme 2026.csv" --supplier ACME --book "shop book.xlsx"
  quotekit prices read "acme 2026.zip" --supplier ACME --currency USD --on 2026-12-01 --find "AB-100; AB-200"

The list is read as the supplier's mapping says; `quotekit prices map` makes one. Nothing is written and nothing is
changed: it prints how many rows count on the day, what became of all the others, and what is to be known of them.
"""


def add_action(doing: argparse._SubParsersAction[argparse.ArgumentParser]) -> None:
    """Declare `read` and its options."""
    parser = doing.add_parser(
        "read",
        help="what a list says: prices in force, and what became of every other row",
        description="Read a supplier's price list as its mapping says.",
        epilog=EXAMPLE,
    )
    add_list_options(parser)
    parser.add_argument("--on", metavar="DATE", type=typed_day, help="prices in force on this day (default: today)")
    parser.add_argument("--currency", metavar="CODE", type=currency_code, help="the shop's currency, without a book")
    parser.add_argument("--find", metavar="NUMBERS", default="", help='numbers to look up: "AB-100; AB-200"')
    parser.set_defaults(run=run)


def run(options: argparse.Namespace) -> int:
    """Read, look up, say."""
    from quotekit.suppliers.read_list import read_list

    mapping, problems = mapping_in_use(options)
    if mapping is None:
        return _tell(options, None, (), problems)
    currency, found = shop_currency(options, mapping)
    problems += found
    if not currency:
        return _tell(options, None, (), problems)
    with step("Reading the price list"):
        prices, found = read_list(options.list, mapping, currency, options.on or date.today())
        problems += found
        asked = [number.strip() for number in options.find.split(";") if number.strip()]
        rows = prices.find(asked) if prices is not None else {}
    return _tell(options, None if prices is None else prices.report, rows.values(), problems)


def _tell(
    options: argparse.Namespace,
    report: ListReport | None,
    found: Iterable[FoundPrice],
    problems: list[Problem],
) -> int:
    from quotekit.problems import has_errors

    print_problems(problems)
    if options.json:
        from quotekit.documents.price_list_json import lay_out_report_json

        print_json(lay_out_report_json(report, found, problems))
    elif report is not None:
        from quotekit.documents.price_list_text import lay_out_found, lay_out_report

        lines = lay_out_found(found)
        print("\n".join([*lay_out_report(report), *(["", *lines] if lines else [])]))
    return PROBLEMS if has_errors(problems) else DONE
