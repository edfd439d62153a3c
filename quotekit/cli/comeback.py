"""`quotekit comeback JOB --of FIRST`: a job that comes back to an earlier one."""

from __future__ import annotations

import argparse
from typing import TYPE_CHECKING, Any

from quotekit.cli.carry_out import Decision
from quotekit.cli.report import DONE, nothing_recorded, print_json, print_problems
from quotekit.cli.which_ledger import add_ledger_options, facts_of

if TYPE_CHECKING:
    from decimal import Decimal

    from quotekit.cli.carry_out import Outcome
    from quotekit.ledger.ledger import Ledger
    from quotekit.model.story import Story
    from quotekit.problems import Problem

_CAUSES = ("workmanship", "part", "training", "other")

EXAMPLE = """\
examples:
  quotekit comeback 131 --of 117 --cause workmanship
  quotekit comeback 131 --of 117 --cause part --charged 50% --note "Bearing out of the box was loose"

Issue and accept the new job as any other, then say what it comes back to: its bill charges nothing, or the share of
the price that is given. Its full cost is kept, and the review charges it to the first job.
"""


def add_command(verbs: argparse._SubParsersAction[argparse.ArgumentParser]) -> None:
    """Declare the verb and its options."""
    parser = verbs.add_parser(
        "comeback",
        help="say that a job comes back to an earlier one",
        description="Link a job to the earlier one it comes back to: zero or reduced price, full cost, cause.",
        epilog=EXAMPLE,
    )
    parser.add_argument("job", metavar="JOB", help="the number of the job that came back")
    parser.add_argument("--of", metavar="FIRST", required=True, help="the number of the first job")
    parser.add_argument("--cause", choices=_CAUSES, required=True, help="why it came back")
    parser.add_argument(
        "--charged",
        metavar="SHARE",
        type=part_of_price,
        default="0",
        help="the share of its price that the customer pays, as 50%% or 0.5 (default: nothing)",
    )
    parser.add_argument("--note", metavar="TEXT", default="", help="what happened")
    add_ledger_options(parser)
    parser.set_defaults(run=run)


def part_of_price(text: str) -> Decimal:
    """A part of a price, from nothing to all of it.

    >>> part_of_price("50%"), part_of_price("0.25"), part_of_price("0")
    (Decimal('0.5'), Decimal('0.25'), Decimal('0'))
    """
    from decimal import Decimal, InvalidOperation

    word = text.strip()
    try:
        part = Decimal(word.removesuffix("%").strip())
    except InvalidOperation:
        part = Decimal(-1)
    if part.is_finite() and word.endswith("%"):
        part = part / 100
    if not part.is_finite() or not 0 <= part <= 1:
        raise argparse.ArgumentTypeError(f"{text} is no part of a price: type it as 50% or 0.5")
    return part


def run(options: argparse.Namespace) -> int:
    """Look at both jobs, record the link."""
    from quotekit.cli.carry_out import carry_out
    from quotekit.cli.which_ledger import opened_ledger

    with opened_ledger(options) as ledger:
        outcome = carry_out(ledger, lambda held: decide_comeback(options, held))
    if outcome.refused:
        return nothing_recorded(options.job, outcome.problems, as_json=options.json)
    print_problems(outcome.problems)
    told = _as_json(outcome)
    if options.json:
        print_json(told)
    else:
        again = "is recorded already: it " if outcome.already else ""
        paid = "nothing" if told["charged"] == "0" else f"{told['charged']} of its price"
        print(f"Job {told['job']} {again}comes back to job {told['first_job']} ({told['cause']}); charged is {paid}.")
    return DONE


def decide_comeback(options: argparse.Namespace, ledger: Ledger) -> Decision:
    """The link as an entry, or why it can't be one, or the entry that says so already."""
    from quotekit.cli.jobs import known_job
    from quotekit.model.entries import Comeback

    story, problems = known_job(ledger, options.job)
    first, more = known_job(ledger, options.of)
    problems += more
    if story is None or first is None or story.current is None or first.current is None:
        return Decision(problems=problems)
    problems = _against(story, first)
    body = Comeback(
        first_job=first.current.entry.job,
        cause=options.cause,
        charged=options.charged,
        note=" ".join(options.note.split()),
    )
    if story.comeback and story.comeback[-1].body == body:
        return Decision(already=story.comeback[-1].entry)
    facts, job = facts_of(options), story.current.entry
    draft = facts.draft("comeback", body, job=job.job, version=job.version)
    return Decision(problems=problems, drafts=[draft])


def _against(story: Story, first: Story) -> list[Problem]:
    """A job that comes back to itself, or to one that came later or was never done."""
    from quotekit.model.story import same_job
    from quotekit.problems import Place, error, warning

    assert story.current is not None and first.current is not None
    place = Place(f"job {story.job}")
    if same_job(story.job, first.job):
        message = "A job can't come back to itself."
        return [error(place, "comeback-of-itself", message, "Issue the new work as a job of its own number.")]
    if first.issued[0].entry.seq > story.issued[0].entry.seq:
        message = f"Job {first.job} was issued after job {story.job}."
        return [error(place, "comeback-of-later", message, "Name the first job after --of.")]
    if not first.closed and not first.billed:
        message = f"Job {first.job} was neither closed nor billed."
        return [warning(place, "comeback-of-open", message, "Check the number of the first job.")]
    return []


def _as_json(outcome: Outcome) -> dict[str, Any]:
    from quotekit.documents.quote_json import problem_json
    from quotekit.model.entries import Comeback

    problems = [problem_json(problem) for problem in outcome.problems]
    entry = outcome.entries[0]
    body = entry.told(Comeback)
    return {
        "job": entry.job,
        "first_job": body.first_job,
        "cause": body.cause,
        "charged": f"{body.charged.normalize():f}",
        "note": body.note,
        "recorded": not outcome.already,
        "entry": entry.seq,
        "problems": problems,
    }
