"""`quotekit read-choice RETURNED`: what the customer chose, from the quote sent back or the reply text of the page."""

from __future__ import annotations

import argparse
from datetime import date
from pathlib import Path
from typing import TYPE_CHECKING

from quotekit.cli.report import DONE, PROBLEMS, print_json, print_problems, step
from quotekit.cli.typed_day import typed_day

if TYPE_CHECKING:
    from quotekit.cli.which_quote import WhichQuote
    from quotekit.model.returned_choice import ReturnedChoice
    from quotekit.problems import Problem

EXAMPLE = """\
examples:
  quotekit read-choice "117-1 quote.xlsx" --job "job 117.xlsx"
  quotekit read-choice --text reply.txt --job "job 117.xlsx"

prints the option and the extras chosen and the command that prices them. Everything else that differs from what was
sent is a problem with its cell. No total is ever taken from what came back.
"""


def add_command(verbs: argparse._SubParsersAction[argparse.ArgumentParser]) -> None:
    """Declare the verb and its options."""
    parser = verbs.add_parser(
        "read-choice",
        help="what the customer chose, from the quote sent back or the page's reply",
        description="Read the customer's choice, and whether anything else in the quote differs from what was sent.",
        epilog=EXAMPLE,
    )
    parser.add_argument("returned", metavar="RETURNED", type=Path, help="the quote sent back, or with --text the reply")
    parser.add_argument("--text", action="store_true", help="RETURNED is the reply text of the page (- for stdin)")
    parser.add_argument("--job", metavar="JOB", type=Path, help="the job workbook the choice must belong to")
    parser.add_argument(
        "--on", metavar="DATE", type=typed_day, help="the day to judge by, as 2026-11-25 (default: today)"
    )
    parser.add_argument("--json", action="store_true", help="print the choice and the problems as one JSON object")
    parser.set_defaults(run=run)


def run(options: argparse.Namespace) -> int:
    """Read, compare, print."""
    from quotekit.problems import has_errors

    with step(f"Reading {options.returned.name}"):
        choice, problems = read_choice(options.returned, options.on or date.today(), options.job, text=options.text)
    if options.json:
        print_json(choice_json(choice, problems))
    else:
        print_problems(problems)
        for line in [] if choice is None else _lines(choice, options.job, bad=has_errors(problems)):
            print(line)
    return PROBLEMS if has_errors(problems) else DONE


def read_choice(
    returned: Path, today: date, job: Path | None = None, *, text: bool = False
) -> tuple[ReturnedChoice | None, list[Problem]]:
    """The choice in a returned quote or reply, compared with the job and with the quote as sent where they are."""
    beside = [job.parent] if job is not None else []
    folders = beside if str(returned) == "-" else [*beside, returned.parent]
    which, choice, problems = (_reply if text else _workbook)(returned, today, folders)
    return choice, [*([] if which is None else _of_which(which, job, folders)), *problems]


def choice_json(choice: ReturnedChoice | None, problems: list[Problem]) -> dict[str, object]:
    """The choice as one object; what is not known is null or empty."""
    from quotekit.documents.quote_json import problem_json

    quote_date, valid_until = (choice.quote_date, choice.valid_until) if choice else (None, None)
    return {
        "job": choice.job_number if choice else None,
        "version": choice.version if choice else None,
        "quote_date": quote_date.isoformat() if quote_date else None,
        "valid_until": valid_until.isoformat() if valid_until else None,
        "expired": choice.expired if choice else None,
        "tier": choice.tier if choice else None,
        "option": choice.option if choice else None,
        "extras": list(choice.extras) if choice else [],
        "fingerprint": choice.fingerprint if choice else None,
        "unchanged": choice.unchanged if choice else None,
        "changed": list(choice.changed) if choice else [],
        "problems": [problem_json(problem) for problem in problems],
    }


_Found = tuple["WhichQuote | None", "ReturnedChoice | None", "list[Problem]"]


def _workbook(returned: Path, today: date, folders: list[Path]) -> _Found:
    from quotekit.cli.which_quote import WhichQuote, against_sent, as_sent
    from quotekit.workbook.read_returned import choice_of, read_quote

    quote, problems = read_quote(returned)
    if quote is None:
        return None, None, problems
    which = WhichQuote(
        number=quote.number,
        version=quote.version,
        number_at=quote.place("quote_number"),
        version_at=quote.place("quote_version"),
    )
    choice, problems = choice_of(quote, today)
    sent = as_sent(which, folders, returned)
    marks = against_sent(quote.fingerprint, sent, quote.place("content_marks")) if sent else []
    return which, choice, [*marks, *problems]


def _reply(returned: Path, today: date, folders: list[Path]) -> _Found:
    from quotekit.cli.reply_file import read_reply_file
    from quotekit.cli.which_quote import WhichQuote, as_sent
    from quotekit.documents.reply_text import QUOTE, read_reply
    from quotekit.problems import Place
    from quotekit.workbook.returned_reply import choice_of_reply

    text, problems = read_reply_file(returned)
    if text is None:
        return None, None, problems
    file = "reply" if str(returned) == "-" else returned.name
    reply, problems = read_reply(text, file)
    if not reply.lines:
        return None, None, problems
    place = Place(file, cell=f"line {reply.lines[QUOTE]}")
    which = WhichQuote(number=reply.job_number, version=reply.version, number_at=place, version_at=place)
    choice, more = choice_of_reply(reply, as_sent(which, folders, None), today, file)
    return (which if which.number else None), choice, [*problems, *more]


def _of_which(which: WhichQuote, job: Path | None, folders: list[Path]) -> list[Problem]:
    """That the choice belongs to another job, or that there is a newer version: once."""
    from quotekit.cli.which_quote import against_folder, against_job
    from quotekit.workbook.job_identity import read_job_identity

    found: list[Problem] = []
    if job is not None:
        known, found = read_job_identity(job)
        found = against_job(which, *known) if known is not None else found
    for folder in dict.fromkeys(folders):
        if not any(problem.code == "choice-of-older-version" for problem in found):
            found += against_folder(which, folder)
    return found


def _lines(choice: ReturnedChoice, job: Path | None, *, bad: bool) -> list[str]:
    """The choice in words, and the next command."""
    until = f", valid until {choice.valid_until.isoformat()}" if choice.valid_until else ""
    known = {True: ", as it was sent", False: ", not as it was sent", None: ""}[choice.unchanged]
    lines = [f"Job {choice.job_number}, version {choice.version}{until}{known}."]
    if choice.tier is not None:
        lines.append(f"Chosen: {choice.option or choice.tier} [{choice.tier}]; to add: {_listed(choice.extras)}.")
    if choice.tier is not None and not bad:
        lines.append(_next_command(choice, job))
    return lines


def _listed(extras: tuple[str, ...]) -> str:
    return ", ".join(extras) if extras else "nothing"


def _next_command(choice: ReturnedChoice, job: Path | None) -> str:
    """The command that prices the choice, ready to be pasted but for the names of the workbooks."""
    import shlex

    workbook = shlex.quote(str(job)) if job is not None else "JOB"
    extras = "".join(f" --extra {shlex.quote(key)}" for key in choice.extras)
    return f"Price it: quotekit choice BOOK {workbook} --tier {shlex.quote(choice.tier or '')}{extras}"
