"""How sure a tier's choice is, as trees: the choices of each group of findings, those priced, the least of them (5.7).

All choices compared: the bound is the least by the aim of all that were priced. The integer program: its bound is the
program's own answer, the gap what the choice found is above it. A plan is one choice.

Worked example: one group with 2 choices and one with 3 make 6; one choice of the second costs more than another in
any company, so 4 are priced.
"""

from __future__ import annotations

from collections.abc import Callable, Sequence
from functools import cached_property, partial
from itertools import product
from math import prod

from quotekit.model.explanation import Explanation
from quotekit.model.proof import Proof
from quotekit.model.quote import PricedTier
from quotekit.pricing.aims import value_of
from quotekit.pricing.choose import MOST_LOOKED_THROUGH, join, that_can_win
from quotekit.pricing.covers import Cover, Group, groups_and_tangles
from quotekit.pricing.explain.choice_told import ChoiceTold, lay_open
from quotekit.pricing.explain.told import Told, count, listed, number, words
from quotekit.pricing.explain.worked_again import Again

Figures = dict[str, Callable[[], Explanation]]

MOST_SHOWN = 8
"""Choices whose prices are laid open one by one; of more the one taken stands for all."""

_METHODS = {
    "plan": "The job's plan says what is taken: there is one choice (rules 4, Plan).",
    "enumeration": "Few enough choices to compare each with the others (rules 5.7).",
    "integer model": "Too many choices to compare one by one: an integer program bounds them all (rules 5.7).",
}
Sets = Sequence[tuple[Cover, ...]]


def proof_figures(told: Told, again: Again, tier: PricedTier) -> Figures:
    """`compared` and `proof.*` of a tier that was worked out."""
    proof = tier.proof
    if proof is None:
        rule = "How many choices of remedies there were for this tier (rules 5.7)."
        return {
            "compared": partial(words, "compared", tier.compared, rule),
            "proof": partial(words, "proof", None, rule),
        }
    shown = _Proof(told, again, tier, proof)
    return {
        "compared": shown.compared,
        "proof.method": partial(words, "proof.method", proof.method, _METHODS[proof.method]),
        "proof.choices": shown.choices,
        "proof.priced": shown.priced,
        "proof.bound": shown.bound,
        "proof.gap": shown.gap,
        "proof.settled": partial(words, "proof.settled", proof.settled, _settled(proof)),
    }


def _settled(proof: Proof) -> str:
    if not proof.settled:
        return "Time ran out before all choices at the same price were told apart (rules 5.7)."
    return "Choices at the same price were told apart: fewer operations, then the earlier codes (rules 5.7)."


class _Proof:
    """The choices of a tier listed once more, group by group, as the engine lists them."""

    def __init__(self, told: Told, again: Again, tier: PricedTier, proof: Proof) -> None:
        self.told, self.again, self.tier, self.proof = told, again, tier, proof

    def compared(self) -> Explanation:
        """`compared`: as many as there were choices."""
        if not self._is_listed:
            rule = "How many were priced, as the choices were not counted (rules 5.7)."
            return count("compared", self.tier.compared, "given", (), rule)
        rule = "How many choices of remedies there were for this tier (rules 5.7)."
        return count("compared", self.tier.compared, "same", (self.choices(),), rule)

    def choices(self) -> Explanation:
        """`proof.choices`: those of each group, multiplied."""
        return self.told.once("proof.choices", self._choices)

    def priced(self) -> Explanation:
        """`proof.priced`: what was left of them, multiplied, or how many the program asked for."""
        name, priced = "proof.priced", self.proof.priced
        if self.proof.method != "enumeration":
            one = "A plan is priced as it is (rules 4, Plan)."
            many = "Candidates of the integer program, priced by the rules until none can be better (rules 5.7)."
            return count(name, priced, "given", (), one if self.proof.method == "plan" else many)
        rule = "Choices left when those are out that can't win whatever else is taken (rules 5.7)."
        inputs = [self._group("left of the choices", covers, place) for place, covers in enumerate(self._can_win, 1)]
        return count(name, priced, "product", inputs or [_one()], rule)

    def bound(self) -> Explanation:
        """`proof.bound`: what no choice is below."""
        money, bound = self.told.money, self.proof.bound
        if self.proof.method == "integer model":
            rule = "The program's bound, rounded to money: no choice is below it (rules 5.7)."
            return money.node("proof.bound", bound, "given", (), rule)
        alike = self._alike
        if len(alike) > MOST_SHOWN:
            rule = f"Of {self.proof.priced} choices priced none is below the one taken (rules 5.7)."
            return money.node("proof.bound", bound, "same", (self._figure(self._own),), rule)
        rule = "No choice is below it (rules 5.7)."
        if self._by_life:
            rule = "Of the choices that last as long none is below it (rules 5.7)."
        inputs = [self._figure(one) for one in alike]
        return money.node("proof.bound", bound, "least", inputs, rule)

    def gap(self) -> Explanation:
        """`proof.gap`: what the choice taken is above the bound."""
        inputs = (self._figure(self._own), self.bound())
        rule = "What is taken, less the bound: zero is a proof (rules 5.7)."
        return self.told.money.node("proof.gap", self.proof.gap, "difference", inputs, rule)

    def _choices(self) -> Explanation:
        name, stated = "proof.choices", self.proof.choices
        if self.proof.method == "plan":
            return number(name, 1, "same", (_one(),), "There is one (rules 4, Plan).")
        if not stated.isdigit():
            return words(name, stated, "Too many to count (rules 5.7).")
        rule = "The choices of each group of findings that hang together, multiplied (rules 5.7)."
        inputs = [self._group("choices", covers, place) for place, covers in enumerate(self._groups, 1)]
        return number(name, int(stated), "product", inputs or [_one()], rule)

    def _group(self, what: str, covers: tuple[Cover, ...], place: int) -> Explanation:
        """One group's choices, each by what it takes."""
        inputs = [
            words(f"choice {n} of group {place}", cover.codes, "A complete choice: all of it, and nothing needless.")
            for n, cover in enumerate(covers, 1)
        ]
        findings = listed(sorted(frozenset[str]().union(*(cover.covered for cover in covers))))
        rule = f"For {findings} (rules 5.7)."
        return count(f"{what}, group {place}", len(covers), "count", inputs, rule)

    def _figure(self, choice: ChoiceTold) -> Explanation:
        return choice.over_years() if self._aim == "least to own" and not self._own_plan else choice.work()

    @property
    def _aim(self) -> str:
        return self.again.of(self.tier.code).tier.aim

    @property
    def _own_plan(self) -> bool:
        return self.proof.method == "plan"

    @property
    def _by_life(self) -> bool:
        return self._aim == "longest life" and not self._own_plan

    @property
    def _is_listed(self) -> bool:
        return self.proof.choices.isdigit()

    @cached_property
    def _own(self) -> ChoiceTold:
        worked = self.again.of(self.tier.code)
        return ChoiceTold(told=self.told, remedies=worked.remedies, covered=worked.covered)

    @cached_property
    def _alike(self) -> list[ChoiceTold]:
        """Every choice that was priced; for the longest life those that last as long as the one taken."""
        if self._own_plan:
            return [self._own]
        if prod(len(covers) for covers in self._can_win) > MOST_SHOWN:
            return [self._own] * (MOST_SHOWN + 1)
        found = []
        for covers in product(*self._can_win):
            remedies, covered = join(covers, self._covered)
            if frozenset(item.key for item in remedies) == self._own.keys:
                found.append(self._own)
                continue
            keys = listed(sorted(item.key for item in remedies))
            other = lay_open(self.told.setup, self.tier.code, remedies, covered, f" (with {keys})")
            if not self._by_life or self._lives(other) == self._lives(self._own):
                found.append(other)
        return found

    def _lives(self, choice: ChoiceTold) -> object:
        setup, charges = self.told.setup, choice.told.charges
        return value_of(setup, "longest life", choice.remedies, choice.covered, charges)[:2]

    @cached_property
    def _covered(self) -> frozenset[str]:
        covers = self.again.of(self.tier.code).tier.covers
        return self.again.kept(self.tier.code) | self.told.setup.candidates.of_severity(covers)

    @cached_property
    def _listed(self) -> list[Group]:
        setup, code = self.told.setup, self.tier.code
        lines = [item for item in setup.in_every(code) if item.one_off]
        return groups_and_tangles(setup.candidates, self._covered, self.again.kept(code), lines, MOST_LOOKED_THROUGH)[0]

    @property
    def _groups(self) -> Sets:
        """The choices of each group of findings."""
        return [group.covers for group in self._listed]

    @cached_property
    def _can_win(self) -> Sets:
        """Those of them that can win."""
        compared = prod(len(covers) for covers in self._groups)
        row = self.again.of(self.tier.code).tier
        return that_can_win(self.told.setup, row, self._covered, self._listed, compared)


def _one() -> Explanation:
    """The one choice of a plan, or of a tier that nothing is found for."""
    return count("one choice", 1, "given", (), "There is one.")
