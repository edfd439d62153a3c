"""Each tier worked out after the one before, and which are offered (DESIGN.md 5.7)."""

from __future__ import annotations

from dataclasses import dataclass, field
from fractions import Fraction

from quotekit.model.job import Job
from quotekit.model.shop_book import ShopBook, Tier
from tests.oracle.candidates import all_allowed, faults_of, fixed_by_all
from tests.oracle.choose import Chooser, best_of, lives_of
from tests.oracle.exact import DIGITS
from tests.oracle.price import ZERO, Priced, price
from tests.oracle.work import Item, World


class PlanError(Exception):
    """A plan the contract refuses."""


@dataclass
class WorkedTier:
    """A tier as chosen or planned; `priced` None where a life has to be known first."""

    tier: Tier
    planned: bool
    remedies: list[Item] = field(default_factory=list)
    priced: Priced | None = None
    horizon_cost: Fraction = ZERO
    compared: int = 0
    reason: str | None = None


def a_world(book: ShopBook, job: Job) -> World:
    """Book and job with the currency's digits."""
    return World(book, job, DIGITS[book.settings.currency])


def worked_tiers(world: World) -> list[WorkedTier]:
    """Each tier worked out after the one before, then which are offered."""
    chooser = Chooser(world)
    before: set[str] = set()
    tiers: list[WorkedTier] = []
    for tier in world.book.tiers:
        worked = _work_out(chooser, tier, before)
        tiers.append(worked)
        if worked.priced is not None:
            fixed = fixed_by_all(world, worked.priced.items)
            if worked.planned and not before <= fixed:
                raise PlanError(f"{tier.code} leaves what the tier before fixes")
            before = fixed
    _withhold(world, tiers)
    return tiers


def standing_items(world: World, tier: Tier) -> list[Item]:
    """Asked extras and one-off lines of a tier."""
    extras = [Item(row.code, row.side, "extra", world.book.extras[row.code]) for row in world.job.extras if row.asked]
    lines = [row for row in world.job.one_off if not row.tiers or tier.code in row.tiers]
    return extras + [Item(row.code, None, "one-off", row) for row in lines]


def _work_out(chooser: Chooser, tier: Tier, before: set[str]) -> WorkedTier:
    world = chooser.world
    others = standing_items(world, tier)
    plan = [row for row in world.job.plan if row.tier == tier.code]
    if plan:
        return _planned(chooser, tier, [_plan_item(world, row.code, row.side) for row in plan], others)
    best = best_of(chooser, tier, before, others)
    if best.choice is None:
        return WorkedTier(tier, False, compared=best.compared, reason="life years")
    choice = best.choice
    return WorkedTier(tier, False, choice.remedies, choice.priced, choice.horizon_cost, best.compared)


def _plan_item(world: World, code: str, side: str | None) -> Item:
    for kind, sheet in (("remedy", world.book.remedies), ("extra", world.book.extras)):
        if code in sheet:
            return Item(code, side, kind, sheet[code])
    return Item(code, side, "operation", world.book.operations[code])


def _planned(chooser: Chooser, tier: Tier, plan: list[Item], others: list[Item]) -> WorkedTier:
    world = chooser.world
    items = list({item.key: item for item in plan + others}.values())
    if not all_allowed(world, items):
        raise PlanError(f"{tier.code} has an item that is not permitted")
    remedies = [item for item in items if item.kind == "remedy"]
    priced = price(world, items)
    return WorkedTier(tier, True, remedies, priced, chooser.horizon_cost(priced.work, remedies), 1)


def _withhold(world: World, tiers: list[WorkedTier]) -> None:
    """Reasons not to offer: first each by itself, then the same work, then a better one."""
    earlier: list[WorkedTier] = []
    for worked in tiers:
        if worked.priced is None:
            continue
        worked.reason = _own_reason(world, worked.priced)
        alike = [other for other in earlier if _work_key(worked) == _work_key(other)]
        if worked.reason is None and any(other is earlier[-1] or not _beats(world, worked, other) for other in alike):
            worked.reason = "same work"
        earlier.append(worked)
    offered = [worked for worked in tiers if worked.reason is None]
    for worked in offered:
        if any(_beats(world, other, worked) for other in offered if other is not worked):
            worked.reason = "another is better"


def _own_reason(world: World, priced: Priced) -> str | None:
    left = set(faults_of(world)) - fixed_by_all(world, priced.items)
    if any(faults_of(world)[key].severity == "safety" for key in left):
        return "safety"
    asked = {row.code for row in world.job.extras if row.asked}
    real = [item for item in priced.items if item.kind in ("remedy", "one-off") or item.code in asked]
    return None if real else "nothing to do"


def _work_key(worked: WorkedTier) -> object:
    priced = worked.priced
    assert priced is not None
    one_offs = {item.key for item in priced.items if item.kind == "one-off"}
    return priced.doing.operations, {line.part: line.quantity for line in priced.parts}, one_offs


def _beats(world: World, other: WorkedTier, worked: WorkedTier) -> bool:
    first, second = other.priced, worked.priced
    assert first is not None and second is not None
    fixes, fixed = fixed_by_all(world, first.items), fixed_by_all(world, second.items)
    lasts, lasted = lives_of(world, other.remedies), lives_of(world, worked.remedies)
    never = 10**9
    ready, late = (never if days is None else days for days in (ready_days(world, first), ready_days(world, second)))
    if first.work > second.work or not fixes >= fixed or ready > late:
        return False
    if any(lasts.get(key, life) < life for key, life in lasted.items()):
        return False
    longer = any(lasts.get(key, life) > life for key, life in lasted.items())
    return first.work < second.work or fixes > fixed or longer or ready < late


def ready_days(world: World, priced: Priced) -> int | None:
    """The slowest part, one-off lead or sublet, plus the queue; None when an ordered part has no lead."""
    days = [line.lead for line in priced.parts]
    days += [
        item.record.lead_days or 0 for item in priced.items if item.kind == "one-off" and item.record.kind != "part"
    ]
    days += [world.book.operations[key[0]].sublet_days or 0 for key in priced.doing.operations]
    known = [count for count in days if count is not None]
    return None if len(known) < len(days) else max(known, default=0) + world.book.settings.queue_days
