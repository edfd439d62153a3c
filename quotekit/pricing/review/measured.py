"""Measured hours of each operation and access step, job by job, and the hours that were only split.

An operation (a step) of a job counts as measured when all hours recorded for it were measured there and are above
zero; its positions are taken together. Hours of a whole job that were split by standard share are listed apart and
never as measured: they would repeat the standard.
Circumstance: `rust` where the job has a condition and the work is slowed by it, `minimum` where the job was charged the
minimum, else `usual`. Comebacks and one-off work are in none.
Units: hours. Source: TRADE 12, shared access is its own item; tag minimum-charge jobs, comebacks and rust jobs.

Example: 0.5 and 0.3 h standard for the two sides, 0.6 and 0.4 h clocked there: 1.0 against 0.8.
"""

from __future__ import annotations

from collections.abc import Iterable
from datetime import date
from decimal import Decimal

from quotekit.model.agreed import AgreedWork, WorkKind
from quotekit.model.entries import ActualHours
from quotekit.model.review import Circumstance, SplitHours
from quotekit.pricing.review.done import Done, work_done
from quotekit.record import record


@record
class Measured:
    """One operation or step on one job."""

    job: str
    on: date
    kind: WorkKind
    code: str
    name: str
    circumstance: Circumstance
    condition: str
    standard: Decimal
    actual: Decimal
    norm: Decimal
    """The standard time then, of the first position."""


def measured_of(done: Done) -> tuple[Measured, ...]:
    """What was measured on a job, in the order of its work."""
    if done.comeback is not None:
        return ()
    by_key = _by_key(done.closed.hours)
    found: dict[tuple[str, str], list[tuple[AgreedWork, Decimal]]] = {}
    for work in _standard_work(done):
        lines = by_key.get(work.key, [])
        hours = sum((line.hours for line in lines), Decimal(0))
        if hours > 0 and all(line.measured for line in lines):
            found.setdefault((work.kind, work.code), []).append((work, hours))
    norms = _norms(done)
    return tuple(_measured(done, each, norms[key]) for key, each in found.items())


def split_hours(all_done: Iterable[Done]) -> tuple[SplitHours, ...]:
    """Split hours by operation and step over all jobs that are no comebacks."""
    found: dict[tuple[str, str], list[tuple[AgreedWork, Decimal]]] = {}
    jobs: dict[tuple[str, str], set[str]] = {}
    for done in all_done:
        by_key = {} if done.comeback is not None else _by_key(done.closed.hours)
        for work in _standard_work(done):
            split = sum((line.hours for line in by_key.get(work.key, []) if not line.measured), Decimal(0))
            if split > 0:
                key = (work.kind, work.code)
                found.setdefault(key, []).append((work, split))
                jobs.setdefault(key, set()).add(done.job)
    return tuple(
        SplitHours(
            code=code,
            name=found[kind, code][-1][0].name,
            jobs=len(jobs[kind, code]),
            standard=sum((work.hours for work, _ in found[kind, code]), Decimal(0)),
            hours=sum((hours for _, hours in found[kind, code]), Decimal(0)),
        )
        for kind, code in sorted(found, key=lambda key: (key[1], key[0]))
    )


def _standard_work(done: Done) -> Iterable[AgreedWork]:
    return (work for work in work_done(done) if work.kind != "one-off" and work.hours > 0)


def _by_key(hours: Iterable[ActualHours]) -> dict[str, list[ActualHours]]:
    found: dict[str, list[ActualHours]] = {}
    for line in hours:
        found.setdefault(line.work, []).append(line)
    return found


def _norms(done: Done) -> dict[tuple[str, str], Decimal]:
    """The most hours of any position: a second side never takes more than the first."""
    found: dict[tuple[str, str], Decimal] = {}
    for work in done.agreed.work:
        found[work.kind, work.code] = max(work.hours, found.get((work.kind, work.code), Decimal(0)))
    return found


def _measured(done: Done, each: list[tuple[AgreedWork, Decimal]], norm: Decimal) -> Measured:
    work = each[0][0]
    rusty = bool(done.agreed.condition) and work.slowed_by_rust
    circumstance: Circumstance = "rust" if rusty else "minimum" if done.agreed.minimum_amount > 0 else "usual"
    return Measured(
        job=done.job,
        on=done.on,
        kind=work.kind,
        code=work.code,
        name=work.name,
        circumstance=circumstance,
        condition=done.agreed.condition,
        standard=sum((one.hours for one, _ in each), Decimal(0)),
        actual=sum((hours for _, hours in each), Decimal(0)),
        norm=norm,
    )
