"""Choices that are equal by every amount, told apart by codes: the first in text order (DESIGN.md 5.7, Order).

Of two choices, the one that takes the first code in which they differ comes first. So codes are settled from the
front, several at a time: the earliest weighs more than all later ones of its batch together.

Worked example: choices {A, D}, {B, C} and {B, D} cost the same. With weights 8, 4, 2, 1 they come to 9, 6 and 5:
{A, D} is first.
"""

from __future__ import annotations

from collections.abc import Iterator, Mapping, Sequence, Set

from quotekit.pricing.exact.flags import TRUE, Flag, add_flag
from quotekit.pricing.exact.lines import Line
from quotekit.pricing.exact.selection import is_true
from quotekit.pricing.exact.solver import Answer, Solver
from quotekit.record import record

AT_A_TIME = 20
"""Codes settled by one solve: weights up to a million are sure in the solver's floats."""


@record
class AsGood:
    """Choices of which a sum is at most the best one's."""

    solver: Solver
    sum: Line
    most: int
    free: Flag
    """Held at zero here, and not used by any other row: what is asked for here holds only here."""

    def may_differ(self, flags: Mapping[str, Flag], taken: Set[str]) -> set[str] | None:
        """Codes that are otherwise in some choice left than in one that takes some codes; None where time ran out.

        Each solve asks for a difference among the codes not found yet, until there is none.
        """
        unseen = {key: flag for key, flag in flags.items() if abs(flag) != TRUE}
        found: set[str] = set()
        self.solver.hold({self.free - 1: 0})
        while True:
            differs = add_flag(Line(), self.free)
            for key, flag in unseen.items():
                add_flag(differs, -flag if key in taken else flag)
            self.solver.program.row(differs, low=1)
            answer = self.solver.least(self.sum, at_most=self.most)
            if answer.ending == "none" or (answer.bound is not None and answer.bound > self.most):
                self.solver.hold({self.free - 1: 1})
                return found
            if answer.values is None:
                return None
            news = {key for key, flag in unseen.items() if is_true(flag, answer.values) != (key in taken)}
            if not news:
                return None
            found |= news
            unseen = {key: flag for key, flag in unseen.items() if key not in news}


def first_in_text_order(solver: Solver, flags: Sequence[Flag]) -> Answer:
    """The first in text order of all choices left, by flags of codes in that order; `none` where none is left."""
    held: dict[int, int] = {}
    answer = Answer(ending="stopped", values=None, bound=None)
    for batch in _batches([flag for flag in flags if abs(flag) != TRUE]):
        answer = solver.least(_position(batch))
        if answer.ending != "proven" or answer.values is None:
            break
        settled = {abs(flag) - 1: int(is_true(abs(flag), answer.values)) for flag in batch}
        solver.hold(settled)
        held |= settled
    solver.free(held)
    return answer


def _batches(flags: Sequence[Flag]) -> Iterator[Sequence[Flag]]:
    """At least one, so that a solve says whether any choice is left."""
    yield flags[:AT_A_TIME]
    for start in range(AT_A_TIME, len(flags), AT_A_TIME):
        yield flags[start : start + AT_A_TIME]


def _position(batch: Sequence[Flag]) -> Line:
    """Made least by taking the earliest code."""
    place = Line()
    for later, flag in enumerate(reversed(batch)):
        add_flag(place, flag, -(2**later))
    return place
