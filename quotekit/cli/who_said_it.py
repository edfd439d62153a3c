"""Who gave consent, how to reach them, what was said and when: for consent by word of mouth nothing may be missing.

Source: oral consent notes date, time, name, telephone number, what was agreed and how much it comes to (TRADE.md 6).
What and how much are the option and its total, which the record holds by itself.
"""

from __future__ import annotations

import argparse
from datetime import datetime
from typing import TYPE_CHECKING

from quotekit.cli.which_ledger import Facts, facts_of
from quotekit.problems import Place, Problem, error
from quotekit.record import record

if TYPE_CHECKING:
    from datetime import date

WORD_OF_MOUTH = ("phone", "in-person", "message")


@record
class WhoSaidIt:
    """Who, when and what, as recorded."""

    customer: str
    phone: str
    note: str
    said_at: str
    """`2026-11-28 14:05`; the day alone for a file whose hour nobody told."""
    facts: Facts


def add_who_options(parser: argparse.ArgumentParser) -> None:
    """The options that tell who said it."""
    parser.add_argument("--who", metavar="NAME", default="", help="who says so (a file sent back: the customer)")
    parser.add_argument("--phone", metavar="NUMBER", default="", help="the number at which who says so is reached")
    parser.add_argument("--note", metavar="TEXT", default="", help="what was said, in your words")
    parser.add_argument("--at", metavar="TIME", help="when, as 14:05 or 2026-11-25 14:05 (default: now)")


def who_said_it(options: argparse.Namespace, now: datetime, *, by_mouth: bool) -> tuple[WhoSaidIt, list[Problem]]:
    """Who, when and what; each thing that is missing or unclear is a problem of its own."""
    facts = facts_of(options)
    day, hour, problems = _when(options, now)
    facts = facts._replace(day=day)
    who, phone, note = (" ".join(text.split()) for text in (options.who, options.phone, options.note))
    if by_mouth:
        problems = [*_missing(options.by, who, phone, note), *problems]
        if day > now.date() and not problems:
            message = f"{day.isoformat()} is still to come."
            problems.append(error(Place("--on"), "time-unclear", message, "Give the day on which it was said."))
        if not hour and not problems:
            problems.append(_incomplete("--at", "the time of day", "Add --at 14:05, the time at which it was said."))
    said_at = f"{day.isoformat()} {hour}".strip()
    return WhoSaidIt(customer=who, phone=phone, note=note, said_at=said_at, facts=facts), problems


def _missing(by: str | None, who: str, phone: str, note: str) -> list[Problem]:
    found = []
    if by is None:
        found.append(_incomplete("--by", "how it was given", "Add --by phone, --by in-person or --by message."))
    if not who:
        found.append(_incomplete("--who", "the name of who gave it", "Add --who NAME."))
    if not any(char.isdigit() for char in phone):
        found.append(_incomplete("--phone", "the telephone number", "Add --phone NUMBER."))
    if not note:
        found.append(_incomplete("--note", "what was said", "Add --note TEXT, in your own words."))
    return found


def _incomplete(option: str, what: str, remedy: str) -> Problem:
    message = f"Consent by word of mouth is not recorded without {what}."
    return error(Place(option), "consent-incomplete", message, remedy)


def _when(options: argparse.Namespace, now: datetime) -> tuple[date, str, list[Problem]]:
    """The day, the hour, and what is unclear about them; the hour is empty where only an earlier day is known."""
    if options.at is None:
        day: date = options.on or now.date()
        return day, "" if options.on is not None and options.on != now.date() else f"{now:%H:%M}", []
    words = options.at.split()
    try:
        hour = datetime.strptime(words[-1], "%H:%M")
        typed = datetime.strptime(words[0], "%Y-%m-%d").date() if len(words) == 2 else None
    except (ValueError, IndexError):
        hour, typed, words = now, None, []
    day = typed or options.on or now.date()
    if not 1 <= len(words) <= 2:
        message = "This is no time like 14:05 or 2026-11-25 14:05."
        return day, "", [error(Place("--at"), "time-unclear", message, "Type hours and minutes, 0 to 24.", options.at)]
    if typed is not None and options.on not in (None, typed):
        message = f"--at says {typed.isoformat()}, --on says {options.on.isoformat()}."
        return day, "", [error(Place("--at"), "time-unclear", message, "Give the day once.", options.at)]
    if datetime.combine(day, hour.time()) > now:
        message = f"{day.isoformat()} {hour:%H:%M} is still to come."
        return (
            day,
            "",
            [error(Place("--at"), "time-unclear", message, "Give the time at which it was said.", options.at)],
        )
    return day, f"{hour:%H:%M}", []
