"""Every figure of a quote as a tree of rules, down to the cells: one file a group of rules.

>>> from quotekit.pricing.explain import explain_tier  # explain_tier(book, job, "good")
"""

from __future__ import annotations

from collections.abc import Callable, Iterable
from decimal import localcontext

from quotekit.model.explanation import Explanation
from quotekit.model.job import Job
from quotekit.model.quote import PricedTier, Quote
from quotekit.model.shop_book import ShopBook
from quotekit.money import EXACT
from quotekit.pricing.build_quote import build_quote
from quotekit.pricing.explain.job_figures import job_figures
from quotekit.pricing.explain.tier import tier_figures, tier_told
from quotekit.pricing.setup import set_up


def explain_tier(book: ShopBook, job: Job, tier: str) -> tuple[Explanation, ...]:
    """Every figure of a tier and of the job, as trees. Raises KeyError for a code the book does not have."""
    quote = build_quote(book, job)
    found = {one.code: one for one in quote.tiers}
    return explain_priced(quote, found[tier])


def explain_priced(
    quote: Quote, tier: PricedTier, wanted: Callable[[str], bool] = lambda _: True
) -> tuple[Explanation, ...]:
    """Figures of a tier that was priced, those whose name is wanted, without choosing anything again."""
    with localcontext(EXACT):
        told = tier_told(set_up(quote.book, quote.job), tier)
        figures = {**tier_figures(told, quote, tier), **job_figures(told, quote)}
        return tuple(make() for name, make in figures.items() if wanted(name))


def explain_figures(quote: Quote, tier: PricedTier, names: Iterable[str]) -> tuple[Explanation, ...]:
    """The figures of these names."""
    known = frozenset(names)
    return explain_priced(quote, tier, known.__contains__)
