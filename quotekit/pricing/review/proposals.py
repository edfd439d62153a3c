"""New standard times that the season speaks for; nothing changes by itself.

An operation or step is proposed where at least `FEWEST_JOBS` usual jobs measured it, its shrunk ratio is off 1 by a
tenth or more, and its whole interval is off 1 by more than a twentieth: a time that is right within 5 % is left alone.
An interval as wide about the shrunk ratio must be off 1 too, so that few jobs against a mean that says otherwise wait.
The new time = time in force x shrunk ratio, to hundredths of an hour, half up; opening and closing, the first and
further positions change in the same proportion.
A condition's allowance is proposed where the rusty jobs speak for one that is off by five hundredths or more, with an
interval that does not hold the one in force. Rusty jobs, jobs at the minimum, comebacks, split hours and jobs under an
older time never move a standard time.
Without a shop book the ratio is told, and no cell can be.
Units: hours, a fraction. Source: TRADE 12, propose and never change, keep the old; the limits are shop policy.

Example: 0.60 h in force, shrunk ratio 1.25, interval 1.08 to 1.42, 14 jobs: 0.75 h, from 0.65 to 0.85.
"""

from __future__ import annotations

from collections.abc import Iterator, Mapping, Sequence
from decimal import Decimal
from fractions import Fraction

from quotekit.model.review import Change, Proposal
from quotekit.model.shop_book import ShopBook
from quotekit.money import Exact, round_to
from quotekit.pricing.review.accuracy import Estimate, Estimates, WorkCode
from quotekit.pricing.review.roots import decimal_of
from quotekit.pricing.review.rust import RustRatio, allowance_of, reach_of

FEWEST_JOBS = 5
LEAST_OFF = Decimal("0.1")
RIGHT_WITHIN = Decimal("0.05")
LEAST_ALLOWANCE_OFF = Decimal("0.05")

_HOUR_DIGITS = 2
_Cells = tuple[tuple[str, Decimal], ...]


def propose_times(found: Sequence[Estimates], book: ShopBook | None) -> tuple[Proposal, ...]:
    """For the usual jobs, the longest way off first told in text order of codes."""
    usual = [each for one in found if one.circumstance == "usual" for each in one.each]
    return tuple(_time(each, book) for each in usual if speaks_for_change(each))


def speaks_for_change(found: Estimate) -> bool:
    """True where the season speaks against the time in force."""
    shrunk, reach = decimal_of(found.group.shrunk), found.reach
    if len(found.jobs) < FEWEST_JOBS or reach is None or abs(shrunk - 1) < LEAST_OFF:
        return False
    longer = found.low > 1 + RIGHT_WITHIN and shrunk - reach > 1
    return longer or (found.high < 1 - RIGHT_WITHIN and shrunk + reach < 1)


def propose_allowances(
    ratios: Sequence[RustRatio], in_force: Mapping[str, Decimal | None], book: ShopBook | None
) -> Iterator[Proposal]:
    """For the conditions whose allowance in force is known."""
    for found in ratios:
        now, ends = in_force.get(found.condition), reach_of(found, len(ratios))
        new = allowance_of(found.ratio)
        if now is None or ends is None or found.jobs < FEWEST_JOBS:
            continue
        if abs(new - now) >= LEAST_ALLOWANCE_OFF and not ends[0] <= 1 + now <= ends[1]:
            yield _allowance(found, now, ends, book)


def standard_times(book: ShopBook | None) -> dict[WorkCode, Decimal]:
    """Net hours of each operation, opening and closing of each step."""
    if book is None:
        return {}
    operations: dict[WorkCode, Decimal] = {("operation", code): row.net_hours for code, row in book.operations.items()}
    steps = book.access.items()
    return operations | {("access", code): row.hours_to_open + row.hours_to_close for code, row in steps}


def _time(found: Estimate, book: ShopBook | None) -> Proposal:
    kind, code = found.code
    job, ratio = found.jobs[-1], found.group.shrunk
    sheet, cells = _cells_of(kind, code, book)
    return Proposal(
        kind="access" if kind == "access" else "operation",
        code=code,
        name=job.name,
        jobs=len(found.jobs),
        in_force=job.norm,
        ratio=round_to(found.group.ratio, 4),
        shrunk=round_to(ratio, 4),
        new=_times(job.norm, ratio),
        low=_times(job.norm, found.low),
        high=_times(job.norm, found.high),
        changes=tuple(
            Change(
                sheet=sheet,
                code=code,
                column=column,
                in_force=now,
                new=_times(now, ratio),
                low=_times(now, found.low),
                high=_times(now, found.high),
            )
            for column, now in cells
        ),
    )


def _cells_of(kind: str, code: str, book: ShopBook | None) -> tuple[str, _Cells]:
    """The cells of the book that hold a time; a time of zero stays as it is."""
    if book is None:
        return "", ()
    if kind == "access":
        step = book.access.get(code)
        cells = () if step is None else (("Hours to open", step.hours_to_open), ("Hours to close", step.hours_to_close))
        return "Access", tuple((column, hours) for column, hours in cells if hours)
    row = book.operations.get(code)
    if row is None:
        return "Operations", ()
    second = () if not row.second_side_hours else (("Second side hours", row.second_side_hours),)
    return "Operations", (("Net hours", row.net_hours), *second)


def _allowance(found: RustRatio, now: Decimal, ends: tuple[Decimal, Decimal], book: ShopBook | None) -> Proposal:
    low, new, high = allowance_of(ends[0]), allowance_of(found.ratio), allowance_of(ends[1])
    row = None if book is None else book.conditions.get(found.condition)
    change = Change(
        sheet="Conditions", code=found.condition, column="Allowance", in_force=now, new=new, low=low, high=high
    )
    return Proposal(
        kind="condition",
        code=found.condition,
        name=found.condition if row is None else row.name,
        jobs=found.jobs,
        in_force=now,
        ratio=round_to(found.ratio, 4),
        shrunk=round_to(found.ratio, 4),
        new=new,
        low=low,
        high=high,
        changes=() if row is None else (change,),
    )


def _times(hours: Decimal, ratio: Exact) -> Decimal:
    return round_to(Fraction(hours) * Fraction(ratio), _HOUR_DIGITS)
