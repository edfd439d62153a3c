"""What must hold for a tangle before any price is looked at: how few findings are left, and how long its repairs last.

As few findings as possible are left, first without those that the tier before fixes; among those choices the fewest
grave ones. For the longest life: the longest that every covered finding can last, then the largest sum of lives.
Each is a small program of its own, and holds as a row in the tier's program.
"""

from __future__ import annotations

from collections.abc import Sequence
from decimal import Decimal
from fractions import Fraction

from quotekit.model.shop_book import SEVERITIES
from quotekit.money import shown_hours
from quotekit.pricing.covers import Cover, Tangle, TooManyChoices
from quotekit.pricing.exact.lines import Line
from quotekit.pricing.exact.lives import Lives
from quotekit.pricing.exact.program import Program
from quotekit.pricing.exact.selection import TangledChoice
from quotekit.pricing.exact.solver import Solver
from quotekit.pricing.items import Item
from quotekit.pricing.setup import Setup
from quotekit.record import record

MOST_SECONDS = 20


@record
class Settled:
    """A tangle with the numbers its choices must have."""

    tangle: Tangle
    may_leave_kept: bool
    left: tuple[int, ...]
    """Findings left of each severity, the gravest first."""
    first: Cover
    """One choice that has these numbers."""


class Untangler:
    """Settles tangles of one tier, and states them in a program."""

    def __init__(self, setup: Setup, covered: frozenset[str], kept: frozenset[str], given: Sequence[Item]) -> None:
        self.candidates, self.horizon = setup.candidates, setup.horizon
        self.covered, self.kept, self.given = covered, kept, given

    def settle(self, tangle: Tangle) -> Settled:
        """The fewest findings left, and of which severity; raises TooManyChoices where time runs out."""
        found = self._choice(Program(), tangle).without_needless()
        if found is not None:
            none_left = tuple(0 for _ in SEVERITIES)
            return Settled(tangle=tangle, may_leave_kept=False, left=none_left, first=found)
        for may_leave_kept in (False, True):
            program, choice = self._stated(tangle, may_leave_kept=may_leave_kept)
            solver = Solver(program, MOST_SECONDS)
            values = _least(solver, choice.left_of(choice.possible))
            if values is not None:
                values = _fewest_grave(solver, choice, values)
                left = tuple(int(count.value(values)) for count in choice.by_severity())
                first = choice.of(values)
                return Settled(tangle=tangle, may_leave_kept=may_leave_kept, left=left, first=first)
        raise TooManyChoices

    def shortest(self, settled: Settled) -> Decimal:
        """The longest that each covered finding of a tangle can last at least."""
        program, choice = self._with_left(settled)
        lives = Lives(program, choice, self.covered, self.horizon)
        spans = lives.spans
        low, high = 0, len(spans)
        while high - low > 1:
            middle = (low + high) // 2
            trial = program.copy()
            lives.hold_at_least(spans[middle], trial)
            low, high = (middle, high) if _can_hold(trial, choice) else (low, middle)
        return spans[low] if spans else self.horizon

    def together(self, settled: Settled, shortest: Decimal) -> tuple[Decimal, Cover]:
        """The largest sum of lives with each at least the shortest, and a choice that has it."""
        program, choice = self._with_left(settled)
        lives = Lives(program, choice, self.covered, self.horizon)
        lives.hold_at_least(shortest, program)
        together = lives.together()
        values = _least_choice(program, choice, together.times(-together.denominator()))
        assert values is not None
        return shown_hours(Fraction(together.value(values))), choice.of(values)

    def state(self, program: Program, settled: Settled, life: tuple[Decimal, Decimal] | None) -> TangledChoice:
        """A tangle's rules and numbers in the tier's program; `life` is the shortest and the sum, for that aim."""
        choice = self._state_left(program, settled, needless_later=life is None)
        if life is not None:
            lives = Lives(program, choice, self.covered, self.horizon)
            lives.hold_at_least(life[0], program)
            program.row(lives.together(), low=life[1])
        return choice

    def is_open(self, settled: Settled, item: Item) -> bool:
        """True when some choices of a tangle take a remedy and some do not."""
        found = []
        for taken in (0, 1):
            program, choice = self._with_left(settled)
            flag = choice.taken.get(item.key)
            if flag is None:
                return False
            program.row(program.line_of(flag), low=taken, high=taken)
            found.append(_can_hold(program, choice))
        return all(found)

    def _with_left(self, settled: Settled) -> tuple[Program, TangledChoice]:
        program = Program()
        return program, self._state_left(program, settled)

    def _choice(self, program: Program, tangle: Tangle) -> TangledChoice:
        return TangledChoice(program, self.candidates, tangle, self.given, all_fixed=True, needless_later=True)

    def _state_left(self, program: Program, settled: Settled, *, needless_later: bool = False) -> TangledChoice:
        choice = TangledChoice(
            program,
            self.candidates,
            settled.tangle,
            self.given,
            all_fixed=not any(settled.left),
            needless_later=needless_later,
        )
        if not any(settled.left):
            return choice
        if not settled.may_leave_kept:
            program.row(choice.left_of(self._kept_of(choice)), high=0)
        for count, number in zip(choice.by_severity(), settled.left, strict=True):
            program.row(count, low=number, high=number)
        return choice

    def _stated(self, tangle: Tangle, *, may_leave_kept: bool) -> tuple[Program, TangledChoice]:
        program = Program()
        choice = TangledChoice(program, self.candidates, tangle, self.given)
        if not may_leave_kept:
            program.row(choice.left_of(self._kept_of(choice)), high=0)
        return program, choice

    def _kept_of(self, choice: TangledChoice) -> list[str]:
        return [key for key in choice.possible if key in self.kept]


def _fewest_grave(solver: Solver, choice: TangledChoice, values: Sequence[int]) -> Sequence[int]:
    """Of choices that leave as few, one that leaves as few of the gravest as can be, then of the next."""
    program, left = solver.program, choice.left_of(choice.possible)
    if not left.value(values):
        return values
    program.row(left, high=left.value(values))
    for count in choice.by_severity():
        fewer = _least(solver, count)
        assert fewer is not None
        values = fewer
        program.row(count, high=count.value(values))
    return values


def _least_choice(program: Program, choice: TangledChoice, line: Line) -> Sequence[int] | None:
    """Values that make a sum least and stand for a choice that holds no other complete one."""
    solver = Solver(program, MOST_SECONDS)
    while True:
        values = _least(solver, line)
        if values is None or not choice.holds_another(choice.of(values)):
            return values
        program.row(choice.differs_from(choice.of(values)), low=1)


def _can_hold(program: Program, choice: TangledChoice) -> bool:
    return _least_choice(program, choice, Line()) is not None


def _least(solver: Solver, line: Line) -> Sequence[int] | None:
    """Values that make a sum least, None where nothing can hold; raises TooManyChoices where time runs out."""
    answer = solver.least(line)
    if answer.ending == "none":
        return None
    if answer.ending == "stopped" or answer.values is None:
        raise TooManyChoices
    return answer.values
