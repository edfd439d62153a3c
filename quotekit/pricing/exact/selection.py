"""Which sets of remedies are choices at all, as flags and rows (DESIGN.md 5.7 and 5.9).

A group whose choices are listed takes exactly one of them. A tangle, whose choices are too many to list, states the
rules instead: every covered finding is fixed, what a remedy needs fixed is covered too, limits hold in the set, no
remedy is there whose covered findings the others all fix, and as few findings as possible are left.
"""

from __future__ import annotations

from collections import Counter
from collections.abc import Sequence

from quotekit.model.shop_book import SEVERITIES
from quotekit.pricing.covers import Cover, CoverSearch, Tangle, TooManyChoices
from quotekit.pricing.exact.exclusive import alternatives, told_apart
from quotekit.pricing.exact.flags import FALSE, TRUE, Flag, add_flag, sum_of
from quotekit.pricing.exact.lines import Line
from quotekit.pricing.exact.program import Program
from quotekit.pricing.fits import Candidates, Check
from quotekit.pricing.items import Item
from quotekit.record import record


@record
class Listed:
    """A group in the program: each of its choices and its flag."""

    covers: tuple[tuple[Cover, Flag], ...]


def list_choices(program: Program, covers: Sequence[Cover]) -> Listed:
    """Exactly one choice of a group."""
    if len(covers) == 1:
        return Listed(covers=((covers[0], TRUE),))
    return Listed(covers=tuple(zip(covers, program.one_of(len(covers)), strict=True)))


def items_taken(program: Program, listed: Sequence[Listed]) -> dict[str, tuple[Item, Flag]]:
    """Each remedy of listed groups and the flag that says it is taken."""
    flags: dict[str, list[Flag]] = {}
    items: dict[str, Item] = {}
    for group in listed:
        for cover, flag in group.covers:
            for item in cover.items:
                items[item.key] = item
                flags.setdefault(item.key, []).append(flag)
    return {key: (items[key], program.either(flags[key])) for key in sorted(items)}


class TangledChoice:
    """The rules of a set of remedies for findings that hang together."""

    def __init__(
        self,
        program: Program,
        candidates: Candidates,
        tangle: Tangle,
        given: Sequence[Item],
        *,
        all_fixed: bool = False,
        needless_later: bool = False,
    ) -> None:
        """`all_fixed`: no finding is left.

        `needless_later`: needless remedies are left out as they are met, where no limit may hang on them.
        """
        self.program, self.candidates, self.given = program, candidates, tuple(given)
        self.given_fixes: frozenset[str] = frozenset().union(*(item.fixes for item in given))
        self.possible = [key for key in tangle.members if self._usable(key)]
        self.items = self._reachable()
        self.is_limited = any(self._limits(item) for item in self.items)
        """True where some remedy fits only with a finding as it is, or put right."""
        self.needless_later = needless_later and not self.is_limited
        self.taken: dict[str, Flag] = {item.key: program.flag() for item in self.items}
        self.excludes: dict[str, set[str]] = {key: set() for key in self.taken}
        """For each remedy those that are never taken with it."""
        self._state_alternatives()
        self.left: dict[str, Flag] = {key: FALSE if all_fixed else program.flag() for key in self.possible}
        self.callers = self._callers()
        self.covered = {key: self.program.either(by.values()) for key, by in sorted(self.callers.items())}
        self.fixers = {key: [item for item in self.items if key in item.fixes] for key in self.covered}
        self._state_rules()

    def of(self, values: Sequence[int]) -> Cover:
        """The choice that values of the unknowns stand for."""
        items = tuple(item for item in self.items if is_true(self.taken[item.key], values))
        left = {key for key, flag in self.left.items() if is_true(flag, values)}
        needed = frozenset().union(*(self.candidates.needs[item.key] for item in items))
        return Cover(items=items, covered=(frozenset(self.possible) - left) | needed)

    def holds_another(self, cover: Cover) -> bool:
        """True when a choice holds another complete one: a remedy that is called for by its own needs only."""
        if not any(self.candidates.needs[item.key] for item in cover.items):
            return False
        search = CoverSearch(self.candidates, self.given, MOST_LOOKED_AT, only=frozenset(cover.codes))
        base = frozenset(key for key in self.possible if key in cover.covered)
        try:
            return any(len(other.items) < len(cover.items) for other in search.choices_for(base))
        except TooManyChoices:
            return False

    def needless(self, cover: Cover) -> list[Item]:
        """Remedies of a choice whose covered findings the others all fix."""
        return needless_among(cover.items, cover.covered, self.given_fixes) if self.needless_later else []

    def mended(self, cover: Cover) -> Cover:
        """A choice with its needless remedies left out."""
        return self._strip(list(cover.items), cover.covered) if self.needless(cover) else cover

    def forbid_needless(self, cover: Cover, item: Item) -> None:
        """A remedy is not taken together with those of a choice that make it needless: a row, no new unknown."""
        without = Line()
        for key in sorted(item.fixes & self.covered.keys() - self.given_fixes):
            if key in cover.covered:
                other = next(one for one in cover.items if key in one.fixes and one is not item)
                without.terms[self.taken[other.key] - 1] = -1
            else:
                add_flag(without, self.covered[key])
        without.plus(sum(1 for factor in without.terms.values() if factor < 0))
        self.program.row(add_flag(without, -self.taken[item.key]), low=1)

    def differs_from(self, cover: Cover) -> Line:
        """How many remedies are otherwise than in a choice. A choice with all of them and more has needless ones."""
        differs, taken = Line(), {item.key for item in cover.items}
        is_plain = not self.is_limited and not any(self.candidates.needs[item.key] for item in self.items)
        for key, flag in self.taken.items():
            if key in taken:
                add_flag(differs, -flag)
            elif not is_plain:
                add_flag(differs, flag)
        return differs

    def without_needless(self) -> Cover | None:
        """A choice that fixes every finding, found without solving; none where limits or needs stand in the way."""
        if self.is_limited:
            return None
        items: list[Item] = []
        open_keys = sorted(set(self.possible) - self.given_fixes, reverse=True)
        fixed = set(self.given_fixes)
        while open_keys:
            key = open_keys.pop()
            if key in fixed:
                continue
            usable = self._usable(key)
            if not usable:
                return None
            items.append(usable[0])
            fixed |= usable[0].fixes
            open_keys += sorted(self.candidates.needs[usable[0].key] - fixed)
        return self._strip(items, frozenset(self.possible))

    def _strip(self, items: list[Item], covers: frozenset[str]) -> Cover:
        """A choice of some complete set's remedies, none of them needless."""
        possible = covers & frozenset(self.possible)
        while True:
            needed = frozenset().union(*(self.candidates.needs[item.key] for item in items))
            covered = possible | needed
            spare = needless_among(items, covered, self.given_fixes)
            if not spare:
                return Cover(items=tuple(sorted(items, key=lambda item: item.key)), covered=covered)
            items.remove(spare[-1])

    def left_of(self, keys: Sequence[str]) -> Line:
        """How many of some findings are left."""
        count = Line()
        for key in keys:
            add_flag(count, self.left[key])
        return count

    def by_severity(self) -> list[Line]:
        """How many are left of each severity, the gravest first."""
        return [
            self.left_of([key for key in self.possible if self.candidates.faults[key].severity == severity])
            for severity in SEVERITIES
        ]

    def _usable(self, key: str) -> list[Item]:
        return [item for item in self.candidates.for_fault.get(key, ()) if item.key in self.candidates.viable]

    def _reachable(self) -> list[Item]:
        """Remedies for the findings, and for what those need or are limited by."""
        found: dict[str, Item] = {}
        waiting = list(self.possible)
        seen: set[str] = set()
        while waiting:
            key = waiting.pop()
            if key in seen:
                continue
            seen.add(key)
            for item in self._usable(key):
                found[item.key] = item
                waiting += [*self.candidates.needs[item.key], *(key for key, _ in self._limits(item))]
        return [found[key] for key in sorted(found)]

    def _limits(self, item: Item) -> list[tuple[str, Check]]:
        """Limits on findings that are faults, where it matters whether they are put right."""
        return [
            (check.record.key, check)
            for check in self.candidates.checks[item.key]
            if check.record is not None and check.record.fault and not (check.fits_as_measured and check.fits_as_new)
        ]

    def _state_alternatives(self) -> None:
        """Of remedies whose findings lie one within the other, one at most is taken."""
        can_count = frozenset(self.possible).union(*(self.candidates.needs[item.key] for item in self.items))
        open_keys = can_count - self.given_fixes
        sets = alternatives({item.key: item.fixes & open_keys for item in self.items})
        for one in sets:
            self.program.row(sum_of(self.taken[key] for key in sorted(one)), high=1)
            for key in one:
                self.excludes[key] |= one - {key}
        for one in told_apart(sets):
            self.program.tell_apart([self.taken[key] for key in sorted(one)])

    def _callers(self) -> dict[str, dict[str, Flag]]:
        """What calls for each finding: the tier where it is not left, and remedies that need it fixed."""
        found = {key: {"": -flag} for key, flag in self.left.items()}
        for item in self.items:
            for key in self.candidates.needs[item.key]:
                found.setdefault(key, {})[item.key] = self.taken[item.key]
        return found

    def _state_rules(self) -> None:
        for key, flag in self.covered.items():
            if key not in self.given_fixes:
                fixed = Line()
                for item in self.fixers[key]:
                    add_flag(fixed, self.taken[item.key])
                self.program.row(add_flag(fixed, flag, -1), low=0)
        for item in self.items:
            for key, check in self._limits(item):
                self._state_limit(item, key, check)
            if not self.needless_later and not self._is_used(item):
                self._state_use(item)

    def _state_limit(self, item: Item, key: str, check: Check) -> None:
        """As measured, or as new where another puts the finding right."""
        taken = self.taken[item.key]
        others = [self.taken[other.key] for other in self.items if key in other.fixes and other is not item]
        helped = TRUE if key in self.given_fixes else self.program.either(others)
        holds = self.program.either(
            [
                self.program.both(helped, TRUE if check.fits_as_new else FALSE),
                self.program.both(-helped, TRUE if check.fits_as_measured else FALSE),
            ]
        )
        self.program.row(add_flag(add_flag(Line(), holds), taken, -1), low=0)

    def _is_used(self, item: Item) -> bool:
        """True where the alternatives say that some finding which always counts is fixed by nothing else beside it."""
        keys = [key for key in item.fixes if self.covered.get(key) == TRUE and key not in self.given_fixes]
        return any({one.key for one in self.fixers[key]} <= self.excludes[item.key] | {item.key} for key in keys)

    def are_apart(self, items: Sequence[Item]) -> bool:
        """True when one of some remedies is taken at most."""
        keys = {item.key for item in items}
        return all(keys <= self.excludes[key] | {key} for key in keys)

    def _state_use(self, item: Item) -> None:
        """A remedy taken is the only one that fixes some finding that is called for.

        What it needs fixed itself calls for nothing, as it could be left out with that; a limit may hang on it, though.
        """
        own = frozenset() if self.is_limited else {item.key}
        use = add_flag(Line(), self.taken[item.key], -1)
        for key in sorted(item.fixes & self.covered.keys() - self.given_fixes):
            apart = self.excludes[item.key] | {item.key}
            rivals = [self.taken[other.key] for other in self.fixers[key] if other.key not in apart]
            called_for = self.program.either(flag for by, flag in self.callers[key].items() if by not in own)
            add_flag(use, self.program.without_any(called_for, rivals))
        self.program.row(use, low=0)


MOST_LOOKED_AT = 2_000


def needless_among(items: Sequence[Item], covered: frozenset[str], given_fixes: frozenset[str]) -> list[Item]:
    """Those of some remedies whose covered findings are all fixed by the others, each taken by itself."""
    times = Counter(key for item in items for key in item.fixes & covered)
    times.update(given_fixes)
    return [item for item in items if all(times[key] > 1 for key in item.fixes & covered)]


def is_true(flag: Flag, values: Sequence[int]) -> bool:
    """What a flag is for values of the unknowns."""
    if flag in (TRUE, FALSE):
        return flag == TRUE
    return values[flag - 1] == 1 if flag > 0 else values[-flag - 1] == 0
