"""`quotekit cancel-order NUMBER`: parts of an order that will not come, called off by the supplier or by the shop."""

from __future__ import annotations

import argparse
from typing import TYPE_CHECKING

from quotekit.cli.report import DONE, PROBLEMS, USAGE, print_json, print_problems, say, with_entry
from quotekit.cli.typed_number import typed_count
from quotekit.cli.which_ledger import add_ledger_options

if TYPE_CHECKING:
    from quotekit.cli.cancelling import Cancelling
    from quotekit.cli.carry_out import Outcome

EXAMPLE = """\
examples:
  quotekit cancel-order 3 --part BELT --because "none left at NORTH"
  quotekit cancel-order 3 --supplier NORTH --because "closed until May"
  quotekit cancel-order 3 --part SEAL --packs 1 --by shop --because "typed twice"
  quotekit cancel-order 3 --by shop --because "the customer said no"      all that has not come in

What came in stays: it goes back with `quotekit receive NUMBER --returned`. What jobs still need is bought by the next
`quotekit order`; a supplier that called a part off is not asked for it again by these jobs while another sells it.
"""


def add_command(verbs: argparse._SubParsersAction[argparse.ArgumentParser]) -> None:
    """Declare the verb and its options."""
    parser = verbs.add_parser(
        "cancel-order",
        help="record that parts of an order will not come",
        description="Record that an order, or parts of it, will not come; say which jobs need them again.",
        epilog=EXAMPLE,
    )
    parser.add_argument("number", metavar="NUMBER", type=typed_count, help="the number of the order")
    parser.add_argument("--part", metavar="PART", default="", help="a part (default: all of the order)")
    parser.add_argument("--packs", metavar="N", type=typed_count, help="how many packs of it (default: all open)")
    parser.add_argument("--supplier", metavar="CODE", default="", help="what this supplier was to send")
    parser.add_argument("--by", choices=("supplier", "shop"), default="supplier", help="who called it off")
    add_ledger_options(parser)
    parser.set_defaults(run=run)


def run(options: argparse.Namespace) -> int:
    """Hold it against what is open, record it, say who needs what again."""
    from quotekit.cli.cancelling import CalledOff, Cancelling
    from quotekit.cli.carry_out import carry_out
    from quotekit.cli.which_ledger import facts_of, opened_ledger

    if options.packs is not None and not options.part:
        say("--packs belongs to a part: name it with --part.")
        return USAGE
    what = CalledOff(word=options.part, packs=options.packs, supplier=options.supplier, by=options.by)
    cancelling = Cancelling(options.number, what, facts_of(options))
    with opened_ledger(options) as ledger:
        outcome = carry_out(ledger, cancelling.decide)
    return _tell(options, cancelling, outcome)


def _tell(options: argparse.Namespace, cancelling: Cancelling, outcome: Outcome) -> int:
    from quotekit.documents.cancelled_text import cancelled_json, cancelled_text

    print_problems(outcome.problems)
    state = None if outcome.refused or outcome.already else cancelling.state
    if options.json:
        told = cancelled_json(options.number, cancelling.facts.day, state, outcome.problems)
        print_json(with_entry(told, outcome, recorded=state is not None))
    elif state is not None:
        print("\n".join(cancelled_text(state)))
    if outcome.refused:
        say("Nothing was recorded.")
        return PROBLEMS
    if outcome.already:
        say("It is called off already: nothing was added.")
    return DONE
