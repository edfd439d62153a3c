"""`quotekit jobs [JOB]`: where each job stands, or everything that happened to one."""

from __future__ import annotations

import argparse
from typing import TYPE_CHECKING

from quotekit.cli.report import DONE, PROBLEMS, print_json, print_problems
from quotekit.cli.which_ledger import add_ledger_options

if TYPE_CHECKING:
    from quotekit.ledger.ledger import Ledger
    from quotekit.model.entries import Entry
    from quotekit.model.story import Story
    from quotekit.problems import Problem

EXAMPLE = """\
examples:
  quotekit jobs              every job of the ledger and what it waits for
  quotekit jobs 117          what happened to one, by day
"""


def add_command(verbs: argparse._SubParsersAction[argparse.ArgumentParser]) -> None:
    """Declare the verb and its options."""
    parser = verbs.add_parser(
        "jobs",
        help="where each job stands, or what happened to one",
        description="Where each job of the ledger stands, or everything that happened to one.",
        epilog=EXAMPLE,
    )
    parser.add_argument("job", metavar="JOB", nargs="?", help="a job number")
    add_ledger_options(parser, records=False)
    parser.set_defaults(run=run)


def run(options: argparse.Namespace) -> int:
    """Read the ledger, print a line a job or a line an entry."""
    from quotekit.cli.which_ledger import opened_ledger

    with opened_ledger(options) as ledger:
        if options.job is None:
            return _print_all(options, ledger)
        entries = ledger.entries(options.job)
        if not any(entry.kind == "issued" for entry in entries):
            return _unknown(options, ledger)
        return _print_one(options, _with_orders(ledger, entries))


def known_job(ledger: Ledger, job: str) -> tuple[Story | None, list[Problem]]:
    """The story of a job with an issued quote; a problem with the nearest known number where there is none."""
    story = ledger.story(job)
    return (story, []) if story.issued else (None, [_no_such_job(ledger, job)])


def _no_such_job(ledger: Ledger, job: str) -> Problem:
    from quotekit.problems import Place, error
    from quotekit.workbook.names import did_you_mean

    near = did_you_mean(job, ledger.jobs())
    remedy = f"{near}`quotekit jobs` lists those that were issued; `quotekit issue` adds one."
    message = f"No quote of a job {job} was ever issued."
    return error(Place(ledger.address.shown), "unknown-job", message, remedy, job)


def _unknown(options: argparse.Namespace, ledger: Ledger) -> int:
    from quotekit.documents.quote_json import problem_json

    problem = _no_such_job(ledger, options.job)
    print_problems([problem])
    if options.json:
        print_json({"job": options.job, "entries": [], "problems": [problem_json(problem)]})
    return PROBLEMS


def _print_all(options: argparse.Namespace, ledger: Ledger) -> int:
    from quotekit.ledger.each_story import each_story

    tell = _job_json if options.json else _job_line
    told = sorted(((story.issued[0].entry.seq, tell(story)) for story in each_story(ledger)), key=lambda one: one[0])
    if options.json:
        print_json({"jobs": [one for _, one in told], "problems": []})
        return DONE
    for _, line in told:
        print(line)
    return DONE


def _job_line(story: Story) -> str:
    from quotekit.pricing.standing import standing_of

    current = story.current
    who = f"{current.body.customer}, {current.body.machine}" if current is not None else ""
    return f"{story.job}  {who}: {standing_of(story)}"


def _job_json(story: Story) -> dict[str, object]:
    from quotekit.pricing.consent.authorised import version_now
    from quotekit.pricing.standing import standing_of

    current = story.current
    return {
        "job": story.job,
        "customer": current.body.customer if current else None,
        "version": current.entry.version if current else None,
        "accepted_version": version_now(story),
        "state": standing_of(story),
        "paid": f"{story.paid_so_far:f}",
    }


def _print_one(options: argparse.Namespace, entries: list[Entry]) -> int:
    if options.json:
        print_json({"job": options.job, "entries": [_entry_json(entry) for entry in entries], "problems": []})
        return DONE
    from quotekit.documents.job_history import lay_out_history

    job = next(entry.job for entry in entries if entry.job)
    for line in lay_out_history(job, entries):
        print(line)
    return DONE


def _entry_json(entry: Entry) -> dict[str, object]:
    return {
        "seq": entry.seq,
        "at": entry.at,
        "day": entry.day.isoformat(),
        "who": entry.who,
        "why": entry.why,
        "kind": entry.kind,
        "version": entry.version,
        "number": entry.number,
        "told": dict(entry.body),
    }


def _with_orders(ledger: Ledger, entries: list[Entry]) -> list[Entry]:
    """The job's own entries and those of parts orders and of the shelf that are for it, in the order of the ledger."""
    from quotekit.model.entries import Cancelled, Ordered, Received, ShelfMove

    job, numbers, told = entries[0].job, set[int | None](), list(entries)
    for entry in ledger.entries(kinds=("ordered", "received", "cancelled", "shelf")):
        if entry.kind == "ordered":
            if mine := job in entry.told(Ordered).jobs:
                numbers.add(entry.number)
        elif entry.kind == "shelf":
            mine = entry.told(ShelfMove).job == job
        else:
            order = entry.told(Received).order if entry.kind == "received" else entry.told(Cancelled).order
            mine = order in numbers
        if mine:
            told.append(entry)
    return sorted(told, key=lambda entry: entry.seq)
