"""Every figure of a quote as a tree of rules, down to the cells: one file a group of rules.

`explain_tier(book, job, "good")` gives them all, each with the cells that decide it without going into it.
"""

from __future__ import annotations

from collections.abc import Callable
from decimal import localcontext

from quotekit.model.explanation import Explanation
from quotekit.model.job import Job
from quotekit.model.quote import PricedTier, Quote
from quotekit.model.shop_book import ShopBook
from quotekit.money import EXACT
from quotekit.pricing.build_quote import build_quote
from quotekit.pricing.explain.tier import tier_figures, tier_told
from quotekit.pricing.setup import set_up


def explain_tier(book: ShopBook, job: Job, tier: str) -> tuple[Explanation, ...]:
    """Every figure of a tier and of the job, with all cells it hangs on. Raises KeyError for an unknown code."""
    from quotekit.pricing.explain.cells import cells_behind
    from quotekit.pricing.explain.conditions import with_conditions

    quote = build_quote(book, job)
    found = {one.code: one for one in quote.tiers}
    return with_conditions(explain_priced(quote, found[tier]), cells_behind(book, job, tier))


def explain_priced(
    quote: Quote, tier: PricedTier, wanted: Callable[[str], bool] = lambda _: True
) -> tuple[Explanation, ...]:
    """Trees of the wanted figures of a tier that was priced; nothing is chosen again, conditions are left out."""
    from quotekit.pricing.explain.job_figures import job_figures
    from quotekit.pricing.explain.sensitivity import sensitivity_figures

    with localcontext(EXACT):
        told = tier_told(set_up(quote.book, quote.job), tier)
        figures = {
            **tier_figures(told, quote, tier),
            **job_figures(told, quote),
            **sensitivity_figures(told, quote, tier.code),
        }
        return tuple(make() for name, make in figures.items() if wanted(name))


def explain_quote(quote: Quote, wanted: Callable[[str], bool]) -> dict[str, tuple[Explanation, ...]]:
    """Trees of the wanted figures of each tier that was priced, by its code; without conditions."""
    with localcontext(EXACT):
        setup = set_up(quote.book, quote.job)
        priced = [tier for tier in quote.tiers if tier.priced]
        return {
            tier.code: tuple(
                make() for name, make in tier_figures(tier_told(setup, tier), quote, tier).items() if wanted(name)
            )
            for tier in priced
        }
