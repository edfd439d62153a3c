"""`quotekit close JOB --from WORK_ORDER.xlsx`: the work is done; what it took is read from the filled work order."""

from __future__ import annotations

import argparse
import shlex
from pathlib import Path
from typing import TYPE_CHECKING, Any

from quotekit.cli.report import DONE, nothing_recorded, print_json, print_problems, recorded_already, step
from quotekit.cli.which_ledger import add_ledger_options

if TYPE_CHECKING:
    from quotekit.cli.carry_out import Outcome

EXAMPLE = """\
examples:
  quotekit close 117 --from "117-1 work order.xlsx"     hours, parts and notes as the technician wrote them
  quotekit close 117                                    hours as clocked, parts as agreed

Hours written beside a step are of that step; hours of the whole job are split over its work by standard share, and kept
as not measured. A blank beside a part means: as agreed. Closing again with what was read before records nothing.
"""


def add_command(verbs: argparse._SubParsersAction[argparse.ArgumentParser]) -> None:
    """Declare the verb and its options."""
    parser = verbs.add_parser(
        "close",
        help="the work is done: hours, parts and notes",
        description="Record what the work took, from the filled work order and the clock.",
        epilog=EXAMPLE,
    )
    parser.add_argument("job", metavar="JOB", help="a job number")
    parser.add_argument("--from", dest="work_order", metavar="WORK_ORDER", type=Path, help="the filled work order")
    parser.add_argument("--sheet-alone", action="store_true", help="the work order alone counts, not the clock")
    add_ledger_options(parser)
    parser.set_defaults(run=run)


def run(options: argparse.Namespace) -> int:
    """Read what was written, hold it against what was agreed, record it once."""
    from quotekit.cli.carry_out import carry_out
    from quotekit.cli.closing import Closing
    from quotekit.cli.which_ledger import opened_ledger

    closing = Closing(options)
    beside = options.work_order.parent if options.work_order is not None else None
    with step("Reading the work order"):
        problems = closing.read()
    if problems:
        return nothing_recorded(options.job, problems, as_json=options.json)
    with opened_ledger(options, beside) as ledger:
        outcome = carry_out(ledger, closing.decide, hangs_on=lambda held: held.last_seq(options.job))
    if outcome.refused:
        return nothing_recorded(options.job, outcome.problems, as_json=options.json)
    print_problems(outcome.problems)
    told = closed_json(outcome)
    if options.json:
        print_json(told)
    else:
        _tell(told)
    return DONE


def closed_json(outcome: Outcome) -> dict[str, Any]:
    """What was recorded as one object; every hour and quantity as text."""
    from decimal import Decimal

    from quotekit.documents.quote_json import problem_json
    from quotekit.model.entries import Closed

    entry = outcome.entries[0]
    body = entry.told(Closed)
    return {
        "job": entry.job,
        "version": entry.version,
        "day": entry.day.isoformat(),
        "hours": [
            {"work": one.work, "person": one.person, "hours": f"{one.hours:f}", "measured": one.measured}
            for one in body.hours
        ],
        "hours_together": f"{sum((one.hours for one in body.hours), Decimal(0)):f}",
        "hours_measured": f"{sum((one.hours for one in body.hours if one.measured), Decimal(0)):f}",
        "parts": [
            {
                "part": one.part,
                "quantity": f"{one.quantity:f}",
                "unit_cost": None if one.unit_cost is None else f"{one.unit_cost:f}",
            }
            for one in body.parts
        ],
        "not_done": list(body.not_done),
        "cores_returned": {part: f"{many:f}" for part, many in body.cores_returned.items()},
        "measured_again": {key: f"{value:f}" for key, value in body.measured_again.items()},
        "notes": body.notes,
        "recorded": not outcome.already,
        "entry": entry.seq,
        "problems": [problem_json(problem) for problem in outcome.problems],
    }


def _tell(told: dict[str, Any]) -> None:
    if not told["recorded"]:
        print(recorded_already(told["day"], told["entry"]))
    print(f"Job {told['job']} is closed: {_hours(told)}.")
    if told["not_done"]:
        print(f"Not done: {', '.join(told['not_done'])}.")
    print(f"Next: quotekit bill {shlex.quote(told['job'])}")


def _hours(told: dict[str, Any]) -> str:
    """The hours, and how many of them were measured: written beside their step, or clocked on it."""
    together, measured = told["hours_together"], told["hours_measured"]
    if not together.strip("0."):
        return "no hours were written down"
    if not measured.strip("0."):
        return f"{together} h, none measured step by step"
    return f"{together} h, {'all' if measured == together else f'{measured} h of them'} measured step by step"
