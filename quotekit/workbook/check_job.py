"""What is wrong between a job and the shop book: sides that remedies need, rates not in force (DESIGN.md 5.9)."""

from __future__ import annotations

from collections.abc import Iterable, Iterator

from quotekit.model.job import FoundFinding, Job
from quotekit.model.rates_in_force import rates_on
from quotekit.model.shop_book import AccessStep, Operation, Remedy, ShopBook
from quotekit.model.source import Source
from quotekit.problems import Place, Problem, error, warning
from quotekit.workbook.names import or_list
from quotekit.workbook.sided import operations_are_sided


def check_job(book: ShopBook, job: Job) -> list[Problem]:
    """Every check that needs the whole job."""
    faults = [finding for finding in job.findings if finding.fault]
    sided = {remedy.code: operations_are_sided(book, remedy.operations) for remedy in _candidates(book, faults)}
    return [
        *_faults_without_side(book, faults, sided),
        *_done_once(book, faults, sided),
        *_rates_not_in_force(book, job),
        *_worth_contradicts(job),
    ]


def _candidates(book: ShopBook, faults: Iterable[FoundFinding]) -> Iterator[Remedy]:
    codes = {remedy.code: remedy for fault in faults for remedy in book.remedies_by_finding.get(fault.code, ())}
    return iter(codes.values())


def _faults_without_side(book: ShopBook, faults: Iterable[FoundFinding], sided: dict[str, bool]) -> Iterator[Problem]:
    for fault in faults:
        candidates = book.remedies_by_finding.get(fault.code, ())
        needing = [remedy.code for remedy in candidates if sided[remedy.code]]
        if fault.side is not None or not needing:
            continue
        place = fault.source.place("Side")
        if len(needing) == len(candidates):
            yield error(
                place,
                "side-needed",
                f"{fault.code} has no side, and every remedy for it is done each side",
                "Type the side it was found on.",
            )
        else:
            yield warning(
                place,
                "side-missing",
                f"{fault.code} has no side, so {or_list(needing)} cannot put it right",
                "Type the side it was found on, if it has one.",
            )


def _done_once(book: ShopBook, faults: list[FoundFinding], sided: dict[str, bool]) -> Iterator[Problem]:
    for remedy in _candidates(book, faults):
        fixed = [fault for fault in faults if fault.code in remedy.fixes and fault.side is not None]
        sides = list(dict.fromkeys(fault.side or "" for fault in fixed))
        if sided[remedy.code] or len(sides) < 2:
            continue
        second = next(fault for fault in fixed if fault.side == sides[1])
        yield warning(
            second.source.place("Side"),
            "done-once",
            f"{remedy.code} has no side: done once, it puts right {'; '.join(remedy.fixes)} on {' and '.join(sides)}",
            "If it is work for each side, set Each side of its operations to Yes.",
            second.side or "",
        )


def _rates_not_in_force(book: ShopBook, job: Job) -> Iterator[Problem]:
    in_force = rates_on(book.labour_rates, job.quote_date)
    for code, place in _rates_used(book, job).items():
        rows = [rate for rate in book.labour_rates if rate.code == code]
        if rows and code not in in_force:
            first = min(rate.in_force_from for rate in rows if rate.in_force_from is not None)
            yield error(
                place,
                "rate-not-in-force",
                f"the labour rate {code} is in force from {first.isoformat()} only, after the quote date "
                f"{job.quote_date.isoformat()}",
                "Add a row to Labour rates that is in force on the quote date.",
                code,
            )


def _worth_contradicts(job: Job) -> Iterator[Problem]:
    clash = job.contradicting_worth
    if clash is not None:
        yield warning(
            job.sources.get(clash[0], Source()).place("Value"),
            "worth-contradicts",
            f"{clash[0]} is above {clash[1]}, so keeping and replacing the machine cannot be compared",
            "Look at both values again.",
        )


def _rates_used(book: ShopBook, job: Job) -> dict[str, Place]:
    """Labour rates this job may bill, each with the first cell that names it."""
    used: dict[str, Place] = {}
    if job.labour_rate is not None:
        used[job.labour_rate] = job.sources.get("Labour rate", Source()).place("Value")
    elif book.labour_rates:
        used[book.labour_rates[0].code] = book.labour_rates[0].source.place("Code")
    for line in job.one_off:
        if line.labour is not None:
            used.setdefault(line.labour, line.source.place("Labour"))
    operations, steps = _work_in_reach(book, job)
    records: list[Operation | AccessStep] = [book.operations[code] for code in operations]
    records += [book.access[code] for code in steps]
    for record in records:
        if record.labour is not None:
            used.setdefault(record.labour, record.source.place("Labour"))
    return used


def _work_in_reach(book: ShopBook, job: Job) -> tuple[list[str], list[str]]:
    """Operations and access steps that the job's findings, extras, plan and machine class may bring."""
    codes = [code for remedy in _candidates(book, job.findings) for code in remedy.operations]
    codes += [code for extra in book.extras.values() for code in extra.operations]
    codes += [item.code for item in job.plan if item.code in book.operations]
    codes += [code for item in job.plan if item.code in book.remedies for code in book.remedies[item.code].operations]
    codes += (book.machines or {})[job.machine_class].always if job.machine_class in (book.machines or {}) else ()
    for code in codes:
        codes += [after for after in book.operations[code].requires if after not in codes]
    operations = list(dict.fromkeys(codes))
    steps = [step for code in operations for step in book.operations[code].access]
    steps += [step for line in job.one_off for step in line.access]
    for step in steps:
        steps += [after for after in book.access[step].needs if after not in steps]
    return operations, list(dict.fromkeys(steps))
