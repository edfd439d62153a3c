"""What jobs still need: agreed parts that are neither the customer's own nor ordered or taken from the shelf before.

Units agreed less units that the job has, or that are on order for it, never below zero: a job ordered twice orders
nothing twice, and a revision orders only what is new. Where a revision needs less than was ordered, that is told.
A part must be there by the day that was promised: the customer's yes and the quote's working days to ready, less the
shop's queue, since the queue comes after the parts. A day that is named takes its place; a quote that promised no day
has none.
Units: the part's own, working days. Source: shop policy; DESIGN.md 5.9 for the days.

Worked example: three seals agreed, two ordered last week: one is needed. Yes on Thursday, ready in five working days,
two of them queue: the seal must be there by Tuesday.
"""

from __future__ import annotations

from collections.abc import Iterable, Mapping
from dataclasses import replace
from datetime import date
from decimal import Decimal
from typing import NamedTuple

from quotekit.model.agreed import Agreed
from quotekit.model.job import Job
from quotekit.model.landed import NEVER, Need
from quotekit.model.shop_book import ShopBook
from quotekit.model.story import job_key
from quotekit.pricing.landed.offers import Sold, part_key, sold
from quotekit.pricing.landed.stock import Stock
from quotekit.pricing.landed.superseded import final_number, numbers_of
from quotekit.pricing.landed.working_days import after_working_days
from quotekit.problems import Place, Problem, warning
from quotekit.record import record

ZERO = Decimal(0)


ORDER = Place("parts order")
"""Where a warning about an order as a whole stands."""


@record
class JobToOrder:
    """An accepted job: what was agreed, when, and the workbooks it was agreed with."""

    job: str
    agreed: Agreed
    said_yes: date
    book: ShopBook
    record: Job
    by: date | None = None
    """When its parts must be there, where that is named; NEVER for any time."""


class NeededPart(NamedTuple):
    """A need with who sells the part."""

    need: Need
    sold: Sold
    agreed_as: str
    """The number that was agreed; another is bought where it was replaced since."""


def open_needs(jobs: Iterable[JobToOrder], stock: Stock, now: ShopBook) -> list[NeededPart]:
    """What the jobs still need, job by job in the order of their agreed parts; `now` is the shop book of today."""
    found = []
    for one in jobs:
        by = day_needed(one)
        together: dict[str, NeededPart] = {}
        for part, wanted in wanted_parts(one).items():
            sells = sold(part.code, one.record, one.book, now)
            key = sells.facts.part
            more = together[key].need.quantity if key in together else ZERO
            need = Need(part=key, job=one.job, quantity=wanted + more, by=by)
            together[key] = NeededPart(need, sells, part.key)
        found += [left for each in together.values() if (left := _still_needed(each, stock, now)) is not None]
    return found


def _still_needed(one: NeededPart, stock: Stock, now: ShopBook) -> NeededPart | None:
    need = one.need
    left = need.quantity - sum((stock.has(need.job, number) for number in numbers_of(need.part, now)), ZERO)
    return one._replace(need=replace(need, quantity=left)) if left > 0 else None


class _Wanted(NamedTuple):
    key: str
    code: str


def wanted_parts(job: JobToOrder) -> dict[_Wanted, Decimal]:
    """Units that the job must get, by part; the customer's own are not among them."""
    found: dict[_Wanted, Decimal] = {}
    for part in job.agreed.parts:
        if not part.own:
            wanted = _Wanted(part_key(part.part, job.record, job.book), part.part)
            found[wanted] = found.get(wanted, ZERO) + part.quantity
    return found


def day_needed(job: JobToOrder) -> date:
    """When the job's parts must be there."""
    if job.by is not None:
        return job.by
    if job.agreed.ready_days is None:
        return NEVER
    return after_working_days(job.said_yes, job.agreed.ready_days - job.book.settings.queue_days)


def no_longer_needed(jobs: Iterable[JobToOrder], stock: Stock, now: ShopBook) -> list[Problem]:
    """Parts of which a job has, or gets, more than is agreed now."""
    found = []
    for one in jobs:
        wanted: dict[str, Decimal] = {}
        for part, quantity in wanted_parts(one).items():
            key = final_number(part.key, now)
            wanted[key] = wanted.get(key, ZERO) + quantity
        found += _over(one.job, wanted, stock, now)
    return found


def of_declined(jobs: Iterable[str], stock: Stock) -> list[Problem]:
    """Parts that jobs have, or get, of which nothing is agreed any more."""
    return [problem for job in jobs for problem in _over(job, {}, stock, None)]


def _over(job: str, wanted: Mapping[str, Decimal], stock: Stock, now: ShopBook | None) -> list[Problem]:
    found = []
    left = {job_key(part): quantity for part, quantity in wanted.items()}
    for (key, part), got in sorted(stock.got.items()):
        if key != job_key(job):
            continue
        named = stock.spelled[part]
        final = job_key(named if now is None else final_number(named, now))
        over = got - left.get(final, ZERO)
        left[final] = max(ZERO, -over)
        if over > 0 and stock.keeps_count(named):
            message = f"Ordered for job {job} and no longer agreed: {_plain(over)} of {named}."
            put = f'`quotekit shelf --put "{named}" {_plain(over)} --job {job}`'
            remedy = f"Call them off (`quotekit cancel-order`), send them back, or put them on the shelf: {put}."
            found.append(warning(ORDER, "part-not-agreed-now", message, remedy))
    return found


def _plain(quantity: Decimal) -> str:
    return f"{quantity.normalize():f}"
