"""Who pays for shared work (DESIGN.md 5.6): an equal part of each step among the items that need it.

That is the Shapley value of this cost game (Littlechild and Owen, Management Science 20(3), 1973).
Operations brought by several items, Always work and single-use access parts are split the same way,
the allowance by the hours slowed by rust. Hours are exact and before hours off and rounding up;
each money line is split to the minor unit by largest remainder, ties to the earlier item.
Units: hours, money.

Worked example: carburettor needs A 0.5 and B 0.3; gasket A, B and C 0.9; belt D 0.4. Carburettor 0.25 + 0.15 = 0.4,
gasket 0.25 + 0.15 + 0.9 = 1.3, belt 0.4: together 2.1, the hours of each step once.
"""

from __future__ import annotations

from collections.abc import Iterable, Mapping, Sequence
from decimal import Decimal
from fractions import Fraction

from quotekit.model.quote import Share
from quotekit.money import allocate, round_to
from quotekit.pricing.basis import ZERO, Basis, PartUse
from quotekit.pricing.charges import Charges
from quotekit.pricing.items import Item
from quotekit.pricing.work import Work, brought_by
from quotekit.record import record

Weights = dict[str, Fraction]


@record
class Users:
    """Item keys that need each operation and each step; Always work is needed by every item with work of its own."""

    of_operation: Mapping[str, tuple[str, ...]]
    of_step: Mapping[str, tuple[str, ...]]
    everyone: tuple[str, ...]
    always: frozenset[str]
    """Operations and steps that the Always work needs."""


def users_of(basis: Basis, work: Work) -> Users:
    """Which items need each operation and step."""
    working = [item for item in work.items if not work.is_done_by_larger(item)] or list(work.items)
    everyone = tuple(item.key for item in working)
    operations: dict[str, dict[str, None]] = {key: {} for key in work.present}
    steps: dict[str, dict[str, None]] = {key: {} for key in work.steps}
    for item in working:
        for key in brought_by(item, work.present):
            operations[key][item.key] = None
            for step in basis.op_named(key).steps:
                steps[step][item.key] = None
    always = brought_by(work.always, work.present)
    always_steps: frozenset[str] = frozenset().union(*(basis.op_named(key).steps for key in always))
    shared = always | always_steps
    return Users(
        of_operation={key: everyone if key in shared else tuple(found) for key, found in operations.items()},
        of_step={key: everyone if key in shared else tuple(found) for key, found in steps.items()},
        everyone=everyone,
        always=shared,
    )


def shares_of(basis: Basis, charges: Charges, users: Users) -> tuple[Share, ...]:
    """Each item's hours and money; money adds up to the tier's labour, parts and sublet exactly."""
    keys = [item.key for item in charges.work.items]
    hours_at = _hours_by_rate(basis, charges, users, keys)
    hours = {key: sum((at[key] for at in hours_at.values()), Fraction(0)) for key in keys}
    labour = _zero(keys, basis.digits)
    for rate, amount in charges.labour.items():
        _spread(labour, amount, hours_at[rate], basis.digits)
    _spread(labour, charges.minimum, hours if any(hours.values()) else _equal(keys, users.everyone), basis.digits)
    parts = _parts_shares(basis, charges, users, keys)
    sublet = _zero(keys, basis.digits)
    for line, amount in charges.sublet.items():
        _spread(sublet, amount, _equal(keys, users.of_operation[line]), basis.digits)
    return tuple(
        Share(
            item=key,
            hours=round_to(hours[key], 4),
            labour=labour[key],
            parts=parts[key],
            sublet=sublet[key],
            amount=labour[key] + parts[key] + sublet[key],
        )
        for key in keys
    )


def _hours_by_rate(basis: Basis, charges: Charges, users: Users, keys: Sequence[str]) -> dict[str, Weights]:
    by_rate: dict[str, Weights] = {rate: _no_weights(keys) for rate in charges.hours.by_rate}
    slowed: dict[str, Weights] = {rate: _no_weights(keys) for rate in charges.hours.by_rate}
    for key, hours in charges.hours.of_operation.items():
        op = basis.op_named(key)
        if hours:
            _give(by_rate[op.rate], hours, users.of_operation[key])
            if op.slowed:
                _give(slowed[op.rate], hours, users.of_operation[key])
    for key in charges.work.steps:
        step = basis.step_named(key)
        if step.hours:
            _give(by_rate[step.rate], step.hours, users.of_step[key])
    if charges.hours.allowance:
        per_hour = Fraction(charges.hours.allowance) / Fraction(charges.hours.slowed)
        for rate, weights in slowed.items():
            for key, hours_slowed in weights.items():
                by_rate[rate][key] += hours_slowed * per_hour
    return by_rate


def _parts_shares(basis: Basis, charges: Charges, users: Users, keys: Sequence[str]) -> dict[str, Decimal]:
    """Each part line split by the quantities the items bring, before kits."""
    brought: dict[str, Weights] = {}
    for key in charges.work.present:
        _bring(brought, basis.op_named(key).parts, users.of_operation[key], keys)
    for key in charges.work.steps:
        _bring(brought, basis.step_named(key).parts, users.of_step[key], keys)
    for item in charges.work.items:
        if not charges.work.is_done_by_larger(item):
            _bring(brought, item.parts, (item.key,), keys)
    shares = _zero(keys, basis.digits)
    for line in charges.parts:
        weights = _equal(keys, (line.code,)) if line.one_off else brought[line.code]
        _spread(shares, line.amount, weights, basis.digits)
    return shares


def _bring(brought: dict[str, Weights], uses: Iterable[PartUse], users: Sequence[str], keys: Sequence[str]) -> None:
    for code, quantity in uses:
        _give(brought.setdefault(code, _no_weights(keys)), quantity, users)


def _give(weights: Weights, amount: Decimal, users: Sequence[str]) -> None:
    part = Fraction(amount) / max(1, len(users))
    for user in users:
        weights[user] += part


def _spread(shares: dict[str, Decimal], amount: Decimal, weights: Weights, digits: int) -> None:
    """Split over the items with a weight, over all where none has one."""
    some = {key: weight for key, weight in weights.items() if weight} or weights
    for key, part in zip(some, allocate(amount, list(some.values()), digits), strict=True):
        shares[key] += part


def _no_weights(keys: Sequence[str]) -> Weights:
    return dict.fromkeys(keys, Fraction(0))


def _equal(keys: Sequence[str], users: Sequence[str]) -> Weights:
    return {key: Fraction(1 if key in users else 0) for key in keys}


def _zero(keys: Sequence[str], digits: int) -> dict[str, Decimal]:
    return dict.fromkeys(keys, round_to(ZERO, digits))


def upgrade_items(items: Iterable[Item]) -> frozenset[str]:
    """Keys of the items whose remedy is an upgrade."""
    return frozenset(item.key for item in items if item.remedy is not None and item.remedy.kind == "upgrade")
