"""`quotekit receive NUMBER`: what came in of a parts order, what the supplier put off, and what goes back."""

from __future__ import annotations

import argparse
from collections.abc import Sequence
from typing import TYPE_CHECKING, Any

from quotekit.cli.report import DONE, PROBLEMS, print_json, print_problems, say, with_entry
from quotekit.cli.typed_day import typed_day
from quotekit.cli.typed_number import typed_count, typed_quantity
from quotekit.cli.which_ledger import add_ledger_options

if TYPE_CHECKING:
    from quotekit.cli.carry_out import Outcome
    from quotekit.cli.receiving import Receiving

EXAMPLE = """\
examples:
  quotekit receive 3                                      what is still open of order 3
  quotekit receive 3 --all                                all that is open came in
  quotekit receive 3 --all --supplier NORTH
  quotekit receive 3 --part BELT --packs 1 --cost 8.20    one pack, charged 8.20
  quotekit receive 3 --all --back-ordered SEAL --packs 2 --expected 2026-12-14
  quotekit receive 3 --returned BELT --packs 1 --because "cracked"    goes back; the supplier owes it

--packs, --cost, --supplier and --expected belong to the part before them; a part is named by its code or by the
supplier's number. Without --packs all open packs of the part are meant, or all that came in with --returned. What no
job needs goes onto the shelf. What went back is open again: receive it when it comes, or `quotekit cancel-order`.
"""


class _Part(argparse.Action):
    """Starts a part that came in, was put off, or goes back."""

    def __call__(self, parser: argparse.ArgumentParser, options: Any, values: Any, option: str | None = None) -> None:
        options.parts = [*options.parts, {"word": values, "what": str(option).removeprefix("--")}]


class _OfPart(argparse.Action):
    """Says more of the part before; a supplier with no part before it is that of --all."""

    def __call__(self, parser: argparse.ArgumentParser, options: Any, values: Any, option: str | None = None) -> None:
        if options.parts:
            options.parts[-1][self.dest] = values
        elif self.dest == "supplier":
            options.supplier = values
        else:
            parser.error(f"{option} belongs to a part: name it before, with --part or --back-ordered")


def add_command(verbs: argparse._SubParsersAction[argparse.ArgumentParser]) -> None:
    """Declare the verb and its options."""
    parser = verbs.add_parser(
        "receive",
        help="record what came in of a parts order",
        description="Record what came in of a parts order and what the supplier put off; say what is still open.",
        epilog=EXAMPLE,
    )
    parser.add_argument("number", metavar="NUMBER", type=typed_count, help="the number of the order")
    parser.add_argument("--all", action="store_true", help="everything that is open and not named otherwise")
    parser.add_argument("--part", metavar="PART", action=_Part, dest="parts", default=[], help="a part that came in")
    parser.add_argument("--back-ordered", metavar="PART", action=_Part, dest="parts", help="a part that was put off")
    parser.add_argument("--returned", metavar="PART", action=_Part, dest="parts", help="a part that goes back")
    parser.add_argument("--packs", metavar="N", action=_OfPart, type=typed_count, help="how many packs of it")
    parser.add_argument("--cost", metavar="X", action=_OfPart, type=typed_quantity, help="what was charged for a pack")
    parser.add_argument("--supplier", metavar="CODE", action=_OfPart, default="", help="from which supplier")
    parser.add_argument("--expected", metavar="DATE", action=_OfPart, type=typed_day, help="when it is to come")
    add_ledger_options(parser)
    parser.set_defaults(run=run)


def run(options: argparse.Namespace) -> int:
    """Hold what came against what was ordered, record it, say what is open."""
    from quotekit.cli.carry_out import carry_out
    from quotekit.cli.receiving import Delivered, Receiving
    from quotekit.cli.which_ledger import facts_of, opened_ledger

    delivered = [Delivered(**one) for one in options.parts]
    receiving = Receiving(options.number, delivered, facts_of(options), everything=options.all, of=options.supplier)
    with opened_ledger(options) as ledger:
        outcome = carry_out(ledger, receiving.decide)
    return _tell(options, receiving, outcome)


def _tell(options: argparse.Namespace, receiving: Receiving, outcome: Outcome) -> int:
    from quotekit.documents.received_text import received_json, received_text

    print_problems(outcome.problems)
    state = receiving.state
    if options.json:
        told = received_json(options.number, receiving.facts.day, state, outcome.problems)
        print_json(with_entry(told, outcome, recorded=bool(outcome.entries) and not outcome.already))
    elif state is not None and not outcome.refused:
        _print(received_text(options.number, state))
    if outcome.refused:
        say("Nothing was recorded.")
        return PROBLEMS
    if outcome.already:
        say("Nothing was added.")
    return DONE


def _print(lines: Sequence[str]) -> None:
    print("\n".join(lines))
