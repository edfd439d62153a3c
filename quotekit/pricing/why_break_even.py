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

from collections.abc import Sequence
from dataclasses import replace
from decimal import Decimal
from fractions import Fraction

from quotekit.model.why import BreakEven
from quotekit.money import whole_units
from quotekit.pricing.aims import Value
from quotekit.pricing.items import Item
from quotekit.pricing.life import life_within
from quotekit.pricing.why_boundary import around, boundary
from quotekit.pricing.why_field import Field, Option
from quotekit.pricing.why_levers import Lever, MoneyLevers, life_levers, money_levers, named
from quotekit.pricing.why_pack_cost import with_pack_cost


def break_evens(field: Field, item: Item, nearest: Option, every: Sequence[Option]) -> tuple[BreakEven, ...]:
    """For a taken remedy and its nearest alternative: a price or hours, and lives where the aim looks at years.

    Where no figure of the alternative and no life turns the choice, what is taken would have to become dearer.
    Where lives decide, no price is sought.
    """
    found: list[BreakEven] = []
    levers = money_levers(field, nearest) if _money_decides(field, nearest) else MoneyLevers()
    if levers.falls is not None:
        found.append(break_even(field, item, nearest, every, levers.falls))
    if field.aim != "lowest price":
        found += [break_even(field, item, nearest, every, lever) for lever in life_levers(field, item, nearest)]
    if levers.rises is not None and all(one.wins_at is None for one in found):
        found.append(break_even(field, item, nearest, every, levers.rises))
    return tuple(found)


def break_even(field: Field, item: Item, nearest: Option, every: Sequence[Option], lever: Lever) -> BreakEven:
    """The value of one figure at which the remedy is no longer taken."""
    search = _Search(field, item, nearest, every, lever)
    wins = search.value()
    found = BreakEven(
        figure=lever.figure,
        of=lever.of,
        present=lever.present,
        step=lever.step,
        wins_at=None if wins is None else wins * lever.step,
        tried=lever.best * lever.step,
        among="every choice" if every else "all else as chosen",
        source=lever.source,
        column=lever.column,
    )
    if wins is None:
        return found
    best = min(every or [nearest], key=lambda option: field.value_with(lever, option, wins))
    found = replace(found, then=tuple(named(item) for item in best.remedies if item not in field.taken.remedies))
    if "price" not in lever.figure:
        return found
    turns = lambda price: search.turned(whole_units(price, lever.step))  # noqa: E731
    return with_pack_cost(field, every or [field.taken, nearest], found, turns)


class _Search:
    """One figure moved, one remedy watched."""

    def __init__(self, field: Field, item: Item, nearest: Option, every: Sequence[Option], lever: Lever) -> None:
        self.field, self.item, self.nearest, self.every, self.lever = field, item, nearest, every, lever
        down = lever.best * lever.step <= lever.present
        self.toward_now = 1 if down else -1
        whole = whole_units(lever.present, lever.step)
        self.start = whole if down or whole * lever.step == lever.present else whole - 1
        stays = [option for option in every if not lever.moves(option)]
        self.rivals = [option for option in every if lever.moves(option)]
        self.rivals += [min(stays, key=lambda option: option.value)] if stays else []

    def value(self) -> int | None:
        """The break-even in steps; None where not even the most favourable value turns the choice.

        Where the alternative never wins by itself another choice may: both sides done the other way share more.
        """
        best, loses = self.lever.best, self.start
        if best in (self.start, self.start + self.toward_now):
            return None
        for wins in (*self._likely(), best):
            if self._beats(self.nearest, wins):
                found = self._between(self.nearest, loses, wins)
                return self._among_all(found) if self.every else found
            if self.every and self._is_left_out(wins):
                return boundary(loses, wins, self._is_left_out)
            loses = wins
        return None

    def _between(self, rival: Option, loses: int, wins: int) -> int:
        """Where a rival begins to beat what is taken, between a step where it does not and one where it does."""
        nearer = (wins + self.toward_now, *self._by_proportion(rival, wins))
        return boundary(loses, wins, lambda steps: self._beats(rival, steps), nearer)

    def _among_all(self, found: int) -> int | None:
        """The same over every choice: others may move with the figure, and take or keep the remedy.

        While the remedy is left out one step nearer too, whoever wins there is followed to where it begins to win.
        """
        if not self._is_left_out(found):
            best = self.lever.best
            return boundary(found, best, self._is_left_out) if self._is_left_out(best) else None
        while True:
            nearer = found + self.toward_now
            if nearer == self.start or not self._is_left_out(nearer):
                return found
            found = self._between(self._best_at(nearer), self.start, nearer)
            if not self._is_left_out(found):
                return boundary(found, nearer, self._is_left_out)

    def turned(self, steps: int) -> bool:
        """True where the remedy is left out at so many steps; of two compared, where the alternative wins."""
        return self._is_left_out(steps) if self.every else self._beats(self.nearest, steps)

    def _is_left_out(self, steps: int) -> bool:
        return self.item.key not in self._best_at(steps).keys

    def _best_at(self, steps: int) -> Option:
        return min(self.rivals, key=lambda option: self._value(option, steps))

    def _beats(self, rival: Option, steps: int) -> bool:
        return self._value(rival, steps) < self._value(self.field.taken, steps)

    def _value(self, option: Option, steps: int) -> Value:
        return self.field.value_with(self.lever, option, steps)

    def _likely(self) -> list[int]:
        """Lives at which a choice often turns, from the present one on: they save looking, and decide nothing.

        Costs jump where a repeat drops out of the horizon or comes into it; lives are compared with the other lives.
        """
        if not self.lever.figure.startswith("life"):
            return []
        horizon = self.field.setup.horizon
        if self.field.aim == "least to own":
            years = [Fraction(horizon) / times for times in range(1, 7)]
        else:
            items = (*self.nearest.remedies, *self.field.taken.remedies)
            years = [Fraction(life_within(item, horizon)) for item in items]
        whole = {whole_units(life, self.lever.step) for life in years}
        steps = whole | {step - self.toward_now for step in whole}
        low, high = sorted((self.start, self.lever.best))
        return sorted((step for step in steps if low < step < high), reverse=self.toward_now > 0)

    def _by_proportion(self, rival: Option, wins: int) -> list[int]:
        """Money moves in proportion to a price: the line through both ends meets zero near the break-even."""
        if "price" not in self.lever.figure:
            return []
        gaps = [self._gap(rival, steps) for steps in (self.start, wins)]
        if gaps[0] == gaps[1]:
            return []
        share = Fraction(-gaps[1]) / Fraction(gaps[0] - gaps[1])
        return around(wins + int((self.start - wins) * share))

    def _gap(self, rival: Option, steps: int) -> Decimal:
        place = 2 if self.field.aim == "longest life" else 0
        theirs, mine = self._value(rival, steps)[place], self._value(self.field.taken, steps)[place]
        assert isinstance(theirs, Decimal) and isinstance(mine, Decimal)
        return theirs - mine


def _money_decides(field: Field, nearest: Option) -> bool:
    """A price can turn the choice: always, unless the aim looks at lives and they differ."""
    return field.aim != "longest life" or nearest.value[:2] == field.taken.value[:2]
