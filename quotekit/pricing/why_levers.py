"""The single figures of the shop book that could turn a choice: a selling price, net hours, a life.

A lever asks what a choice is worth to the tier's aim with one figure changed and all others as they are. Values are
whole steps: the currency's minor unit, hundredths of an hour, hundredths of a year. The choice is priced again by the
rules that priced it; where no saving hangs on the parts, a price moves its own part line and the total alone.

Worked example: a choice of 120.00 takes two seals at 15.00. At 14.00 each it is 118.00.
"""

from __future__ import annotations

from collections.abc import Callable, Iterable
from dataclasses import replace
from decimal import Decimal
from typing import Protocol

from quotekit.model.source import Source
from quotekit.model.why import FigureKind, Named
from quotekit.money import round_to, whole_units
from quotekit.pricing.aims import Value, value_of
from quotekit.pricing.charges import Charges
from quotekit.pricing.items import Item
from quotekit.pricing.setup import Setup
from quotekit.pricing.why_field import Field, Option

HUNDREDTH = Decimal("0.01")
SHORTEST_LIFE = 10
"""Hundredths of a year: no shorter life is tried."""


class Lever(Protocol):
    """A figure that can be changed: its cell, its present value, and what a choice is worth at another value."""

    figure: FigureKind
    of: Named
    now: Decimal
    step: Decimal
    best: int
    """The most favourable value that is tried, in steps."""
    source: Source
    column: str

    def value(self, option: Option, steps: int) -> Value:
        """The aim's value of a choice at so many steps."""


class UnitPrice:
    """The selling price of one part."""

    figure: FigureKind = "unit price"

    def __init__(self, field: Field, code: str) -> None:
        self.field, self.code = field, code
        part = field.setup.basis.part(code)
        self.of, self.source = Named(key=code, name=part.part), part.source
        self.column = "Pack cost" if part.fixed_price_each is None else "Fixed price each"
        self.now = field.setup.basis.price(code).price
        self.step, self.best = Decimal(1).scaleb(-field.setup.basis.digits), 1
        self._setups: dict[int, Setup] = {}

    def value(self, option: Option, steps: int) -> Value:
        """With the part line at the new price."""
        if not self.touches(option):
            return option.value
        setup = self._at(steps)
        charges = self._charges(setup, option, steps * self.step)
        return value_of(setup, self.field.tier.tier.aim, option.remedies, option.covered, charges)

    def touches(self, option: Option) -> bool:
        """True where a choice, or a renewal of one of its remedies, may use the part."""
        items = (*option.remedies, *self.field.given, self.field.setup.always)
        return any(self.code in self.field.brought(item) for item in items)

    def _at(self, steps: int) -> Setup:
        if steps not in self._setups:
            old = self.field.setup
            self._setups[steps] = old.on(old.basis.at_price(self.code, steps * self.step), self._moves)
        return self._setups[steps]

    def _moves(self, key: str) -> bool:
        setup = self.field.setup
        return any(self.code in self.field.brought(item) for item in (setup.candidates.items[key], setup.always))

    def _charges(self, setup: Setup, option: Option, price: Decimal) -> Charges:
        charges = option.charges
        line = next((line for line in charges.parts if line.code == self.code and not line.own), None)
        if line is None and not charges.savings:
            return charges
        if line is None or charges.savings:
            return setup.priced((*option.remedies, *self.field.given))
        amount = round_to(price * line.quantity, setup.basis.digits)
        moved = replace(line, unit_price=price, amount=amount)
        parts = [moved if other is line else other for other in charges.parts]
        return replace(charges, parts=parts, total=charges.total - line.amount + amount)


class NetHours:
    """The net hours of one operation."""

    figure: FigureKind = "net hours"
    column = "Net hours"
    step = HUNDREDTH

    def __init__(self, field: Field, code: str) -> None:
        self.field, self.code = field, code
        operation = field.setup.basis.book.operations[code]
        self.of, self.source = Named(key=code, name=operation.operation), operation.source
        self.now = operation.net_hours
        self.best = whole_units(operation.second_side_hours or Decimal(0), self.step)
        self._setups: dict[int, Setup] = {}

    def value(self, option: Option, steps: int) -> Value:
        """With the work priced again."""
        everything = (*option.remedies, *self.field.given)
        if not self._does((*everything, self.field.setup.always)):
            return option.value
        if steps not in self._setups:
            old = self.field.setup
            self._setups[steps] = old.on(old.basis.at_hours(self.code, steps * self.step), self._moves)
        setup = self._setups[steps]
        charges = setup.priced(everything)
        return value_of(setup, self.field.tier.tier.aim, option.remedies, option.covered, charges)

    def _moves(self, key: str) -> bool:
        return self._does((self.field.setup.candidates.items[key], self.field.setup.always))

    def _does(self, items: Iterable[Item]) -> bool:
        basis = self.field.setup.basis
        return any(basis.op_named(key).code == self.code for item in items for key in item.wanted)


class Life:
    """The life of one remedy, on every side it is taken."""

    column = "Life years"
    step = HUNDREDTH

    def __init__(self, field: Field, item: Item, *, taken: bool) -> None:
        assert item.remedy is not None and item.remedy.life_years is not None
        self.field, self.code = field, item.code
        self.figure: FigureKind = "life of what is taken" if taken else "life of the alternative"
        self.of, self.source = named(item), item.remedy.source
        self.now = item.remedy.life_years
        self.best = SHORTEST_LIFE if taken else whole_units(field.setup.horizon, self.step)
        self._items: dict[tuple[str, int], Item] = {}

    def value(self, option: Option, steps: int) -> Value:
        """With the remedy lasting so long."""
        if all(item.code != self.code for item in option.remedies):
            return option.value
        remedies = tuple(self._at(item, steps) for item in option.remedies)
        return value_of(self.field.setup, self.field.tier.tier.aim, remedies, option.covered, option.charges)

    def _at(self, item: Item, steps: int) -> Item:
        if item.code != self.code or item.remedy is None:
            return item
        found = self._items.get((item.key, steps))
        if found is None:
            remedy = replace(item.remedy, life_years=steps * self.step)
            found = self._items[item.key, steps] = replace(item, remedy=remedy)
        return found


def named(item: Item) -> Named:
    """An item's key with the owner's name of it."""
    name = item.remedy.remedy if item.remedy else item.extra.extra if item.extra else item.code
    return Named(key=item.key, name=name)


def price_levers(field: Field, nearest: Option) -> list[Callable[[], Lever]]:
    """What an alternative uses more of than what is taken: its dearest such part, then its longest such operation."""
    levers: list[Callable[[], Lever]] = []
    code = _dearest_part(field.taken.charges, nearest.charges)
    if code is not None:
        levers.append(lambda: UnitPrice(field, code))
    operation = _longest_operation(field, nearest)
    if operation is not None:
        levers.append(lambda: NetHours(field, operation))
    return levers


def life_levers(field: Field, item: Item, nearest: Option) -> list[Lever]:
    """The alternative's most limiting life, and the life of the remedy itself, where they are stated."""
    added = [other for other in nearest.remedies if other not in field.taken.remedies and other.life is not None]
    levers: list[Lever] = []
    if added:
        levers.append(Life(field, min(added, key=_life_and_key), taken=False))
    if item.life is not None:
        levers.append(Life(field, item, taken=True))
    return levers


def _life_and_key(item: Item) -> tuple[Decimal, str]:
    return item.life or Decimal(0), item.key


def _dearest_part(taken: Charges, nearest: Charges) -> str | None:
    before = {line.code: line.quantity for line in taken.parts}
    own = [
        ((line.quantity - before.get(line.code, Decimal(0))) * line.unit_price, line.code)
        for line in nearest.parts
        if line.part is not None and not line.own and line.quantity > before.get(line.code, Decimal(0))
    ]
    dear = [entry for entry in own if entry[0] > 0]
    return min(dear, key=lambda entry: (-entry[0], entry[1]))[1] if dear else None


def _longest_operation(field: Field, nearest: Option) -> str | None:
    basis = field.setup.basis
    added = [basis.op_named(key) for key in nearest.charges.work.present - field.taken.charges.work.present]
    own = [op for op in added if op.operation is not None and op.net_hours > 0]
    return min(own, key=lambda op: (-op.net_hours, op.key)).code if own else None
