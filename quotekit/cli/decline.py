"""`quotekit decline JOB`: the customer's no, to a quote or to a change of what was agreed."""

from __future__ import annotations

import argparse
from typing import TYPE_CHECKING

from quotekit.cli.report import DONE, nothing_recorded, print_json, print_problems, recorded_already
from quotekit.cli.which_ledger import add_ledger_options

if TYPE_CHECKING:
    from quotekit.cli.carry_out import Outcome
    from quotekit.model.story import Story

REASONS = {
    "price": "price",
    "time": "time",
    "not-worth-it": "not worth it",
    "went-elsewhere": "went elsewhere",
    "no-answer": "no answer",
    "other": "other",
}

EXAMPLE = """\
examples:
  quotekit decline 117 --reason price
  quotekit decline 117 --reason other --note "sold the machine" --who "R. Alder"

While a change to what was agreed, or a newer quote, waits for an answer, the no is to that: what was agreed before
holds. With --all it is to all the work. Matters of safety that stay are recorded in plain words.
"""


def add_command(verbs: argparse._SubParsersAction[argparse.ArgumentParser]) -> None:
    """Declare the verb and its options."""
    parser = verbs.add_parser(
        "decline",
        help="record the customer's no",
        description="Record that the customer declines a quote, or a change to what was agreed.",
        epilog=EXAMPLE,
    )
    parser.add_argument("job", metavar="JOB", help="a job number")
    parser.add_argument("--reason", choices=tuple(REASONS), required=True, help="why")
    parser.add_argument("--who", metavar="NAME", default="", help="who said so (default: the customer)")
    parser.add_argument("--note", metavar="TEXT", default="", help="what was said; needed with --reason other")
    parser.add_argument("--all", action="store_true", help="no to all the work, not to a change alone")
    add_ledger_options(parser)
    parser.set_defaults(run=run)


def run(options: argparse.Namespace) -> int:
    """Look at what waits for an answer, record the no."""
    from quotekit.cli.carry_out import carry_out
    from quotekit.cli.declining import Declining
    from quotekit.cli.which_ledger import opened_ledger

    with opened_ledger(options) as ledger:
        declining = Declining(options, REASONS[options.reason])
        outcome = carry_out(ledger, declining.decide, hangs_on=lambda held: held.last_seq(options.job))
        story = ledger.story(options.job)
    if outcome.refused:
        return nothing_recorded(options.job, outcome.problems, as_json=options.json)
    _tell(options, outcome, story)
    return DONE


def _tell(options: argparse.Namespace, outcome: Outcome, story: Story) -> None:
    from quotekit.documents.quote_json import money, money_or_none, problem_json
    from quotekit.model.entries import Declined
    from quotekit.money import minor_digits
    from quotekit.pricing.consent.authorised import last_yes, version_now
    from quotekit.pricing.owed import owed

    print_problems(outcome.problems)
    entry, current = outcome.entries[0], story.current
    body = entry.told(Declined)
    assert current is not None
    still = version_now(story)
    digits, now = minor_digits(current.body.currency), owed(story)
    to_pay = money(current.body.declined_total, digits)
    if options.json:
        print_json(
            {
                "job": entry.job,
                "version": entry.version,
                "reason": body.reason,
                "customer": body.customer,
                "note": body.note,
                "safety_left": list(body.safety_left),
                "still_agreed": still,
                "currency": current.body.currency,
                "to_pay": None if last_yes(story) is not None else to_pay,
                "paid": money(now.paid, digits),
                "due": money_or_none(now.due, digits),
                "recorded": not outcome.already,
                "entry": entry.seq,
                "problems": [problem_json(problem) for problem in outcome.problems],
            }
        )
        return
    if outcome.already:
        print(recorded_already(entry.day.isoformat(), entry.seq))
    what = "all the work" if entry.version is None else f"version {entry.version}"
    print(f"Job {entry.job}: {body.customer} declined {what} ({body.reason}).")
    if still is not None:
        print(f"Version {still} is agreed and holds.")
    else:
        print(f"What a no costs: {to_pay} {current.body.currency}, tax included.")
        if now.paid and now.due is not None:
            left = f"to give back {money(-now.due, digits)}" if now.due < 0 else f"due {money(now.due, digits)}"
            print(f"Paid so far {money(now.paid, digits)}; {left}.")
