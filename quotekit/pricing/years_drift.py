"""Where the order of some costs may change while a setting moves over a stretch on which they drift.

A cost is work now and amounts in later years, each at a worth that only falls as the setting grows. The difference of
two costs is then bounded by its terms' worths at both ends of a stretch: where no difference can come within a minor
unit of zero nothing changes; any other stretch is halved until it is narrow enough, or level to a unit throughout.
Stretches that are left and touch are one change, if the order differs at their ends: rounding may swap level tiers.
Worked in 28 digits: what is found is priced again by the engine's own rule. Source: interval arithmetic.

Worked example: costs of 100 + 100 w and 150, w falling from 1 to 0.4: the difference lies from -10 to 50, so the
stretch is halved; with w = 0.7 in the middle it lies from 20 to 50 in one half, where nothing changes, and from -10 to
20 in the other.
"""

from __future__ import annotations

from collections.abc import Callable, Iterable, Iterator, Mapping, Sequence
from decimal import ROUND_HALF_EVEN, ROUND_HALF_UP, Context, Decimal, localcontext
from itertools import combinations

from quotekit.record import record

SCAN = Context(prec=28, rounding=ROUND_HALF_EVEN)

Worths = Mapping[Decimal, Decimal]
"""Worth of 1 in each year."""
Order = tuple[str, ...]


@record
class Cost:
    """A tier's work now and what it pays in later years."""

    code: str
    work: Decimal
    later: Mapping[Decimal, Decimal]
    """Amount by year."""


def ordered(codes: Sequence[str], costs: Sequence[Decimal], works: Sequence[Decimal]) -> Order:
    """Codes by cost, then by work, then as they stand.

    >>> ordered(["a", "b", "c"], [Decimal(2), Decimal(1), Decimal(1)], [Decimal(1), Decimal(1), Decimal(0)])
    ('c', 'b', 'a')
    """
    return tuple(codes[i] for i in sorted(range(len(codes)), key=lambda i: (costs[i], works[i], i)))


class Drift:
    """Some costs, and the worth of later years at a value of the setting."""

    def __init__(self, costs: Sequence[Cost], worths: Callable[[Decimal], Worths], digits: int) -> None:
        self._costs = costs
        self._find = worths
        self._unit = Decimal(1).scaleb(-digits)
        self._known: dict[Decimal, Worths] = {}
        self._differences = [_difference(one, other) for one, other in combinations(costs, 2)]

    def order(self, value: Decimal) -> Order:
        """The order at a value."""
        with localcontext(SCAN):
            worths = self._worths(value)
            costs = [
                (one.work + sum(amount * worths[year] for year, amount in one.later.items())).quantize(
                    self._unit, ROUND_HALF_UP
                )
                for one in self._costs
            ]
        return ordered([one.code for one in self._costs], costs, [one.work for one in self._costs])

    def changes(self, low: Decimal, high: Decimal, precision: Decimal) -> list[tuple[Decimal, Decimal]]:
        """Pairs of values, no further apart than the precision, between which the order changes."""
        with localcontext(SCAN):
            doubtful = list(self._doubtful(low, high, precision))
        found = []
        for start, end in _joined(doubtful):
            after = self.order(end)
            if self.order(start) != after:
                found.append(self._narrowed(start, end, after, precision))
        return found

    def _narrowed(self, low: Decimal, high: Decimal, after: Order, precision: Decimal) -> tuple[Decimal, Decimal]:
        while high - low > precision:
            with localcontext(SCAN):
                middle = (low + high) / 2
            low, high = (low, middle) if self.order(middle) == after else (middle, high)
        return low, high

    def _doubtful(self, low: Decimal, high: Decimal, precision: Decimal) -> Iterator[tuple[Decimal, Decimal]]:
        """Stretches in which the order may change, from left to right."""
        unit = self._unit
        bounds = [_bounds(one, self._worths(low), self._worths(high)) for one in self._differences]
        open_ones = [(least, most) for least, most in bounds if not (least > unit or most < -unit)]
        if not open_ones:
            return
        if high - low <= precision or all(-unit <= least <= most <= unit for least, most in open_ones):
            yield low, high
            return
        middle = (low + high) / 2
        yield from self._doubtful(low, middle, precision)
        yield from self._doubtful(middle, high, precision)

    def _worths(self, value: Decimal) -> Worths:
        found = self._known.get(value)
        if found is None:
            found = self._known[value] = self._find(value)
        return found


def _joined(stretches: Iterable[tuple[Decimal, Decimal]]) -> list[tuple[Decimal, Decimal]]:
    """Stretches that touch as one: within a cent of each other tiers may swap to and fro as they are rounded."""
    found: list[tuple[Decimal, Decimal]] = []
    for low, high in stretches:
        if found and found[-1][1] == low:
            found[-1] = (found[-1][0], high)
        else:
            found.append((low, high))
    return found


def _difference(one: Cost, other: Cost) -> tuple[Decimal, tuple[tuple[Decimal, Decimal], ...]]:
    """Work and yearly amounts of one less those of another; what both pay drops out."""
    years = sorted({*one.later, *other.later})
    zero = Decimal(0)
    terms = ((year, one.later.get(year, zero) - other.later.get(year, zero)) for year in years)
    return one.work - other.work, tuple((year, amount) for year, amount in terms if amount)


def _bounds(
    difference: tuple[Decimal, tuple[tuple[Decimal, Decimal], ...]], at_low: Worths, at_high: Worths
) -> tuple[Decimal, Decimal]:
    """The least and the most a difference can be between two values; worths only fall."""
    least, terms = difference
    most = least
    for year, amount in terms:
        first, last = amount * at_low[year], amount * at_high[year]
        least += min(first, last)
        most += max(first, last)
    return least, most
