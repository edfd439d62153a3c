"""`quotekit shelf`: what is on the shelf and on its way to it; units put there, taken or counted."""

from __future__ import annotations

import argparse
from typing import TYPE_CHECKING, Any

from quotekit.cli.report import DONE, PROBLEMS, USAGE, print_json, print_problems, say
from quotekit.cli.typed_number import typed_quantity
from quotekit.cli.which_ledger import add_ledger_options

if TYPE_CHECKING:
    from quotekit.cli.carry_out import Outcome
    from quotekit.pricing.landed.stock import Stock

EXAMPLE = """\
examples:
  quotekit shelf                              what is there, and what orders leave over
  quotekit shelf --put SEAL-GB 4 --cost 3.20  four more, 3.20 each
  quotekit shelf --take SEAL-GB 1             one less, for no job
  quotekit shelf --count SEAL-GB 3            three were counted: the difference is recorded
  quotekit shelf --put BELT 1 --job 117       a part of job 117 that it does not need any more
  quotekit shelf --take SEAL-GB 1 --job 118   one for job 118: no order buys it for that job

Orders take from the shelf first. What the shop keeps in stock (suppliers with Shelf Yes) is taken as there until it is
counted once.
"""


class _Move(argparse.Action):
    """A move with its quantity as a number."""

    def __call__(self, parser: argparse.ArgumentParser, options: Any, values: Any, option: str | None = None) -> None:
        part, quantity = values
        try:
            options.move = (str(option).removeprefix("--"), part, typed_quantity(quantity))
        except argparse.ArgumentTypeError as wrong:
            raise argparse.ArgumentError(self, str(wrong)) from None


def add_command(verbs: argparse._SubParsersAction[argparse.ArgumentParser]) -> None:
    """Declare the verb and its options."""
    parser = verbs.add_parser(
        "shelf",
        help="what is on the shelf; put, take or count",
        description="What is on the shelf, worked out from orders, deliveries, and what was put there or taken.",
        epilog=EXAMPLE,
    )
    doing = parser.add_mutually_exclusive_group()
    for name, words in (("put", "put units there"), ("take", "take units"), ("count", "what was counted")):
        doing.add_argument(f"--{name}", nargs=2, metavar=("PART", "QUANTITY"), help=words, action=_Move, dest="move")
    parser.add_argument("--cost", metavar="X", type=typed_quantity, help="with --put: what one unit cost")
    parser.add_argument("--job", metavar="JOB", default="", help="the job that gives the units, or gets them")
    add_ledger_options(parser)
    parser.set_defaults(run=run)


def run(options: argparse.Namespace) -> int:
    """Record a move where one is asked for, then list the shelf."""
    from quotekit.cli.carry_out import carry_out
    from quotekit.cli.jobs_to_order import orders_so_far
    from quotekit.cli.shelving import Shelving
    from quotekit.cli.which_ledger import facts_of, opened_ledger

    if options.job and (options.move is None or options.move[0] == "count"):
        say("--job belongs to --put or --take.")
        return USAGE
    with opened_ledger(options) as ledger:
        if options.move is None:
            return _tell(options, orders_so_far(ledger), None)
        what, part, quantity = options.move
        shelving = Shelving(what, part, quantity, facts_of(options), cost=options.cost, job=options.job)
        outcome = carry_out(ledger, shelving.decide)
        return _tell(options, orders_so_far(ledger), outcome)


def _tell(options: argparse.Namespace, stock: Stock, outcome: Outcome | None) -> int:
    from quotekit.documents.quote_json import plain, problem_json

    problems = outcome.problems if outcome is not None else ()
    print_problems(problems)
    rows = [
        {
            "part": part,
            "name": stock.names.get(part, ""),
            "on_shelf": plain(stock.on_shelf(part)),
            "on_the_way": plain(stock.on_the_way(part)),
            "unit_cost": None if (cost := stock.unit_cost(part)) is None else plain(cost),
        }
        for part in stock.parts()
    ]
    refused = outcome is not None and outcome.refused
    if options.json:
        print_json(
            {
                "parts": rows,
                "recorded": outcome is not None and not refused,
                "problems": [problem_json(one) for one in problems],
            }
        )
    elif not refused:
        for row in rows:
            coming = f", {row['on_the_way']} on the way" if row["on_the_way"] != "0" else ""
            print(f"{row['part']}: {row['on_shelf']} on the shelf{coming}{'  ' + row['name'] if row['name'] else ''}")
        if not rows:
            say("Nothing is known to be on the shelf.")
    if refused:
        say("Nothing was recorded.")
    return PROBLEMS if refused else DONE
