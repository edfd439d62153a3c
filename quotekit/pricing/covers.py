"""Sets of remedies that put the covered findings right: the choices a tier has (DESIGN.md 5.7 and 5.9).

Findings fall into independent groups: those that share no remedy, no need and no limit. Each group's sets are found
by branching on the first finding still open. A set holds no remedy whose covered findings the others all fix.
Where not all can be fixed together, as few as possible are left, the least severe first; never one that the tier
before fixes.
Source: a set cover without redundant members; common practice, no source.

Worked example: PLAY is fixed by BUSH or BEARING, WEAR by SHAFT; BUSH needs WEAR fixed. For PLAY alone the choices are
{BUSH, SHAFT} and {BEARING}. {BEARING, BUSH, SHAFT} is none: BEARING fixes nothing that BUSH does not.
"""

from __future__ import annotations

from collections.abc import Iterable, Sequence
from itertools import combinations
from math import prod

from quotekit.model.shop_book import SEVERITIES
from quotekit.pricing.fits import Candidates
from quotekit.pricing.items import Item
from quotekit.record import record

HOPELESS = 1_000
"""So many times more ways to pick a remedy for each finding than may be looked at: sharing never makes them few."""


class TooManyChoices(Exception):
    """More choices than are looked through, or none found in time."""


@record
class Cover:
    """One choice for a group: its remedies and the findings that count as covered in it."""

    items: tuple[Item, ...]
    covered: frozenset[str]

    @property
    def codes(self) -> tuple[str, ...]:
        """Keys in text order, for ties."""
        return tuple(sorted(item.key for item in self.items))


@record
class Group:
    """Findings that must be chosen together, and all their choices."""

    members: tuple[str, ...]
    covers: tuple[Cover, ...]


@record
class Tangle:
    """Findings that must be chosen together, stated by the rules of their choices: too many to list."""

    members: tuple[str, ...]


NOT_COUNTED = "not counted"


@record
class Stated:
    """All choices of a tier, as an integer program takes them, and how many there are or NOT_COUNTED."""

    groups: tuple[Group, ...]
    tangles: tuple[Tangle, ...]
    choices: str


def groups_and_tangles(
    candidates: Candidates,
    covered: Iterable[str],
    kept: frozenset[str],
    given: Sequence[Item],
    most_visited: int,
) -> tuple[list[Group], list[Tangle]]:
    """The independent groups of the covered findings with their choices, and those that have too many to list them.

    `kept` are findings the tier before fixes; `given` are items already in the tier (one-off lines). A group has too
    many where more than `most_visited` sets would be looked at.
    """
    fixed = frozenset().union(*(item.fixes for item in given))
    open_findings = sorted(set(covered) - fixed)
    groups: list[Group] = []
    tangles: list[Tangle] = []
    for members in _components(candidates, open_findings):
        search = CoverSearch(candidates, given, most_visited)
        try:
            search.refuse_hopeless(members)
            groups.append(Group(members=tuple(members), covers=tuple(search.fewest_left(members, kept))))
        except TooManyChoices:
            tangles.append(Tangle(members=tuple(members)))
    return groups, tangles


def _components(candidates: Candidates, findings: Sequence[str]) -> list[list[str]]:
    """Covered findings grouped by the remedies, needs and limits that tie them."""
    root: dict[str, str] = {}

    def find(key: str) -> str:
        while root.setdefault(key, key) != key:
            key = root[key]
        return key

    waiting, seen = list(findings), set()
    while waiting:
        key = waiting.pop()
        if key in seen:
            continue
        seen.add(key)
        find(key)
        for item in candidates.for_fault.get(key, ()):
            if item.key in candidates.viable:
                tied = item.fixes | candidates.needs[item.key] | _limiting(candidates, item)
                for other in tied:
                    root[find(other)] = find(key)
                waiting.extend(tied)
    found: dict[str, list[str]] = {}
    for key in findings:
        found.setdefault(find(key), []).append(key)
    return list(found.values())


def _limiting(candidates: Candidates, item: Item) -> frozenset[str]:
    return frozenset(
        check.record.key for check in candidates.checks[item.key] if check.record is not None and check.record.fault
    )


def _without_larger(found: dict[frozenset[str], Cover]) -> dict[frozenset[str], Cover]:
    """Sets that hold no other set: a remedy called for only by its own needs can be left out."""
    return {keys: cover for keys, cover in found.items() if not any(other < keys for other in found)}


class CoverSearch:
    """Finds all sets that put some findings right, by branching on the first open one."""

    def __init__(
        self,
        candidates: Candidates,
        given: Sequence[Item],
        most_visited: int,
        only: frozenset[str] | None = None,
    ) -> None:
        self.candidates = candidates
        self.most_visited = most_visited
        self.usable = candidates.viable if only is None else candidates.viable & only
        self.given = tuple(given)
        self.visited = 0
        self.given_fixes: frozenset[str] = frozenset().union(*(item.fixes for item in given))

    def fewest_left(self, members: Sequence[str], kept: frozenset[str]) -> list[Cover]:
        """Choices that leave as few of a group as possible, the least severe first."""
        possible = [key for key in members if self._usable(key)]
        may_leave = [key for key in possible if key not in kept]
        found = self._leaving(possible, may_leave) or self._leaving(possible, possible)
        return found or [Cover(items=(), covered=frozenset())]

    def _leaving(self, possible: Sequence[str], may_leave: Sequence[str]) -> list[Cover]:
        """Choices that leave as few as can be of some findings; none where leaving all of them does not help."""
        for size in range(len(may_leave) + 1):
            found: dict[tuple[int, ...], dict[frozenset[str], Cover]] = {}
            for leave in combinations(may_leave, size):
                base = frozenset(possible) - set(leave)
                covers = self._sets(base)
                if covers:
                    found.setdefault(self._severity(leave), {}).update(covers)
            if found:
                return list(found[min(found)].values())
        return []

    def refuse_hopeless(self, members: Sequence[str]) -> None:
        """Raises TooManyChoices where findings have so many remedies that looking through them need not begin."""
        if prod(len(self._usable(key)) or 1 for key in members) > self.most_visited * HOPELESS:
            raise TooManyChoices

    def choices_for(self, base: frozenset[str]) -> list[Cover]:
        """All choices that leave none of some findings."""
        return list(self._sets(base).values())

    def _sets(self, base: frozenset[str]) -> dict[frozenset[str], Cover]:
        found: dict[frozenset[str], Cover] = {}
        seen: set[frozenset[str]] = set()
        waiting: list[tuple[Item, ...]] = [()]
        while waiting:
            chosen = waiting.pop()
            keys = frozenset(item.key for item in chosen)
            if keys in seen:
                continue
            seen.add(keys)
            self.visited += 1
            if self.visited > self.most_visited:
                raise TooManyChoices
            covered = base.union(*(self.candidates.needs[key] for key in keys))
            still_open = self._first_open(chosen, covered)
            if still_open is not None:
                waiting.extend((*chosen, item) for item in self._usable(still_open) if item.key not in keys)
            elif self._is_valid(chosen, covered):
                found[keys] = Cover(items=tuple(sorted(chosen, key=lambda item: item.key)), covered=covered)
        return _without_larger(found) if any(self.candidates.needs[key] for keys in found for key in keys) else found

    def _usable(self, key: str) -> list[Item]:
        return [item for item in self.candidates.for_fault.get(key, ()) if item.key in self.usable]

    def _first_open(self, chosen: Sequence[Item], covered: frozenset[str]) -> str | None:
        fixed = self.given_fixes.union(*(item.fixes for item in chosen))
        waiting = covered - fixed
        if waiting:
            return min(waiting)
        unmet = [
            check.record.key
            for item in chosen
            for check in self.candidates.faulty_limits(item, (*chosen, *self.given))
            if check.record is not None
            and check.record.fault
            and not self._fixed_by_other(item, chosen, check.record.key)
        ]
        return min(unmet, default=None)

    def _fixed_by_other(self, item: Item, chosen: Sequence[Item], key: str) -> bool:
        return any(key in other.fixes for other in (*chosen, *self.given) if other is not item)

    def _is_valid(self, chosen: Sequence[Item], covered: frozenset[str]) -> bool:
        everything = (*chosen, *self.given)
        if any(self.candidates.faulty_limits(item, everything) for item in chosen):
            return False
        times: dict[str, int] = {}
        for item in everything:
            for key in item.fixes & covered:
                times[key] = times.get(key, 0) + 1
        return all(any(times[key] == 1 for key in item.fixes & covered) for item in chosen)

    def _severity(self, leave: Iterable[str]) -> tuple[int, ...]:
        """How many are left of each severity, the gravest first."""
        severities = [self.candidates.faults[key].severity for key in leave]
        return tuple(severities.count(severity) for severity in SEVERITIES)
