"""`quotekit pay JOB AMOUNT`: money taken for a job, or given back."""

from __future__ import annotations

import argparse
from typing import TYPE_CHECKING, Any

from quotekit.cli.report import DONE, nothing_recorded, print_json, print_problems
from quotekit.cli.which_ledger import add_ledger_options

if TYPE_CHECKING:
    from quotekit.cli.carry_out import Outcome
    from quotekit.model.story import Story

_PURPOSES = ("deposit", "part-payment", "bill", "refund")

EXAMPLE = """\
examples:
  quotekit pay 117 60 --how cash
  quotekit pay 117 25.50 --for refund --how card
  quotekit pay 117 313.95 --how cash --rounded-to 0.05    of 313.93 due; 0.02 is kept as rounding

Without --for it is a deposit while one is owed, then a part payment, and after a bill its payment. The next documents
show it as paid so far.
"""


def add_command(verbs: argparse._SubParsersAction[argparse.ArgumentParser]) -> None:
    """Declare the verb and its options."""
    parser = verbs.add_parser(
        "pay",
        help="record money taken for a job",
        description="Record money taken for a job, or given back.",
        epilog=EXAMPLE,
    )
    parser.add_argument("job", metavar="JOB", help="a job number")
    parser.add_argument("amount", metavar="AMOUNT", help="as 60 or 60.50, in the currency of the quote")
    parser.add_argument("--for", dest="purpose", choices=_PURPOSES, help="what it is for (default: what is owed)")
    parser.add_argument("--how", metavar="WORD", default="", help="cash, card, transfer ...")
    parser.add_argument(
        "--rounded-to", metavar="COIN", help="the smallest coin, as 0.05: what is due was rounded to it, and is settled"
    )
    add_ledger_options(parser)
    parser.set_defaults(run=run)


def run(options: argparse.Namespace) -> int:
    """Look at what is owed, record the money, say what is still due."""
    from quotekit.cli.carry_out import carry_out
    from quotekit.cli.paying import decide_payment
    from quotekit.cli.which_ledger import opened_ledger

    with opened_ledger(options) as ledger:
        outcome = carry_out(ledger, lambda held: decide_payment(options, held))
        story = ledger.story(options.job)
    if outcome.refused:
        return nothing_recorded(options.job, outcome.problems, as_json=options.json)
    print_problems(outcome.problems)
    told = _as_json(outcome, story)
    if options.json:
        print_json(told)
    else:
        _tell(told)
    return DONE


def _as_json(outcome: Outcome, story: Story) -> dict[str, Any]:
    from quotekit.documents.quote_json import problem_json

    problems = [problem_json(problem) for problem in outcome.problems]
    from decimal import Decimal

    from quotekit.documents.quote_json import money, money_or_none
    from quotekit.model.entries import Paid
    from quotekit.money import minor_digits
    from quotekit.pricing.owed import owed

    entry, now = outcome.entries[0], owed(story)
    body, currency = entry.told(Paid), story.current.body.currency if story.current is not None else ""
    digits = minor_digits(currency)
    rounding = sum((more.told(Paid).amount for more in outcome.entries[1:]), Decimal(0))
    return {
        "job": entry.job,
        "amount": money(body.amount, digits),
        "for": body.purpose,
        "how": body.how,
        "rounding": money(rounding, digits),
        "day": entry.day.isoformat(),
        "currency": currency,
        "to_pay": money_or_none(now.to_pay, digits),
        "paid": money(now.paid, digits),
        "due": money_or_none(now.due, digits),
        "deposit": money(now.deposit, digits),
        "deposit_due": money(now.deposit_due, digits),
        "recorded": True,
        "entry": entry.seq,
        "problems": problems,
    }


def _tell(told: dict[str, Any]) -> None:
    """What was taken, and what is still due."""
    given = str(told["amount"]).startswith("-")
    how = f" ({told['how']})" if told["how"] else ""
    purpose = "for the bill" if told["for"] == "bill" else told["for"]
    what = "given back" if given else f"taken, {purpose}"
    print(f"Job {told['job']}: {str(told['amount']).lstrip('-')} {told['currency']} {what}{how}.")
    if told["rounding"].strip("-0."):
        print(f"Cash was rounded by {told['rounding'].lstrip('-')}, which counts as settled.")
    due = "what is due is known once the customer has answered" if told["due"] is None else _due(told["due"])
    print(f"Paid so far {told['paid']}; {due}.")
    if told["deposit_due"].strip("0."):
        print(f"Of the deposit of {told['deposit']} {told['deposit_due']} is still to come.")


def _due(amount: str) -> str:
    """What is due, or what is to be given back."""
    return f"to give back {amount.removeprefix('-')}" if amount.startswith("-") else f"due {amount}"
