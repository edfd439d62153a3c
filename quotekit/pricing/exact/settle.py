"""A search to its end: the best choice, and equal ones told apart (DESIGN.md 5.7, Order).

Ties go by less work in money, then fewer operations, then codes in text order, by the first code in which two choices
differ. Where no choice is better but others may be as good, what is the same in all of those is held first.

Worked example: 56,457.34 is proven least, and eleven of 480 remedies are otherwise in some choice of that price. Only
those eleven are then open.
"""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import replace
from decimal import Decimal

from quotekit.pricing.choose import join
from quotekit.pricing.covers import TooManyChoices
from quotekit.pricing.exact.flags import TRUE
from quotekit.pricing.exact.found import Found
from quotekit.pricing.exact.search import Search
from quotekit.pricing.exact.solver import Answer
from quotekit.pricing.exact.ties import AsGood, first_in_text_order
from quotekit.pricing.items import Item


class WholeSearch(Search):
    """A search that ends with the best choice of all, or with the best found in time."""

    def best_choice(self) -> Found:
        """The best choice; raises TooManyChoices where none was found in time."""
        settled = self._try_in_turn() or (
            self._keep_what_may_differ()
            and all(self._prove(place, line) for place, line in enumerate(self.steps))
            and self._settle_ties()
        )
        if self.best is None:
            raise TooManyChoices
        scale = Decimal(1).scaleb(-self.setup.basis.digits)
        proven = self._of_best(0) if self.is_proven else min(self.bound or 0, self._of_best(0))
        return replace(self.best, priced=len(self.seen), bound=proven * scale, settled=settled)

    def _keep_what_may_differ(self) -> bool:
        """Where no choice is better but others may be as good: hold what is the same in all of those.

        They are told apart by whole amounts, and few remedies are left open.
        """
        settled = True
        if self.best is not None and self._is_reached(0, self.bound):
            self.is_proven = True
            taken = {item.key for item in self.best.items}
            as_good = AsGood(solver=self.solver, sum=self.steps[0], most=self._of_best(0), free=self.free)
            open_keys = as_good.may_differ(self.flags, taken)
            settled = open_keys is not None
            self.open_keys = self.flags.keys() if open_keys is None else open_keys
            same = {key: flag for key, flag in self.flags.items() if key not in self.open_keys and abs(flag) != TRUE}
            self.program.row(self.steps[0], high=self._of_best(0))
            self.solver.hold({abs(flag) - 1: int((key in taken) == (flag > 0)) for key, flag in same.items()})
        self.solver.loosen(loose=False)
        return settled

    def _settle_ties(self) -> bool:
        """Fewer operations, then codes in order, among choices that are equal so far."""
        assert self.best is not None
        self._forbid(self.best.covers)
        answer = self.solver.least(self.steps[-1], at_most=self._of_best(len(self.steps) - 1))
        if answer.ending == "none":
            return True
        if answer.values is None:
            return False
        self._take(answer)
        return self._fewest_operations() and self._first_in_text_order()

    def _fewest_operations(self) -> bool:
        while True:
            assert self.best is not None
            answer = self.solver.least(self.priced.operations, at_most=len(self.best.charges.work.present))
            if answer.ending == "none" or self._takes_more(answer):
                break
            if answer.values is None:
                return False
            self._take(answer)
            if answer.bound == len(self.best.charges.work.present):
                break
            self._forbid(self._covers(answer.values))
        self.program.row(self.priced.operations, high=len(self.best.charges.work.present))
        return True

    def _takes_more(self, answer: Answer) -> bool:
        assert self.best is not None
        return answer.bound is not None and answer.bound > len(self.best.charges.work.present)

    def _first_in_text_order(self) -> bool:
        """The first of the choices left, where it comes before the best; one that costs more after all is left out."""
        while True:
            assert self.best is not None
            open_flags = [flag for key, flag in self.flags.items() if key in self.open_keys]
            answer = first_in_text_order(self.solver, open_flags)
            if answer.ending == "none":
                return True
            if answer.values is None or answer.ending == "stopped":
                return False
            covers = self._covers(answer.values)
            if self.consider(covers) or _keys(join(covers, self.base)[0]) > _keys(self.best.items):
                return True
            self._forbid(covers)


def _keys(items: Sequence[Item]) -> tuple[str, ...]:
    return tuple(sorted(item.key for item in items))
