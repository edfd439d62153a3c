"""What open quotes would come to under new prices, and which would lose money if they were held.

Each job is priced three times by the engine that quotes it: on the shop book as it is, on the book as if every proposal
had been taken, and on that book with the work of each option as it was offered (as a plan), since new prices may make
the engine choose other work. What holding a quote leaves = its subtotal as it was handed over (of a job that was not
issued: as priced today) less the cost of that same work at the new prices. It loses money where that is below zero.
A quote is touched by a part that it charges for, today, under the new prices or held; not by one that the customer
brings, that the job has a price of its own for, or in whose place the shop book has another.
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
from quotekit.money import EXACT
from quotekit.pricing.build_quote import beside_tier, build_quote, price_taken
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


def price_open(waiting: Waiting, now: ShopBook, new: ShopBook, changed: frozenset[str]) -> OpenQuote:
    """An open quote under the new prices; `changed` are codes of the parts with a proposal."""
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
    items = _items(waiting, before)
    priced = {code: priced_as(new, waiting.job, code, keys) for code, keys in items.items()}
    held = {code: tier for code, tier in priced.items() if tier is not None}
    used = _parts_in((before, after, held)) - waiting.job.parts.keys()
    codes = [code for code in items if code in before]
    return replace(
        quote,
        tiers=tuple(_tier(code, waiting, before, after, held) for code in codes),
        parts=tuple(sorted(used & changed)),
    )


def priced_tiers(book: ShopBook, job: Job) -> tuple[Tiers, str]:
    """The offered options of a job by code, or why there are none."""
    quote = build_quote(book, job)
    if has_errors(quote.problems):
        return {}, next(problem.message for problem in quote.problems if problem.severity == "error")
    return {tier.code: tier for tier in quote.tiers if tier.priced and tier.items}, ""


def _items(waiting: Waiting, before: Tiers) -> Mapping[str, tuple[str, ...]]:
    """What each option holds: as handed over, else as priced today where it is offered."""
    if waiting.offered is not None:
        return {code: offered.items for code, offered in waiting.offered.items()}
    return {code: _keys(tier) for code, tier in before.items() if tier.offered}


def _keys(tier: PricedTier) -> tuple[str, ...]:
    return tuple(item.key for item in tier.items)


def priced_as(book: ShopBook, job: Job, tier: str, keys: Iterable[str]) -> PricedTier | None:
    """An option of exactly this work; None where the book no longer has all of it.

    The work is planned, so that nothing is chosen; asked extras and one-off lines come by themselves.
    """
    given = {line.code for line in job.one_off}
    named = [key.partition("@")[::2] for key in keys]
    plan = [PlanItem(tier=tier, code=code, side=side or None) for code, side in named if code not in given]
    row = next((row for row in book.tiers if row.code == tier), None)
    known = book.remedies.keys() | book.extras.keys() | book.operations.keys()
    if row is None or not {item.code for item in plan} <= known:
        return None
    with localcontext(EXACT):
        setup = set_up(book, replace(job, plan=tuple(plan)))
        worked = work_out(setup, row, None)
        return price_taken(setup, beside_tier(setup, worked), ()) if isinstance(worked, WorkedTier) else None


def _tier(code: str, waiting: Waiting, before: Tiers, after: Tiers, held: Tiers) -> OpenTier:
    now, new, same = before[code], after.get(code), held.get(code)
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


def _parts_in(quotes: Iterable[Tiers]) -> frozenset[str]:
    """Codes of the parts that some options charge for; a part that another one stands for is in none of them."""
    lines = [line for tiers in quotes for tier in tiers.values() for line in tier.part_lines]
    return frozenset(line.part for line in lines if not line.own)
