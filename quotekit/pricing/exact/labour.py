"""Hours and labour money as sums (DESIGN.md 5.3; `pricing/hours` in numbers).

Per rate: steps once, net hours (each further position takes the second-side hours), the condition's allowance, less
hours off; rounded up to the step. What is missing to the minimum is billed at the default rate. Money in minor units.
A ceiling split over several rates is counted in units of time (`split`); where those are too many it is held between
bounds, and the search sees to it.
"""

from __future__ import annotations

from collections.abc import Mapping
from decimal import Decimal
from fractions import Fraction

from quotekit.pricing.basis import ZERO, Basis
from quotekit.pricing.exact.flags import FALSE, Flag, add_flag
from quotekit.pricing.exact.lines import Line, common_unit, total
from quotekit.pricing.exact.present import Present
from quotekit.pricing.exact.program import Program
from quotekit.pricing.exact.split import Shares, counted_parts, numbers_of
from quotekit.record import record


def labour_of(program: Program, basis: Basis, present: Present, off: Line) -> Line:
    """Labour money of the work present in minor units, the minimum line with it; bundles' hours are taken off."""
    slowed: dict[str, Line] = {}
    worked = _net_and_access(program, basis, present, slowed)
    step = basis.book.settings.hours_step
    allowance = _allowance(program, basis, slowed, [*worked.values(), off])
    amounts, billed = Line(), Line()
    for rate in sorted(worked):
        hours, exact = Line().plus(worked[rate]), Line().plus(worked[rate])
        hours.plus(allowance.parts.get(rate, Line()))
        exact.plus(allowance.full.get(rate, Line()))
        if rate == basis.default_rate and (off.terms or off.constant):
            hours = program.above_zero(hours.plus(off, -1))
            exact.plus(off, -1)
        if allowance.split == FALSE:
            steps = program.rounded_up(hours, step)
        else:
            steps = program.rounded_up_within(hours, step, exact, allowance.split, _GRAIN)
        billed.add(steps, step)
        amounts.plus(program.rounded(Line().add(steps, minor(basis, step * basis.rates[rate].rate_per_hour))))
    missing = program.above_zero(Line(basis.book.settings.minimum_labour_hours).plus(billed, -1))
    amounts.plus(program.rounded(missing.times(minor(basis, basis.rates[basis.default_rate].rate_per_hour))))
    return amounts


def minor(basis: Basis, amount: Decimal) -> Fraction:
    """An amount in minor units of the currency."""
    return Fraction(amount) * Fraction(10**basis.digits)


def _net_and_access(program: Program, basis: Basis, present: Present, slowed: dict[str, Line]) -> dict[str, Line]:
    worked: dict[str, Line] = {}
    further: dict[str, list[Flag]] = {}
    for key, flag in present.operations.items():
        op = basis.op_named(key)
        hours = op.net_hours
        if op.second_side_hours is not None:
            hours = op.second_side_hours
            further.setdefault(op.code, []).append(flag)
        _add_hours(worked, slowed, op.rate, op.slowed, flag, hours)
    for code, flags in further.items():
        op = next(basis.op_named(key) for key in present.operations if basis.op_named(key).code == code)
        first = op.net_hours - (op.second_side_hours or ZERO)
        _add_hours(worked, slowed, op.rate, op.slowed, program.either(flags), first)
    for key, flag in present.steps.items():
        step = basis.step_named(key)
        add_flag(worked.setdefault(step.rate, Line()), flag, step.hours)
    return worked


def _add_hours(
    worked: dict[str, Line], slowed: dict[str, Line], rate: str, is_slowed: bool, flag: Flag, hours: Decimal
) -> None:
    add_flag(worked.setdefault(rate, Line()), flag, hours)
    if is_slowed:
        add_flag(slowed.setdefault(rate, Line()), flag, hours)


@record
class Allowance:
    """The condition's allowance by rate: as it counts, and as it would be without a ceiling."""

    parts: Mapping[str, Line]
    full: Mapping[str, Line]
    split: Flag
    """True where the ceiling is reached and split over rates: the parts are then held between bounds."""


def _allowance(program: Program, basis: Basis, slowed: dict[str, Line], hours: list[Line]) -> Allowance:
    """`hours` are all that are rounded up with the allowance."""
    condition = basis.condition
    if condition is None or not slowed:
        return Allowance(parts={}, full={}, split=FALSE)
    full = {rate: line.times(condition.allowance) for rate, line in slowed.items()}
    together = total(full.values())
    _, most = together.span(program.bounds)
    cap = condition.at_most_hours
    if cap is None or most <= cap:
        return Allowance(parts=full, full=full, split=FALSE)
    if len(full) == 1:
        capped = {rate: program.least_of(line, cap) for rate, line in full.items()}
        return Allowance(parts=capped, full=capped, split=FALSE)
    reached = program.at_least(together, cap)
    unit = common_unit([basis.book.settings.hours_step, *numbers_of(hours)])
    counted = counted_parts(program, full, Fraction(cap), reached, unit)
    if counted is not None:
        return Allowance(parts=counted, full=counted, split=FALSE)
    return _split_between(program, full, Fraction(cap), reached)


def _split_between(program: Program, full: dict[str, Line], cap: Fraction, reached: Flag) -> Allowance:
    """A ceiling split over rates: together it is exact, each rate's part lies between what it can be."""
    capped = program.least_of(total(full.values()), cap)
    parts: dict[str, Line] = {}
    for rate, line in sorted(full.items()):
        _, largest = line.span(program.bounds)
        part = Line().add(program.amount(0, (largest / _GRAIN).__ceil__()), _GRAIN)
        gap = Line().plus(part).plus(line, -1)
        program.row(gap, high=0)
        program.row(add_flag(Line().plus(gap), reached, largest), low=-_GRAIN)
        parts[rate] = part
    Shares(program=program, full=full, parts=parts, cap=cap, short=_GRAIN, over=Fraction(0)).state()
    program.row(total(parts.values()).plus(capped, -1), low=-_GRAIN * len(parts), high=0)
    return Allowance(parts=parts, full=full, split=reached)


_GRAIN = Fraction(1, 10_000)
"""Hours: how finely a split ceiling is told apart."""
