"""Why each remedy: nearest alternative and break-even values beside brute force (DESIGN.md 5.7).

A break-even is typed into the shop book and every subset of the candidates is tried again: at the value the remedy is
no longer taken, one step nearer it still is, and so at values between. The tier before stays as it is.
"""

from __future__ import annotations

from collections.abc import Callable
from dataclasses import replace
from decimal import Decimal
from fractions import Fraction
from typing import Any

from quotekit.model.job import Job
from quotekit.model.shop_book import ShopBook, Tier
from tests.oracle.candidates import called_for, candidates_of, faults_of, fixed_by, fixed_by_all, limits_of, needed_by
from tests.oracle.choose import Choice, Chooser, _is_within, best_of, left_of, rank, valid_sets
from tests.oracle.compare import differences
from tests.oracle.compare_years import Beside
from tests.oracle.tiers import WorkedTier, a_world, standing_items
from tests.oracle.work import Item, World

Json = dict[str, Any]
MOST_SETS = 400


class Scene:
    """One tier of one case, to be chosen again with a figure changed."""

    def __init__(self, book: ShopBook, job: Job, tier: Tier, before: set[str]) -> None:
        self.book, self.job, self.tier, self.before = book, job, tier, before
        self.world = a_world(book, job)
        self.chooser = Chooser(self.world)
        self.others = standing_items(self.world, tier)
        self.base = {key for key, fault in faults_of(self.world).items() if fault.severity in tier.covers} | before

    def choices(self) -> list[Choice]:
        """Every complete choice, priced."""
        one_offs = [item for item in self.others if item.kind == "one-off"]
        sets = valid_sets(self.world, self.chooser.candidates, self.base, one_offs)
        least = min(left_of(self.world, one + one_offs, self.base, self.before) for one in sets)
        kept = [one for one in sets if left_of(self.world, one + one_offs, self.base, self.before) == least]
        return [
            self.chooser.choice(one, self.others) for one in kept if not any(_is_within(less, one) for less in kept)
        ]

    def rank(self, choice: Choice) -> tuple[object, ...]:
        """By the aim and the ties."""
        return rank(self.world, self.tier, choice, self.base)

    def taken_with(self, figure: str, code: str, value: Decimal) -> set[str] | None:
        """What the tier takes with one figure changed; None where a life would have to be known."""
        book, job = CHANGES[figure.partition(" of ")[0]](self.book, self.job, code, value)
        choice = best_of(Chooser(a_world(book, job)), self.tier, self.before, self.others_in(book, job)).choice
        return None if choice is None else {item.key for item in choice.remedies}

    def others_in(self, book: ShopBook, job: Job) -> list[Item]:
        """Asked extras and one-off lines there."""
        return standing_items(a_world(book, job), self.tier)


def _at_price(book: ShopBook, job: Job, code: str, value: Decimal) -> tuple[ShopBook, Job]:
    if code in job.parts:
        return book, replace(job, parts={**job.parts, code: replace(job.parts[code], fixed_price_each=value)})
    return replace(book, parts={**book.parts, code: replace(book.parts[code], fixed_price_each=value)}), job


def _at_pack_cost(book: ShopBook, job: Job, code: str, value: Decimal) -> tuple[ShopBook, Job]:
    if code in job.parts:
        return book, replace(job, parts={**job.parts, code: replace(job.parts[code], pack_cost=value)})
    return replace(book, parts={**book.parts, code: replace(book.parts[code], pack_cost=value)}), job


def _at_hours(book: ShopBook, job: Job, code: str, value: Decimal) -> tuple[ShopBook, Job]:
    return replace(book, operations={**book.operations, code: replace(book.operations[code], net_hours=value)}), job


def _at_life(book: ShopBook, job: Job, code: str, value: Decimal) -> tuple[ShopBook, Job]:
    code = code.partition("@")[0]
    return replace(book, remedies={**book.remedies, code: replace(book.remedies[code], life_years=value)}), job


Change = Callable[[ShopBook, Job, str, Decimal], tuple[ShopBook, Job]]
CHANGES: dict[str, Change] = {"price": _at_price, "pack cost": _at_pack_cost, "hours": _at_hours, "life": _at_life}


def why_differences(one: Beside) -> list[str]:
    """Every remedy of every chosen tier."""
    found: list[str] = []
    before: set[str] = set()
    for tier, worked in one.tiers:
        assert worked.priced is not None
        if not worked.planned and worked.compared <= MOST_SETS:
            scene = Scene(one.book, one.job, worked.tier, before)
            found += [f"/{tier['code']}/why{line}" for line in _tier(one, scene, worked, tier["why"])]
        before = fixed_by_all(one.world, worked.priced.items)
    return found


def _tier(one: Beside, scene: Scene, worked: WorkedTier, told: Json) -> list[str]:
    choices = scene.choices()
    chosen = {item.key for item in worked.remedies}
    found = differences(sorted(chosen), sorted(entry["remedy"] for entry in told["remedies"]))
    joined = components(scene.world)
    for entry in told["remedies"]:
        one.seen["remedies told"] += 1
        mine = [
            choice
            for choice in choices
            if entry["remedy"] not in (keys := {item.key for item in choice.remedies})
            and (keys ^ chosen) <= joined[entry["remedy"]]
        ]
        found += [f"/{entry['remedy']}{line}" for line in _alternative(one, scene, chosen, mine, entry["alternative"])]
        for turn in entry["break_even"]:
            found += [f"/{entry['remedy']}{line}" for line in _turn(one, scene, entry["remedy"], turn)]
    return found


def components(world: World) -> dict[str, set[str]]:
    """Candidates that hang together through findings they fix, need fixed, or are limited by."""
    items = candidates_of(world)
    touched = {item.key: _touched(world, item) for item in items}
    groups: list[tuple[set[str], set[str]]] = []
    for key, findings in touched.items():
        near = [group for group in groups if group[1] & findings]
        groups = [group for group in groups if group not in near]
        groups.append(({key}.union(*(one for one, _ in near)), findings.union(*(one for _, one in near))))
    return {key: keys for keys, _ in groups for key in keys}


def _touched(world: World, item: Item) -> set[str]:
    limits = {row.finding for row in limits_of(world, item)}
    limiting = {key for key, fault in faults_of(world).items() if fault.code in limits}
    return fixed_by(world, item) | needed_by(world, item) | called_for(world, [item]) | limiting


def _alternative(one: Beside, scene: Scene, chosen: set[str], mine: list[Choice], told: Json | None) -> list[str]:
    if told is None:
        one.seen["without an alternative"] += 1
        return [f"/alternative: none, of {len(mine)}"] if mine else []
    one.seen["alternatives"] += 1
    if not mine:
        return [f"/alternative: oracle none, engine {told['takes']}"]
    best = min(mine, key=scene.rank)
    expected: Json = {
        "keys": sorted(item.key for item in best.remedies),
        "work": best.priced.work,
        "over_years": best.horizon_cost,
        "operations": len(best.priced.doing.operations),
    }
    figures = told["figures"]
    actual: Json = {
        "keys": sorted(chosen - set(told["drops"]) | set(told["takes"])),
        "work": Fraction(figures["work"]),
        "over_years": Fraction(figures["over_years"]),
        "operations": figures["operations"],
    }
    return differences(expected, actual, "/alternative")


def _turn(one: Beside, scene: Scene, remedy: str, turn: Json) -> list[str]:
    """A break-even value, tried."""
    figure, of = turn["figure"], turn["of"]
    now, step = Decimal(turn["now"]), Decimal(turn["step"])
    where = f"/{figure} of {of} at {turn['wins_at']} (now {now}; {turn['among']})"
    if turn["wins_at"] is None:
        one.seen["no value turns it"] += 1
        return _never(one, scene, remedy, turn, where)
    value = Decimal(turn["wins_at"])
    one.seen[f"{figure.partition(' ')[0]} that turns it"] += 1
    found = _tried(scene, remedy, figure, of, value, now, step, where, sorted(turn["then"]))
    between = abs(value - now) / step
    for _ in range(2):
        if between > 2:
            near = now + (1 if value > now else -1) * step * one.random.randint(1, int(between) - 1)
            one.seen["values between"] += 1
            if remedy not in (scene.taken_with(figure, of, near) or {remedy}):
                found.append(f"{where}: not taken at {near} already")
    if turn["pack_cost"] is not None:
        one.seen["pack costs"] += 1
        cost, cost_now = Decimal(turn["pack_cost"]), Decimal(turn["pack_cost_now"])
        found += _tried(scene, remedy, "pack cost", of, cost, cost_now, step, f"{where} pack cost {cost}", None)
    return found


def _tried(
    scene: Scene,
    remedy: str,
    figure: str,
    of: str,
    value: Decimal,
    now: Decimal,
    step: Decimal,
    where: str,
    then: list[str] | None,
) -> list[str]:
    found = []
    at = scene.taken_with(figure, of, value)
    near = scene.taken_with(figure, of, value - step if value > now else value + step)
    if at is not None and remedy in at:
        found.append(f"{where}: still taken there")
    if near is not None and remedy not in near:
        found.append(f"{where}: not taken one step nearer already")
    present = {item.key for item in best_of(scene.chooser, scene.tier, scene.before, scene.others).choice.remedies}  # type: ignore[union-attr]
    if then is not None and at is not None and sorted(at - present) != then:
        found.append(f"{where}: then {sorted(at - present)}, engine {then}")
    return found


def _never(one: Beside, scene: Scene, remedy: str, turn: Json, where: str) -> list[str]:
    """The most favourable value tried, and values between: the remedy is taken."""
    now, most, step = Decimal(turn["now"]), Decimal(turn["tried"]), Decimal(turn["step"])
    between = int(abs(most - now) / step)
    values = [most] + [
        now + (1 if most > now else -1) * step * one.random.randint(1, between) for _ in range(2) if between > 1
    ]
    taken = {value: scene.taken_with(turn["figure"], turn["of"], value) for value in values}
    return [
        f"{where}: not taken at {value}" for value, keys in taken.items() if keys is not None and remedy not in keys
    ]
