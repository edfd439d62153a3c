"""`quotekit clock JOB`: hours of a person on a job, typed or between a start and a stop."""

from __future__ import annotations

import argparse
from typing import TYPE_CHECKING, Any

from quotekit.cli.report import DONE, PROBLEMS, print_json, print_problems, refused_json, say
from quotekit.cli.which_ledger import add_ledger_options

if TYPE_CHECKING:
    from quotekit.cli.carry_out import Outcome
    from quotekit.ledger.ledger import Ledger

EXAMPLE = """\
examples:
  quotekit clock 117 --hours 1.5                           on the job as a whole
  quotekit clock 117 --hours 0.4 --work B-BELT --person Ann   beside one line of its work order
  quotekit clock 117 --start                               from now on ...
  quotekit clock 117 --stop                                ... until now
  quotekit clock 117 --stop --at 16:30                     where the stop was forgotten
  quotekit clock 117 --hours -0.5                          takes back half an hour that was too much

What is clocked counts when the job is closed, beside what the work order says.
"""


def add_command(verbs: argparse._SubParsersAction[argparse.ArgumentParser]) -> None:
    """Declare the verb and its options."""
    parser = verbs.add_parser(
        "clock",
        help="hours spent on a job",
        description="Record hours of a person on a job, or on one line of its work; typed, or by start and stop.",
        epilog=EXAMPLE,
    )
    parser.add_argument("job", metavar="JOB", help="a job number")
    what = parser.add_mutually_exclusive_group(required=True)
    what.add_argument("--hours", metavar="H", help="hours, as 1.5; below zero takes back")
    what.add_argument("--start", action="store_true", help="work begins")
    what.add_argument("--stop", action="store_true", help="work ends; the hours since the start count")
    parser.add_argument("--work", metavar="OP", default="", help="code of a line of the work order (default: the job)")
    parser.add_argument("--person", metavar="P", default="", help="whose hours they are (default: who records them)")
    parser.add_argument("--at", metavar="TIME", help="when work began or ended, as 14:05 (default: now)")
    parser.add_argument("--note", metavar="TEXT", default="", help="anything worth keeping")
    add_ledger_options(parser)
    parser.set_defaults(run=run)


def run(options: argparse.Namespace) -> int:
    """Hold the clocking against the job, record it, say what the job has taken so far."""
    from datetime import datetime

    from quotekit.cli.carry_out import carry_out
    from quotekit.cli.clocking import Clocking
    from quotekit.cli.which_ledger import opened_ledger

    clocking = Clocking(options, datetime.now().astimezone())
    with opened_ledger(options) as ledger:
        outcome = carry_out(ledger, clocking.decide)
        told = _as_json(options, outcome, ledger)
    print_problems(outcome.problems)
    if options.json:
        print_json(told)
    elif outcome.refused:
        say("Nothing was recorded.")
    else:
        _tell(told)
    return PROBLEMS if outcome.refused else DONE


def _as_json(options: argparse.Namespace, outcome: Outcome, ledger: Ledger) -> dict[str, Any]:
    from quotekit.documents.quote_json import problem_json
    from quotekit.model.entries import Clocked

    if outcome.refused:
        return refused_json(options.job, outcome.problems)
    problems = [problem_json(problem) for problem in outcome.problems]
    entry = outcome.entries[0]
    body = entry.told(Clocked)
    clocked = [told.body for told in ledger.story(options.job).clocked]
    return {
        "job": entry.job,
        "day": entry.day.isoformat(),
        "work": body.work,
        "person": body.person,
        "hours": f"{body.hours:f}",
        "started": body.started,
        "ended": body.ended,
        "running": bool(body.started and not body.ended),
        "hours_of_job": f"{sum((one.hours for one in clocked), body.hours * 0):f}",
        "recorded": True,
        "entry": entry.seq,
        "problems": problems,
    }


def _tell(told: dict[str, Any]) -> None:
    on = f"job {told['job']}, {told['work']}" if told["work"] else f"job {told['job']}"
    if told["running"]:
        print(f"{told['person']} is at work on {on} since {told['started'][11:16]}.")
    else:
        print(f"{told['person']}: {told['hours']} h on {on}. The job has taken {told['hours_of_job']} h by the clock.")
