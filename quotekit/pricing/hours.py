"""Hours of a set of work, per labour rate (DESIGN.md 5.3).

open + close of each step once + net hours + condition allowance - hours off, rounded up to the step once a rate.
The condition's limit is one for the job, split over the rates by the hours slowed by rust.
Hours off come from the default rate and never below zero. What is missing to the minimum is billed at the default rate.
Units: hours. Source: common practice, no source (round once: rounding each operation up inflates the bill).

Worked example: cover 0.2 + 0.2 open and close, two bushings 0.4 and 0.3 (second side), rust 25 % of 0.7 = 0.175 (below
its 0.5 limit): 0.4 + 0.7 + 0.175 = 1.275, billed 1.3 at a step of 0.1. With a minimum of 1.5, another 0.2 is billed.
"""

from __future__ import annotations

from collections.abc import Iterable, Mapping
from dataclasses import dataclass, replace
from decimal import Decimal
from fractions import Fraction

from quotekit.money import Exact, round_up_to_step, shown_hours
from quotekit.pricing.basis import ZERO, Basis
from quotekit.pricing.work import Work, hours_of_operations
from quotekit.record import record


@dataclass(slots=True)
class RateHours:
    """Hours at one labour rate."""

    access: Decimal = ZERO
    net: Decimal = ZERO
    slowed: Decimal = ZERO
    allowance: Exact = ZERO
    off: Exact = ZERO
    billed: Decimal = ZERO

    @property
    def worked(self) -> Exact:
        """Before hours off and rounding up: what the work takes."""
        hours = self.access + self.net
        return hours + self.allowance if isinstance(self.allowance, Decimal) else Fraction(hours) + self.allowance


@record
class WorkHours:
    """Hours of a set of work; rates in text order."""

    by_rate: Mapping[str, RateHours]
    of_operation: Mapping[str, Decimal]
    slowed: Decimal
    allowance: Decimal
    minimum_added: Decimal

    @property
    def off(self) -> Decimal:
        """Hours that bundles took off."""
        return sum((shown_hours(rate.off) for rate in self.by_rate.values()), ZERO)


def hours_of(basis: Basis, work: Work, hours_off: Decimal) -> WorkHours:
    """Build up the hours of a set of work, with the bundles' hours taken off."""
    return _built_up(basis, {}, hours_of_operations(basis, work.present), work.steps, hours_off)


def hours_with(
    basis: Basis, before: WorkHours, operations: Mapping[str, Decimal], steps: Iterable[str], hours_off: Decimal
) -> WorkHours:
    """Hours of a work that grows by operations, none of them a further side of another, and by steps."""
    rates = {rate: RateHours(access=at.access, net=at.net, slowed=at.slowed) for rate, at in before.by_rate.items()}
    grown = _built_up(basis, rates, operations, steps, hours_off)
    return replace(grown, of_operation={**before.of_operation, **operations})


def _built_up(
    basis: Basis,
    rates: dict[str, RateHours],
    of_operation: Mapping[str, Decimal],
    steps: Iterable[str],
    hours_off: Decimal,
) -> WorkHours:
    """Operations and steps added to the sums of each rate; then allowance, hours off, rounding and the minimum."""
    for key, hours in of_operation.items():
        op = basis.op_named(key)
        at = rates.setdefault(op.rate, RateHours())
        at.net += hours
        if op.slowed:
            at.slowed += hours
    for key in steps:
        step = basis.step_named(key)
        rates.setdefault(step.rate, RateHours()).access += step.hours
    slowed = sum((at.slowed for at in rates.values()), ZERO)
    allowance = total_allowance(basis, slowed)
    for rate, at in rates.items():
        at.allowance = part_of_allowance(allowance, at.slowed, slowed)
        at.off = min(hours_off, at.worked) if rate == basis.default_rate and hours_off else ZERO
        at.billed = round_up_to_step(_less(at.worked, at.off), basis.book.settings.hours_step)
    billed = sum((at.billed for at in rates.values()), ZERO)
    return WorkHours(
        by_rate={rate: rates[rate] for rate in sorted(rates) if rates[rate].worked},
        of_operation=of_operation,
        slowed=slowed,
        allowance=allowance,
        minimum_added=max(ZERO, basis.book.settings.minimum_labour_hours - billed),
    )


def total_allowance(basis: Basis, slowed: Decimal) -> Decimal:
    """The condition's percent of the hours slowed by rust, at most its hours."""
    condition = basis.condition
    if condition is None:
        return ZERO
    allowance = condition.allowance * slowed
    return allowance if condition.at_most_hours is None else min(allowance, condition.at_most_hours)


def _less(hours: Exact, off: Exact) -> Exact:
    if isinstance(hours, Decimal) and isinstance(off, Decimal):
        return hours - off
    return Fraction(hours) - Fraction(off)


def part_of_allowance(allowance: Decimal, part: Decimal, whole: Decimal) -> Exact:
    """One rate's part of the condition's allowance, by the hours slowed by rust."""
    if part == whole or not allowance:
        return allowance if part else ZERO
    return Fraction(allowance) * Fraction(part) / Fraction(whole)
