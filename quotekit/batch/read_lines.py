"""What the summary needs of an object of `quote --json`: from today's line, from a quote of the ledger, from results.

Amounts are read as they are written, exact.
"""

from __future__ import annotations

import json
from collections.abc import Collection, Iterable, Mapping
from dataclasses import replace
from datetime import date
from decimal import Decimal
from typing import Any

from quotekit.batch.holding import hold
from quotekit.batch.outcome import Outcome
from quotekit.model.batch import BatchedJob, Given, Origin, TierGiven, TierNow, ToldProblem
from quotekit.problems import Problem


def job_of(outcome: Outcome, line: Mapping[str, Any], known: Collection[ToldProblem] = ()) -> BatchedJob:
    """A job of the folder, from its line, without the problems that are known of the shop book."""
    return BatchedJob(
        file=outcome.file,
        job=line["job"] or "",
        version=line["version"],
        customer=outcome.customer,
        machine=outcome.machine,
        valid_until=line["valid_until"] or "",
        day=date.fromisoformat(line["quote_date"]) if line["quote_date"] else None,
        tiers=hold(map(_tier, line["tiers"]), None),
        problems=tuple(each for problem in line["problems"] if (each := told_problem(problem)) not in known),
        currency=line["currency"] or "",
    )


def with_given(job: BatchedJob, given: Given | None) -> BatchedJob:
    """The same job, held against the quote that was given for it; one in another currency is only named."""
    if given is None:
        return job
    job = replace(job, given=given)
    return job if job.other_currency else replace(job, tiers=hold((tier.new for tier in job.tiers), given))


def given_of(line: Mapping[str, Any], origin: Origin, *, standing: str = "", open_: bool = True) -> Given | None:
    """A quote that was given, from its object; None where it offered nothing."""
    tiers = {
        tier["code"]: TierGiven(
            total=_amount(tier["total"]), subtotal=_amount(tier["subtotal"]), items=frozenset(tier["items"])
        )
        for tier in line["tiers"]
        if tier["offered"]
    }
    if not tiers:
        return None
    return Given(
        origin=origin,
        tiers=tiers,
        valid_until=line["valid_until"] or "",
        currency=str(line.get("currency") or ""),
        standing=standing,
        open=open_,
    )


def results_in(text: Iterable[str]) -> dict[tuple[str, int], Given]:
    """Earlier results, a line a job, by job number and version; the first counts where several tell of one.

    Raises ValueError where a line is no such object.
    """
    found: dict[tuple[str, int], Given] = {}
    for number, line in enumerate(text, start=1):
        try:
            value = json.loads(line)
            given = given_of(value, "earlier results")
            if given is not None:
                found.setdefault((value["job"], value["version"]), given)
        except (ValueError, KeyError, TypeError, ArithmeticError, RecursionError) as fault:
            raise ValueError(f"line {number} is no quote of a job") from fault
    return found


def told(problems: Iterable[Problem]) -> tuple[ToldProblem, ...]:
    """Problems as the summary tells them."""
    return tuple(
        ToldProblem(place=str(each.place), severity=each.severity, message=each.message, remedy=each.remedy)
        for each in problems
    )


def told_problem(problem: Mapping[str, str]) -> ToldProblem:
    """A problem of a line."""
    return ToldProblem(
        place=problem["place"],
        severity=problem["severity"],
        message=problem["message"],
        remedy=problem["remedy"],
    )


def _tier(tier: Mapping[str, Any]) -> TierNow:
    return TierNow(
        code=tier["code"],
        name=tier["name"],
        offered=tier["offered"],
        items=tuple(tier["items"]),
        total=_amount(tier["total"]),
        subtotal=_amount(tier["subtotal"]),
        cost=_amount(tier["cost"]["total"]),
        reason=tier["reason"] or "",
    )


def _amount(text: str | None) -> Decimal | None:
    """An amount as it is written. Raises ValueError, TypeError, ArithmeticError where it is none."""
    if text is None:
        return None
    if not isinstance(text, str) or not (amount := Decimal(text)).is_finite():
        raise ValueError("no amount")
    return amount
