"""A condition's ceiling split over labour rates, counted in small units of time (DESIGN.md 5.3, 5.9 Hours).

Where the allowance of all work reaches the ceiling, a rate's part is ceiling x its own allowance / all allowance, and
its hours are rounded up with it. A quotient of two sums is no row; but which unit the part ends in is: the part lies in
the a-th unit where (a - 1) x unit x all < ceiling x own <= a x unit x all. One alternative stands for each a.
With a unit that measures all other hours of the rate, rounding the part up to units first moves no rounded hours.

Worked example: ceiling 3 h, unit 0.1 h; slowed work gives 2 h of allowance at one rate and 4 h at another. The parts
are 1 h and 2 h: 10 and 20 units. At 2.1 h and 4 h they are 1.033 and 1.967 h: 11 and 20 units.
"""

from __future__ import annotations

from collections.abc import Iterable, Mapping
from fractions import Fraction

from quotekit.pricing.exact.flags import TRUE, Flag, add_flag
from quotekit.pricing.exact.lines import Factor, Line, Number, common_unit, total
from quotekit.pricing.exact.program import Program
from quotekit.record import record

MOST_UNITS = 400
"""More alternatives than that a rate make a program slow; the split is then held between bounds."""


def numbers_of(lines: Iterable[Line]) -> list[Factor]:
    """All numbers that sums are made of."""
    return [number for line in lines for number in (line.constant, *line.terms.values())]


def counted_parts(
    program: Program, full: Mapping[str, Line], cap: Fraction, reached: Flag, unit: Fraction
) -> dict[str, Line] | None:
    """Each rate's part of the allowance rounded up to units, in hours; None where they are too many."""
    most = (cap / unit).__ceil__()
    if most > MOST_UNITS:
        return None
    grain = common_unit(numbers_of(full.values()))
    own = {rate: _in_grains(program, line, grain) for rate, line in sorted(full.items())}
    together = total(own.values())
    counts = {
        rate: _Counted(program, line, together, cap, unit, grain).count(reached, most) for rate, line in own.items()
    }
    program.row(add_flag(total(counts.values()), reached, -most), low=0)
    parts = {rate: count.times(unit) for rate, count in counts.items()}
    Shares(program=program, full=full, parts=parts, cap=cap, short=Fraction(0), over=unit).state()
    return parts


def _in_grains(program: Program, line: Line, grain: Fraction) -> Line:
    """A long sum as one unknown, so that many rows may hold it."""
    least, most = line.span(program.bounds)
    found = Line().add(program.whole(int(least / grain), int(most / grain)), grain)
    program.row(Line().plus(found).plus(line, -1), low=0, high=0)
    return found


@record
class Shares:
    """Each rate's part between what it is at the most and at the least of all allowance: short rows that cut.

    A part is the rate's own allowance times the ceiling over all allowance. `short` is how much less than that it may
    be as stated, `over` how much more.
    """

    program: Program
    full: Mapping[str, Line]
    parts: Mapping[str, Line]
    cap: Fraction
    short: Fraction
    over: Fraction

    def state(self) -> None:
        """Rows for every choice, and closer ones once it is known how far apart all allowance can be."""
        together = total(self.full.values())
        _, most = together.span(self.program.bounds)
        self._between(0, most)
        self.program.watch(together, self._between)

    def _between(self, least: Number, most: Number) -> None:
        share = self.cap / max(Fraction(most), self.cap)
        for rate, part in self.parts.items():
            own = self.full[rate]
            self.program.row(Line().plus(part).plus(own, -share), low=-self.short)
            if least > self.cap:
                self.program.row(Line().plus(part).plus(own, -self.cap / Fraction(least)), high=self.over)


class _Counted:
    """How many units one rate's part comes to."""

    def __init__(
        self, program: Program, own: Line, together: Line, cap: Fraction, unit: Fraction, grain: Fraction
    ) -> None:
        self.program, self.own, self.together = program, own, together
        self.cap, self.unit, self.grain = cap, unit, grain

    def count(self, reached: Flag, most: int) -> Line:
        """The number of units: by alternatives where the ceiling is reached, else the allowance itself rounded up."""
        flags = self.program.one_of(most + 1 + (reached != TRUE))
        found = Line()
        for units, flag in enumerate(flags[: most + 1]):
            add_flag(found, flag, units)
            self._state(units, flag)
        if reached != TRUE:
            self.program.row(add_flag(add_flag(Line(), flags[-1]), reached), low=1, high=1)
            found.plus(self._below_the_ceiling(flags[-1], most))
        return found

    def _state(self, units: int, flag: Flag) -> None:
        """An alternative's two rows; each is sure to hold where another alternative is true."""
        _, largest = self.own.span(self.program.bounds)
        _, all_of_it = self.together.span(self.program.bounds)
        here = self.own.times(self.cap)
        above = (self.cap - units * self.unit) * largest
        if above > 0:
            gap = Line().plus(here).plus(self.together, -units * self.unit)
            self.program.row(add_flag(gap, flag, above), high=above)
        if units:
            step = common_unit((self.cap * self.grain, (units - 1) * self.unit * self.grain))
            below = (units - 1) * self.unit * all_of_it
            gap = Line().plus(here).plus(self.together, (1 - units) * self.unit)
            self.program.row(add_flag(gap, flag, -below - step), low=-below)

    def _below_the_ceiling(self, free: Flag, most: int) -> Line:
        """The allowance itself in whole units where a flag is true, else zero."""
        count = Line().add(self.program.whole(0, most))
        gap = count.times(self.unit).plus(self.own, -1)
        _, largest = self.own.span(self.program.bounds)
        step = common_unit((self.unit, self.grain))
        self.program.row(add_flag(Line().plus(gap), free, -largest), low=-largest)
        self.program.row(gap, high=self.unit - step)
        self.program.row(add_flag(Line().plus(count), free, -most), high=0)
        return count
