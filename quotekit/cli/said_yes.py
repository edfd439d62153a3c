"""A customer's yes as it reached the shop: in a quote sent back, in a reply text, or by word of mouth."""

from __future__ import annotations

import argparse
from pathlib import Path
from typing import TYPE_CHECKING

from quotekit.problems import Place, Problem, error
from quotekit.record import record

if TYPE_CHECKING:
    from datetime import date

    from quotekit.model.entries import Means
    from quotekit.model.returned_choice import ReturnedChoice

_TEXTS = (".txt", ".eml", ".text")
_TYPED_JOB, _TYPED_TIER = Place("--job"), Place("--tier")


@record
class SaidYes:
    """What is known of a yes before it is held against the ledger; places say where each part stands."""

    job: str
    version: int | None
    """None for word of mouth: the current version is meant."""
    tier: str
    """Empty where none is named."""
    extras: tuple[str, ...]
    by: Means
    mark: str | None = None
    """The fingerprint in what came back, or its first digits; None for word of mouth."""
    option: str = ""
    """The option's name beside its code, where both are given."""
    file: tuple[str, bytes] | None = None
    job_at: Place = _TYPED_JOB
    version_at: Place = _TYPED_JOB
    tier_at: Place = _TYPED_TIER
    mark_at: Place = _TYPED_JOB


_Said = tuple[SaidYes | None, list[Problem]]


def said_yes(options: argparse.Namespace, today: date) -> _Said:
    """The yes that the options tell of."""
    returned: Path | None = options.returned
    if returned is None:
        return _by_mouth(options)
    if options.job is not None or options.tier is not None or options.extra or options.by is not None:
        message = "A choice was typed beside what the customer sent back."
        remedy = "Give the file alone; or what was said, with --by, and --extra before each extra."
        return None, [error(Place(returned.name), "choice-given-twice", message, remedy)]
    if options.text or str(returned) == "-" or returned.suffix.casefold() in _TEXTS:
        return _in_reply(returned, today)
    return _in_workbook(returned, today)


def _by_mouth(options: argparse.Namespace) -> _Said:
    from quotekit.cli.chosen import listed

    if options.job is None:
        remedy = "Give the quote sent back, or what was said: --job JOB --tier CODE --by phone --who NAME ..."
        return None, [error(Place("quotekit accept"), "nothing-to-accept", "There is nothing to accept.", remedy)]
    tier, extras = options.tier or "", tuple(listed(options.extra))
    return SaidYes(job=options.job, version=None, tier=tier, extras=extras, by=options.by or "phone"), []


def _in_workbook(path: Path, today: date) -> _Said:
    from quotekit.workbook.read_returned import choice_of, read_quote

    quote, problems = read_quote(path)
    if quote is None:
        return None, problems
    choice, problems = choice_of(quote, today)
    yes = _returned(
        choice,
        file=(path.name, path.read_bytes()),
        job_at=quote.place("quote_number"),
        version_at=quote.place("quote_version"),
        tier_at=quote.place("chosen_tier"),
        mark_at=quote.place("content_marks"),
    )
    return yes, _without_expiry(problems)


def _in_reply(path: Path, today: date) -> _Said:
    from quotekit.cli.reply_file import read_reply_file
    from quotekit.documents.reply_text import CHECK, OPTION, QUOTE, read_reply
    from quotekit.workbook.returned_reply import choice_of_reply

    text, problems = read_reply_file(path)
    if text is None:
        return None, problems
    file = "reply" if str(path) == "-" else path.name
    reply, problems = read_reply(text, file)
    if not reply.job_number:
        return None, problems
    choice, more = choice_of_reply(reply, None, today, file)

    def at(label: str) -> Place:
        line = reply.lines.get(label)
        return Place(file, cell=f"line {line}") if line else Place(file)

    yes = _returned(
        choice,
        file=("reply.txt", text.encode()) if str(path) == "-" else (path.name, path.read_bytes()),
        job_at=at(QUOTE),
        version_at=at(QUOTE),
        tier_at=at(OPTION),
        mark_at=at(CHECK),
    )
    return yes, [*problems, *_without_expiry(more)]


def _returned(
    choice: ReturnedChoice, *, file: tuple[str, bytes], job_at: Place, version_at: Place, tier_at: Place, mark_at: Place
) -> SaidYes:
    return SaidYes(
        job=choice.job_number,
        version=choice.version,
        tier=choice.tier or "",
        option=choice.option or "",
        extras=choice.extras,
        by="returned quote",
        mark=choice.fingerprint,
        file=file,
        job_at=job_at,
        version_at=version_at,
        tier_at=tier_at,
        mark_at=mark_at,
    )


def _without_expiry(problems: list[Problem]) -> list[Problem]:
    """Until when the quote holds is told by the ledger, not by what came back."""
    return [problem for problem in problems if problem.code != "quote-expired"]
