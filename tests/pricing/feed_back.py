"""Feed a break-even back into the shop book, and choose the tier again by the engine alone."""

from __future__ import annotations

from collections.abc import Iterator
from dataclasses import replace
from decimal import Decimal, localcontext

from quotekit.model.job import Job
from quotekit.model.quote import PricedTier
from quotekit.model.shop_book import ShopBook
from quotekit.model.why import BreakEven, RemedyWhy
from quotekit.money import EXACT
from quotekit.pricing.choose import choose
from quotekit.pricing.setup import set_up
from quotekit.pricing.tiers import WorkedTier, work_out_tiers
from quotekit.pricing.why_missing import tier_before

Case = tuple[ShopBook, Job]


def changed(book: ShopBook, job: Job, found: BreakEven, value: Decimal) -> Case:
    """The shop book and job with one figure typed anew; a selling price is typed as a fixed price."""
    code = found.of.key.partition("@")[0]
    if "price" in found.figure:
        if code in job.parts:
            part = replace(job.parts[code], fixed_price_each=value)
            return book, replace(job, parts={**job.parts, code: part})
        return replace(book, parts={**book.parts, code: replace(book.parts[code], fixed_price_each=value)}), job
    if "hours" in found.figure:
        operation = replace(book.operations[code], net_hours=value)
        return replace(book, operations={**book.operations, code: operation}), job
    remedy = replace(book.remedies[code], life_years=value)
    return replace(book, remedies={**book.remedies, code: remedy}), job


def at_pack_cost(book: ShopBook, job: Job, found: BreakEven, cost: Decimal) -> Case:
    """The shop book and job with the part's pack cost typed anew."""
    code = found.of.key
    if code in job.parts:
        return book, replace(job, parts={**job.parts, code: replace(job.parts[code], pack_cost=cost)})
    return replace(book, parts={**book.parts, code: replace(book.parts[code], pack_cost=cost)}), job


def taken_in(first: Case, second: Case, tier_code: str) -> frozenset[str]:
    """Remedies the engine takes in a tier of the second case, with the tier before as it is in the first."""
    with localcontext(EXACT):
        worked = work_out_tiers(set_up(*first))
        place = next(n for n, tier in enumerate(worked) if tier.tier.code == tier_code)
        before = tier_before(worked, place)
        kept = before.fixed if before else frozenset[str]()
        tier, setup = worked[place].tier, set_up(*second)
        covered = kept | {key for key, fault in setup.candidates.faults.items() if fault.severity in tier.covers}
        return frozenset(item.key for item in choose(setup, tier, covered, kept).remedies)


def one_nearer(found: BreakEven) -> Decimal:
    """The value one step nearer to the present one."""
    assert found.wins_at is not None
    return found.wins_at + (found.step if found.wins_at < found.present else -found.step)


def turning_points(tier: PricedTier) -> Iterator[tuple[RemedyWhy, BreakEven]]:
    """The break-evens of a tier that was chosen, with their remedies."""
    for entry in tier.why.remedies if tier.why else ():
        for found in entry.break_even:
            yield entry, found


def worked_tiers(case: Case) -> list[WorkedTier]:
    """The tiers that could be worked out."""
    with localcontext(EXACT):
        return [tier for tier in work_out_tiers(set_up(*case)) if isinstance(tier, WorkedTier)]
