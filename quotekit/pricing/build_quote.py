"""From a shop book and a job to the whole quote: the pipeline, one call a step (DESIGN.md 5)."""

from __future__ import annotations

from collections.abc import Mapping, Sequence
from dataclasses import replace
from datetime import timedelta
from decimal import Decimal, localcontext
from typing import TYPE_CHECKING

from quotekit.model.job import Job
from quotekit.model.quote import OfferedExtra, PricedTier, Quote
from quotekit.model.shop_book import ShopBook
from quotekit.money import EXACT, round_to
from quotekit.pricing import finish
from quotekit.pricing.basis import ZERO
from quotekit.pricing.charges import Charges
from quotekit.pricing.covers import TooManyChoices
from quotekit.pricing.extras import AddedTo, offers_beside, price_beside, price_offer
from quotekit.pricing.fits import look_next, measure_next, not_permitted
from quotekit.pricing.live.quote import with_live_pricing
from quotekit.pricing.live.taken import OfferedTier
from quotekit.pricing.notes import notes_on, too_many_choices
from quotekit.pricing.part_lines import part_lines
from quotekit.pricing.plan import plan_problems
from quotekit.pricing.setup import Setup, fixed_by, set_up
from quotekit.pricing.shares import shares_of, users_of
from quotekit.pricing.taxes import taxes_upgrade_labour, upgrade_labour
from quotekit.pricing.tiers import Unworked, WorkedTier, planned_proof, reasons_not_offered, work_out_tiers
from quotekit.pricing.totals import declined, deposit_on, ready_days, totals_of
from quotekit.pricing.unpriced import without_figures
from quotekit.pricing.why import with_why
from quotekit.pricing.years import cost_over_years
from quotekit.pricing.years_sensitivity import with_sensitivity
from quotekit.problems import Problem, has_errors

if TYPE_CHECKING:
    from quotekit.model.repair_or_replace import RepairOrReplace


def build_quote(book: ShopBook, job: Job) -> Quote:
    """Every tier of a job, what is offered beside it, and what a no costs. Pure: same inputs, same quote."""
    with localcontext(EXACT):
        setup = set_up(book, job)
        try:
            worked = work_out_tiers(setup)
        except TooManyChoices:
            return _quote(setup, (), [too_many_choices(job)])
        problems = _plan_problems(setup, worked)
        if has_errors(problems):
            return _quote(setup, (), problems)
        reasons = reasons_not_offered(worked)
        beside = {tier.tier.code: beside_tier(setup, tier) for tier in worked if isinstance(tier, WorkedTier)}
        tiers = tuple(price_tier(setup, tier, reasons.get(tier.tier.code), beside) for tier in worked)
        quote = _quote(setup, tiers, [*problems, *notes_on(setup, worked, tiers)])
        quote = with_why(setup, worked, quote)
        quote = with_sensitivity(setup, worked, quote)
        return with_live_pricing(setup, beside, quote)


def price_combination(book: ShopBook, job: Job, tier_code: str, extras: Sequence[str]) -> PricedTier:
    """One tier with any of the extras offered beside it taken, as `CODE` or `CODE@side`.

    Raises KeyError for a tier that could not be worked out or an extra it does not offer.
    """
    with localcontext(EXACT):
        setup = set_up(book, job)
        tiers = {tier.tier.code: tier for tier in work_out_tiers(setup) if isinstance(tier, WorkedTier)}
        return price_taken(setup, beside_tier(setup, tiers[tier_code]), extras)


def price_taken(setup: Setup, beside: OfferedTier, extras: Sequence[str]) -> PricedTier:
    """A tier that was worked out with some of what is offered beside it; KeyError for anything else."""
    tier, offers = beside.tier, {offer.item.key: offer.item for offer in beside.offers}
    added = [offers[key] for key in dict.fromkeys(extras)]
    charges = price_beside(setup, tier.charges, added) if added else tier.charges
    fixed = fixed_by((*tier.items, *added))
    priced = _priced(setup, tier, charges, None, (), fixed, upgrade=beside.upgrade)
    return replace(priced, proof=tier.proof)


def price_tier(
    setup: Setup, tier: WorkedTier | Unworked, reason: str | None, beside: Mapping[str, OfferedTier]
) -> PricedTier:
    """A tier laid open, with what is offered beside it."""
    if isinstance(tier, Unworked):
        return _unpriced(setup, tier)
    offered = beside[tier.tier.code]
    alone = AddedTo(tier=tier.charges, taken=tier.charges)
    extras = tuple(price_offer(setup, offer, alone, offered.upgrade) for offer in offered.offers)
    priced = _priced(setup, tier, tier.charges, reason, extras, tier.fixed, upgrade=offered.upgrade)
    return replace(priced, proof=tier.proof)


def beside_tier(setup: Setup, tier: WorkedTier) -> OfferedTier:
    """A tier that was worked out, with what is offered beside it."""
    offers = offers_beside(setup, tier.items, tier.charges)
    return OfferedTier(tier=tier, offers=offers, upgrade=_upgrade(setup, tier.charges))


def _upgrade(setup: Setup, charges: Charges) -> Decimal:
    """Upgrade labour, worked out only where some tax treats it apart."""
    if not taxes_upgrade_labour(setup.basis):
        return ZERO
    return upgrade_labour(charges, shares_of(setup.basis, charges, users_of(setup.basis, charges.work)))


def _priced(
    setup: Setup,
    tier: WorkedTier,
    charges: Charges,
    reason: str | None,
    extras: tuple[OfferedExtra, ...],
    fixed: frozenset[str],
    *,
    upgrade: Decimal,
) -> PricedTier:
    basis, left = setup.basis, frozenset(setup.candidates.faults) - fixed
    users, cost = users_of(basis, charges.work), finish.cost_record(basis, charges)
    totals = totals_of(basis, charges, min(upgrade, charges.labour_total))
    remedies = [item for item in charges.work.items if item.remedy]
    years = cost_over_years(basis, charges.total, remedies, setup.alone)
    return PricedTier(
        code=tier.tier.code,
        name=tier.tier.tier,
        aim=tier.tier.aim,
        planned=tier.planned,
        offered=reason is None,
        reason=reason,
        items=finish.tier_items(basis, charges),
        operations=finish.operation_lines(basis, charges, users),
        access=finish.access_lines(basis, charges, users),
        dropped=tuple(sorted(charges.work.dropped)),
        fixed=tuple(sorted(fixed)),
        left=tuple(sorted(left)),
        safety_left=tuple(sorted(left & setup.candidates.of_severity(("safety",)))),
        hours=finish.hours_record(charges),
        labour_lines=finish.labour_lines(basis, charges),
        minimum_amount=charges.minimum,
        part_lines=part_lines(basis, charges),
        sublet_lines=finish.sublet_lines(basis, charges),
        saving_lines=finish.saving_lines(basis, charges),
        fee_lines=finish.fee_lines(charges),
        freight_lines=finish.freight_lines(basis, charges),
        amounts=finish.amounts_record(basis, charges, totals),
        bundles=finish.bundle_amounts(basis, charges),
        work=charges.total,
        subtotal=totals.subtotal,
        taxes=totals.taxes,
        tax=totals.tax,
        total=totals.total,
        deposit=deposit_on(basis, charges.parts),
        due=totals.total - round_to(basis.job.paid_so_far, basis.digits),
        ready_days=ready_days(basis, charges),
        horizon_cost=setup.cost_over_years(charges.total, remedies),
        over_years=years.by_year if years is not None and remedies else (),
        years=years,
        shares=shares_of(basis, charges, users),
        cost=cost,
        cash_for_parts=finish.cash_for_parts(basis, charges),
        margin=None if cost.total is None else totals.subtotal - cost.total,
        compared=tier.compared,
        lives=finish.stated_lives(remedies, fixed),
        opening_amount=finish.opening_amount(basis, charges),
        extras=extras,
        repair_or_replace=_weighed(setup, charges, totals.total, upgrade),
    )


def _weighed(setup: Setup, charges: Charges, total: Decimal, upgrade: Decimal) -> RepairOrReplace | None:
    """Repair or replace, where the job gives what a machine is worth."""
    if not setup.basis.job.asks_worth:
        return None
    from quotekit.pricing.repair_or_replace import weigh

    return weigh(setup.basis, charges, total, upgrade)


def _unpriced(setup: Setup, tier: Unworked) -> PricedTier:
    """A tier that could not be worked out: no items, no figures, only the reason."""
    nothing = setup.price(())
    empty = WorkedTier(
        tier=tier.tier,
        planned=False,
        items=(),
        remedies=(),
        covered=frozenset(),
        fixed=frozenset(),
        left=frozenset(setup.candidates.faults),
        safety_left=frozenset(),
        lives={},
        charges=nothing,
        ready=None,
        compared=0,
        proof=planned_proof(setup, nothing),
    )
    priced = _priced(setup, empty, nothing, tier.reason, (), frozenset(), upgrade=ZERO)
    return without_figures(priced)


def _plan_problems(setup: Setup, worked: Sequence[WorkedTier | Unworked]) -> list[Problem]:
    found: list[Problem] = []
    before: WorkedTier | None = None
    for tier in worked:
        if isinstance(tier, WorkedTier):
            if tier.planned:
                found += plan_problems(setup, tier, before)
            before = tier
    return found


def _quote(setup: Setup, tiers: tuple[PricedTier, ...], problems: Sequence[Problem]) -> Quote:
    job, settings = setup.basis.job, setup.basis.book.settings
    refused, together = not_permitted(setup.candidates)
    return Quote(
        book=setup.basis.book,
        job=job,
        valid_until=job.quote_date + timedelta(days=settings.quote_valid_days),
        currency=settings.currency,
        tiers=tiers,
        not_permitted=refused,
        only_with=together,
        measure_next=measure_next(setup.candidates),
        look_next=look_next(setup.basis),
        declined=declined(setup.basis),
        problems=tuple(problems),
    )
