"""What every tier of one job is priced on: rates in force, positions, part prices and work, looked up once.

Nothing here depends on the tier. Look-ups are by code and kept, so rows the job does not use cost nothing.
"""

from __future__ import annotations

from collections.abc import Iterable
from copy import copy
from dataclasses import dataclass, field, replace
from decimal import Decimal
from functools import cached_property
from typing import NamedTuple

from quotekit.model.job import Job, at_side
from quotekit.model.rates_in_force import rates_on
from quotekit.model.shop_book import (
    AccessStep,
    Condition,
    LabourRate,
    Operation,
    Part,
    Quantity,
    ShopBook,
    Supplier,
)
from quotekit.money import minor_digits, round_to
from quotekit.pricing.part_price import UnitPrice, unit_price
from quotekit.pricing.sides import counts_on

PartUse = tuple[str, Decimal]
ZERO = Decimal(0)


class Op(NamedTuple):
    """An operation on one side, or a one-off line's own work."""

    key: str
    code: str
    side: str | None
    net_hours: Decimal
    second_side_hours: Decimal | None
    rate: str
    slowed: bool
    steps: frozenset[str]
    parts: tuple[PartUse, ...]
    includes: frozenset[str]
    operation: Operation | None


class Step(NamedTuple):
    """An access step on one side, or once."""

    key: str
    code: str
    side: str | None
    hours: Decimal
    rate: str
    parts: tuple[PartUse, ...]
    step: AccessStep


@dataclass(kw_only=True)
class Basis:
    """One job on one shop book, with what was looked up so far."""

    book: ShopBook
    job: Job
    _ops: dict[str, Op] = field(default_factory=dict)
    _steps: dict[str, Step] = field(default_factory=dict)
    _prices: dict[str, UnitPrice] = field(default_factory=dict)
    replaced: dict[str, set[str]] = field(default_factory=dict)
    """Codes that each final part stands for, of those met so far."""

    @cached_property
    def digits(self) -> int:
        """Decimals of the shop's currency."""
        return minor_digits(self.book.settings.currency)

    @cached_property
    def rates(self) -> dict[str, LabourRate]:
        """The row in force of each labour code: the latest date not after the quote date."""
        return rates_on(self.book.labour_rates, self.job.quote_date)

    @cached_property
    def default_rate(self) -> str:
        """The job's labour rate, else the first code of the sheet."""
        return self.job.labour_rate or self.book.labour_rates[0].code

    @cached_property
    def condition(self) -> Condition | None:
        """The machine's condition; None has no allowance."""
        return self.book.conditions[self.job.condition] if self.job.condition else None

    @cached_property
    def always(self) -> tuple[str, ...]:
        """Operation codes done once on every job of this class."""
        machine = (self.book.machines or {}).get(self.job.machine_class)
        return machine.always if machine else ()

    @cached_property
    def own_parts(self) -> frozenset[str]:
        """Final codes of the customer's own parts."""
        return frozenset(self.final_part(code).code for code in self.job.own_parts)

    def part(self, code: str) -> Part:
        """The part's row: this job's own row stands for the book's."""
        return self.job.parts.get(code) or self.book.parts[code]

    def final_part(self, code: str) -> Part:
        """The end of the line of `Replaced by`."""
        part = self.part(code)
        while part.replaced_by is not None:
            part = self.part(part.replaced_by)
        if part.code != code:
            self.replaced.setdefault(part.code, set()).add(code)
        return part

    def price(self, code: str) -> UnitPrice:
        """Rounded selling price of a final part."""
        found = self._prices.get(code)
        if found is None:
            found = self._prices[code] = unit_price(self.part(code), self.book.markup, self.digits)
        return found

    def at_price(self, code: str, price: Decimal) -> Basis:
        """The same basis with another selling price of one final part, as if it were its fixed price."""
        other = copy(self)
        other._prices = {**self._prices, code: UnitPrice(round_to(price, self.digits), "fixed price")}
        return other

    def at_hours(self, code: str, hours: Decimal) -> Basis:
        """The same basis with other net hours of one operation of the book."""
        other = copy(self)
        other._ops = {key: _with_hours(op, hours) if op.code == code else op for key, op in self._ops.items()}
        return other

    def supplier(self, code: str) -> Supplier | None:
        """Terms of a supplier; None where the book has no Suppliers sheet or the part has no supplier."""
        return (self.book.suppliers or {}).get(code)

    def is_shelf(self, supplier: str) -> bool:
        """True for the shop's own stock; no supplier at all means the shelf."""
        terms = self.supplier(supplier)
        return not supplier or (terms is not None and terms.shelf)

    def op(self, code: str, side: str | None) -> Op:
        """An operation on a side; the side is dropped where the operation is not done each side."""
        record = self.book.operations[code]
        side = side if record.each_side else None
        key = at_side(code, side)
        found = self._ops.get(key)
        if found is None:
            found = self._ops[key] = self._make_op(record, side, key)
        return found

    def op_named(self, key: str) -> Op:
        """An operation already looked up, by its key."""
        return self._ops[key]

    def keep_op(self, op: Op) -> Op:
        """Remember the work of a one-off line."""
        self._ops[op.key] = op
        return op

    def step_named(self, key: str) -> Step:
        """An access step already reached, by its key."""
        return self._steps[key]

    def steps_from(self, codes: Iterable[str], side: str | None) -> frozenset[str]:
        """Closure of `Needs`: each-side steps on the side they are reached from, or at every position without one."""
        reached: set[str] = set()
        waiting = [(code, side) for code in codes]
        while waiting:
            code, from_side = waiting.pop()
            record = self.book.access[code]
            sides: tuple[str | None, ...] = (None,)
            if record.each_side:
                sides = (from_side,) if from_side is not None else self.job.positions
            for at in sides:
                key = at_side(code, at)
                if key not in reached:
                    reached.add(key)
                    self._keep_step(record, at, key)
                    waiting.extend((needed, at) for needed in record.needs)
        return frozenset(reached)

    def uses(self, code: str, parts: Iterable[Quantity], side: str | None) -> tuple[PartUse, ...]:
        """Final parts with companions that a code brings on one side, from its `Parts` and from Parts used."""
        rows = [(entry.code, entry.quantity) for entry in parts]
        for used in self.book.parts_used_by.get(code, ()):
            here = not used.sides or (side is not None and counts_on(used.sides, side))
            if here and (not used.machines or self.job.machine_class in used.machines):
                rows.append((used.part, used.quantity))
        totals: dict[str, Decimal] = {}
        for part, quantity in rows:
            self._add_with_companions(totals, part, quantity)
        return tuple(totals.items())

    def _add_with_companions(self, totals: dict[str, Decimal], code: str, quantity: Decimal) -> None:
        part = self.final_part(code)
        totals[part.code] = totals.get(part.code, ZERO) + quantity
        for companion in part.also_needs:
            self._add_with_companions(totals, companion.code, quantity * companion.quantity)

    def _make_op(self, record: Operation, side: str | None, key: str) -> Op:
        return Op(
            key=key,
            code=record.code,
            side=side,
            net_hours=record.net_hours,
            second_side_hours=record.second_side_hours if side is not None else None,
            rate=record.labour or self.default_rate,
            slowed=record.slowed_by_rust,
            steps=self.steps_from(record.access, side),
            parts=self.uses(record.code, record.parts, side),
            includes=self._included(record, side),
            operation=record,
        )

    def _included(self, record: Operation, side: str | None) -> frozenset[str]:
        """Keys an operation makes unnecessary: the same side, or either has no side."""
        keys = set(record.includes)
        for code in record.includes:
            sides = self.job.positions if side is None else (side,)
            keys |= {at_side(code, at) for at in sides}
        return frozenset(keys)

    def _keep_step(self, record: AccessStep, side: str | None, key: str) -> None:
        if key not in self._steps:
            self._steps[key] = Step(
                key=key,
                code=record.code,
                side=side,
                hours=record.hours_to_open + record.hours_to_close,
                rate=record.labour or self.default_rate,
                parts=self.uses(record.code, record.parts, side),
                step=record,
            )


def _with_hours(op: Op, hours: Decimal) -> Op:
    if op.operation is None:
        return op
    return op._replace(net_hours=hours, operation=replace(op.operation, net_hours=hours))
