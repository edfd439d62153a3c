"""Hours and labour of any choice, per labour rate (DESIGN.md 5.3), the same rules as `pricing/hours`.

Hours are whole numbers of a power of ten. The condition's allowance has no fraction: with P = 100 %, S = all hours
slowed by rust, s = those of this rate, limit = its most hours: where S x percent > limit x P it bites,
K = S and w = limit, else K = P and w = percent; hours = base x K + s x w - off x K over K, rounded up to the step.
"""

from __future__ import annotations

from collections.abc import Mapping, Sequence
from decimal import Decimal

from quotekit.model.expression import (
    Expression,
    all_of,
    any_of,
    if_more,
    minus,
    most,
    rounded,
    rounded_up,
    times,
    total,
    weighted,
)
from quotekit.pricing.basis import Op
from quotekit.pricing.live.work import LiveWork
from quotekit.pricing.live.working import Working, decimals, whole
from quotekit.record import record

Weights = list[tuple[int, Expression]]


@record
class LiveLabour:
    """Labour amount of each rate in text order, and the minimum line, in minor units."""

    rates: Mapping[str, Expression]
    minimum: Expression

    @property
    def lines(self) -> list[Expression]:
        """Every labour line in the order of the engine."""
        return [*self.rates.values(), self.minimum]


def live_labour(working: Working, work: LiveWork, off: Sequence[tuple[Decimal, Expression]]) -> LiveLabour:
    """Billed hours times the rate, rounded; `off` are the hours of bundles with their flags."""
    basis = working.basis
    settings = basis.book.settings
    digits = _hour_digits(work, [value for value, _ in off])
    base, slowed = _hours_by_rate(work, digits)
    limit, weight = _allowance(working, slowed, digits)
    step = whole(settings.hours_step, digits)
    amounts: dict[str, Expression] = {}
    billed: list[Expression] = []
    for rate in sorted(base):
        hours_off = weighted((whole(value, digits), flag) for value, flag in off) if rate == basis.default_rate else 0
        worked = working.step("hours worked", weighted(base[rate]), _most_hours(base[rate]))
        rusty = working.step("hours slowed by rust", weighted(slowed[rate]), worked)
        by, share = (1, 0) if rusty == 0 else (limit, weight)
        bare = minus(total(times(worked, by), times(rusty, share)), times(hours_off, by))
        needed = working.step("hours to bill", bare if hours_off == 0 else most(0, bare))
        steps = working.step(
            "hours steps billed", rounded_up(needed, times(by, step)), _most_steps(working, worked, rusty, step)
        )
        billed.append(times(steps, step))
        amounts[rate] = working.step("labour", _amount(working, times(steps, step), rate, digits))
    least_hours = whole(settings.minimum_labour_hours, digits)
    missing = most(0, minus(least_hours, total(*billed))) if least_hours else 0
    added = working.step("hours to the minimum", missing)
    minimum = working.step("labour to the minimum", _amount(working, added, basis.default_rate, digits))
    return LiveLabour(rates=amounts, minimum=minimum)


def _most_hours(weights: Weights) -> Expression:
    """Everything done, no position taking less."""
    return sum(weight for weight, _ in weights if weight > 0)


def _most_steps(working: Working, worked: Expression, rusty: Expression, step: int) -> Expression:
    """The steps billed with the whole allowance, whatever its limit."""
    condition = working.basis.condition
    places = decimals([condition.allowance]) if condition else 0
    percent = whole(condition.allowance, places) if condition else 0
    hundred = 10**places
    return rounded_up(total(times(worked, hundred), times(rusty, percent)), hundred * step)


def _amount(working: Working, hours: Expression, rate: str, digits: int) -> Expression:
    per_hour = working.basis.rates[rate].rate_per_hour
    more = max(0, decimals([per_hour]) - working.basis.digits)
    return rounded(times(hours, whole(per_hour, working.basis.digits + more)), 10 ** (digits + more))


def _hour_digits(work: LiveWork, off: Sequence[Decimal]) -> int:
    basis = work.basis
    settings = basis.book.settings
    hours = [settings.hours_step, settings.minimum_labour_hours, *off]
    for op in work.operations:
        hours += [op.net_hours] if op.second_side_hours is None else [op.net_hours, op.second_side_hours]
    hours += [basis.step_named(key).hours for key in work.steps]
    if basis.condition is not None and basis.condition.at_most_hours is not None:
        hours.append(basis.condition.at_most_hours)
    return decimals(hours)


def _hours_by_rate(work: LiveWork, digits: int) -> tuple[dict[str, Weights], dict[str, Weights]]:
    """Access and net hours of each rate, and those of them that rust slows."""
    base: dict[str, Weights] = {}
    slowed: dict[str, Weights] = {}
    earlier: dict[str, list[Expression]] = {}
    for op in work.operations:
        weights = _operation(work, op, any_of(earlier.get(op.code, ())), digits)
        earlier.setdefault(op.code, []).append(work.present(op.key))
        base.setdefault(op.rate, []).extend(weights)
        slowed.setdefault(op.rate, []).extend(weights if op.slowed else ())
    for key, flag in work.steps.items():
        step = work.basis.step_named(key)
        base.setdefault(step.rate, []).append((whole(step.hours, digits), flag))
        slowed.setdefault(step.rate, [])
    return base, slowed


def _operation(work: LiveWork, op: Op, further: Expression, digits: int) -> Weights:
    """Net hours where it is done; less by what a further position takes less."""
    done = work.present(op.key)
    net = whole(op.net_hours, digits)
    weights: Weights = [(net, done)]
    if op.second_side_hours is not None and further != 0:
        both = work.working.step("further position", all_of(done, further))
        weights.append((whole(op.second_side_hours, digits) - net, both))
    return weights


def _allowance(working: Working, slowed: Mapping[str, Weights], digits: int) -> tuple[Expression, Expression]:
    """K and w of the condition's allowance."""
    condition = working.basis.condition
    if condition is None or not condition.allowance:
        return 1, 0
    places = decimals([condition.allowance])
    percent, hundred = whole(condition.allowance, places), 10**places
    if condition.at_most_hours is None:
        return hundred, percent
    most_hours = whole(condition.at_most_hours, digits)
    parts = [part for rate in slowed.values() for part in rate]
    everything = working.step("all hours slowed by rust", weighted(parts), _most_hours(parts))
    wanted = times(everything, percent)
    by = if_more(wanted, most_hours * hundred, everything, hundred)
    weight = if_more(wanted, most_hours * hundred, most_hours, percent)
    return working.step("allowance divisor", by), working.step("allowance weight", weight)
