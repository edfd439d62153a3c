"""One complete choice of remedies laid open: its work, its cost over the years, its lives (5.7).

The tier's own choice has the names of the tier's figures; another says what it takes instead.
"""

from __future__ import annotations

from collections.abc import Iterable
from dataclasses import dataclass
from decimal import Decimal
from functools import partial

from quotekit.model.explanation import Explanation
from quotekit.pricing.explain import charges as of_charges
from quotekit.pricing.explain import years
from quotekit.pricing.explain.told import Told, cell, count, number, of_row, words
from quotekit.pricing.items import Item
from quotekit.pricing.life import life_within, lives_of
from quotekit.pricing.setup import Setup
from quotekit.pricing.tiers import WorkedTier
from quotekit.pricing.work import book_operations


@dataclass(kw_only=True, eq=False)
class ChoiceTold:
    """The remedies of a complete choice and the findings covered in it; each figure is made once."""

    told: Told
    remedies: tuple[Item, ...]
    covered: frozenset[str]

    @property
    def keys(self) -> frozenset[str]:
        """Of the remedies."""
        return frozenset(item.key for item in self.remedies)

    def work(self) -> Explanation:
        """What the customer pays for the work."""
        return of_charges.work(self.told)

    def over_years(self) -> Explanation:
        """The work, and each remedy again when its life runs out."""
        setup = self.told.setup
        amount = setup.cost_over_years(self.told.charges.total, self.remedies)
        return years.horizon_cost(self.told, list(self.remedies), amount)

    def shortest_life(self) -> Explanation:
        """Of the covered findings that remedies put right."""
        return self.told.once("shortest life", self._shortest)

    def lives_together(self) -> Explanation:
        """The sum of the same lives."""
        return self.told.once("lives together", self._together)

    def operations(self) -> Explanation:
        """How many pieces of work there are: the fewest win a tie."""
        return self.told.once("number of operations", self._operations)

    def _shortest(self) -> Explanation:
        name, lives = self.told.name("shortest life"), self._lives()
        if not lives:
            rule = "No remedy puts anything right, so nothing lasts less than the years compared (rules 5.7)."
            return number(name, self.told.setup.horizon, "same", (self._horizon(),), rule)
        least = min(_number(node) for node in lives)
        return number(name, least, "least", lives, "The shortest life of what is put right (rules 5.7).")

    def _together(self) -> Explanation:
        lives = self._lives()
        total = sum((_number(node) for node in lives), Decimal(0))
        rule = "The lives of all that is put right, added up (rules 5.7)."
        return number(self.told.name("lives together"), total, "sum", lives, rule)

    def _lives(self) -> list[Explanation]:
        known = lives_of(self.remedies, self.covered, self.told.setup.horizon)
        return [self.life_of(key, life) for key, life in sorted(known.items())]

    def life_of(self, finding: str, life: Decimal) -> Explanation:
        """How long a finding stays put right."""
        return self.told.once(f"life of {finding}", partial(self._life, finding, life))

    def _life(self, finding: str, life: Decimal) -> Explanation:
        by = [item for item in self.remedies if finding in item.fixes]
        nodes = [self.told.once(f"life of remedy {item.key}", partial(self._life_of, item)) for item in by]
        rule = f"The longest of what puts {finding} right (rules 5.7)."
        return number(self.told.name(f"life of {finding}"), life, "most", nodes, rule)

    def _life_of(self, item: Item) -> Explanation:
        assert item.remedy is not None
        name, life = f"life of {item.key} counted", life_within(item, self.told.setup.horizon)
        if item.life is None:
            cells = cell(item.remedy.source, "Life years")
            rule = "Its life is not stated: it is taken to last all the years compared (rules 5.9, Life)."
            return number(name, life, "same", (self._horizon(),), rule, cells=cells)
        stated = of_row(f"Life years of {item.code}", item.life, item.remedy.source, "Life years")
        rule = "At most the years compared (rules 5.7)."
        return number(name, life, "least", (stated, self._horizon()), rule)

    def _horizon(self) -> Explanation:
        return years.horizon(self.told, self.told.setup.horizon)

    def _operations(self) -> Explanation:
        present = book_operations(self.told.basis, self.told.charges.work)
        inputs = [words(f"operation {key}", key, "It is done in this choice (rules 5.2).") for key in present]
        name = self.told.name("number of operations")
        return count(name, len(present), "count", inputs, "Every operation that is done (rules 5.2).")


def lay_open(setup: Setup, tier: str, remedies: Iterable[Item], covered: frozenset[str], suffix: str) -> ChoiceTold:
    """A choice of a tier; what the tier takes anyway is in it."""
    taken = tuple(sorted(remedies, key=lambda item: item.key))
    charges = setup.priced((*taken, *setup.in_every(tier)))
    return ChoiceTold(told=Told(setup=setup, charges=charges, suffix=suffix), remedies=taken, covered=covered)


def of_tier(setup: Setup, worked: WorkedTier) -> ChoiceTold:
    """What another tier takes."""
    told = Told(setup=setup, charges=worked.charges, suffix=f" ({worked.tier.tier})")
    return ChoiceTold(told=told, remedies=worked.remedies, covered=worked.covered)


def named(node: Explanation, name: str) -> Explanation:
    """The same number under the name of a figure; its own tree is below."""
    return Explanation(
        figure=name,
        value=node.value,
        rule=node.rule,
        operation="same",
        number=node.number,
        form=node.form,
        inputs=(node,),
    )


def _number(node: Explanation) -> Decimal:
    assert isinstance(node.number, Decimal)
    return node.number
