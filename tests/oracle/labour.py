"""Hours per labour rate (DESIGN.md 5.3) and each item's exact share of them (5.6)."""

from __future__ import annotations

from dataclasses import dataclass, field
from fractions import Fraction

from tests.oracle.exact import fraction, half_up, up_to_step
from tests.oracle.parts import users
from tests.oracle.work import Item, Work, World, hours_of_operation, hours_of_step

Hours = dict[str, Fraction]


@dataclass
class Labour:
    """Hours by rate, the lines billed, and by item and rate the exact hours."""

    access: Hours = field(default_factory=dict)
    net: Hours = field(default_factory=dict)
    slowed: Hours = field(default_factory=dict)
    allowance: Hours = field(default_factory=dict)
    off: Fraction = Fraction(0)
    billed: Hours = field(default_factory=dict)
    minimum_added: Fraction = Fraction(0)
    amounts: dict[str, Fraction] = field(default_factory=dict)
    """By rate, and MINIMUM for the minimum line."""
    by_item: dict[str, Hours] = field(default_factory=dict)
    slowed_by_item: dict[str, Hours] = field(default_factory=dict)

    def rates(self) -> list[str]:
        """Rates with any work, in text order."""
        return sorted(set(self.access) | set(self.net))

    def worked(self, rate: str) -> Fraction:
        """Before hours off, rounding up and minimum."""
        return (
            self.access.get(rate, fraction(0)) + self.net.get(rate, fraction(0)) + self.allowance.get(rate, fraction(0))
        )

    def item_hours(self, key: str, rate: str) -> Fraction:
        """Exact hours of an item at one rate, its allowance by sensitive hours."""
        own = self.by_item.get(key, {}).get(rate, Fraction(0))
        slowed = self.slowed_by_item.get(key, {}).get(rate, Fraction(0))
        if slowed and rate in self.allowance:
            own += self.allowance[rate] * slowed / self.slowed[rate]
        return own

    def item_total(self, key: str) -> Fraction:
        """Over all rates."""
        return sum((self.item_hours(key, rate) for rate in self.rates()), Fraction(0))


def _add(hours: Hours, rate: str, more: Fraction) -> None:
    hours[rate] = hours.get(rate, Fraction(0)) + more


def _deal(by_item: dict[str, Hours], names: list[str], rate: str, hours: Fraction) -> None:
    for name in names:
        _add(by_item.setdefault(name, {}), rate, hours / len(names))


def labour_of(world: World, items: list[Item], work: Work, hours_off: Fraction) -> Labour:
    """All of 5.3, given the hours off of bundles."""
    labour = Labour()
    _add_steps(world, work, labour)
    _add_operations(world, work, labour)
    for item in items:
        if item.kind == "one-off" and item.record.kind == "labour":
            rate, hours = world.rate(item.record.labour), fraction(item.record.quantity)
            _add_net(labour, [item.key], rate, hours, item.record.slowed_by_rust)
    _allow(world, labour)
    _bill(world, labour, hours_off)
    return labour


def _add_steps(world: World, work: Work, labour: Labour) -> None:
    for step in work.steps:
        rate = world.rate(world.book.access[step[0]].labour)
        hours = fraction(hours_of_step(world, step))
        _add(labour.access, rate, hours)
        _deal(labour.by_item, users(work, work.opens, step), rate, hours)


def _add_operations(world: World, work: Work, labour: Labour) -> None:
    for key in work.operations:
        operation = world.book.operations[key[0]]
        hours = fraction(hours_of_operation(world, key, work.operations))
        names = users(work, work.brings, key)
        _add_net(labour, names, world.rate(operation.labour), hours, operation.slowed_by_rust)


def _add_net(labour: Labour, names: list[str], rate: str, hours: Fraction, slowed: bool) -> None:
    _add(labour.net, rate, hours)
    _deal(labour.by_item, names, rate, hours)
    if slowed:
        _add(labour.slowed, rate, hours)
        _deal(labour.slowed_by_item, names, rate, hours)


def allowance_of(world: World, slowed: Hours) -> Hours:
    """The condition's percent of the slowed hours, one limit for the job, split by slowed hours."""
    if world.job.condition is None or sum(slowed.values()) == 0:
        return {}
    condition = world.book.conditions[world.job.condition]
    whole = sum(slowed.values(), Fraction(0))
    allowed = fraction(condition.allowance) * whole
    if condition.at_most_hours is not None:
        allowed = min(allowed, fraction(condition.at_most_hours))
    return {rate: allowed * hours / whole for rate, hours in slowed.items()}


def _allow(world: World, labour: Labour) -> None:
    labour.allowance = allowance_of(world, labour.slowed)


def _bill(world: World, labour: Labour, hours_off: Fraction) -> None:
    step = fraction(world.book.settings.hours_step)
    for rate in labour.rates():
        hours = labour.worked(rate)
        if rate == world.default_rate:
            labour.off = min(hours, hours_off)
            hours -= labour.off
        labour.billed[rate] = up_to_step(hours, step)
        labour.amounts[rate] = money(world, labour.billed[rate], rate)
    least = fraction(world.book.settings.minimum_labour_hours)
    labour.minimum_added = max(Fraction(0), least - sum(labour.billed.values(), Fraction(0)))
    if labour.minimum_added:
        labour.amounts["MINIMUM"] = money(world, labour.minimum_added, world.default_rate)


def money(world: World, hours: Fraction, rate: str) -> Fraction:
    """Hours at a rate, rounded."""
    return half_up(hours * fraction(world.rates[rate].rate_per_hour), world.digits)
