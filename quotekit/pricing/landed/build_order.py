"""The parts order of one or several accepted jobs: shelf first, then the packs that land for least.

What is needed and not ordered yet; less what is on the shelf or on its way to it; the cheapest packs for the rest, in
time where anyone is; handed out to the jobs. Stock that was never counted is taken as there. Counted stock that is
short and that nobody sells stays open, and is told.
Units: as in the rules it calls. Source: shop policy.

Worked example: job A needs two seals, job B one, one is on the shelf: the shelf gives A one; a pack of two is bought,
one of it for A and one for B.
"""

from __future__ import annotations

from collections.abc import Iterable, Mapping, Sequence
from dataclasses import replace
from datetime import date
from decimal import Decimal
from typing import Any

from quotekit.model.entries import Ordered, OrderLine, ShelfTake, SupplierOrder
from quotekit.model.landed import NEVER, Given, LandedChoice, Need, OrderTask, PackOffer, Packs, UsualOrder
from quotekit.model.shop_book import ShopBook
from quotekit.money import minor_digits, round_to
from quotekit.pricing.landed.called_off import without_called_off
from quotekit.pricing.landed.choose import SECONDS, choose_order
from quotekit.pricing.landed.in_time import LateNeed, covers_of, late_needs, offer_order
from quotekit.pricing.landed.offers import terms_by_supplier
from quotekit.pricing.landed.open_needs import (
    ORDER,
    JobToOrder,
    NeededPart,
    day_needed,
    no_longer_needed,
    open_needs,
)
from quotekit.pricing.landed.price import by_supplier, goods_of, is_below_minimum, supplier_costs, terms_of
from quotekit.pricing.landed.share import left_over, share_out
from quotekit.pricing.landed.stock import Stock
from quotekit.pricing.landed.superseded import lots_under, told_of
from quotekit.pricing.landed.usual import usual_order
from quotekit.pricing.landed.waiting import waiting_together
from quotekit.problems import Problem, warning
from quotekit.record import record

ZERO = Decimal(0)


@record
class OrderPlan:
    """An order as it is to be recorded, None where nothing is needed, and what the shop should know of it."""

    ordered: Ordered | None
    notes: tuple[Problem, ...] = ()


def build_order(
    jobs: Sequence[JobToOrder], stock: Stock, now: ShopBook, day: date, seconds: Any = SECONDS
) -> OrderPlan:
    """The order of some jobs on a day, with the shop book of that day."""
    needed = open_needs(jobs, stock, now)
    notes = [*no_longer_needed(jobs, stock, now), *told_of((one.agreed_as, one.need.part) for one in needed)]
    takes, bought = _apart(needed, stock)
    task = _task(jobs, bought, stock, now, day)
    task, nobody_else = without_called_off(task, stock)
    task, short = _less_what_nobody_sells(task)
    notes += [*nobody_else, *short, *_late(task), *_without_cost(bought)]
    task = waiting_together(task)
    covers = covers_of(task)
    usual = usual_order(task, covers)
    choice = choose_order(task, covers, usual, seconds)
    given = share_out(task, choice.packs)
    takes += [_take(task, one) for one in given if one.offer is None]
    if not takes and not choice.packs:
        return OrderPlan(ordered=None, notes=tuple(notes))
    if not choice.proven:
        notes.append(_not_proven(choice))
    notes += [*_below_minimum(task, choice), *_old_prices(choice, now, day)]
    return OrderPlan(ordered=_ordered(jobs, task, choice, usual, (given, takes), now), notes=tuple(notes))


def _apart(needed: Iterable[NeededPart], stock: Stock) -> tuple[list[ShelfTake], list[NeededPart]]:
    """What is taken from stock that nobody counts, and all other needs."""
    takes, others = [], []
    for one in needed:
        facts, need = one.sold.facts, one.need
        if facts.shelf and facts.part not in stock.counted:
            takes.append(
                ShelfTake(part=need.part, name=facts.name, job=need.job, quantity=need.quantity, unit=facts.unit)
            )
        else:
            others.append(one)
    return takes, others


def _task(
    jobs: Sequence[JobToOrder], needed: Sequence[NeededPart], stock: Stock, now: ShopBook, day: date
) -> OrderTask:
    sold = {one.need.part: one.sold for one in needed}
    lots = stock.lots(day)
    return OrderTask(
        day=day,
        digits=minor_digits(now.settings.currency),
        needs=tuple(one.need for one in needed),
        offers=tuple(offer for one in sold.values() for offer in one.offers),
        terms=terms_by_supplier([*(job.book for job in jobs), now]),
        parts={part: one.facts for part, one in sold.items()},
        lots=tuple(lot for part in sold for lot in lots_under(part, lots, now)),
    )


def _less_what_nobody_sells(task: OrderTask) -> tuple[OrderTask, list[Problem]]:
    """Needs of parts without any offer, cut down to what there is; what is missing is told."""
    sold = {offer.part for offer in task.offers}
    needs = [need for need in task.needs if need.part in sold]
    notes = []
    given: dict[Need, Decimal] = {}
    for one in share_out(task, ()):
        given[one.need] = given.get(one.need, ZERO) + one.quantity
    for need in task.needs:
        if need.part not in sold:
            there = given.get(need, ZERO)
            needs += [replace(need, quantity=there)] if there else []
            if there < need.quantity:
                notes.append(_short(need, there))
    return replace(task, needs=tuple(needs)), notes


def _ordered(
    jobs: Sequence[JobToOrder],
    task: OrderTask,
    choice: LandedChoice,
    usual: UsualOrder,
    shared: tuple[list[Given], list[ShelfTake]],
    now: ShopBook,
) -> Ordered:
    given, takes = shared
    named = [one.job for one in jobs]
    with_parts = {need.job for need in task.needs} | {take.job for take in takes}
    lines = sorted(choice.packs, key=lambda line: (line.offer.supplier, line.offer.part, offer_order(line.offer)))
    return Ordered(
        jobs=tuple(job for job in named if job in with_parts),
        lines=tuple(_line(task, line, given) for line in lines),
        suppliers=tuple(_supplier_orders(task, choice.packs)),
        shelf=tuple(sorted(takes, key=lambda take: (take.part, take.job))),
        landed=choice.landed,
        usual=usual.landed,
        bound=choice.bound,
        compared=choice.compared,
        currency=now.settings.currency,
        usual_why=usual.why_not,
        needed_by=_days(jobs, with_parts),
        proven=choice.proven,
    )


def _line(task: OrderTask, line: Packs, given: Sequence[Given]) -> OrderLine:
    offer, facts = line.offer, task.parts[line.offer.part]
    jobs: dict[str, Decimal] = {}
    for one in given:
        if one.offer == offer:
            jobs[one.need.job] = jobs.get(one.need.job, ZERO) + one.quantity
    over = left_over(line, given)
    return OrderLine(
        supplier=offer.supplier,
        part=offer.part,
        name=facts.name,
        suppliers_number=offer.suppliers_number,
        packs=line.packs,
        pack_quantity=offer.pack_quantity,
        pack_cost=offer.pack_cost,
        amount=line.packs * offer.pack_cost,
        jobs={job: jobs[job] for job in sorted(jobs)},
        needed=line.packs * offer.pack_quantity - over,
        left_over=over,
        returnable=facts.returnable,
        lead_days=offer.lead_days,
        extra_freight=line.packs * offer.extra_freight,
        unit=facts.unit,
        new_or_used=facts.new_or_used,
        code=facts.code,
        instead_of=_instead_of(task, offer),
        cost_known=offer.cost_known,
    )


def _instead_of(task: OrderTask, offer: PackOffer) -> str:
    """The usual supplier of a part, where another sells it now."""
    usual = next((one for one in task.offers if one.part == offer.part and one.usual), offer)
    return "" if usual.supplier == offer.supplier else usual.supplier


def _supplier_orders(task: OrderTask, packs: Sequence[Packs]) -> Iterable[SupplierOrder]:
    for cost in supplier_costs(task, packs):
        name = terms_of(task, cost.supplier).supplier or cost.supplier
        yield SupplierOrder(
            supplier=cost.supplier, name=name, goods=cost.goods, freight=cost.freight, fee=cost.fee, total=cost.total
        )


def _take(task: OrderTask, given: Given) -> ShelfTake:
    facts = task.parts[given.need.part]
    return ShelfTake(
        part=given.stored_as or given.need.part,
        name=facts.name,
        job=given.need.job,
        quantity=given.quantity,
        unit=facts.unit,
    )


def _days(jobs: Sequence[JobToOrder], with_parts: set[str]) -> Mapping[str, date]:
    days = {one.job: day_needed(one) for one in jobs if one.job in with_parts}
    return {job: day for job, day in days.items() if day != NEVER}


def _short(need: Need, there: Decimal) -> Problem:
    missing = f"{(need.quantity - there).normalize():f}"
    message = f"Job {need.job} needs {missing} of {need.part} that the shelf has not, and nobody offers it."
    remedy = f'Count it again (`quotekit shelf --count "{need.part}" QUANTITY`), or add a supplier to the sheet Offers.'
    return warning(ORDER, "shelf-short", message, remedy)


def _late(task: OrderTask) -> Iterable[Problem]:
    """Late needs of a job and day in one note."""
    together: dict[tuple[str, date, date | None], list[LateNeed]] = {}
    for late in late_needs(task):
        together.setdefault((late.need.job, late.need.by, late.there), []).append(late)
    for (job, by, there), needs in together.items():
        parts = ", ".join(late.need.part for late in needs)
        when = "no supplier says when it comes" if there is None else f"the soonest is {there.isoformat()}"
        message = f"Job {job} needs {parts} by {by.isoformat()}: {when}."
        remedy = "It is ordered where it comes soonest; tell the customer."
        if there is not None:
            remedy += " The job's other parts may come by then too."
        yield warning(ORDER, "part-too-late", message, remedy)


def _without_cost(needed: Iterable[NeededPart]) -> Iterable[Problem]:
    for one in needed:
        if any(not offer.cost_known for offer in one.sold.offers):
            message = f"{one.sold.facts.name} for job {one.need.job} has no cost: it counts as nothing here."
            yield warning(
                ORDER, "order-without-cost", message, "Ask the supplier, and type what it cost as it comes in."
            )


def _below_minimum(task: OrderTask, choice: LandedChoice) -> Iterable[Problem]:
    for supplier, lines in by_supplier(choice.packs).items():
        terms, goods = terms_of(task, supplier), goods_of(lines)
        if terms.small_order_fee is None and is_below_minimum(terms, goods):
            least, value = (f"{round_to(amount or ZERO, task.digits)}" for amount in (terms.minimum_order, goods))
            message = f"{terms.supplier} takes orders from {least}; this one is {value}."
            remedy = "The book names no small order fee: ask before you send it."
            yield warning(ORDER, "below-minimum", message, remedy)


def _old_prices(choice: LandedChoice, now: ShopBook, day: date) -> Iterable[Problem]:
    """Prices older than the shop's limit by the day of the order, in one note."""
    limit = now.settings.price_age_limit_days
    old = [line.offer for line in choice.packs if line.offer.dated and (day - line.offer.dated).days > limit]
    if old:
        parts = ", ".join(sorted(f"{offer.part} from {offer.supplier} ({offer.dated})" for offer in old))
        message = f"Prices more than {limit} days old: {parts}."
        yield warning(ORDER, "order-price-old", message, "Ask the supplier before you send the order.")


def _not_proven(choice: LandedChoice) -> Problem:
    message = f"{choice.compared} It may be {choice.landed - choice.bound} above the least."
    return warning(ORDER, "order-not-proven", message, "Order fewer jobs at a time for a proof, or take it as it is.")
