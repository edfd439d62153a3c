"""Remedies of which a choice takes one at most, because another would be needless beside it (DESIGN.md 5.7).

Of two remedies, one that fixes nothing but what the other fixes too is needless beside it. So remedies whose findings
lie one within the other, pair by pair, are alternatives: one row says so for all of them together, and cuts off much
more broken numbers than a row for each pair.

Worked example: A fixes 1, B fixes 1 and 2, C fixes 1, 2 and 3, D fixes 2 and 4. A, B and C are alternatives; B and D
are not, since each fixes a finding that the other does not.
"""

from __future__ import annotations

from collections.abc import Iterable, Mapping, Sequence


def alternatives(fixes: Mapping[str, frozenset[str]]) -> list[frozenset[str]]:
    """Sets of remedies, by what each fixes, of which no two are needed together; each such pair is in some set."""
    by_finding: dict[str, list[str]] = {}
    for key in sorted(fixes, key=lambda key: (-len(fixes[key]), key)):
        for finding in fixes[key]:
            by_finding.setdefault(finding, []).append(key)
    found: set[frozenset[str]] = set()
    for finding in sorted(by_finding):
        found |= _sets_of(by_finding[finding], fixes)
    return sorted(_largest(found), key=_in_order)


def told_apart(sets: Iterable[frozenset[str]]) -> list[frozenset[str]]:
    """Parts of these sets so that none shares a remedy with another, the largest kept whole."""
    seen: set[str] = set()
    parts = []
    for one in sorted(sets, key=_in_order):
        rest = one - seen
        seen |= rest
        if rest:
            parts.append(rest)
    return parts


def _sets_of(fixers: Sequence[str], fixes: Mapping[str, frozenset[str]]) -> set[frozenset[str]]:
    """For each pair among the remedies of one finding a set that holds both, as large as comes by the way."""
    found: set[frozenset[str]] = set()
    for first in fixers:
        waiting = [other for other in fixers if other != first and _is_within(fixes, first, other)]
        while waiting:
            together = {first}
            for other in [*waiting, *(one for one in fixers if one not in waiting)]:
                if all(_is_within(fixes, one, other) for one in together):
                    together.add(other)
            found.add(frozenset(together))
            waiting = [other for other in waiting if other not in together]
    return found


def _largest(sets: set[frozenset[str]]) -> list[frozenset[str]]:
    """Those that are within no other."""
    holding: dict[str, list[frozenset[str]]] = {}
    for one in sets:
        for key in one:
            holding.setdefault(key, []).append(one)
    return [one for one in sets if not any(one < other for other in holding[next(iter(one))])]


def _is_within(fixes: Mapping[str, frozenset[str]], one: str, other: str) -> bool:
    return fixes[one] <= fixes[other] or fixes[other] <= fixes[one]


def _in_order(one: frozenset[str]) -> tuple[int, list[str]]:
    return -len(one), sorted(one)
