"""`quotekit accept`: the customer's yes, from what was sent back or by word of mouth."""

from __future__ import annotations

import argparse
from pathlib import Path
from typing import TYPE_CHECKING, Any

from quotekit.cli.report import DONE, nothing_recorded, print_json, print_problems, recorded_already, step
from quotekit.cli.which_ledger import add_ledger_options
from quotekit.cli.who_said_it import WORD_OF_MOUTH, add_who_options

if TYPE_CHECKING:
    from quotekit.cli.carry_out import Outcome
    from quotekit.model.entries import Entry
    from quotekit.model.story import Story

EXAMPLE = """\
examples:
  quotekit accept "117-1 quote.xlsx"
  quotekit accept reply.txt
  quotekit accept --job 117 --tier good --extra BELT --by phone --who "R. Alder" --phone "555 0100" --note "go ahead"

The choice is held against the version that was issued and priced again from it; of what came back only the choice is
taken. Consent by word of mouth needs who, the number to reach them, what was said, and when (--at 14:05; now
unless another day is given with --on). An expired quote is held with --hold-expired REASON.
"""


def add_command(verbs: argparse._SubParsersAction[argparse.ArgumentParser]) -> None:
    """Declare the verb and its options."""
    parser = verbs.add_parser(
        "accept",
        help="record the customer's yes",
        description="Record what the customer agreed to, in a quote sent back, a reply text, or by word of mouth.",
        epilog=EXAMPLE,
    )
    parser.add_argument("returned", metavar="RETURNED", nargs="?", type=Path, help="the quote or the reply sent back")
    parser.add_argument("--text", action="store_true", help="RETURNED is the reply text of the page (- for stdin)")
    parser.add_argument("--job", metavar="JOB", help="a job number, for consent by word of mouth")
    parser.add_argument("--tier", metavar="CODE", help="the option; not needed for a change to what was agreed")
    parser.add_argument(
        "--extra", metavar="CODE", action="append", default=[], help="an extra taken, CODE or CODE@side; repeatable"
    )
    parser.add_argument("--by", choices=WORD_OF_MOUTH, help="how it was said")
    add_who_options(parser)
    parser.add_argument("--hold-expired", metavar="REASON", default="", help="hold a quote that has expired, and why")
    add_ledger_options(parser)
    parser.set_defaults(run=run)


def run(options: argparse.Namespace) -> int:
    """Read the yes, hold it against what was issued, record it."""
    from datetime import datetime

    from quotekit.cli.accepting import Accepting
    from quotekit.cli.carry_out import carry_out
    from quotekit.cli.said_yes import said_yes
    from quotekit.cli.which_ledger import opened_ledger
    from quotekit.cli.who_said_it import who_said_it

    now = datetime.now()
    yes, problems = said_yes(options, options.on or now.date())
    if yes is None:
        return nothing_recorded(None, problems, as_json=options.json)
    who, more = who_said_it(options, now, by_mouth=yes.file is None)
    accepting = Accepting(yes, who, [*problems, *more], " ".join(options.hold_expired.split()))
    beside = options.returned.parent if options.returned is not None else None
    with opened_ledger(options, beside) as ledger:
        with step("Pricing the choice again"):
            accepting.look_ahead(ledger)
        outcome = carry_out(ledger, accepting.decide)
        if outcome.refused:
            return nothing_recorded(yes.job, outcome.problems, as_json=options.json)
        _tell(options, outcome, ledger.story(yes.job))
    return DONE


def _tell(options: argparse.Namespace, outcome: Outcome, story: Story) -> None:
    print_problems(outcome.problems)
    entry = outcome.entries[0]
    told = accepted_json(entry, story, recorded=not outcome.already)
    if options.json:
        from quotekit.documents.quote_json import problem_json

        print_json({**told, "problems": [problem_json(problem) for problem in outcome.problems]})
        return
    if outcome.already:
        print(recorded_already(entry.day.isoformat(), entry.seq))
    chosen = ", ".join((f"{told['option']} [{told['tier']}]", *told["extras"]))
    print(f"Job {told['job']}, version {told['version']}: {told['customer']} agreed to {chosen}.")
    due = f"to give back {told['due'][1:]}" if told["due"].startswith("-") else f"due {told['due']}"
    print(f"Total {told['total']} {told['currency']}; deposit {told['deposit']}; paid {told['paid']}; {due}.")
    print(f"Call before going over {told['most']} ({told['basis']}).")


def accepted_json(entry: Entry, story: Story, *, recorded: bool) -> dict[str, Any]:
    """A recorded yes as one object; every amount as text."""
    from quotekit.documents.quote_json import money
    from quotekit.model.entries import Accepted
    from quotekit.money import minor_digits
    from quotekit.pricing.consent.authorised import authorised_amount, most_without_asking

    body = entry.told(Accepted)
    issued = story.version(entry.version or 0)
    currency = issued.body.currency if issued is not None else ""
    digits = minor_digits(currency)
    due = body.agreed.total - story.paid_so_far
    return {
        "job": entry.job,
        "version": entry.version,
        "tier": body.tier,
        "option": body.agreed.option,
        "extras": list(body.extras),
        "by": body.by,
        "customer": body.customer,
        "phone": body.phone,
        "note": body.note,
        "said_at": body.said_at,
        "held": body.held,
        "currency": currency,
        "total": money(body.agreed.total, digits),
        "deposit": money(body.deposit, digits),
        "paid": money(story.paid_so_far, digits),
        "due": money(due, digits),
        "authorised": money(authorised_amount(body), digits),
        "basis": body.rule.compares,
        "most": money(most_without_asking(body, digits), digits),
        "safety_left": list(body.safety_left),
        "recorded": recorded,
        "entry": entry.seq,
    }
