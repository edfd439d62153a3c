"""One choice of a customer: a tier and what is taken beside it; and why something cannot be taken (DESIGN.md 5.8).

What else could still be added is offered with the exact difference it makes to this choice, and the most it can add to
this choice, which may be more than to the tier alone: what is taken may have made a step of the tier unnecessary.

Worked example: a belt (0.4 h) and a seal (0.3 h) lie behind one cover (0.5 h) that the tier leaves on. At 100.00 an
hour the seal alone adds 80.00; with the belt taken it adds 30.00.
"""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import replace
from decimal import localcontext

from quotekit.model.job import Job, at_side
from quotekit.model.quote import OfferedExtra, PricedTier, Quote
from quotekit.model.shop_book import Extra, Remedy, ShopBook
from quotekit.money import EXACT
from quotekit.pricing.build_quote import beside_tier, price_taken
from quotekit.pricing.extras import FOUND, AddedTo, price_beside, price_offer
from quotekit.pricing.setup import set_up
from quotekit.pricing.tiers import WorkedTier, reasons_not_offered, work_out_tiers
from quotekit.record import record

_LEAVE = "Leave it out."
_PLAN = "To do it instead, plan it on the sheet Plan of the job."


def price_choice(book: ShopBook, job: Job, tier_code: str, extras: Sequence[str]) -> PricedTier:
    """A tier with some of what is offered beside it taken, as the quote lays a tier open.

    Raises KeyError for a tier that could not be worked out or an extra it does not offer.
    """
    with localcontext(EXACT):
        setup = set_up(book, job)
        worked = work_out_tiers(setup)
        tiers = {tier.tier.code: tier for tier in worked if isinstance(tier, WorkedTier)}
        beside = beside_tier(setup, tiers[tier_code])
        taken = price_taken(setup, beside, extras)
        reason = reasons_not_offered(worked).get(tier_code)
        added = [offer.item for offer in beside.offers if offer.item.key in extras]
        left = [offer for offer in beside.offers if offer.item.key not in extras]
        charges = beside.tier.charges
        with_taken = AddedTo(tier=charges, added=added, taken=price_beside(setup, charges, added) if added else charges)
        still = tuple(price_offer(setup, offer, with_taken, beside.upgrade) for offer in left)
        return replace(taken, offered=reason is None, reason=reason, extras=still)


@record
class WhyNot:
    """Why something is not offered, as half a sentence, and what to do."""

    reason: str
    remedy: str


def why_not_beside(quote: Quote, tier: PricedTier, code: str, side: str | None) -> WhyNot:
    """Why an extra or a remedy of the shop book, not in a tier, is not offered beside it either.

    Raises KeyError for any other code.
    """
    extra = quote.book.extras.get(code)
    if extra is not None:
        return _why_not_extra(quote, tier, extra, side)
    return _why_not_remedy(quote, tier, quote.book.remedies[code], side)


def _why_not_extra(quote: Quote, tier: PricedTier, extra: Extra, side: str | None) -> WhyNot:
    if extra.machines and quote.job.machine_class not in extra.machines:
        return WhyNot(reason="it is for other machines", remedy=_LEAVE)
    own = {at_side(code, on) for code in extra.operations for on in (side, None)}
    done = sorted(own & {line.key for line in tier.operations})
    if done:
        return WhyNot(reason=f"{tier.name} does its work already ({', '.join(done)})", remedy=_LEAVE)
    found = next((one.extra for one in tier.extras if one.why == FOUND and _shares_work(quote, one, extra)), None)
    if found is not None:
        return WhyNot(reason=f"{found}, which is offered, brings the same work", remedy=f"Take {found} in its place.")
    if any(row.code == extra.code for row in quote.job.extras):
        return WhyNot(reason=f"larger work in {tier.name} does its work already", remedy=_LEAVE)
    reason = f"what it needs is not open in {tier.name}, and it is not on the job's list"
    return WhyNot(reason=reason, remedy="Put it on the sheet Extras of the job to offer it.")


def _shares_work(quote: Quote, offered: OfferedExtra, extra: Extra) -> bool:
    remedy = quote.book.remedies[offered.code]
    return not set(remedy.operations).isdisjoint(extra.operations)


def _why_not_remedy(quote: Quote, tier: PricedTier, remedy: Remedy, side: str | None) -> WhyNot:
    faults = [
        found
        for found in quote.job.findings
        if found.fault and found.code in remedy.fixes and (side is None or found.side == side)
    ]
    if not faults:
        reason = "nothing was found that it puts right"
        return WhyNot(reason=reason, remedy="Record the finding on the job, or leave it out.")
    refused = next((one for one in quote.not_permitted if one.remedy == remedy.code and side in (None, one.side)), None)
    if refused is not None:
        return WhyNot(reason=refused.why, remedy=_LEAVE)
    left = {found.key for found in faults} & set(tier.left)
    if not left:
        return WhyNot(reason=f"what it is for is put right already by {tier.name}", remedy=_PLAN)
    other = next((one.extra for one in tier.extras if not left.isdisjoint(one.fixes)), None)
    if other is not None:
        return WhyNot(reason=f"{other}, which adds less work, is offered for the same", remedy=f"Take {other}. {_PLAN}")
    return WhyNot(reason=f"it does not fit together with {tier.name}", remedy=_PLAN)
