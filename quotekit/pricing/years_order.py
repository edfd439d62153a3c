"""Where the order of the tiers by cost over the years changes, as interest, horizon or lives move (DESIGN.md 5.7).

order = the tiers by horizon cost as rounded, then by work, then as the book lists them.
Interest goes from none to 20 % (to the shop's own, if higher), the horizon and all lives together from half to double;
all else stays as it is.
- The horizon: a repeat counts once it is above k x life, so the order can change nowhere else: exact.
- Lives, all times a factor: a repeat counts while the factor is below horizon / (k x life): exact there. In between the
  costs drift with interest, and stand still without any.
- Interest: the costs drift.
Where they drift a change is narrowed down (`years_drift`): to 0.01 points of interest, to 0.001 of the lives.
Each change stands between two values, and the orders at both are the engine's own: what was narrowed down is priced
again there by `life.repeats`, rounded once; at an exact value the two orders come of the repeats on either side of it.
Units: money, years, interest as a fraction a year. Source: break-even of one setting at a time, any engineering economy
text.

Worked example: A costs 100.00 and comes round every 2 years for 100.00, B costs 260.00 and lasts. At no interest over 5
years A comes to 300.00, B to 260.00. Up to a horizon of 4 years A comes round once at most, 200.00: A is less to own up
to 4 years, B beyond.
"""

from __future__ import annotations

from collections.abc import Callable, Iterable
from decimal import ROUND_CEILING, ROUND_FLOOR, Context, Decimal, localcontext
from fractions import Fraction
from itertools import pairwise

from quotekit.model.years import MOST_REPEATS, OrderChange, OrderRange
from quotekit.money import EXACT, round_to
from quotekit.pricing.items import Item
from quotekit.pricing.life import renewals, repeats
from quotekit.pricing.years_drift import SCAN, Cost, Drift, Order, Worths, ordered
from quotekit.record import record

MOST_INTEREST = Decimal("0.2")
INTEREST_STEP = Decimal("0.0001")
FACTOR_STEP = Decimal("0.001")
HALF, DOUBLE = Decimal("0.5"), Decimal(2)
BESIDE = 12
"""Decimals at which a value beside an exact one is priced."""


@record
class Stream:
    """A tier as money over the years: work now, and stand-alone work again after each life, equal lives together."""

    code: str
    work: Decimal
    again: tuple[tuple[Decimal, Decimal], ...]
    """Life and amount."""


@record
class Scene:
    """The tiers compared, and the settings as they stand."""

    streams: tuple[Stream, ...]
    interest: Decimal
    horizon: Decimal
    digits: int

    @property
    def lives(self) -> frozenset[Decimal]:
        """Every life of a remedy that may come round."""
        return frozenset(life for one in self.streams for life, _ in one.again)

    def is_small(self) -> bool:
        """Few enough repeats over twice the horizon to work through."""
        double = Fraction(self.horizon) * 2
        return (
            sum((double / Fraction(life)).__ceil__() for one in self.streams for life, _ in one.again) <= MOST_REPEATS
        )


def stream_of(code: str, work: Decimal, remedies: Iterable[Item], alone: Callable[[Item], Decimal]) -> Stream:
    """A tier's money over the years; every remedy has a life."""
    again: dict[Decimal, Decimal] = {}
    for item in remedies:
        assert item.life is not None
        if item.life > 0:
            again[item.life] = again.get(item.life, Decimal(0)) + alone(item)
    return Stream(code=code, work=work, again=tuple(sorted(again.items())))


def order_at(scene: Scene, interest: Decimal, horizon: Decimal, factor: Decimal = Decimal(1)) -> Order:
    """The order by the engine's own rule under other settings, all lives times a factor."""
    with localcontext(EXACT):
        each = {life: repeats(Decimal(1), life * factor, horizon, interest) for life in scene.lives}
        return _order_of(
            scene,
            [
                sum((Fraction(amount) * each[life] for life, amount in one.again), Fraction(one.work))
                for one in scene.streams
            ],
        )


def range_of_horizon(scene: Scene) -> OrderRange:
    """From half to double the horizon, adding up what comes round from year to year."""
    low, high = scene.horizon * HALF, scene.horizon * DOUBLE
    costs = [Fraction(one.work) for one in scene.streams]
    due = _due(scene, high)
    for year in sorted(year for year in due if year < low):
        _add(costs, due[year])
    before, changes = _order_of(scene, costs), []
    for year in sorted(year for year in due if year >= low):
        _add(costs, due[year])
        after = _order_of(scene, costs)
        if after != before:
            above = year + Decimal(1).scaleb(-BESIDE)
            changes.append(
                OrderChange(below=year, above=above, exactly=Fraction(year), before=before, after=after),
            )
        before = after
    return OrderRange(
        setting="horizon", current=scene.horizon, low=low, high=high, precision=Decimal(0), changes=tuple(changes)
    )


def range_of_interest(scene: Scene) -> OrderRange:
    """From no interest to 20 %, or to the shop's own where that is higher."""
    high = max(MOST_INTEREST, scene.interest)
    costs = [_cost(one, scene.horizon, Fraction(1)) for one in scene.streams]
    years = {year for one in costs for year in one.later}

    def worths(interest: Decimal) -> Worths:
        growth = 1 + interest
        return {year: growth**-year for year in years}

    found = Drift(costs, worths, scene.digits).changes(Decimal(0), high, INTEREST_STEP)
    return OrderRange(
        setting="interest",
        current=scene.interest,
        low=Decimal(0),
        high=high,
        precision=INTEREST_STEP,
        changes=_checked(found, lambda interest: order_at(scene, interest, scene.horizon)),
    )


def range_of_lives(scene: Scene) -> OrderRange:
    """All lives from half to double."""
    at_half = Fraction(scene.horizon) / Fraction(HALF)
    times = {
        Fraction(scene.horizon) / (life * k) for life in map(Fraction, scene.lives) for k in _up_to(at_half / life)
    }
    turns = sorted(turn for turn in times if Fraction(HALF) < turn <= Fraction(DOUBLE))
    changes: list[OrderChange] = []
    before: Order = ()
    for turn, following in pairwise([Fraction(HALF), *turns, Fraction(DOUBLE)]):
        drift = _lives_drift(scene, turn)
        low, high = _near(turn), _near(following)
        after = drift.order(low)
        if before and after != before:
            changes.append(_at_turn(turn, before, after))
        if scene.interest:
            changes += _checked(
                drift.changes(low, high, FACTOR_STEP),
                lambda times: order_at(scene, scene.interest, scene.horizon, times),
            )
        before = drift.order(high)
    return OrderRange(
        setting="lives",
        current=Decimal(1),
        low=HALF,
        high=DOUBLE,
        precision=FACTOR_STEP if scene.interest else Decimal(0),
        changes=tuple(changes),
    )


def _at_turn(turn: Fraction, before: Order, after: Order) -> OrderChange:
    below, above = _beside(turn, ROUND_FLOOR), _beside(turn, ROUND_CEILING)
    return OrderChange(below=below, above=above, exactly=turn, before=before, after=after)


def _lives_drift(scene: Scene, factor: Fraction) -> Drift:
    """The costs from a factor on lives until the next repeat drops out; years are those of the lives as they stand."""
    costs = [_cost(one, scene.horizon, factor) for one in scene.streams]
    years = {year for one in costs for year in one.later}
    growth = 1 + scene.interest

    def worths(times: Decimal) -> Worths:
        fall = growth**-times
        return {year: fall**year for year in years}

    return Drift(costs, worths, scene.digits)


def _cost(stream: Stream, horizon: Decimal, factor: Fraction) -> Cost:
    """What falls before the horizon, with all lives times a factor."""
    later: dict[Decimal, Decimal] = {}
    end = Fraction(horizon) / factor
    for life, amount in stream.again:
        for k in _up_to(end / Fraction(life)):
            later[life * k] = later.get(life * k, Decimal(0)) + amount
    return Cost(code=stream.code, work=stream.work, later=later)


def _up_to(end: Fraction) -> range:
    """Whole numbers from 1 that lie below an end.

    >>> list(_up_to(Fraction(5, 2))), list(_up_to(Fraction(2)))
    ([1, 2], [1])
    """
    return range(1, end.__ceil__())


def _due(scene: Scene, horizon: Decimal) -> dict[Decimal, list[tuple[int, Fraction]]]:
    """What each tier pays again in each year before a horizon, at today's worth."""
    due: dict[Decimal, list[tuple[int, Fraction]]] = {}
    for life in scene.lives:
        for year, worth in renewals(Decimal(1), life, horizon, scene.interest):
            paid = due.setdefault(year, [])
            for place, stream in enumerate(scene.streams):
                paid += [(place, worth * Fraction(amount)) for of_life, amount in stream.again if of_life == life]
    return due


def _add(costs: list[Fraction], paid: Iterable[tuple[int, Fraction]]) -> None:
    for place, worth in paid:
        costs[place] += worth


def _order_of(scene: Scene, costs: Iterable[Fraction]) -> Order:
    rounded = [round_to(cost, scene.digits) for cost in costs]
    return ordered([one.code for one in scene.streams], rounded, [one.work for one in scene.streams])


def _checked(found: Iterable[tuple[Decimal, Decimal]], order: Callable[[Decimal], Order]) -> tuple[OrderChange, ...]:
    """What was narrowed down, with the orders of the engine's own rule on both sides."""
    changes = [
        OrderChange(below=below, above=above, exactly=None, before=order(below), after=order(above))
        for below, above in found
    ]
    return tuple(change for change in changes if change.before != change.after)


def _near(value: Fraction) -> Decimal:
    with localcontext(SCAN):
        return Decimal(value.numerator) / Decimal(value.denominator)


def _beside(value: Fraction, rounding: str) -> Decimal:
    """The value itself or the nearest with 12 decimals: below it, a step lower where it has no more; or above.

    >>> str(_beside(Fraction(5, 3), ROUND_CEILING)), str(_beside(Fraction(2), ROUND_FLOOR))
    ('1.666666666667', '1.999999999999')
    """
    step = Decimal(1).scaleb(-BESIDE)
    with localcontext(Context(prec=40)):
        near = (Decimal(value.numerator) / Decimal(value.denominator)).quantize(step, rounding)
        return near - step if rounding == ROUND_FLOOR and Fraction(near) == value else near
