"""The tiers of a priced quote as they were worked out, from the items they hold: nothing is chosen again (5.7)."""

from __future__ import annotations

from functools import cached_property

from quotekit.model.quote import PricedTier, Quote
from quotekit.model.shop_book import Tier
from quotekit.pricing.explain.tier_items import items_of
from quotekit.pricing.setup import Setup
from quotekit.pricing.tiers import Unworked, WorkedTier, planned_proof, worked_tier
from quotekit.pricing.why_missing import tier_before


class Again:
    """The tiers of a quote as they were worked out, once for all that ask."""

    def __init__(self, setup: Setup, quote: Quote) -> None:
        self.setup, self.quote = setup, quote

    @cached_property
    def tiers(self) -> list[WorkedTier | Unworked]:
        """Every tier, in the book's order."""
        return worked_again(self.setup, self.quote)

    @property
    def worked(self) -> list[WorkedTier]:
        """Those that could be worked out."""
        return [one for one in self.tiers if isinstance(one, WorkedTier)]

    def of(self, code: str) -> WorkedTier:
        """One that could be worked out."""
        return next(one for one in self.worked if one.tier.code == code)

    def kept(self, code: str) -> frozenset[str]:
        """Findings that the tier before one puts right."""
        before = tier_before(self.tiers, self.place(code))
        return before.fixed if before else frozenset()

    def place(self, code: str) -> int:
        """Where a tier stands in the list."""
        return next(place for place, one in enumerate(self.tiers) if one.tier.code == code)


def worked_again(setup: Setup, quote: Quote) -> list[WorkedTier | Unworked]:
    """Every tier of the quote, priced ones with their charges."""
    found: list[WorkedTier | Unworked] = []
    kept = frozenset[str]()
    for tier in quote.tiers:
        row = next(one for one in setup.basis.book.tiers if one.code == tier.code)
        if not tier.priced:
            found.append(Unworked(tier=row, reason=tier.reason or ""))
            continue
        worked = _worked(setup, tier, row, kept)
        found.append(worked)
        kept = worked.fixed
    return found


def _worked(setup: Setup, tier: PricedTier, row: Tier, kept: frozenset[str]) -> WorkedTier:
    items = items_of(setup, tier)
    charges = setup.priced(items)
    covered = kept | setup.candidates.of_severity(row.covers)
    if not tier.planned:
        covered = covered.union(*(setup.candidates.needs[item.key] for item in items if item.remedy is not None))
    proof = tier.proof or planned_proof(setup, charges)
    return worked_tier(setup, row, items, covered, charges, planned=tier.planned, proof=proof, compared=tier.compared)
