"""What would have to change for another choice to win: break-even price, hours and life (exact, in whole steps).

For the nearest alternative of a remedy, one figure is moved and all others stay. The break-even is the value nearest
to the present one at which the tier no longer takes the remedy; one step nearer it still does. Both sides are worked
out by the engine's own rules, ties included, over every choice of the tier where there are at most 100, else over the
two with all else as chosen. The tier before stays as it is.
Units: money per unit of the part in the currency's minor unit, hours and years in hundredths.
Source: break-even by search, common practice, no source.

Worked example: PATCH 50.00 is taken; NEW comes to 62.00, with two parts at 10.00. At 4.00 each NEW comes to 50.00, a
tie that the codes give to NEW: the break-even is 4.00. If its code came after PATCH it would be 3.99.
"""

from __future__ import annotations

from collections.abc import Callable, Iterable, Sequence
from dataclasses import replace
from decimal import Decimal
from fractions import Fraction

from quotekit.model.why import BreakEven
from quotekit.money import whole_units
from quotekit.pricing.aims import Value
from quotekit.pricing.basis import Basis
from quotekit.pricing.items import Item
from quotekit.pricing.part_price import unit_price
from quotekit.pricing.why_field import Field, Option
from quotekit.pricing.why_levers import Lever, life_levers, named, price_levers


def break_evens(field: Field, item: Item, nearest: Option, every: Sequence[Option]) -> tuple[BreakEven, ...]:
    """For a taken remedy and its nearest alternative: a price or hours, and lives where the aim looks at years.

    Where the dearest part cannot turn the choice at any price, the hours of the longest operation are tried too.
    Where lives decide, no price is sought.
    """
    found: list[BreakEven] = []
    if _money_decides(field, nearest):
        for make in price_levers(field, nearest):
            found.append(break_even(field, item, nearest, every, make()))
            if found[-1].wins_at is not None:
                break
    if field.tier.tier.aim != "lowest price":
        found += [break_even(field, item, nearest, every, lever) for lever in life_levers(field, item, nearest)]
    return tuple(found)


def break_even(field: Field, item: Item, nearest: Option, every: Sequence[Option], lever: Lever) -> BreakEven:
    """The value of one figure at which the remedy is no longer taken."""
    wins = _Search(field, item, nearest, every, lever).value()
    found = BreakEven(
        figure=lever.figure,
        of=lever.of,
        now=lever.now,
        step=lever.step,
        wins_at=None if wins is None else wins * lever.step,
        tried=lever.best * lever.step,
        among="every choice" if every else "all else as chosen",
        source=lever.source,
        column=lever.column,
    )
    if wins is None:
        return found
    best = min(every or [nearest], key=lambda option: lever.value(option, wins))
    then = tuple(named(other) for other in best.remedies if other not in field.taken.remedies)
    return _with_pack_cost(field.setup.basis, replace(found, then=then))


def boundary(loses: int, wins: int, holds: Callable[[int], bool], guesses: Iterable[int] = ()) -> int:
    """The winning step next to a losing one, between a step known to lose and one known to win.

    >>> boundary(100, 0, lambda n: n <= 37), boundary(0, 100, lambda n: n >= 37, guesses=[37, 36])
    (37, 37)
    """
    for guess in guesses:
        if min(loses, wins) < guess < max(loses, wins):
            loses, wins = (loses, guess) if holds(guess) else (guess, wins)
    while abs(wins - loses) > 1:
        middle = (wins + loses) // 2
        loses, wins = (loses, middle) if holds(middle) else (middle, wins)
    return wins


def pack_cost_for(basis: Basis, code: str, price: Decimal) -> Decimal | None:
    """The highest pack cost, in whole minor units, at which a part sells at no more than a price.

    None where the price is fixed, where the pack cost decides freight too, or where no markup band holds the cost.
    """
    part = basis.part(code)
    if part.fixed_price_each is not None or _decides_freight(basis, part.supplier):
        return None
    step = Decimal(1).scaleb(-basis.digits)

    def holds(units: int) -> bool:
        return unit_price(replace(part, pack_cost=units * step), basis.book.markup, basis.digits).price <= price

    try:
        if not holds(1):
            return None
        now = whole_units(part.pack_cost, step)
        share = Fraction(price) / Fraction(basis.price(code).price)
        return step * boundary(now, 1, holds, _around(int(now * share)))
    except ValueError:
        return None


class _Search:
    """One figure moved, one remedy watched."""

    def __init__(self, field: Field, item: Item, nearest: Option, every: Sequence[Option], lever: Lever) -> None:
        self.field, self.item, self.nearest, self.every, self.lever = field, item, nearest, every, lever
        down = lever.best * lever.step <= lever.now
        self.toward_now = 1 if down else -1
        whole = whole_units(lever.now, lever.step)
        self.now = whole if down or whole * lever.step == lever.now else whole - 1
        self._values: dict[tuple[frozenset[str], int], Value] = {}

    def value(self) -> int | None:
        """The break-even in steps; None where not even the most favourable value turns the choice."""
        best = self.lever.best
        if best in (self.now, self.now + self.toward_now) or not self._beats(best):
            return None
        found = boundary(self.now, best, self._beats, self._guesses())
        return self._among_all(found) if self.every else found

    def _among_all(self, found: int) -> int | None:
        """The same over every choice: others may move with the figure, and take or keep the remedy."""
        nearer = found + self.toward_now
        if self._is_left_out(found):
            if nearer == self.now or not self._is_left_out(nearer):
                return found
            return boundary(self.now, nearer, self._is_left_out)
        if not self._is_left_out(self.lever.best):
            return None
        return boundary(found, self.lever.best, self._is_left_out)

    def _beats(self, steps: int) -> bool:
        return self._value(self.nearest, steps) < self._value(self.field.taken, steps)

    def _is_left_out(self, steps: int) -> bool:
        best = min(self.every, key=lambda option: self._value(option, steps))
        return self.item.key not in best.keys

    def _value(self, option: Option, steps: int) -> Value:
        found = self._values.get((option.keys, steps))
        if found is None:
            found = self._values[option.keys, steps] = self.lever.value(option, steps)
        return found

    def _guesses(self) -> list[int]:
        """Money moves in proportion to a price: the line through both ends meets zero near the break-even."""
        if self.lever.figure != "unit price":
            return []
        place = 2 if self.field.aim == "longest life" else 0
        gaps = [self._gap(steps, place) for steps in (self.now, self.lever.best)]
        if gaps[0] == gaps[1]:
            return []
        share = Fraction(-gaps[1]) / Fraction(gaps[0] - gaps[1])
        return _around(self.lever.best + int((self.now - self.lever.best) * share))

    def _gap(self, steps: int, place: int) -> Decimal:
        nearest, taken = self._value(self.nearest, steps)[place], self._value(self.field.taken, steps)[place]
        assert isinstance(nearest, Decimal) and isinstance(taken, Decimal)
        return nearest - taken


def _around(guess: int) -> list[int]:
    return [guess, guess + 1, guess - 1, guess + 2, guess - 2]


def _money_decides(field: Field, nearest: Option) -> bool:
    """A price can turn the choice: always, unless the aim looks at lives and they differ."""
    return field.aim != "longest life" or nearest.value[:2] == field.taken.value[:2]


def _decides_freight(basis: Basis, supplier: str) -> bool:
    terms = basis.supplier(supplier)
    if basis.book.settings.freight_to_customer == "none" or terms is None or terms.shelf:
        return False
    return bool(terms.free_freight_from or terms.minimum_order)


def _with_pack_cost(basis: Basis, found: BreakEven) -> BreakEven:
    if found.figure != "unit price" or found.wins_at is None:
        return found
    cost = pack_cost_for(basis, found.of.key, found.wins_at)
    if cost is None:
        return found
    return replace(found, pack_cost=cost, pack_cost_now=basis.part(found.of.key).pack_cost)
