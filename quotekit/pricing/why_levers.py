"""The single figures of the shop book that could turn a choice: a selling price, net hours, a life.

A lever asks what a choice is worth to the tier's aim with one figure changed and all others as they are. Values are
whole steps: the currency's minor unit, hundredths of an hour, hundredths of a year. The choice is priced again by the
rules that priced it; where no saving is taken off parts, a price moves its own part line and the total alone.

Worked example: a choice of 120.00 takes two seals at 15.00. At 14.00 each it is 118.00.
"""

from __future__ import annotations

from collections.abc import Iterable
from dataclasses import replace
from decimal import Decimal
from fractions import Fraction
from typing import NamedTuple, Protocol

from quotekit.model.source import Source
from quotekit.model.why import FigureKind, Named
from quotekit.money import round_to, whole_units
from quotekit.pricing.aims import Value, value_of, with_other_work
from quotekit.pricing.basis import ZERO
from quotekit.pricing.charges import Charges
from quotekit.pricing.items import Item
from quotekit.pricing.setup import Setup
from quotekit.pricing.why_field import Field, Moved, Option

HUNDREDTH = Decimal("0.01")
SHORTEST_LIFE = 25
"""Hundredths of a year: no shorter life is tried."""
MOST_HOURS = 800
"""Hundredths of an hour: past that an operation is taken for one typed in minutes."""


class Lever(Moved, Protocol):
    """A figure that can be changed: its cell, and its present and most favourable values."""

    of: Named
    present: Decimal
    step: Decimal
    best: int
    """The most favourable value that is tried, in steps."""
    source: Source
    column: str


class UnitPrice:
    """The selling price of one part: of the alternative, and it would have to fall, or of what is taken, and rise."""

    def __init__(self, field: Field, code: str, most: int | None = None) -> None:
        self.field, self.code = field, code
        self.figure: FigureKind = "price of the alternative" if most is None else "price of what is taken"
        part = field.setup.basis.part(code)
        self.of, self.source = Named(key=code, name=part.part), part.source
        self.column = "Pack cost" if part.fixed_price_each is None else "Fixed price each"
        self.present = field.setup.basis.price(code).price
        self.step = Decimal(1).scaleb(-field.setup.basis.digits)
        self.best = 1 if most is None else most
        self._setups: dict[int, Setup] = {}
        self._moved: dict[frozenset[str], bool] = {}

    def value(self, option: Option, steps: int) -> Value:
        """With the part line at the new price."""
        if not self.moves(option):
            return option.value
        setup = self._at(steps)
        total = self._total(setup, option, steps * self.step)
        return with_other_work(setup, self.field.tier.tier.aim, option.value, option.remedies, total)

    def moves(self, option: Option) -> bool:
        """True where a choice, or a renewal of one of its remedies, may use the part."""
        found = self._moved.get(option.keys)
        if found is None:
            items = (*option.remedies, *self.field.given, self.field.setup.always)
            found = self._moved[option.keys] = any(self.code in self.field.brought(item) for item in items)
        return found

    def _at(self, steps: int) -> Setup:
        found = self._setups.get(steps)
        if found is None:
            setup, price = self.field.setup, steps * self.step
            alone = {item.key: self._alone(item, price) for item in self.field.short_lived}
            found = self._setups[steps] = setup.on(setup.basis.at_price(self.code, price), alone)
        return found

    def _alone(self, item: Item, price: Decimal) -> Decimal:
        """Stand-alone work at the new price: its part line moves and nothing else, as no saving counts there."""
        setup = self.field.setup
        line = next((line for line in self.field.alone(item).parts if line.code == self.code and not line.own), None)
        if line is None:
            return setup.alone(item)
        return setup.alone(item) - line.amount + round_to(price * line.quantity, setup.basis.digits)

    def _total(self, setup: Setup, option: Option, price: Decimal) -> Decimal:
        """Work in money at the new price: the part's own line moves it."""
        charges = option.charges
        if any(saving.charge == "parts" for saving in charges.savings):
            return setup.priced((*option.remedies, *self.field.given)).total
        line = next((line for line in charges.parts if line.code == self.code and not line.own), None)
        if line is None:
            return charges.total
        return charges.total - line.amount + round_to(price * line.quantity, setup.basis.digits)


class NetHours:
    """The net hours of one operation: of the alternative, and they would have to fall, or of what is taken."""

    column = "Net hours"
    step = HUNDREDTH

    def __init__(self, field: Field, code: str, *, rise: bool = False) -> None:
        self.field, self.code = field, code
        self.figure: FigureKind = "hours of what is taken" if rise else "hours of the alternative"
        operation = field.setup.basis.book.operations[code]
        self.of, self.source = Named(key=code, name=operation.operation), operation.source
        self.present = operation.net_hours
        least = whole_units(operation.second_side_hours or Decimal(0), self.step)
        self.best = MOST_HOURS if rise else least
        self._setups: dict[int, Setup] = {}

    def value(self, option: Option, steps: int) -> Value:
        """With the work priced again."""
        if not self.moves(option):
            return option.value
        setup = self._at(steps)
        charges = setup.priced((*option.remedies, *self.field.given))
        return value_of(setup, self.field.tier.tier.aim, option.remedies, option.covered, charges)

    def moves(self, option: Option) -> bool:
        """True where a choice takes the operation."""
        return self._does((*option.remedies, *self.field.given, self.field.setup.always))

    def _at(self, steps: int) -> Setup:
        found = self._setups.get(steps)
        if found is None:
            setup = self.field.setup
            stays = [item for item in self.field.short_lived if not self._does((item, setup.always))]
            alone = {item.key: setup.alone(item) for item in stays}
            found = self._setups[steps] = setup.on(setup.basis.at_hours(self.code, steps * self.step), alone)
        return found

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
        self.of, self.source = Named(key=item.code, name=item.remedy.remedy), item.remedy.source
        self.present = item.remedy.life_years
        self.best = SHORTEST_LIFE if taken else whole_units(field.setup.horizon, self.step)
        self._items: dict[tuple[str, int], Item] = {}

    def value(self, option: Option, steps: int) -> Value:
        """With the remedy lasting so long."""
        if not self.moves(option):
            return option.value
        remedies = tuple(self._at(item, steps) for item in option.remedies)
        return value_of(self.field.setup, self.field.tier.tier.aim, remedies, option.covered, option.charges)

    def moves(self, option: Option) -> bool:
        """True where a choice takes the remedy."""
        return any(item.code == self.code for item in option.remedies)

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


class MoneyLevers(NamedTuple):
    """What would have to fall and what would have to rise; None where there is no such part or operation."""

    falls: Lever | None = None
    rises: Lever | None = None


def money_levers(field: Field, nearest: Option) -> MoneyLevers:
    """What the alternative has of its own would have to fall, or what is taken has of its own to rise.

    Either is the dearest part that one uses more of than the other, else the longest operation.
    """
    mine, theirs = field.taken.charges, nearest.charges
    part, own = _dearest_part(theirs, mine), _dearest_part(mine, theirs)
    operation, work = _longest_operation(field, theirs, mine), _longest_operation(field, mine, theirs)
    falls: Lever | None = None
    rises: Lever | None = None
    if part is not None:
        falls = UnitPrice(field, part.code)
    elif operation is not None:
        falls = NetHours(field, operation)
    if own is not None:
        rises = UnitPrice(field, own.code, most=_highest(field, nearest, own))
    elif work is not None:
        rises = NetHours(field, work, rise=True)
    return MoneyLevers(falls, rises)


def life_levers(field: Field, item: Item, nearest: Option) -> list[Lever]:
    """The alternative's most limiting life, and the life of the remedy itself, where they are stated."""
    horizon = field.setup.horizon
    added = [other for other in nearest.remedies if other not in field.taken.remedies]
    short = [(other.life, other.key, other) for other in added if other.life is not None and other.life < horizon]
    levers: list[Lever] = []
    if short:
        levers.append(Life(field, min(short)[2], taken=False))
    if item.life is not None:
        levers.append(Life(field, item, taken=True))
    return levers


class _Own(NamedTuple):
    """A part that one choice uses more of than another: its code, how much more, and what that comes to."""

    code: str
    quantity: Decimal
    amount: Decimal


def _dearest_part(of: Charges, than: Charges) -> _Own | None:
    before = {line.code: line.quantity for line in than.parts}
    more = [(line, line.quantity - before.get(line.code, ZERO)) for line in of.parts if line.part and not line.own]
    own = [_Own(line.code, quantity, quantity * line.unit_price) for line, quantity in more if quantity > 0]
    return min((one for one in own if one.amount > 0), key=lambda one: (-one.amount, one.code), default=None)


def _longest_operation(field: Field, of: Charges, than: Charges) -> str | None:
    basis = field.setup.basis
    added = [basis.op_named(key) for key in of.work.present - than.work.present]
    own = [op for op in added if op.operation is not None and op.net_hours > 0]
    return min(own, key=lambda op: (-op.net_hours, op.key)).code if own else None


def _highest(field: Field, nearest: Option, own: _Own) -> int:
    """A price, in minor units, at which the part makes up for more than all that tells the choices apart in money."""
    place = 2 if field.aim == "longest life" else 0
    mine, theirs = field.taken.value[place], nearest.value[place]
    assert isinstance(mine, Decimal) and isinstance(theirs, Decimal)
    step = Decimal(1).scaleb(-field.setup.basis.digits)
    gap = Fraction(abs(theirs - mine)) / Fraction(own.quantity) / Fraction(step)
    return whole_units(field.setup.basis.price(own.code).price, step) + 2 * int(gap) + 10
