"""Puts the sums of any choice into a quote, or the reason why there are none."""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import replace

from quotekit.model.quote import Quote
from quotekit.pricing.live.build import NotExact, live_pricing
from quotekit.pricing.live.taken import OfferedTier
from quotekit.pricing.setup import Setup
from quotekit.problems import Place, Problem, warning


def with_live_pricing(setup: Setup, tiers: Mapping[str, OfferedTier], quote: Quote) -> Quote:
    """The quote with its live pricing; a quote that can't have one says why and stays a plain one."""
    if not quote.offered:
        return quote
    try:
        live = live_pricing(setup, [tiers[tier.code] for tier in quote.offered], quote.offered)
    except NotExact as reason:
        return replace(quote, not_live=str(reason), problems=(*quote.problems, _plain(quote, reason)))
    return replace(quote, live=live)


def _plain(quote: Quote, reason: NotExact) -> Problem:
    message = f"The customer's quote is a plain one, without figures that follow a choice: {reason}."
    return warning(Place(quote.job.file), "plain-quote", message, reason.remedy)
