"""Faults, candidate remedies, and what fits (DESIGN.md 5.1, 5.9 Sides and Choosing)."""

from __future__ import annotations

from dataclasses import dataclass
from decimal import Decimal

from quotekit.model.job import FoundFinding, at_side
from quotekit.model.shop_book import FitsOnlyIf
from tests.oracle.work import Item, World, is_sided, matches


def faults_of(world: World) -> dict[str, FoundFinding]:
    """Recorded faults by key."""
    return {found.key: found for found in world.job.findings if found.fault}


def candidates_of(world: World) -> list[Item]:
    """Every instance of every remedy that fixes a fault of the job."""
    found: dict[str, Item] = {}
    for remedy in world.book.remedies.values():
        sided = is_sided(world.book, remedy.operations)
        for fault in faults_of(world).values():
            if fault.code in remedy.fixes and (fault.side is not None or not sided):
                item = Item(remedy.code, fault.side if sided else None, "remedy", remedy)
                found[item.key] = item
    return sorted(found.values(), key=lambda item: item.key)


def fixed_by(world: World, item: Item) -> set[str]:
    """Keys of the faults an item puts right; a one-off covers every side."""
    if item.kind not in ("remedy", "one-off"):
        return set()
    every = item.kind == "one-off" or not is_sided(world.book, item.operations)
    return {
        key
        for key, fault in faults_of(world).items()
        if fault.code in item.record.fixes and (every or (fault.side is not None and fault.side == item.side))
    }


def fixed_by_all(world: World, items: list[Item]) -> set[str]:
    """Keys of the faults any of the items puts right."""
    return set().union(*(fixed_by(world, item) for item in items))


def needed_by(world: World, item: Item) -> set[str]:
    """Faults on the same side that the remedy must not be fitted without putting right."""
    if item.kind != "remedy":
        return set()
    return {
        key
        for key, fault in faults_of(world).items()
        if fault.code in item.record.needs_fixed and matches(item.side, fault.side)
    }


@dataclass(frozen=True)
class Failing:
    """A limit a remedy does not meet as measured; `found` is None where nothing is recorded."""

    row: FitsOnlyIf
    found: FoundFinding | None


def within(row: FitsOnlyIf, value: Decimal) -> bool:
    """Ends included, blank is open."""
    return (row.from_ is None or row.from_ <= value) and (row.to is None or value <= row.to)


def limits_of(world: World, item: Item) -> list[FitsOnlyIf]:
    """Fits only if rows of a remedy."""
    return [row for row in world.book.fits_only_if if item.kind == "remedy" and row.remedy == item.code]


def recorded(world: World, row: FitsOnlyIf, item: Item) -> list[FoundFinding]:
    """The limiting finding as recorded on the remedy's side, at every recorded side where either has none."""
    return [found for found in world.job.findings if found.code == row.finding and matches(item.side, found.side)]


def failing(world: World, item: Item) -> list[Failing]:
    """Limits not met as measured."""
    found = []
    for row in limits_of(world, item):
        records = recorded(world, row, item)
        if not records:
            found.append(Failing(row, None))
        found += [Failing(row, one) for one in records if one.measured is None or not within(row, one.measured)]
    return found


def as_new_fits(row: FitsOnlyIf, found: FoundFinding) -> bool:
    """The as-new value counts; blank fits."""
    return found.as_new is None or within(row, found.as_new)


def fits(world: World, item: Item, others: list[Item]) -> bool:
    """Judged for the set as a whole: a fault that another item fixes counts at its as-new value."""
    fixed = fixed_by_all(world, others)
    for row in limits_of(world, item):
        records = recorded(world, row, item)
        if not records:
            return False
        for found in records:
            if found.fault and found.key in fixed:
                good = as_new_fits(row, found)
            else:
                good = found.measured is not None and within(row, found.measured)
            if not good:
                return False
    return True


def all_allowed(world: World, items: list[Item]) -> bool:
    """Every remedy fits, and has what it needs fixed, in the set."""
    fixed = fixed_by_all(world, items)
    return all(
        needed_by(world, item) <= fixed and fits(world, item, [other for other in items if other.key != item.key])
        for item in items
    )


def called_for(world: World, items: list[Item]) -> set[str]:
    """Faults that count as covered because of the remedies taken: needed ones, and limits not met as measured."""
    wanted: set[str] = set()
    for item in items:
        wanted |= needed_by(world, item)
        wanted |= {one.found.key for one in failing(world, item) if one.found is not None and one.found.fault}
    return wanted


def limits_not_met(world: World, items: list[Item]) -> set[str]:
    """Faults that another item must put right before one fits: what the one itself fixes does not count."""
    return {
        one.found.key
        for item in items
        for one in failing(world, item)
        if one.found is not None
        and one.found.fault
        and one.found.key not in fixed_by_all(world, [other for other in items if other.key != item.key])
    }


@dataclass
class Permission:
    """Candidates that do not fit as measured, and those that fit only with another."""

    not_permitted: set[str]
    only_with: dict[str, tuple[str, ...]]


def permission_of(world: World) -> Permission:
    """not_permitted and only_with of the answer."""
    permission = Permission(set(), {})
    candidates = candidates_of(world)
    for item in candidates:
        bad = failing(world, item)
        if not bad:
            continue
        helpers = [_helpers(world, item, one, candidates) for one in bad]
        if all(helpers):
            permission.only_with[item.key] = tuple(sorted(set().union(*helpers)))
        else:
            permission.not_permitted.add(item.key)
    return permission


def _helpers(world: World, item: Item, one: Failing, candidates: list[Item]) -> set[str]:
    found = one.found
    if found is None or not found.fault or not as_new_fits(one.row, found):
        return set()
    return {
        other.key
        for other in candidates
        if other.key != item.key and found.key in fixed_by(world, other) and not failing(world, other)
    }


def measure_next_of(world: World) -> list[str]:
    """Findings that a limit of a candidate needs and the job has no measurement of."""
    wanted: set[str] = set()
    for item in candidates_of(world):
        for one in failing(world, item):
            if one.found is None:
                wanted.add(at_side(one.row.finding, item.side))
            elif one.found.measured is None:
                wanted.add(one.found.key)
    return sorted(wanted)


def look_next_of(world: World) -> list[str]:
    """Findings that recorded faults say to check also and the job lacks."""
    known = {found.code for found in world.job.findings}
    return sorted({code for fault in faults_of(world).values() for code in fault.also_check if code not in known})
