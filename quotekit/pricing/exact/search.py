"""The best choice by a tier's aim, proven: candidates from the program in order, each priced by the engine.

The program's value of a choice is never above the engine's. So when the least value left in the program is not below
the engine's price of the best choice found, no other choice is better. Ties are settled after that (`settle`).

Worked example: the program says 412.30 for its first choice, with amounts not yet whole, and the engine 412.31. The
choice is left out and the next least is 412.31: the bound has reached the best price, and the first choice stands.
"""

from __future__ import annotations

from collections.abc import Sequence, Set
from decimal import Decimal
from fractions import Fraction

from quotekit.model.shop_book import Aim
from quotekit.pricing.aims import value_of
from quotekit.pricing.choose import join
from quotekit.pricing.covers import Cover
from quotekit.pricing.exact.build import Priced, price_choice
from quotekit.pricing.exact.flags import TRUE, Flag, add_flag
from quotekit.pricing.exact.found import Found
from quotekit.pricing.exact.lines import Line
from quotekit.pricing.exact.narrow import tighten
from quotekit.pricing.exact.present import Taken
from quotekit.pricing.exact.program import Program
from quotekit.pricing.exact.selection import Listed, TangledChoice, is_true, items_taken
from quotekit.pricing.exact.solver import Answer, Relaxed, Solver
from quotekit.pricing.items import Item
from quotekit.pricing.setup import Setup

MOST_SECONDS = 20
"""Of solving, for one tier. What is best by then is taken, with its gap, and said so."""
WORTH_NARROWING = 100
MOST_IN_TURN = 8
"""Choices priced one after the other before the ties are settled by values."""
LEFT_OPEN = (250, 1_000)
"""Unknowns left open for the first good choice: those that cost least to change; more where few hold none."""
GIVEN_AWAY = Fraction(1, 2)
"""Minor units given away for the solver's floats where something is left out for good."""


class Search:
    """One tier's program, its solver and the best choice so far."""

    def __init__(
        self,
        setup: Setup,
        aim: Aim,
        program: Program,
        listed: Sequence[Listed],
        tangled: Sequence[TangledChoice],
        given: Sequence[Item],
        base: frozenset[str],
    ) -> None:
        self.base = base
        self.setup, self.aim, self.program = setup, aim, program
        self.listed, self.tangled, self.given = listed, tangled, tuple(given)
        remedies = items_taken(program, listed)
        for choice in tangled:
            remedies |= {item.key: (item, choice.taken[item.key]) for item in choice.items}
        self.flags: dict[str, Flag] = {key: flag for key, (_, flag) in sorted(remedies.items())}
        self.remedies = [Taken(item, flag) for _, (item, flag) in sorted(remedies.items())]
        taken = [*self.remedies, *(Taken(item, TRUE) for item in given)]
        self.priced: Priced = price_choice(program, setup.basis, taken, setup.always)
        self.steps = self._steps()
        self.free = program.flag()
        self.seconds = MOST_SECONDS
        self.solver = Solver(program, self.seconds)
        self.best: Found | None = None
        self.seen: set[tuple[Item, ...]] = set()
        """Choices priced so far."""
        self.bound: int | None = None
        self.is_proven = False
        self.relaxed: Relaxed | None = None
        self.open_keys: Set[str] = self.flags.keys()
        """Remedies that are not the same in all choices as good as the best, as far as is known."""

    def _steps(self) -> list[Line]:
        """What is made least, one after the other, in minor units."""
        if self.aim != "least to own":
            return [self.priced.work]
        cost = Line().plus(self.priced.work)
        for item, flag in self.remedies:
            add_flag(cost, flag, self._again(item))
        return [self.program.rounded(cost), self.priced.work]

    def _again(self, item: Item) -> Fraction:
        """Today's worth of an item's repeats in minor units, cut off at a thousandth: never above what it is."""
        worth = self.setup.again(item) * Fraction(10**self.setup.basis.digits)
        return Fraction((worth * _PARTS).__floor__(), _PARTS)

    def _try_in_turn(self) -> bool:
        """Price whatever may be as good, ties with it, amounts not whole; True when nothing is left.

        One after the other is quick where few are as good, and endless where many are: then the amounts are whole
        again and the values are made least in turn.
        """
        self.solver.loosen(loose=True)
        self._narrow(self.steps[0])
        if self.best is not None:
            self._forbid(self.best.covers)
        for _ in range(MOST_IN_TURN):
            as_good = None if self.best is None else self._of_best(0)
            answer = self.solver.least(self.steps[0], at_most=as_good, part=2)
            self._note_bound(answer.bound)
            self._take(answer)
            if self._is_alone(answer):
                self.is_proven = True
                return True
            if answer.values is None:
                break
            self._hold_what_costs_more()
            self._forbid(self._covers(answer.values))
            if self._is_reached(0, answer.bound):
                break
        return False

    def _prove(self, place: int, line: Line) -> bool:
        """Candidates in order of one value until none left can be better; False when time ran out."""
        while True:
            better = None if self.best is None else self._of_best(place) - 1
            answer = self.solver.least(line, at_most=better)
            if answer.ending == "none":
                break
            self._take(answer)
            if place == 0:
                self._note_bound(answer.bound)
            if self._is_reached(place, answer.bound):
                break
            if answer.ending == "stopped" or answer.values is None:
                return False
            self._forbid(self._covers(answer.values))
        if self.best is None:
            return False
        self.program.row(line, high=self._of_best(place))
        self.is_proven = True
        return True

    def _narrow(self, line: Line) -> None:
        """Find a good choice among the likely ones, then leave out what can't be in one as good.

        An unknown that costs more to change than there is between the relaxed least and the good choice keeps its
        value in every choice that is as good: exact, ties with it.
        """
        unknowns = sorted({abs(flag) - 1 for flag in self._open_flags()})
        relaxed = self.solver.relaxed(line, unknowns) if len(unknowns) > WORTH_NARROWING else None
        if relaxed is None:
            return
        self._note_bound((relaxed.bound - GIVEN_AWAY).__ceil__())
        if self._is_found_among_likely(line, relaxed) and self.program.watched:
            left = (self.seconds - self.solver.spent) / 4
            self.solver.spent += tighten(self.program, line, self._of_best(0), left)
            relaxed = self.solver.relaxed(line, unknowns) or relaxed
            self._note_bound((relaxed.bound - GIVEN_AWAY).__ceil__())
        self.relaxed = relaxed
        self._hold_what_costs_more()

    def _is_found_among_likely(self, line: Line, relaxed: Relaxed) -> bool:
        """True when a choice was found with only those unknowns open that cost least to change, few or more of them."""
        dearest = sorted(relaxed.excess, key=relaxed.excess.__getitem__)
        for left_open in LEFT_OPEN:
            likely = {unknown: relaxed.values[unknown] for unknown in dearest[left_open:]}
            self.solver.hold(likely)
            answer = self.solver.least(line, part=3)
            self.solver.free(likely)
            self._take(answer)
            if answer.values is not None:
                return self.best is not None
        return False

    def _hold_what_costs_more(self) -> None:
        if self.best is not None and self.relaxed is not None:
            room = self._of_best(0) - self.relaxed.bound + GIVEN_AWAY
            self.solver.hold(self.relaxed.dearer_to_change(room))

    def _open_flags(self) -> list[Flag]:
        """Flags of choices and remedies that are open."""
        flags = [flag for group in self.listed for _, flag in group.covers if abs(flag) != TRUE]
        return flags + [flag for flag in self.flags.values() if abs(flag) != TRUE]

    def _is_reached(self, place: int, bound: int | None) -> bool:
        """True when no choice left is below the best."""
        return self.best is not None and bound is not None and bound >= self._of_best(place)

    def _is_alone(self, answer: Answer) -> bool:
        """True when no choice that is not priced yet is as good as the best."""
        is_above = answer.bound is not None and self.best is not None and answer.bound > self._of_best(0)
        return self.best is not None and (answer.ending == "none" or is_above)

    def _note_bound(self, bound: int | None) -> None:
        """Keep the highest that is known: choices left out since were priced."""
        if bound is not None and (self.bound is None or bound > self.bound):
            self.bound = bound

    def _take(self, answer: Answer) -> None:
        """Price an answer's choice, without needless remedies, with the engine and keep it when it is better."""
        if answer.values is None:
            return
        covers = self._covers(answer.values)
        mended = (choice.mended(cover) for choice, cover in self._tangled_of(covers))
        self.consider((*covers[: len(self.listed)], *mended))

    def consider(self, covers: tuple[Cover, ...]) -> bool:
        """Price a choice with the engine; True when it is better than any before."""
        if any(choice.needless(cover) or choice.holds_another(cover) for choice, cover in self._tangled_of(covers)):
            return False
        items, covered = join(covers, self.base)
        if items in self.seen:
            return False
        self.seen.add(items)
        charges = self.setup.price((*items, *self.given))
        value = value_of(self.setup, self.aim, items, covered, charges)
        if self.best is not None and value >= self.best.value:
            return False
        self.best = Found(
            covers=covers,
            items=items,
            covered=covered,
            charges=charges,
            value=value,
        )
        return True

    def _covers(self, values: Sequence[int]) -> tuple[Cover, ...]:
        chosen = [next(cover for cover, flag in group.covers if is_true(flag, values)) for group in self.listed]
        return (*chosen, *(choice.of(values) for choice in self.tangled))

    def _tangled_of(self, covers: Sequence[Cover]) -> list[tuple[TangledChoice, Cover]]:
        return list(zip(self.tangled, covers[len(self.listed) :], strict=True))

    def _forbid(self, covers: Sequence[Cover]) -> None:
        """Leave out a choice; with it every other in which the same remedies make one needless."""
        needless = [(one, cover, item) for one, cover in self._tangled_of(covers) for item in one.needless(cover)]
        for one, cover, item in needless:
            one.forbid_needless(cover, item)
        if needless:
            return
        differs = Line()
        for group, chosen in zip(self.listed, covers, strict=False):
            add_flag(differs, next(-flag for cover, flag in group.covers if cover is chosen))
        for one, cover in self._tangled_of(covers):
            differs.plus(one.differs_from(cover))
        self.program.row(differs, low=1)

    def _of_best(self, place: int) -> int:
        """The best choice's value of a step in minor units."""
        assert self.best is not None
        if self.aim == "longest life":
            return self._minor(self.best.charges.total)
        amount = self.best.value[place]
        assert isinstance(amount, Decimal)
        return self._minor(amount)

    def _minor(self, amount: Decimal) -> int:
        return int(amount.scaleb(self.setup.basis.digits))


_PARTS = 1_000
