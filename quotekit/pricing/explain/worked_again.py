"""The tiers of a priced quote as they were worked out, from the items they hold: nothing is chosen again (5.7)."""

from __future__ import annotations

from functools import cached_property

from quotekit.model.proof import Proof
from quotekit.model.quote import PricedTier, Quote
from quotekit.pricing.explain.tier_items import items_of
from quotekit.pricing.life import lives_of
from quotekit.pricing.setup import Setup, fixed_by
from quotekit.pricing.tiers import Unworked, WorkedTier, planned_proof
from quotekit.pricing.totals import ready_days
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
        worked = _worked(setup, tier, kept)
        found.append(worked)
        kept = worked.fixed
    return found


def covered_by(setup: Setup, covers: frozenset[str], kept: frozenset[str]) -> frozenset[str]:
    """Findings a tier covers: by their severity, and what the tier before puts right."""
    return kept | {key for key, fault in setup.candidates.faults.items() if fault.severity in covers}


def _worked(setup: Setup, tier: PricedTier, kept: frozenset[str]) -> WorkedTier:
    row = next(one for one in setup.basis.book.tiers if one.code == tier.code)
    items = items_of(setup, tier)
    charges = setup.priced(items)
    remedies = tuple(item for item in items if item.remedy is not None)
    covered = covered_by(setup, frozenset(row.covers), kept)
    if not tier.planned:
        covered = covered.union(*(setup.candidates.needs[item.key] for item in remedies))
    fixed = fixed_by(items)
    left = frozenset(setup.candidates.faults) - fixed
    proof: Proof = tier.proof or planned_proof(setup, charges)
    return WorkedTier(
        tier=row,
        planned=tier.planned,
        items=items,
        remedies=remedies,
        covered=covered,
        fixed=fixed,
        left=left,
        safety_left=frozenset(key for key in left if setup.candidates.faults[key].severity == "safety"),
        lives=lives_of(remedies, fixed, setup.horizon),
        charges=charges,
        ready=ready_days(setup.basis, charges),
        compared=tier.compared,
        proof=proof,
    )
