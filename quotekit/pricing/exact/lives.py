"""How long the repairs of a tangle last, as sums and rows (DESIGN.md 5.7, longest life).

A covered finding lasts as long as the longest of the remedies that fix it, at most the horizon. "At least so long" is
a row for each finding; lives together are counted span by span: 1 for each span that some remedy taken reaches.

Worked example: remedies of 2 and 6 years over 5 years. The spans are 2 and 5; with the second taken the finding
counts 2 + 3 years, with the first 2.
"""

from __future__ import annotations

from collections.abc import Sequence
from decimal import Decimal

from quotekit.pricing.exact.flags import TRUE, Flag, add_flag, sum_of
from quotekit.pricing.exact.lines import Line
from quotekit.pricing.exact.program import Program
from quotekit.pricing.exact.selection import TangledChoice
from quotekit.pricing.items import Item
from quotekit.pricing.life import life_within


class Lives:
    """How long covered findings that remedies fix last: the longest of the remedies that fix one, at most the horizon.

    `covered` are those of the whole tier: one that a one-off line fixes counts where a remedy fixes it too.
    """

    def __init__(self, program: Program, choice: TangledChoice, covered: frozenset[str], horizon: Decimal) -> None:
        self.program, self.choice = program, choice
        self.life = {item.key: life_within(item, horizon) for item in choice.items}
        self.spans = sorted(set(self.life.values()))
        """The lives there are, in years."""
        flags = {**dict.fromkeys(sorted(covered & choice.given_fixes), TRUE), **choice.covered}
        self.counted = {
            key: (flag, [item for item in choice.items if key in item.fixes]) for key, flag in flags.items()
        }

    def hold_at_least(self, years: Decimal, program: Program) -> None:
        """State in a program that no finding lasts less."""
        for key, (counts, fixers) in self.counted.items():
            lasting = sum_of(self.choice.taken[item.key] for item in fixers if self.life[item.key] >= years)
            if key not in self.choice.given_fixes:
                program.row(add_flag(lasting, counts, -1), low=0)
                continue
            for item in fixers:
                if self.life[item.key] < years:
                    program.row(add_flag(Line().plus(lasting), self.choice.taken[item.key], -1), low=0)

    def together(self) -> Line:
        """A sum that is never above the lives of the findings together, and reaches them where it is made large."""
        together = Line()
        for counts, fixers in self.counted.values():
            for earlier, span in zip([Decimal(0), *self.spans], self.spans, strict=False):
                lasting = [item for item in fixers if self.life[item.key] >= span]
                together.plus(self._reached(counts, lasting), span - earlier)
        return together

    def _reached(self, counts: Flag, lasting: Sequence[Item]) -> Line:
        """1 at most, where a finding counts and one of some remedies is taken."""
        taken = sum_of(self.choice.taken[item.key] for item in lasting)
        if counts == TRUE and self.choice.are_apart(lasting):
            return taken
        reached = Line().add(self.program.amount(0, 1))
        self.program.row(Line().plus(taken).plus(reached, -1), low=0)
        self.program.row(add_flag(Line().plus(reached, -1), counts), low=0)
        return reached
