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
from quotekit.pricing.covers import Tangle, TooManyChoices
from quotekit.pricing.exact.lines import Line
from quotekit.pricing.exact.program import Program
from quotekit.pricing.exact.selection import TangledChoice, lives_in
from quotekit.pricing.exact.solver import Solver
from quotekit.pricing.fits import Candidates
from quotekit.pricing.items import Item
from quotekit.record import record

MOST_SECONDS = 20


@record
class Settled:
    """A tangle with the numbers its choices must have."""

    tangle: Tangle
    may_leave_kept: bool
    left: tuple[int, ...]
    """Findings left of each severity, the gravest first."""


class Untangler:
    """Settles tangles of one tier, and states them in a program."""

    def __init__(self, candidates: Candidates, kept: frozenset[str], given: Sequence[Item], horizon: Decimal) -> None:
        self.candidates, self.kept, self.given, self.horizon = candidates, kept, given, horizon

    def settle(self, tangle: Tangle) -> Settled:
        """The fewest findings left, and of which severity; raises TooManyChoices where time runs out."""
        for may_leave_kept in (False, True):
            program, choice = self._stated(tangle, may_leave_kept=may_leave_kept)
            solver = Solver(program, MOST_SECONDS)
            fewest = _least(solver, choice.left_of(choice.possible))
            if fewest is not None:
                left = _fewest_grave(solver, choice, fewest) if fewest else (0,) * len(SEVERITIES)
                return Settled(tangle=tangle, may_leave_kept=may_leave_kept, left=left)
        raise TooManyChoices

    def shortest(self, settled: Settled) -> Decimal:
        """The longest that each covered finding of a tangle can last at least."""
        program, choice = self._with_left(settled)
        shorter = lives_in(program, choice, self.horizon).shorter_than
        spans = sorted(shorter)
        low, high = 0, len(spans)
        while high - low > 1:
            middle = (low + high) // 2
            trial = program.copy()
            trial.row(shorter[spans[middle]], high=0)
            low, high = (middle, high) if _can_hold(trial) else (low, middle)
        return spans[low] if spans else self.horizon

    def together(self, settled: Settled, shortest: Decimal) -> Decimal:
        """The largest sum of lives with each at least the shortest."""
        program, choice = self._with_left(settled)
        lives = lives_in(program, choice, self.horizon)
        for span, line in lives.shorter_than.items():
            if span <= shortest:
                program.row(line, high=0)
        scale = lives.together.denominator()
        most = _least(Solver(program, MOST_SECONDS), lives.together.times(-scale))
        assert most is not None
        return shown_hours(Fraction(-most, scale))

    def state(self, program: Program, settled: Settled, life: tuple[Decimal, Decimal] | None) -> TangledChoice:
        """A tangle's rules and numbers in the tier's program; `life` is the shortest and the sum, for that aim."""
        choice = self._state_left(program, settled)
        if life is not None:
            lives = lives_in(program, choice, self.horizon)
            for span, line in lives.shorter_than.items():
                if span <= life[0]:
                    program.row(line, high=0)
            program.row(lives.together, low=life[1])
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
            found.append(_can_hold(program))
        return all(found)

    def _with_left(self, settled: Settled) -> tuple[Program, TangledChoice]:
        program = Program()
        return program, self._state_left(program, settled)

    def _state_left(self, program: Program, settled: Settled) -> TangledChoice:
        choice = TangledChoice(program, self.candidates, settled.tangle, self.given)
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


def _fewest_grave(solver: Solver, choice: TangledChoice, fewest: int) -> tuple[int, ...]:
    """How many are left of each severity, as few of the gravest as can be, then of the next."""
    program = solver.program
    program.row(choice.left_of(choice.possible), high=fewest)
    left = []
    for count in choice.by_severity():
        number = _least(solver, count)
        assert number is not None
        program.row(count, low=number, high=number)
        left.append(number)
    return tuple(left)


def _can_hold(program: Program) -> bool:
    return _least(Solver(program, MOST_SECONDS), Line()) is not None


def _least(solver: Solver, line: Line) -> int | None:
    """The least a whole sum can be, None where nothing can hold; raises TooManyChoices where time runs out."""
    answer = solver.least(line)
    if answer.ending == "none":
        return None
    if answer.ending == "stopped" or answer.values is None:
        raise TooManyChoices
    return int(line.value(answer.values))
