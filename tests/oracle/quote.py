"""The whole answer as plain figures, tier by tier, for comparison."""

from __future__ import annotations

from fractions import Fraction
from typing import Any

from quotekit.model.job import Job
from quotekit.model.shop_book import ShopBook
from tests.oracle.candidates import faults_of, fixed_by_all, look_next_of, measure_next_of, permission_of
from tests.oracle.exact import fraction, half_up
from tests.oracle.offers import Offer, offers_of
from tests.oracle.price import ZERO, Priced, price
from tests.oracle.shares import shares_of
from tests.oracle.tax import declined_of, inspection_of, taxes_of
from tests.oracle.tiers import WorkedTier, a_world, ready_days, worked_tiers
from tests.oracle.work import World, written

Figures = dict[str, Any]


def answer(book: ShopBook, job: Job) -> Figures:
    """Every figure of the quote."""
    world = a_world(book, job)
    tiers = worked_tiers(world)
    permission = permission_of(world)
    return {
        "tiers": [tier_figures(world, worked) for worked in tiers],
        "not_permitted": sorted(permission.not_permitted),
        "only_with": permission.only_with,
        "measure_next": measure_next_of(world),
        "look_next": look_next_of(world),
        "declined": declined_of(world),
    }


def tier_figures(world: World, worked: WorkedTier) -> Figures:
    """Every figure of a tier."""
    head = {"code": worked.tier.code, "offered": worked.reason is None, "reason": worked.reason}
    priced = worked.priced
    if priced is None:
        return head
    offers = [offer_figures(world, priced, offer) for offer in offers_of(world, priced)]
    return (
        head
        | priced_figures(world, priced)
        | {"horizon_cost": worked.horizon_cost, "compared": worked.compared, "extras": offers}
    )


def priced_figures(world: World, priced: Priced, tier: Priced | None = None) -> Figures:
    """Work, hours, parts, money, shares and cost of a set of items; `tier` is what a combination is beside."""
    return (
        work_figures(world, priced)
        | hours_figures(priced)
        | money_figures(world, priced, tier)
        | {"shares": shares_of(world, priced), "ready_days": ready_days(world, priced)}
    )


def work_figures(world: World, priced: Priced) -> Figures:
    """Items, operations, access, dropped, fixed and left."""
    fixed = fixed_by_all(world, priced.items)
    faults = faults_of(world)
    left = set(faults) - fixed
    return {
        "items": sorted(item.key for item in priced.items),
        "operations": sorted(written(key) for key in priced.doing.operations),
        "access": sorted(written(key) for key in priced.doing.steps),
        "dropped": sorted(written(key) for key in priced.doing.dropped),
        "fixed": sorted(fixed),
        "left": sorted(left),
        "safety_left": sorted(key for key in left if faults[key].severity == "safety"),
    }


def hours_figures(priced: Priced) -> Figures:
    """Hours of the tier."""
    labour = priced.labour
    return {
        "hours": {
            "access": sum(labour.access.values(), ZERO),
            "net": sum(labour.net.values(), ZERO),
            "allowance": sum(labour.allowance.values(), ZERO),
            "off": labour.off,
            "billed": {rate: hours for rate, hours in labour.billed.items() if hours},
            "minimum_added": labour.minimum_added,
        }
    }


def money_figures(world: World, priced: Priced, tier: Priced | None) -> Figures:
    """Parts, amounts, taxes, totals and cost."""
    fee, credit = inspection_of(world, priced.work)
    taxes = taxes_of(world, priced, tier)
    tax = sum((amount for _, _, amount in taxes), ZERO)
    subtotal = priced.work + fee + credit
    cost = cost_figures(world, priced)
    return {
        "parts": {line.part: (line.quantity, line.packs, line.unit_price, line.amount) for line in priced.parts},
        "amounts": {
            "labour": priced.labour_amount,
            "parts": priced.parts_amount,
            "cores": priced.cores,
            "sublet": sum(priced.sublet.values(), ZERO),
            "savings": -priced.saved,
            "supplies": priced.supplies,
            "fees": sum(priced.fees.values(), ZERO),
            "freight": sum(priced.freight.values(), ZERO),
            "inspection": fee,
            "inspection_credit": credit,
        },
        "bundles": {
            saving.key: None if saving.kind == "hours" else -saving.amount
            for saving in priced.savings
            if not saving.key.startswith("DISCOUNT-")
        },
        "work": priced.work,
        "subtotal": subtotal,
        "taxes": {name: (base, amount) for name, base, amount in taxes},
        "tax": tax,
        "total": subtotal + tax,
        "deposit": deposit_of(world, priced),
        "due": subtotal + tax - fraction(world.job.paid_so_far),
        "cost": cost,
        "cash_for_parts": sum((line.packs * line.pack_cost for line in priced.parts), ZERO),
        "margin": None if cost["total"] is None else subtotal - cost["total"],
    }


def deposit_of(world: World, priced: Priced) -> Fraction:
    """Percent of the selling amounts of ordered parts, rounded once."""
    settings = world.book.settings
    plain, bound = fraction(settings.deposit_on_ordered_parts), fraction(settings.deposit_on_non_returnable_parts)
    lines = (line.amount * (plain if line.returnable else bound) for line in priced.parts if line.ordered)
    return half_up(sum(lines, ZERO), world.digits)


def cost_figures(world: World, priced: Priced) -> Figures:
    """What the job costs the shop."""
    figures: Figures = {
        "labour": _labour_cost(world, priced),
        "parts_used": _known(line.cost for line in priced.parts),
        "cores": priced.cores,
        "sublet": _sublet_cost(world, priced),
        "freight": sum(priced.own_freight.values(), ZERO),
    }
    figures["total"] = _known(figures.values())
    return figures


def _known(values: Any) -> Fraction | None:
    listed = list(values)
    return None if None in listed else sum(listed, ZERO)


def _labour_cost(world: World, priced: Priced) -> Fraction | None:
    lines = []
    for rate in priced.labour.rates():
        hours, cost = priced.labour.worked(rate), world.rates[rate].cost_per_hour
        if hours:
            lines.append(None if cost is None else half_up(hours * fraction(cost), world.digits))
    return _known(lines)


def _sublet_cost(world: World, priced: Priced) -> Fraction | None:
    costs = [world.book.operations[key[0]].sublet_cost for key in priced.doing.operations]
    lines: list[Fraction | None] = [half_up(fraction(cost), world.digits) for cost in costs if cost is not None]
    for item in priced.items:
        if item.kind == "one-off" and item.record.kind == "sublet":
            each = item.record.unit_cost
            lines.append(
                None if each is None else half_up(fraction(each) * fraction(item.record.quantity), world.digits)
            )
    return _known(lines)


def offer_figures(world: World, tier: Priced, offer: Offer) -> Figures:
    """An offer with what the tier comes to when it is taken."""
    money = money_figures(world, offer.together, tier)
    return {
        "extra": offer.item.key,
        "kind": offer.item.kind,
        "why": offer.why,
        "price": offer.price,
        "at_most": offer.at_most,
    } | {name: money[name] for name in ("work", "subtotal", "tax", "total")}


def combination(book: ShopBook, job: Job, tier_code: str, extras: list[str]) -> Figures:
    """A tier with offered extras and found remedies taken."""
    world = a_world(book, job)
    worked = next(one for one in worked_tiers(world) if one.tier.code == tier_code)
    assert worked.priced is not None
    offered = {offer.item.key: offer.item for offer in offers_of(world, worked.priced)}
    items = worked.priced.items + [offered[key] for key in extras]
    return priced_figures(world, price(world, items, beside=worked.priced), worked.priced)
