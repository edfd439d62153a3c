"""A changed job as JSON: what is new, what it comes to, and whether the customer must be asked."""

from __future__ import annotations

from collections.abc import Sequence
from decimal import Decimal
from typing import Any

from quotekit.documents.quote_json import money, money_or_none, problem_json
from quotekit.model.entries import Entry, Issued
from quotekit.money import minor_digits
from quotekit.problems import Problem

_ANSWERS = {"accepted": "yes", "declined": "no"}


def lay_out_revision_json(
    entry: Entry,
    problems: Sequence[Problem],
    files: Sequence[str],
    *,
    book_alone: Decimal | None,
    recorded: bool,
    answer: Entry | None = None,
) -> dict[str, Any]:
    """One object; every amount as text. `book_alone` is what the shop book alone adds, None where it is not known.

    `answer` is the customer's yes or no to it, where there is one already.
    """
    issued = entry.told(Issued)
    revision, digits = issued.revision, minor_digits(issued.currency)
    if revision is None:
        raise ValueError("the entry is of no changed job")
    rise = revision.after - revision.before
    return {
        "job": entry.job,
        "version": entry.version,
        "of_version": revision.of_version,
        "tier": revision.tier,
        "extras": list(revision.extras),
        "new": list(revision.new),
        "adds": {key: money(amount, digits) for key, amount in revision.adds.items()},
        "currency": issued.currency,
        "total": money(revision.agreed.total, digits),
        "tax": money(revision.agreed.tax, digits),
        "basis": issued.rule.compares,
        "authorised": money(revision.before, digits),
        "now": money(revision.after, digits),
        "rise": money(rise, digits),
        "threshold": money(revision.threshold, digits),
        "over": money(max(rise - revision.threshold, Decimal(0)), digits),
        "needs_consent": revision.needs_consent,
        "answer": None if answer is None else _ANSWERS[answer.kind],
        "answered_on": None if answer is None else answer.day.isoformat(),
        "book_alone": money_or_none(book_alone, digits),
        "deposit": money(revision.agreed.deposit, digits),
        "ready_days": revision.agreed.ready_days,
        "valid_until": issued.valid_until.isoformat(),
        "recorded": recorded,
        "entry": entry.seq,
        "problems": [problem_json(problem) for problem in problems],
        "files": list(files),
    }
