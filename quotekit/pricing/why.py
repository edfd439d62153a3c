"""Why each tier takes what it takes and why one is missing, put beside the figures of a quote (DESIGN.md 5.7).

Nothing of the quote changes but the reasons. They are for the shop; what a tier earns plays no part in them.
A tier that takes more than 40 remedies is not compared one by one, one that takes more than 12 gets no break-evens:
both are said in its notes.
"""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import replace

from quotekit.model.quote import Quote
from quotekit.model.why import RemedyWhy, TierWhy
from quotekit.pricing.setup import Setup
from quotekit.pricing.tiers import Unworked, WorkedTier
from quotekit.pricing.why_field import MOST_IN_A_GROUP, Field, Known
from quotekit.pricing.why_missing import tier_before, why_missing
from quotekit.pricing.why_remedies import MOST_SEARCHED, figures_of, why_chosen, why_not_compared

MOST_REMEDIES = 40
"""Remedies of a tier past which none is compared with its alternatives."""


def with_why(setup: Setup, worked: Sequence[WorkedTier | Unworked], quote: Quote) -> Quote:
    """The same quote, each tier with its reasons."""
    known = Known()
    tiers = (replace(priced, why=_why(setup, worked, place, known)) for place, priced in enumerate(quote.tiers))
    return replace(quote, tiers=tuple(tiers))


def _why(setup: Setup, worked: Sequence[WorkedTier | Unworked], place: int, known: Known) -> TierWhy:
    tier = worked[place]
    remedies = () if isinstance(tier, Unworked) else _remedies(setup, tier, tier_before(worked, place), known)
    return TierWhy(
        aim=tier.tier.aim,
        planned=isinstance(tier, WorkedTier) and tier.planned,
        horizon=setup.horizon,
        figures=figures_of(setup, tier.remedies, tier.covered, tier.charges) if isinstance(tier, WorkedTier) else None,
        remedies=remedies,
        missing=why_missing(setup, worked, place, remedies),
        notes=_notes(tier, remedies),
    )


def _remedies(setup: Setup, tier: WorkedTier, before: WorkedTier | None, known: Known) -> tuple[RemedyWhy, ...]:
    if tier.planned or len(tier.remedies) > MOST_REMEDIES:
        return why_not_compared(setup, tier)
    kept = before.fixed if before else frozenset[str]()
    return why_chosen(Field(setup, tier, kept, known))


def _notes(tier: WorkedTier | Unworked, remedies: Sequence[RemedyWhy]) -> tuple[str, ...]:
    count, found = len(remedies), []
    if isinstance(tier, WorkedTier) and not tier.planned and count > MOST_REMEDIES:
        found.append(f"It takes {count} remedies: past {MOST_REMEDIES} they are not compared one by one.")
    elif isinstance(tier, WorkedTier) and not tier.planned and count > MOST_SEARCHED:
        found.append(f"It takes {count} remedies: past {MOST_SEARCHED} no break-even is sought.")
    if any(entry.swaps_only for entry in remedies):
        words = f"more than {MOST_IN_A_GROUP} choices hang together"
        found.append(f"Where {words}, a remedy is compared only with those that can take its place alone.")
    return tuple(found)
