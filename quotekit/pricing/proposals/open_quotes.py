"""What open quotes would come to under new prices, and which would lose money if they were held.

Each job is priced three times by the engine that quotes it: on the shop book as it is, on the book as if every proposal
had been taken, and on that book with the work of each option as it was offered (as a plan), since new prices may make
the engine choose other work. What holding a quote leaves = its subtotal as it was handed over (of a job that was not
issued: as priced today) less the cost of that same work at the new prices. It loses money where that is below zero.
Which parts touch a quote: see `touched`.
Units: money, rounded where the engine rounds. Source: DESIGN.md 5; shop policy.

Worked example: offered at 100.00 before tax with costs of 80.00; one part now costs 25.00 more: held, it leaves
100.00 - 105.00 = -5.00, a loss.
"""

from __future__ import annotations

from collections.abc import Iterable, Mapping
from dataclasses import replace
from datetime import date
from decimal import Decimal, localcontext

from quotekit.model.job import Job, PlanItem
from quotekit.model.open_quotes import OpenQuote, OpenTier
from quotekit.model.quote import PricedTier
from quotekit.model.shop_book import ShopBook
from quotekit.money import EXACT, minor_digits
from quotekit.pricing.build_quote import beside_tier, build_quote, price_taken
from quotekit.pricing.proposals.touched import ALONE, Changed, OnBook, Options, touched_by
from quotekit.pricing.setup import set_up
from quotekit.pricing.tiers import WorkedTier, work_out
from quotekit.problems import has_errors
from quotekit.record import record

Tiers = Mapping[str, PricedTier]


@record
class OfferedTier:
    """An option as it was handed over."""

    total: Decimal
    subtotal: Decimal
    items: tuple[str, ...]
    """Keys of what it holds: `CODE` or `CODE@side`."""
    extras: tuple[str, ...] = ()
    """Keys of what was offered beside it."""


@record
class Waiting:
    """An open quote that is to be priced again; `job` is None where its workbook can't be read with this book."""

    number: str
    version: int
    customer: str
    valid_until: date
    job: Job | None
    offered: Mapping[str, OfferedTier] | None = None
    """By tier code; None for a job that was not issued."""
    trouble: str = ""


def price_open(waiting: Waiting, now: ShopBook, new: ShopBook, changed: Changed) -> OpenQuote:
    """An open quote under the new prices; `changed` are the parts with a proposal."""
    quote = OpenQuote(
        job=waiting.number,
        version=waiting.version,
        customer=waiting.customer,
        valid_until=waiting.valid_until,
        issued=waiting.offered is not None,
        trouble=waiting.trouble,
    )
    if waiting.job is None:
        return quote
    before, trouble = priced_tiers(now, waiting.job)
    after, trouble_after = priced_tiers(new, waiting.job)
    if trouble or trouble_after:
        return replace(quote, trouble=trouble or trouble_after)
    offered = _offered(waiting, before)
    was, held = (_held(book, waiting.job, offered) for book in (now, new))
    parts, extra_parts = touched_by(
        OnBook(priced=before, held=was),
        OnBook(priced=after, held=held),
        changed,
        waiting.job.parts.keys(),
        minor_digits(now.settings.currency),
    )
    return replace(
        quote,
        tiers=tuple(_tier(code, waiting, before, after, held) for code in offered if code in before),
        parts=parts,
        extra_parts=extra_parts,
    )


def priced_tiers(book: ShopBook, job: Job) -> tuple[Tiers, str]:
    """The offered options of a job by code, or why there are none."""
    quote = build_quote(book, job)
    if has_errors(quote.problems):
        return {}, next(problem.message for problem in quote.problems if problem.severity == "error")
    return {tier.code: tier for tier in quote.tiers if tier.priced and tier.items}, ""


def _offered(waiting: Waiting, before: Tiers) -> Mapping[str, OfferedTier]:
    """What each option holds, and what is offered beside it: as handed over, else as priced today."""
    if waiting.offered is not None:
        return waiting.offered
    return {
        code: OfferedTier(
            total=tier.total,
            subtotal=tier.subtotal,
            items=_keys(tier),
            extras=tuple(extra.extra for extra in tier.extras),
        )
        for code, tier in before.items()
        if tier.offered
    }


def _keys(tier: PricedTier) -> tuple[str, ...]:
    return tuple(item.key for item in tier.items)


def _held(book: ShopBook, job: Job, offered: Mapping[str, OfferedTier]) -> Mapping[str, Options]:
    """Each option as it was offered, alone and with each of its extras; those that the book still has."""
    priced = {code: priced_as(book, job, code, option.items, option.extras) for code, option in offered.items()}
    return {code: options for code, options in priced.items() if options}


def priced_as(book: ShopBook, job: Job, tier: str, keys: Iterable[str], extras: Iterable[str] = ()) -> Options:
    """An option of exactly this work, `ALONE` and with each of some extras; none where the book lacks some of it.

    The work is planned, so that nothing is chosen; asked extras and one-off lines come by themselves. An extra that is
    not offered beside this work any more is left out.
    """
    given = {line.code for line in job.one_off}
    named = [key.partition("@")[::2] for key in keys]
    plan = [PlanItem(tier=tier, code=code, side=side or None) for code, side in named if code not in given]
    row = next((row for row in book.tiers if row.code == tier), None)
    known = book.remedies.keys() | book.extras.keys() | book.operations.keys()
    if row is None or not {item.code for item in plan} <= known:
        return {}
    with localcontext(EXACT):
        setup = set_up(book, replace(job, plan=tuple(plan)))
        worked = work_out(setup, row, None)
        if not isinstance(worked, WorkedTier):
            return {}
        beside = beside_tier(setup, worked)
        still = {offer.item.key for offer in beside.offers}
        taken = {ALONE: (), **{extra: (extra,) for extra in extras if extra in still}}
        return {key: price_taken(setup, beside, each) for key, each in taken.items()}


def _tier(code: str, waiting: Waiting, before: Tiers, after: Tiers, held: Mapping[str, Options]) -> OpenTier:
    now, new = before[code], after.get(code)
    same = held[code][ALONE] if code in held else None
    offered = None if waiting.offered is None else waiting.offered[code]
    subtotal = now.subtotal if offered is None else offered.subtotal
    cost = None if same is None else same.cost.total
    return OpenTier(
        code=code,
        name=now.name,
        offered_total=None if offered is None else offered.total,
        offered_subtotal=None if offered is None else offered.subtotal,
        total_now=now.total,
        margin_now=now.margin,
        total_new=None if new is None else new.total,
        margin_new=None if new is None else new.margin,
        margin_held=None if cost is None else subtotal - cost,
        same_work=new is not None and same is not None and set(_keys(new)) == set(_keys(same)),
    )
