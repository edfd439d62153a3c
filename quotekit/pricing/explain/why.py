"""Why a tier takes what it takes, as trees: each difference as two choices, each break-even on both sides (5.7).

What is told in words, and lists of codes, have no arithmetic and are answered by their rule (documents).
"""

from __future__ import annotations

from collections.abc import Callable, Iterator
from functools import cached_property, partial

from quotekit.model.explanation import Explanation, number_text
from quotekit.model.quote import PricedTier
from quotekit.model.why import Alternative, BreakEven, RemedyWhy, TierWhy
from quotekit.pricing.explain.choice_told import ChoiceTold, lay_open, named, of_tier
from quotekit.pricing.explain.prices import price_of
from quotekit.pricing.explain.told import Told, cell, count, leaf, listed, of_row, words
from quotekit.pricing.explain.turning import Sets, Turning, second_less
from quotekit.pricing.explain.worked_again import Again
from quotekit.pricing.explain.years import horizon
from quotekit.pricing.tiers import WorkedTier
from quotekit.pricing.why_field import Field, Known
from quotekit.pricing.why_missing import keep_it_out

Figures = dict[str, Callable[[], Explanation]]

FIGURES = ("work", "over_years", "shortest_life", "lives_together", "operations")
_RULES = {
    "work": "What the customer pays for the work (rules 5.5).",
    "over_years": "The work and what comes round again within the years compared (rules 5.7).",
}


def why_figures(told: Told, again: Again, tier: PricedTier) -> Figures:
    """`why.*` of a tier, what has a number or follows from numbers."""
    if tier.why is None:
        return {}
    reasons = _Reasons(told, again, tier, tier.why)
    return {f"why.{name}": partial(make, f"why.{name}") for name, make in reasons.figures()}


Named = Callable[[str], Explanation]


class _Reasons:
    """The choice of a tier and its alternatives, each laid open when it is first asked for."""

    def __init__(self, told: Told, again: Again, tier: PricedTier, why: TierWhy) -> None:
        self.told, self.again, self.tier, self.why = told, again, tier, why
        self._others: dict[frozenset[str], ChoiceTold] = {}

    def figures(self) -> Iterator[tuple[str, Named]]:
        """Names after `why.`, each with its maker."""
        yield "aim", self._aim
        yield "horizon", lambda name: named(horizon(self.told, self.why.horizon), name)
        if self.why.figures is None:
            yield "figures", partial(words, value=None, rule="This tier could not be worked out (rules 5.7).")
        else:
            for figure in FIGURES:
                yield f"figures.{figure}", partial(self._figure, figure, None)
        for entry in self.why.remedies:
            for rest, make in self._remedy(entry):
                yield f"remedies.{entry.remedy.key}.{rest}", make
        if self.why.missing is not None and self.why.missing.cheaper_by is not None:
            yield "missing.cheaper_by", self._cheaper_by

    def _aim(self, name: str) -> Explanation:
        row = next(one for one in self.told.basis.book.tiers if one.code == self.tier.code)
        return words(name, self.why.aim, "As typed.", cells=cell(row.source, "Aim"), given=True)

    def _remedy(self, entry: RemedyWhy) -> Iterator[tuple[str, Named]]:
        yield "choices", partial(self._choices, entry)
        if entry.alternative is None:
            return
        other = entry.alternative
        for figure in FIGURES:
            yield f"alternative.figures.{figure}", partial(self._figure, figure, other)
        yield "alternative.today", partial(self._difference, other, "work")
        yield "alternative.decided_by", partial(self._decided_by, other)
        if other.over_years is not None:
            yield "alternative.over_years", partial(self._difference, other, "over_years")
        else:
            yield "alternative.over_years", partial(self._no_difference, other)
        for place, found in enumerate(entry.break_even):
            for rest, make in self._break_even(entry, found):
                yield f"break_even.{place}.{rest}", make

    def _figure(self, figure: str, other: Alternative | None, name: str) -> Explanation:
        choice = self.taken if other is None else self._other(other)
        node: Explanation = getattr(choice, figure)()
        return named(node, name)

    def _difference(self, other: Alternative, figure: str, name: str) -> Explanation:
        theirs, mine = (getattr(one, figure)() for one in (self._other(other), self.taken))
        what = "Work" if figure == "work" else "Cost over the years"
        rule = f"{what} with {_instead(other)}, less {what.lower()} as chosen (rules 5.7)."
        return self.told.money.node(name, second_less(theirs, mine), "difference", (theirs, mine), rule)

    def _no_difference(self, other: Alternative, name: str) -> Explanation:
        which = listed(one.key for one in other.no_life)
        rule = f"Not compared over the years, as the life of {which} is not stated (rules 5.9, Life)."
        rows = [self.told.basis.book.remedies[one.key.partition("@")[0]] for one in other.no_life]
        return words(name, None, rule, cells=[place for row in rows for place in cell(row.source, "Life years")])

    def _decided_by(self, other: Alternative, name: str) -> Explanation:
        choices = (self.taken, self._other(other))
        money = [node for one in choices for node in (one.over_years(), one.work())]
        lives = [node for one in choices for node in (one.shortest_life(), one.lives_together())]
        rule = "The first figure in which the two choices differ, in the order of the aim (rules 5.7)."
        inputs = [*(lives if self.why.aim == "longest life" else ()), *money]
        if self.why.aim == "lowest price":
            inputs = [one.work() for one in choices]
        return words(name, other.decided_by, rule, inputs=[*inputs, *(one.operations() for one in choices)])

    def _choices(self, entry: RemedyWhy, name: str) -> Explanation:
        if not entry.choices:
            return words(name, entry.choices, "It was not compared with others (rules 5.7).")
        known = self._sets_of(entry)
        rule = "Every complete choice for the findings it belongs to, its own among them (rules 5.7)."
        if entry.swaps_only:
            rule = (
                "Its own choice, and those that take another remedy for it alone: there are too many more (rules 5.7)."
            )
        inputs = [words(f"choice {n}", keys, "A complete choice.") for n, keys in enumerate(known, 1)]
        return count(name, len(known), "count", inputs, rule)

    def _sets_of(self, entry: RemedyWhy) -> list[tuple[str, ...]]:
        item = self.told.setup.candidates.items[entry.remedy.key]
        group = self.field.group_of(item)
        covers = group.covers or (group.taken, *self.field.swaps(group, item))
        return [cover.codes for cover in covers]

    def _break_even(self, entry: RemedyWhy, found: BreakEven) -> Iterator[tuple[str, Named]]:
        turning = self._turning(entry, found)
        yield "now", partial(self._now, found)
        yield "step", partial(words, value=number_text(found.step), rule=_STEP, given=True)
        yield "tried", lambda name: turning().tried(name, found)
        if found.wins_at is None:
            yield "wins_at", lambda name: self._never(turning().tried("tried", found), name)
        else:
            yield "wins_at", lambda name: turning().wins_at(name, found)
        if found.pack_cost is not None:
            yield "pack_cost", lambda name: turning().pack_cost(name, found)
            yield "pack_cost_now", partial(self._pack_cost_now, found)

    def _turning(self, entry: RemedyWhy, found: BreakEven) -> Callable[[], Turning]:
        def make() -> Turning:
            every = self.field.every_choice() if found.among == "every choice" else []
            choices: Sets = [(option.keys, option.covered) for option in every]
            if not choices:
                assert entry.alternative is not None
                two = (self.taken, self._other(entry.alternative))
                choices = [(one.keys, one.covered) for one in two]
            return Turning(self.told.setup, self.tier.code, self.why.aim, entry.remedy.key, choices)

        return make

    def _now(self, found: BreakEven, name: str) -> Explanation:
        if "price" in found.figure:
            return named(price_of(self.told, found.of.key), name)
        return leaf(name, found.present, cells=cell(found.source, found.column))

    def _pack_cost_now(self, found: BreakEven, name: str) -> Explanation:
        return of_row(name, found.pack_cost_now, found.source, "Pack cost")

    def _never(self, tried: Explanation, name: str) -> Explanation:
        return words(name, None, "No value that is tried turns the choice (rules 5.7).", inputs=tried.inputs)

    def _cheaper_by(self, name: str) -> Explanation:
        missing, money, again = self.why.missing, self.told.money, self.again
        assert missing is not None and missing.cheaper_by is not None
        better = keep_it_out(again.tiers, again.place(self.tier.code))
        works = [of_tier(self.told.setup, one).work() for one in better]
        least = min(one.charges.total for one in better)
        rule = "The least work of the tiers that keep it out (rules 5.7)."
        floor = money.node("least work of those", least, "least", works, rule)
        too_much = second_less(self.taken.work(), floor)
        over = money.node("above that by", too_much, "difference", (self.taken.work(), floor), "Work less that.")
        rule = "The smallest coin of the currency."
        unit = leaf("one unit", missing.cheaper_by - too_much, cells=(), form="money", rule=rule)
        rule = "So much less makes it cheaper than every tier that keeps it out (rules 5.7)."
        return money.node(name, missing.cheaper_by, "sum", (over, unit), rule)

    @cached_property
    def taken(self) -> ChoiceTold:
        """The tier's own choice, by the names of its figures."""
        worked = self._own
        return ChoiceTold(told=self.told, remedies=worked.remedies, covered=worked.covered)

    @cached_property
    def field(self) -> Field:
        """The choices of the tier."""
        return Field(self.told.setup, self._own, self.again.kept(self.tier.code), Known())

    @property
    def _own(self) -> WorkedTier:
        return self.again.of(self.tier.code)

    def _other(self, other: Alternative) -> ChoiceTold:
        drops = {one.key for one in other.drops}
        keys = (self.taken.keys - drops) | {one.key for one in other.takes}
        found = self._others.get(keys)
        if found is None:
            items = [self.told.setup.candidates.items[key] for key in keys]
            needs = self.told.setup.candidates.needs
            covered = self.field.asked_for.union(*(needs[key] for key in keys))
            suffix = f" (with {_instead(other)})"
            found = self._others[keys] = lay_open(self.told.setup, self.tier.code, items, covered, suffix)
        return found


_STEP = "Values are tried in whole steps: the smallest coin, hundredths of an hour or of a year."


def _instead(other: Alternative) -> str:
    takes, drops = (listed(one.key for one in some) for some in (other.takes, other.drops))
    return f"{takes} in place of {drops}" if other.takes else f"{drops} left out"
