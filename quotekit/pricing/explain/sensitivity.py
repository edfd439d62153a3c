"""What the order of the tiers hangs on, as trees: the cost of each tier on both sides of every change (5.7).

At a point of a setting a tier costs its work and each remedy again after each life within the horizon, at the interest
of the point; the lives are those stated, times the factor of the point.
Order of tiers: by that cost, then by work, then as the book lists them.
"""

from __future__ import annotations

from collections.abc import Callable, Iterator, Sequence
from decimal import Decimal
from fractions import Fraction
from functools import partial
from typing import NamedTuple

from quotekit.model.explanation import Explanation, number_text
from quotekit.model.quote import Quote
from quotekit.model.years import OrderChange, OrderRange, OtherChoice, Sensitivity, Setting
from quotekit.money import compound, round_to
from quotekit.pricing.explain import years
from quotekit.pricing.explain.choice_told import ChoiceTold, lay_open, named, of_tier
from quotekit.pricing.explain.told import Told, leaf, number, of_row, words
from quotekit.pricing.explain.worked_again import Again
from quotekit.pricing.items import Item
from quotekit.pricing.life import renewals
from quotekit.pricing.years_order import DOUBLE, HALF, MOST_INTEREST

Figures = dict[str, Callable[[], Explanation]]
Named = Callable[[str], Explanation]


class Point(NamedTuple):
    """The settings at which costs are told; one of them is not as it stands."""

    interest: Decimal
    horizon: Decimal
    factor: Decimal
    words: str


def sensitivity_figures(told: Told, quote: Quote, tier: str) -> Figures:
    """`sensitivity.*`, what has a number or follows from numbers."""
    found = quote.sensitivity
    if found is None:
        rule = "No tier is offered, so there is nothing to put in order (rules 5.7)."
        return {"sensitivity": partial(words, "sensitivity", None, rule)}
    shown = _Sensitivity(told, quote, found, tier)
    return {f"sensitivity.{name}": partial(make, f"sensitivity.{name}") for name, make in shown.figures()}


class _Sensitivity:
    """The tiers compared, laid open once, and their costs at any point."""

    def __init__(self, told: Told, quote: Quote, found: Sensitivity, tier: str) -> None:
        self.told, self.found, self.tier = told, found, tier
        self.again = Again(told.setup, quote)
        self.interest = told.basis.book.settings.interest_a_year
        self._opened: dict[str, ChoiceTold] = {}

    def figures(self) -> Iterator[tuple[str, Named]]:
        """Names after `sensitivity.`, each with its maker."""
        yield "order", self._order
        for code in self.found.order:
            yield f"order.{code}", partial(self._one_cost, self._now, code)
        for one in self.found.ranges:
            for name, make in self._range(one):
                yield f"{one.setting}.{name}", make
        seen: dict[str, int] = {}
        for setting, value in self.found.tried:
            seen[setting] = seen.get(setting, 0) + 1
            again = f"#{seen[setting]}" if seen[setting] > 1 else ""
            yield f"choices.tried.{setting}{again}.value", partial(self._tried, setting, value)
        seen = {}
        for choice in self.found.choices:
            seen[choice.setting] = seen.get(choice.setting, 0) + 1
            again = f"#{seen[choice.setting]}" if seen[choice.setting] > 1 else ""
            start = f"choices.changes.{choice.setting}{again}"
            yield f"{start}.value", partial(self._tried, choice.setting, choice.value)
            yield f"{start}.takes", partial(self._other_choice, choice, choice.takes)
            yield f"{start}.in_place_of", partial(self._other_choice, choice, choice.in_place_of)

    @property
    def _now(self) -> Point:
        return Point(self.interest, self.told.setup.horizon, Decimal(1), "as it stands")

    def _order(self, name: str) -> Explanation:
        rule = "By cost over the years, then by work, then as the book lists them (rules 5.7)."
        return words(name, self.found.order, rule, inputs=self._costs(self._now))

    def _one_cost(self, point: Point, code: str, name: str) -> Explanation:
        return words(
            name, code, "Its place is by its cost over the years (rules 5.7).", inputs=[self._cost(code, point)]
        )

    def _range(self, one: OrderRange) -> Iterator[tuple[str, Named]]:
        yield "now", partial(self._current, one.setting)
        yield "low", partial(self._end, one.setting, one.low, HALF)
        yield "high", partial(self._end, one.setting, one.high, DOUBLE)
        exact = "Where the order changes is known exactly (rules 5.7)."
        step = "A change is narrowed down to so much, and both sides are priced (rules 5.7)."
        rule = step if one.precision else exact
        yield "precision", partial(words, value=number_text(one.precision), rule=rule, given=True)
        changes = [node for change in one.changes for node in ("below", "above")]
        rule = "At each change another order comes of the costs on its two sides (rules 5.7)."
        rule = rule if changes else "The costs keep their order from the lowest to the highest value (rules 5.7)."
        yield "order_changes", partial(self._whether, one, bool(one.changes), rule)
        yield "least_changes", partial(self._whether, one, one.least_changes, rule)
        for place, change in enumerate(one.changes):
            for name, make in self._change(one, change):
                yield f"changes.{place}.{name}", make

    def _whether(self, one: OrderRange, value: bool, rule: str, name: str) -> Explanation:
        inputs = [node for change in one.changes for node in self._both_sides(one.setting, change)]
        if not one.changes:
            points = (self._point(one.setting, value) for value in (one.low, one.high))
            inputs = [node for point in points for node in self._costs(point)]
        return words(name, value, rule, inputs=inputs)

    def _change(self, one: OrderRange, change: OrderChange) -> Iterator[tuple[str, Named]]:
        for side, value in (("below", change.below), ("above", change.above)):
            rule = f"The order is still the one before here; the costs are those {side} the change (rules 5.7)."
            if side == "above":
                rule = f"The order is the one after here; the costs are those {side} the change (rules 5.7)."
            costs = partial(self._costs, self._point(one.setting, value))
            yield side, partial(_with_costs, number_text(value), rule, costs)
        for side, order, value in (("before", change.before, change.below), ("after", change.after, change.above)):
            rule = f"By cost over the years {side} the change, then by work, then as the book lists them (rules 5.7)."
            costs = partial(self._costs, self._point(one.setting, value))
            yield side, partial(_with_costs, order, rule, costs)
            for code in order:
                yield f"{side}.{code}", partial(self._one_cost, self._point(one.setting, value), code)
        yield "exactly", partial(self._exactly, one, change)

    def _exactly(self, one: OrderRange, change: OrderChange, name: str) -> Explanation:
        if change.exactly is None:
            rule = "The costs drift, so it is narrowed down between below and above (rules 5.7)."
            return words(name, None, rule)
        item, turn = next(
            (item, turn)
            for code in self.found.order
            for item in self._tier(code).remedies
            if (turn := self._turn(one.setting, item, change.exactly)) is not None
        )
        life, times = self._life(item), _turns(turn)
        after = number(
            f"years to turn {turn} of {item.key}", turn * _life_of(item), "product", (life, times), "Life x turn."
        )
        text = str(change.exactly)
        if one.setting == "horizon":
            rule = f"At this horizon {item.key} comes round once more (rules 5.7)."
            node = number(name, turn * _life_of(item), "same", (after,), rule)
        else:
            rule = f"At so many times its life {item.key} comes round once less within the horizon (rules 5.7)."
            node = number(name, change.exactly, "quotient", (self._horizon(), after), rule)
        return Explanation(
            figure=name, value=text, rule=rule, operation=node.operation, number=node.number, form="number",
            inputs=node.inputs,
        )  # fmt: skip

    def _turn(self, setting: Setting, item: Item, exactly: Fraction) -> int | None:
        """Which time a remedy comes round at a change; None where it is not the one."""
        if item.life is None or item.life <= 0:
            return None
        years = exactly if setting == "horizon" else Fraction(self.told.setup.horizon) / exactly
        turn = years / Fraction(item.life)
        return int(turn) if turn.denominator == 1 and turn > 0 else None

    def _both_sides(self, setting: Setting, change: OrderChange) -> list[Explanation]:
        return [node for value in (change.below, change.above) for node in self._costs(self._point(setting, value))]

    def _current(self, setting: Setting, name: str) -> Explanation:
        if setting == "interest":
            return named(self.told.setting("Interest a year", "interest_a_year"), name)
        if setting == "horizon":
            return named(self._horizon(), name)
        return leaf(name, Decimal(1), cells=(), rule="All lives as they are stated.")

    def _end(self, setting: Setting, value: Decimal, factor: Decimal, name: str) -> Explanation:
        if setting == "horizon":
            rule = "Half the years compared." if factor == HALF else "Double the years compared."
            how = leaf("so many times", factor, cells=(), rule="How far it is looked at.")
            return number(name, value, "product", (self._horizon(), how), rule)
        if setting == "interest" and factor == DOUBLE:
            own = self.told.setting("Interest a year", "interest_a_year")
            far = leaf("looked at up to", MOST_INTEREST, cells=(), rule="How far it is looked at.")
            return number(name, value, "most", (far, own), "20 % a year, or the shop's own where it is more.")
        return leaf(name, value, cells=(), rule="How far it is looked at.")

    def _tried(self, setting: Setting, value: Decimal, name: str) -> Explanation:
        now = Decimal(1) if setting == "lives" else self.told.setup.horizon if setting == "horizon" else self.interest
        if not value:
            return leaf(name, value, cells=(), rule="No interest.")
        times = leaf("so many times", value / now, cells=(), rule="Half or double.")
        rule = "The choices are made again at so much (rules 5.7)."
        return number(name, value, "product", (self._current(setting, "now"), times), rule)

    def _other_choice(self, choice: OtherChoice, keys: tuple[str, ...], name: str) -> Explanation:
        """What each choice comes to at that setting, by the aim that asks for it."""
        setup, worked = self.told.setup, self.again.of(choice.tier)
        point = self._point(choice.setting, choice.value)
        own = self._tier(choice.tier)
        remedies = {item.key: item for item in worked.remedies if item.key not in choice.in_place_of}
        remedies |= {key: setup.candidates.items[key] for key in choice.takes}
        suffix = f" ({worked.tier.tier}, with {', '.join(choice.takes) or 'nothing'} instead)"
        other = lay_open(setup, choice.tier, remedies.values(), worked.covered, suffix)
        inputs = [self._cost_of(one, point) for one in (own, other)]
        rule = f"Chosen again by {worked.tier.aim}, {point.words} (rules 5.7)."
        return words(name, keys, rule, inputs=inputs)

    def _point(self, setting: Setting, value: Decimal) -> Point:
        now = self._now
        text = number_text(value)
        if setting == "interest":
            return now._replace(interest=value, words=f"at interest {text}")
        if setting == "horizon":
            return now._replace(horizon=value, words=f"over {text} years")
        return now._replace(factor=value, words=f"with {text} times the lives")

    def _tier(self, code: str) -> ChoiceTold:
        found = self._opened.get(code)
        if found is None:
            worked = self.again.of(code)
            found = of_tier(self.told.setup, worked)
            if code == self.tier:
                found = ChoiceTold(told=self.told, remedies=worked.remedies, covered=worked.covered)
            self._opened[code] = found
        return found

    def _costs(self, point: Point) -> list[Explanation]:
        return [self._cost(code, point) for code in self.found.order]

    def _cost(self, code: str, point: Point) -> Explanation:
        return self._cost_of(self._tier(code), point)

    def _cost_of(self, choice: ChoiceTold, point: Point) -> Explanation:
        """Work today and what comes round again, at a point."""
        return choice.told.once(f"cost {point.words}", partial(self._worked_cost, choice, point))

    def _worked_cost(self, choice: ChoiceTold, point: Point) -> Explanation:
        again = [node for item in choice.remedies for node in self._repeats(choice, item, point)]
        total = sum((Fraction(node.number or 0) for node in again), Fraction(choice.told.charges.total))
        rule = f"Work today and what comes round again {point.words}, at today's worth (rules 5.7)."
        name = choice.told.name(f"cost {point.words}")
        amount = round_to(total, self.told.money.digits)
        return self.told.money.rounded(name, amount, "sum", (choice.work(), *again), rule)

    def _repeats(self, choice: ChoiceTold, item: Item, point: Point) -> Iterator[Explanation]:
        if item.life is None:
            return
        alone = years.each_time(self.told, item)
        due = renewals(self.told.setup.alone(item), item.life * point.factor, point.horizon, point.interest)
        for turn, (at, worth) in enumerate(due, 1):
            inputs = (alone, self._growth(item, turn, at, point))
            figure = f"{item.key} again after {number_text(at)} years"
            rule = "Its work by itself, at today's worth (rules 5.7)."
            yield number(figure, worth, "quotient", inputs, rule, form="money")

    def _growth(self, item: Item, turn: int, at: Decimal, point: Point) -> Explanation:
        factors = [self._life(item), _turns(turn)]
        if point.factor != 1:
            rule = "Supposed of all lives together."
            factors.append(leaf("times the lives stated", point.factor, cells=(), rule=rule))
        after = number(f"years to turn {turn} of {item.key}", at, "product", factors, "Life x turn (rules 5.7).")
        if point.interest == self.interest:
            interest = self.told.setting("Interest a year", "interest_a_year", "percent")
        else:
            rule = "Supposed."
            interest = leaf("interest supposed", point.interest, cells=(), form="percent", rule=rule)
        growth = number("1 + interest", 1 + point.interest, "one plus", (interest,), "Interest a year.")
        rule = "1 + interest, to the power of the years (rules 5.7)."
        worth = compound(point.interest, at)
        return number(f"growth over {number_text(at)} years", worth, "power", (growth, after), rule)

    def _life(self, item: Item) -> Explanation:
        assert item.remedy is not None
        return of_row(f"Life years of {item.code}", item.life, item.remedy.source, "Life years")

    def _horizon(self) -> Explanation:
        return years.horizon(self.told, self.told.setup.horizon)


def _with_costs(
    value: str | tuple[str, ...], rule: str, costs: Callable[[], Sequence[Explanation]], name: str
) -> Explanation:
    return words(name, value, rule, inputs=costs())


def _turns(turn: int) -> Explanation:
    return leaf("turn", turn, cells=(), rule=f"The {turn}. time it comes round.")


def _life_of(item: Item) -> Decimal:
    assert item.life is not None
    return item.life
