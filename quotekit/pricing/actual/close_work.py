"""A job is closed: what the technician wrote on the work order, with what was clocked, becomes what was done.

Hours written on the sheet and hours clocked both count; the same person twice on the same work is refused, since one of
them is likely the other, unless the sheet alone is to count. Hours of the whole job are split (`split`). Blank cells of
parts are as agreed (`parts_used`). A clock that still runs is told and does not count. A fault measured again that
still fails its limit gives a warning.
Source: shop policy.

Worked example: 0.5 h beside BELT by Ann, 1.0 h clocked on the whole job by Bo: BELT 0.5 measured, and Bo's hour over
all other work by standard share, not measured.
"""

from __future__ import annotations

from collections.abc import Iterable, Iterator, Sequence
from decimal import Decimal

from quotekit.model.agreed import Agreed
from quotekit.model.entries import ActualHours, Clocked, Closed, KeptFile
from quotekit.model.filled_work_order import FilledWorkOrder, TypedHours, TypedMark, TypedQuantity
from quotekit.model.job import FoundFinding, Job
from quotekit.model.shop_book import ShopBook
from quotekit.pricing.actual.parts_used import PartsUsed
from quotekit.pricing.actual.split import split_whole_job
from quotekit.pricing.basis import ZERO
from quotekit.problems import Place, Problem, error, has_errors, warning
from quotekit.record import record

_BY = tuple[str, str]
"""Work and person."""


@record
class JobToClose:
    """What was agreed, and what it was agreed from."""

    book: ShopBook
    job: Job
    agreed: Agreed
    version: int
    agreement: int
    """Number of the entry by which the customer agreed."""


def close_work(
    work: JobToClose,
    filled: FilledWorkOrder,
    clocked: Sequence[Clocked],
    *,
    file: KeptFile | None = None,
    sheet_alone: bool = False,
) -> tuple[Closed | None, list[Problem]]:
    """What was done on a job, None with an error among the problems."""
    problems = _same_job(work, filled)
    if has_errors(problems):
        return None, problems
    hours, found = _hours(work.agreed, filled, () if sheet_alone else clocked)
    not_done, more = _not_done(work.agreed, filled.not_done)
    parts = PartsUsed(work.book, work.job, work.agreed)
    used = parts.used(filled.used, filled.more, not_done)
    cores = parts.cores(filled.cores, used)
    measured, again = _measured(work.job, filled.measured)
    problems += [*found, *more, *parts.problems, *again, *_running(filled.place, () if sheet_alone else clocked)]
    if not hours and not has_errors(problems):
        message = "no hours were written on the sheet or clocked"
        problems.append(warning(filled.place, "no-hours", message, "The job is closed with its hours not known."))
    if has_errors(problems):
        return None, problems
    closed = Closed(
        hours=split_whole_job(work.agreed, hours, not_done),
        parts=used,
        work_order=file,
        notes=filled.notes,
        not_done=not_done,
        cores_returned=cores,
        measured_again=measured,
    )
    return closed, problems


def nothing_written(place: Place, work: JobToClose) -> FilledWorkOrder:
    """A work order on which nothing was written: what was clocked counts, parts are as agreed."""
    return FilledWorkOrder(
        place=place,
        job_number=work.job.job_number,
        version=Decimal(work.version),
        agreement=Decimal(work.agreement),
    )


def _running(place: Place, clocked: Iterable[Clocked]) -> Iterator[Problem]:
    """Clocks that were started and never stopped: their hours are not known, and do not count."""
    last = {one.person.casefold(): one for one in clocked if one.started}
    for one in last.values():
        if not one.ended:
            message = (
                f"the clock of {one.person} runs since {one.started[:16].replace('T', ' ')}; it does not count yet"
            )
            remedy = "Stop it with `quotekit clock --stop`, with --at where it was forgotten, and close again."
            yield warning(place, "clock-running", message, remedy)


def _same_job(work: JobToClose, filled: FilledWorkOrder) -> list[Problem]:
    mine, theirs = (" ".join(number.split()).casefold() for number in (work.job.job_number, filled.job_number))
    if mine != theirs:
        message = f"this is the work order of job {filled.job_number or '(none)'}, not of {work.job.job_number}"
        return [error(filled.place, "other-job", message, "Give the work order of this job.")]
    if filled.version != work.version or filled.agreement != work.agreement:
        message = "the work order was made before what the customer last agreed to"
        remedy = "Look at what changed since; `quotekit work-order` writes the one that holds."
        return [warning(filled.place, "older-work-order", message, remedy)]
    return []


def _hours(
    agreed: Agreed, filled: FilledWorkOrder, clocked: Sequence[Clocked]
) -> tuple[list[ActualHours], list[Problem]]:
    known = {work.key.casefold(): work.key for work in agreed.work}
    problems: list[Problem] = []
    on_sheet: dict[_BY, Decimal] = {}
    first: dict[_BY, TypedHours] = {}
    spelled = _spelled(filled, clocked)
    for one in filled.hours:
        key = known.get(one.work.casefold(), "") if one.work else ""
        if one.work and not key and one.hours:
            message = f"{one.work} is no work of what was agreed"
            remedy = "Write its hours among those of the whole job, or beside a line of this work."
            problems.append(error(one.place, "work-not-agreed", message, remedy, one.work))
        elif one.hours:
            by = (key, spelled[one.person.casefold()])
            first.setdefault(by, one)
            on_sheet[by] = on_sheet.get(by, ZERO) + one.hours
    by_clock: dict[_BY, Decimal] = {}
    for entry in clocked:
        by = (known.get(entry.work.casefold(), ""), spelled[entry.person.casefold()])
        by_clock[by] = by_clock.get(by, ZERO) + entry.hours
    problems += [_twice(first[by], hours) for by, hours in by_clock.items() if by in on_sheet and hours]
    both = {by: on_sheet.get(by, ZERO) + by_clock.get(by, ZERO) for by in (*on_sheet, *by_clock)}
    return [
        ActualHours(work=work, person=person, hours=hours) for (work, person), hours in both.items() if hours
    ], problems


def _spelled(filled: FilledWorkOrder, clocked: Iterable[Clocked]) -> dict[str, str]:
    """One spelling for each person, the first there is."""
    found: dict[str, str] = {}
    for person in (*(one.person for one in filled.hours), *(entry.person for entry in clocked)):
        found.setdefault(person.casefold(), person)
    return found


def _twice(one: TypedHours, clocked: Decimal) -> Problem:
    what = one.work or "the whole job"
    message = f"{one.person} has {one.hours:f} h here and {clocked.normalize():f} h clocked on {what}"
    remedy = "Clear the cell where the clock holds them; or close with --sheet-alone, and the clock does not count."
    return error(one.place, "hours-twice", message, remedy)


def _not_done(agreed: Agreed, typed: Iterable[TypedMark]) -> tuple[tuple[str, ...], list[Problem]]:
    known = {item.key.casefold(): item.key for item in agreed.items}
    found: dict[str, None] = {}
    problems: list[Problem] = []
    for one in typed:
        key = known.get(one.code.casefold())
        if key is None:
            message = f"{one.code} is nothing that was agreed"
            problems.append(error(one.place, "work-not-agreed", message, "Clear the cell.", one.code))
        else:
            found[key] = None
    return tuple(found), problems


def _measured(job: Job, typed: Iterable[TypedQuantity]) -> tuple[dict[str, Decimal], list[Problem]]:
    known = {found.key.casefold(): found for found in job.findings}
    values: dict[str, Decimal] = {}
    problems: list[Problem] = []
    for one in typed:
        found = known.get(one.code.casefold())
        if found is None:
            message = f"{one.code} is no finding of this job"
            problems.append(error(one.place, "unknown-finding", message, "Clear the cell.", one.code))
            continue
        values[found.key] = one.quantity
        if _still_fails(found, one.quantity):
            message = f"{one.quantity.normalize():f} {found.unit} is still {found.fails_when} its limit {found.limit}"
            problems.append(warning(one.place, "still-fails", message, "See whether the work is done.", one.code))
    return values, problems


def _still_fails(found: FoundFinding, value: Decimal) -> bool:
    if found.limit is None:
        return False
    return value > found.limit if found.fails_when == "above" else found.fails_when == "below" and value < found.limit
