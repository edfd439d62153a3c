"""One job ready to be priced: its basis, its candidate remedies, and what is in every tier anyway."""

from __future__ import annotations

from collections.abc import Iterable, Mapping, Sequence
from dataclasses import dataclass, field, replace
from decimal import Decimal
from fractions import Fraction

from quotekit.model.job import Job
from quotekit.model.shop_book import ShopBook
from quotekit.pricing.basis import Basis
from quotekit.pricing.charges import Charges, price_items
from quotekit.pricing.fits import Candidates
from quotekit.pricing.items import Item, always_item, extra_item, one_off_item
from quotekit.pricing.life import horizon_cost, horizon_of, repeats
from quotekit.pricing.price_added import price_added
from quotekit.pricing.sides import is_sided

NEVER = Fraction(0)
MOST_KEPT = 256
"""Sets of items whose charges are kept."""


@dataclass(kw_only=True)
class Setup:
    """What choosing and pricing share; stand-alone prices are kept once worked out."""

    basis: Basis
    candidates: Candidates
    always: Item
    asked: tuple[Item, ...]
    one_offs: tuple[Item, ...]
    horizon: Decimal
    _alone: dict[str, Decimal] = field(default_factory=dict)
    _again: dict[tuple[str, Decimal], Fraction] = field(default_factory=dict)
    _priced: dict[frozenset[tuple[str, str]], Charges] = field(default_factory=dict)

    def price(self, items: Sequence[Item]) -> Charges:
        """Charges of a set of items with the Always work."""
        return price_items(self.basis, items, self.always)

    def priced(self, items: Sequence[Item]) -> Charges:
        """The same, kept for whoever asks for the set again; a remedy and an extra may have the same code."""
        keys = frozenset((item.kind, item.key) for item in items)
        found = self._priced.get(keys)
        if found is None:
            found = self.price(items)
            if len(self._priced) < MOST_KEPT:
                self._priced[keys] = found
        return found

    def price_with(self, taken: Charges, item: Item, beside: Charges) -> Charges:
        """What is taken with one more item; freight as judged on the tier it stands `beside`."""
        return price_added(self.basis, taken, item, beside)

    def alone(self, item: Item) -> Decimal:
        """Work of one remedy by itself with its own access (DESIGN.md 5.7 and 5.9)."""
        found = self._alone.get(item.key)
        if found is None:
            found = self._alone[item.key] = price_items(self.basis, [item], self.always, alone=True).total
        return found

    def again(self, item: Item) -> Fraction:
        """Today's worth of a remedy's stand-alone work each time its life runs out within the horizon."""
        if item.life is None or item.life >= self.horizon:
            return NEVER
        key = (item.key, item.life)
        found = self._again.get(key)
        if found is None:
            interest = self.basis.book.settings.interest_a_year
            found = self._again[key] = repeats(self.alone(item), item.life, self.horizon, interest)
        return found

    def cost_over_years(self, work: Decimal, items: Iterable[Item]) -> Decimal:
        """Work now and the remedies again, over the horizon, rounded once: the horizon cost of a choice."""
        return horizon_cost(work, map(self.again, items), self.basis.digits)

    def on(self, basis: Basis, alone: Mapping[str, Decimal]) -> Setup:
        """The same job on another basis, with the stand-alone work known there, by the remedies' keys."""
        same = {key for key, work in alone.items() if self._alone.get(key) == work}
        again = {key: worth for key, worth in self._again.items() if key[0] in same}
        return replace(self, basis=basis, _alone=dict(alone), _again=again, _priced={})

    def in_every(self, tier: str) -> tuple[Item, ...]:
        """Asked extras and the one-off lines of a tier."""
        lines = [item for item in self.one_offs if item.one_off and tier_takes(item.one_off.tiers, tier)]
        return (*self.asked, *lines)


def set_up(book: ShopBook, job: Job) -> Setup:
    """Look up once what every tier of the job needs."""
    basis = Basis(book=book, job=job)
    return Setup(
        basis=basis,
        candidates=Candidates(basis),
        always=always_item(basis),
        asked=tuple(asked_items(basis)),
        one_offs=tuple(one_off_item(basis, line) for line in job.one_off),
        horizon=horizon_of(basis),
    )


def tier_takes(tiers: Sequence[str], tier: str) -> bool:
    """A one-off line without tiers is in all of them."""
    return not tiers or tier in tiers


def fixed_by(items: Iterable[Item]) -> frozenset[str]:
    """Keys of the faults that a set of items puts right."""
    return frozenset().union(*(item.fixes for item in items))


def asked_items(basis: Basis) -> list[Item]:
    """Extras the customer asked for."""
    items = []
    for row in basis.job.extras:
        if row.asked:
            extra = basis.book.extras[row.code]
            side = row.side if is_sided(basis.book, extra.operations) else None
            items.append(extra_item(basis, extra, side, asked=True))
    return items
