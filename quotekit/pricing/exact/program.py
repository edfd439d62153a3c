"""An integer program: unknown whole numbers, rows between bounds, and flags with and, or, not.

Rounding and comparing are stated so that, at whole values, they are equal to the engine's, not near it.

Worked example: `either([a, b])` is a new flag y with y >= a, y >= b and y <= a + b.
`rounded(e)`, half up of e = n / d, is the whole L with e - 1/2 < L <= e + 1/2; as e is a multiple of 1 / d, the first
part is 2 d L >= 2 d e - d + 1.
"""

from __future__ import annotations

from collections.abc import Callable, Iterable, Mapping, Sequence
from fractions import Fraction

from quotekit.pricing.exact.flags import FALSE, TRUE, Flag, add_flag, sum_of
from quotekit.pricing.exact.lines import Factor, Line, Number, Row, exactly

LARGEST_SCALE = 1_000_000
"""Rows are not scaled beyond this: a rounding is then stated a hair too wide, and the search sees to it."""


Tighten = Callable[[Fraction, Fraction], None]
LONG = 30
"""Terms of a sum that is worth looking at again."""


class Program:
    """Unknowns and rows, built up by the rules."""

    def __init__(self) -> None:
        self.bounds: list[tuple[int, int]] = []
        self.rows: list[Row] = []
        self.amounts: list[int] = []
        """Unknowns that follow from the others but for a rounding: money, and sums that are cut off."""
        self.watched: list[tuple[Line, Tighten]] = []
        """Sums as long as the job whose least or most a row takes, and what states it again for closer ones."""
        self._known: dict[frozenset[Flag], Flag] = {}
        self._alternatives: dict[Flag, int] = {}
        """Flags of which one at most is true, by the number of their set."""
        self._parts: dict[Flag, Mapping[int, frozenset[Flag]]] = {}
        """Flags that are true when one of some others is: those others by the set of alternatives they are from."""
        self._without: dict[tuple[Flag, frozenset[Flag]], Flag] = {}

    def copy(self) -> Program:
        """A program to add to without changing this one."""
        other = Program()
        other.bounds, other.rows, other._known = list(self.bounds), list(self.rows), dict(self._known)
        other.amounts = list(self.amounts)
        other._alternatives, other._parts = dict(self._alternatives), dict(self._parts)
        other._without = dict(self._without)
        return other

    def whole(self, low: int, high: int) -> int:
        """A new whole number within bounds; its place."""
        self.bounds.append((low, high))
        return len(self.bounds) - 1

    def amount(self, low: int, high: int) -> int:
        """A new whole number that follows from others but for a rounding; its place."""
        self.amounts.append(self.whole(low, high))
        return self.amounts[-1]

    def flag(self) -> Flag:
        """A new flag."""
        return self.whole(0, 1) + 1

    def one_of(self, count: int) -> list[Flag]:
        """New flags of which exactly one is true."""
        flags = [self.flag() for _ in range(count)]
        self.tell_apart(flags)
        self.row(sum_of(flags), low=1, high=1)
        return flags

    def tell_apart(self, flags: Sequence[Flag]) -> None:
        """Note flags of which one at most is true, whatever row says so; none may be noted in another set."""
        self._alternatives.update(dict.fromkeys(flags, len(self._alternatives)))

    def row(self, line: Line, low: Number | None = None, high: Number | None = None) -> None:
        """A row: the line between two numbers."""
        least = None if low is None else exactly(low) - line.constant
        most = None if high is None else exactly(high) - line.constant
        self.rows.append(Row(terms=dict(line.terms), low=least, high=most))

    def line_of(self, flag: Flag) -> Line:
        """A flag as a sum: 1 less the flag for an opposite."""
        return add_flag(Line(), flag)

    def either(self, flags: Iterable[Flag]) -> Flag:
        """True when one of the flags is."""
        wanted = frozenset(flag for flag in flags if flag != FALSE)
        if TRUE in wanted or any(-flag in wanted for flag in wanted):
            return TRUE
        if len(wanted) < 2:
            return next(iter(wanted), FALSE)
        return self._either(wanted)

    def both(self, first: Flag, second: Flag) -> Flag:
        """True when both flags are."""
        return -self.either((-first, -second))

    def without(self, first: Flag, seconds: Iterable[Flag]) -> Flag:
        """True when the first flag is and some of the second are not.

        Alternatives that make the first true and the second not are told apart from those that make both true: two
        alternatives of one set are never both taken, so one taken by half can't make away with the other half.
        """
        wanted = frozenset(second for second in seconds if second != TRUE)
        if FALSE in wanted or first == FALSE:
            return first
        if not wanted or wanted == {first}:
            return FALSE
        if first == TRUE:
            return -self.all_of(wanted)
        parts = self._parts_of(first)
        if len(wanted) == len(parts) == 1:
            (number, those), (second,) = next(iter(parts.items())), wanted
            others = self._parts_of(second)
            if others.keys() == {number}:
                return self.either(those - others[number])
        key = (first, wanted)
        if key not in self._without:
            self._without[key] = self._excluded(first, wanted)
        return self._without[key]

    def without_any(self, first: Flag, seconds: Sequence[Flag]) -> Flag:
        """A flag that can be true only where the first is and none of the second are, and is where that is wanted."""
        if not seconds:
            return first
        found = self.flag()
        if first != TRUE:
            self.row(add_flag(self.line_of(first), found, -1), low=0)
        for alternatives in self._together(seconds).values():
            self.row(sum_of(alternatives).plus(self.line_of(found)), high=1)
        return found

    def all_of(self, flags: Iterable[Flag]) -> Flag:
        """True when every flag is."""
        return -self.either(-flag for flag in flags)

    def rounded(self, line: Line, most: int | None = None) -> Line:
        """A sum rounded half up to whole numbers: itself where it can only be whole. It is never below zero."""
        if line.denominator() == 1:
            return line
        least, largest = line.span(self.bounds)
        place = self.amount(max(0, _half_up(least)), max(0, _half_up(largest)))
        scale = line.denominator()
        lean = Fraction(1, 2) - (Fraction(1, 2 * scale) if scale <= LARGEST_SCALE else 0)
        gap = Line().add(place).plus(line, -1)
        self.row(gap, low=-lean, high=Fraction(1, 2))
        return Line().add(place)

    def rounded_up(self, line: Line, unit: Number) -> int:
        """The least whole number of units that covers a sum that is not below zero; its place."""
        steps = line.times(1 / Fraction(unit))
        place = self._steps(steps)
        scale = min(steps.denominator(), LARGEST_SCALE)
        self.row(Line().add(place).plus(steps, -1), high=1 - Fraction(1, scale))
        return place

    def rounded_up_within(self, line: Line, unit: Number, exact: Line, loose: Flag, slack: Number) -> int:
        """The same for a sum that is equal to another unless a flag is true, and then right within some slack."""
        steps = line.times(1 / Fraction(unit))
        place = self._steps(steps)
        step = Fraction(1, min(exact.times(1 / Fraction(unit)).denominator(), LARGEST_SCALE))
        gap = Line().add(place).plus(steps, -1)
        self.row(add_flag(gap, loose, -step - Fraction(slack) / Fraction(unit)), high=1 - step)
        return place

    def _steps(self, steps: Line) -> int:
        _, most = steps.span(self.bounds)
        place = self.whole(0, max(0, most.__ceil__()))
        self.row(Line().add(place).plus(steps, -1), low=0)
        return place

    def watch(self, line: Line, tighten: Tighten) -> None:
        """Have rows stated again where a long sum's least and most are found to be closer."""
        if len(line.terms) >= LONG:
            self.watched.append((line, tighten))

    def above_zero(self, line: Line) -> Line:
        """A sum where it is above zero, else zero."""
        least, most = line.span(self.bounds)
        if least >= 0:
            return line
        if most <= 0:
            return Line()
        found, up = self._like(line), self.flag()
        self.row(Line().plus(found).plus(line, -1), low=0)

        def between(least: Number, most: Number) -> None:
            least, most = min(exactly(least), 0), max(exactly(most), 0)
            self.row(add_flag(Line().plus(found).plus(line, -1), up, -least), high=-least)
            self.row(add_flag(Line().plus(found), up, -most), high=0)

        between(least, most)
        self.watch(line, between)
        return found

    def least_of(self, line: Line, cap: Line | Number) -> Line:
        """A sum, at most another."""
        return Line().plus(cap).plus(self.above_zero(Line().plus(cap).plus(line, -1)), -1)

    def product(self, line: Line, flag: Flag) -> Line:
        """A sum, not below zero, where a flag is true, else zero."""
        if flag == TRUE:
            return line
        _, most = line.span(self.bounds)
        if flag == FALSE or most <= 0:
            return Line()
        found = self._like(line)
        self.row(add_flag(Line().plus(found), flag, -most), high=0)
        self.row(Line().plus(found).plus(line, -1), high=0)
        self.row(add_flag(Line().plus(found).plus(line, -1), flag, -most), low=-most)
        return found

    def _like(self, line: Line) -> Line:
        """A new sum, not below zero, that can take each value of another that is not below zero."""
        _, most = line.span(self.bounds)
        unit = Fraction(1, min(line.denominator(), LARGEST_SCALE))
        return Line().add(self.amount(0, (most / unit).__ceil__()), unit)

    def at_least(self, line: Line, limit: Number) -> Flag:
        """True when a sum of which every value is a multiple of 1 / its denominator reaches a limit."""
        least, most = line.span(self.bounds)
        limit = Fraction(limit)
        if least >= limit:
            return TRUE
        if most < limit:
            return FALSE
        flag, step = self.flag(), Fraction(1, line.denominator() * limit.denominator)

        def between(least: Number, most: Number) -> None:
            least, most = min(exactly(least), limit), max(exactly(most), limit - step)
            self.row(add_flag(Line().plus(line), flag, least - limit), low=least)
            self.row(add_flag(Line().plus(line), flag, limit - step - most), high=limit - step)

        between(least, most)
        self.watch(line, between)
        return flag

    def _either(self, flags: frozenset[Flag]) -> Flag:
        found = self._known.get(flags)
        if found is None:
            found = self._known[flags] = self.flag()
            parts = self._together(flags)
            self._parts[found] = parts
            for alternatives in parts.values():
                self.row(sum_of(alternatives).plus(self.line_of(found), -1), high=0)
            self.row(sum_of(flags).plus(self.line_of(found), -1), low=0)
        return found

    def _parts_of(self, flag: Flag) -> Mapping[int, frozenset[Flag]]:
        """What makes a flag true, by sets of which one at most is true; a flag of its own is a set by itself."""
        known = self._parts.get(flag)
        if known is not None:
            return known
        return {self._alternatives.get(flag, -2 * abs(flag) - (flag > 0)): frozenset({flag})}

    def _together(self, flags: Iterable[Flag]) -> dict[int, frozenset[Flag]]:
        """Flags that exclude each other together, so that one row holds them all: it cuts more than a row each."""
        found: dict[int, frozenset[Flag]] = {}
        for flag in sorted(flags):
            for number, those in self._parts_of(flag).items():
                found[number] = found.get(number, frozenset()) | those
        return found

    def _excluded(self, first: Flag, seconds: frozenset[Flag]) -> Flag:
        found, parts = self.flag(), self._parts_of(first)
        some = Line()
        for number, those in parts.items():
            some.plus(sum_of(those))
            for second in seconds:
                others = self._parts_of(second)
                gap = sum_of(those - others.get(number, frozenset())).plus(self.line_of(found), -1)
                for other, alternatives in others.items():
                    gap.plus(sum_of(alternatives), 0 if other == number else -1)
                self.row(gap, high=0)
        self.row(some.plus(self.line_of(found), -1), low=0)
        together = Line(-len(seconds)).plus(self.line_of(found))
        for second in seconds:
            together.plus(self.line_of(second))
        self.row(together, high=0)
        return found


def _half_up(value: Factor) -> int:
    return (value + Fraction(1, 2)).__floor__()
