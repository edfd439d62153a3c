"""Repair or replace as trees: both costs over the same years, the repair limit, the word (values: rules 4)."""

from __future__ import annotations

from collections.abc import Callable
from decimal import Decimal
from fractions import Fraction
from functools import partial

from quotekit.model.explanation import Explanation
from quotekit.model.quote import PricedTier
from quotekit.model.repair_or_replace import (
    AS_IT_STANDS,
    COULD_LAST,
    NEW_LOSES,
    NEW_PRICE,
    UPKEEP_KEPT,
    UPKEEP_NEW,
    USED_WORKING,
    RepairOrReplace,
)
from quotekit.money import round_to
from quotekit.pricing.basis import ZERO
from quotekit.pricing.explain import charges as of_charges
from quotekit.pricing.explain import labour
from quotekit.pricing.explain.taxes import taxable_lines, taxes_told
from quotekit.pricing.explain.told import Told, leaf, number, words
from quotekit.pricing.explain.years import horizon
from quotekit.pricing.taxes import charge_lines, taxes_on

Figures = dict[str, Callable[[], Explanation]]

_ALL = (NEW_PRICE, USED_WORKING, AS_IT_STANDS, UPKEEP_KEPT, UPKEEP_NEW, NEW_LOSES, COULD_LAST, "Years to compare")


def worth_figures(told: Told, tier: PricedTier, upgrade: Explanation) -> Figures:
    """`repair_or_replace.*` of a tier."""
    name, found = "repair_or_replace", tier.repair_or_replace
    cells = told.job_cells(*_ALL)
    if found is None:
        rule = "The job gives no value of the machine, so there is nothing to compare (rules 4)."
        return {name: partial(words, name, None, rule, cells=cells)}
    missing = "The values that are blank on the job, in the order of its sheet (rules 4)."
    figures: Figures = {f"{name}.missing": partial(words, f"{name}.missing", found.missing, missing, cells=cells)}
    for one in found.missing:
        figures[f"{name}.missing.{one}"] = partial(
            words, f"{name}.missing.{one}", one, "Blank on the job.", cells=cells
        )
    figures[f"{name}.word"] = partial(_word, told, found)
    for part, make in _Worth(told, found, upgrade).figures().items():
        rule = f"Not worked out: {found.contradiction or 'a value it needs is blank'} (rules 4)."
        nothing = partial(words, f"{name}.{part}", None, rule, cells=cells)
        figures[f"{name}.{part}"] = nothing if getattr(found, part) is None else make
    if found.would_decide is None:
        rule = "No value is missing, or the word is the same whatever is (rules 4)."
        figures[f"{name}.would_decide"] = partial(words, f"{name}.would_decide", None, rule, cells=cells)
    return figures


def _word(told: Told, found: RepairOrReplace) -> Explanation:
    close = "A close call where both differ by a tenth of the new price or less, else whichever costs less."
    if found.word is None:
        close = f"No word: {found.contradiction or 'a value it needs is blank'}."
    return words("repair_or_replace.word", found.word, close, cells=told.job_cells(*_ALL))


class _Worth:
    """The lines of both sums, each where the values it needs are there."""

    def __init__(self, told: Told, found: RepairOrReplace, upgrade: Explanation) -> None:
        self.told, self.found, self.money = told, found, told.money
        self._upgrade = upgrade

    def figures(self) -> Figures:
        """The figures by their last name."""
        return {
            "horizon": self.horizon,
            "keep": self.keep,
            "replace": self.replace,
            "limit": self.limit,
            "difference": self.difference,
        }

    def horizon(self) -> Explanation:
        """Years counted."""
        node = horizon(self.told, self._known(self.found.horizon))
        rule = "The years to compare, never more than the machine could last (rules 4)."
        return number("repair_or_replace.horizon", self._known(self.found.horizon), "same", (node,), rule)

    def keep(self) -> Explanation:
        """Repair and upkeep, less what the machine is then worth."""
        gone = self._sum("repair and upkeep", (self.repair(), self.upkeep(UPKEEP_KEPT)))
        rule = "Repair and upkeep over the years, less what the machine is then worth (rules 4)."
        return self._less("repair_or_replace.keep", self.found.keep, (gone, self.used_then()), rule)

    def replace(self) -> Explanation:
        """A new one with its upkeep, less what the old one brings and the new one is then worth."""
        gone = self._sum("new price and upkeep", (self._value(NEW_PRICE), self.upkeep(UPKEEP_NEW)))
        rule = "New price and upkeep, less the value as it stands and what a new one is then worth (rules 4)."
        inputs = (gone, self._value(AS_IT_STANDS), self.new_then())
        return self._less("repair_or_replace.replace", self.found.replace, inputs, rule)

    def limit(self) -> Explanation:
        """The repair total at which both cost the same."""
        kept = self._amount(self.found.upkeep_kept) - self._amount(self.found.used_value_then)
        rule = "Upkeep less what the machine is then worth."
        beside = self._less("kept, without the repair", kept, (self.upkeep(UPKEEP_KEPT), self.used_then()), rule)
        rule = "The repair total at which keeping and replacing cost the same (rules 4)."
        return self._less("repair_or_replace.limit", self.found.limit, (self.replace(), beside), rule)

    def difference(self) -> Explanation:
        """Cost to replace less cost to keep."""
        rule = "Cost to replace less cost to keep: above zero the repair is the cheaper way (rules 4)."
        return self._less("repair_or_replace.difference", self.found.difference, (self.replace(), self.keep()), rule)

    def repair(self) -> Explanation:
        """The work with its tax, as if there had been no inspection."""
        told, money = self.told, self.money
        none = money.settled("no inspection", ZERO, "The inspection has been done whichever way is taken (rules 4).")
        within = min(self._amount(self._upgrade.number), told.charges.labour_total)
        upgrade = money.node(
            "upgrade labour there is", within, "least", (self._upgrade, labour.labour(told)), "At most all labour."
        )
        taxes = taxes_on(told.basis, charge_lines(told.charges, ZERO, ZERO), within)
        each = taxes_told(told, taxable_lines(told, none, none), taxes, upgrade)
        rule = "The work with its tax, without the inspection fee, its credit and their tax (rules 4)."
        inputs = (of_charges.work(told), *(one.amount for one in each))
        return told.once("repair total", lambda: money.sum_of("repair total", self.found.repair, inputs, rule))

    def upkeep(self, name: str) -> Explanation:
        """Upkeep over the years."""
        amount = self.found.upkeep_kept if name == UPKEEP_KEPT else self.found.upkeep_new
        each = self.told.job_field(name, self.found.value(name), "money")
        rule = "So much a year x the years (rules 4)."
        return self.money.rounded(
            f"{name}, over the years", self._amount(amount), "product", (each, self.horizon()), rule
        )

    def used_then(self) -> Explanation:
        """What the repaired machine is worth at the end."""
        then = self._amount(self.found.used_value_then)
        rule = "Used value working less what it loses in a straight line (rules 4)."
        return self._less("used value then", then, (self._value(USED_WORKING), self._loss()), rule)

    def new_then(self) -> Explanation:
        """What a new one is worth at the end: less what it is said to lose, else the middle of least and most."""
        if self.found.value(NEW_LOSES) is not None:
            return self._new_less_its_loss()
        loss, new = self._loss(), self._value(NEW_PRICE)
        most = self._amount(new.number) - self._amount(loss.number)
        rule = "A new one loses no less than yours does (rules 4)."
        high = self._less("the most a new one is then worth", most, (new, loss), rule)
        both = self._sum("least and most", (self.used_then(), high))
        two = leaf("two", 2, cells=(), rule="The middle of two. Counted in this tier.")
        rule = "The middle of the least and the most it can then be worth (rules 4)."
        return self.money.rounded(
            "new one's value then", self._amount(self.found.new_value_then), "quotient", (both, two), rule
        )

    def _new_less_its_loss(self) -> Explanation:
        new = self._value(NEW_PRICE)
        then = self._amount(self.found.new_value_then)
        part = self.told.job_field(NEW_LOSES, self.found.value(NEW_LOSES), "percent")
        rule = "So much of its price over the years, as the job says (rules 4)."
        loss = self.money.rounded("loss of a new one", self._amount(new.number) - then, "product", (new, part), rule)
        return self._less("new one's value then", then, (new, loss), "New price less what it loses (rules 4).")

    def _loss(self) -> Explanation:
        used, lasts = self._value(USED_WORKING), self.found.value(COULD_LAST)
        amount = self._amount(used.number) - self._amount(self.found.used_value_then)
        years, could = self.horizon(), self.told.job_field(COULD_LAST, lasts)
        if not years.number:
            return self.money.settled("loss", amount, "Nothing is lost in no time (rules 4).")
        share = Fraction(years.number) / Fraction(self._known(lasts))
        part = number("part of its years", share, "quotient", (years, could), "Years counted / years it could last.")
        rule = "A used one's value falls in a straight line to nothing (rules 4)."
        return self.money.rounded("loss", amount, "product", (used, part), rule)

    def _value(self, name: str) -> Explanation:
        typed = self.told.job_field(name, self.found.value(name), "money")
        value = round_to(self._known(self.found.value(name)), self.money.digits)
        return self.money.rounded(f"{name}, in money", value, "same", (typed,), "The customer's value (rules 4).")

    def _sum(self, figure: str, inputs: tuple[Explanation, ...]) -> Explanation:
        total = sum((self._amount(one.number) for one in inputs), ZERO)
        return self.money.sum_of(figure, total, inputs, "Added up.")

    def _less(self, figure: str, amount: Decimal | None, inputs: tuple[Explanation, ...], rule: str) -> Explanation:
        return self.money.node(figure, self._known(amount), "difference", inputs, rule)

    def _amount(self, value: object) -> Decimal:
        assert isinstance(value, Decimal)
        return value

    def _known(self, value: Decimal | None) -> Decimal:
        assert value is not None
        return value
