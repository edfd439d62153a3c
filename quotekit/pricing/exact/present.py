"""Which operations and access steps a set of items brings, as flags (DESIGN.md 5.2; `pricing/work` in numbers).

An operation is present when a taken item names it, or one that is present requires it, and no wanted operation
includes it. A step is open when a present operation needs it.
"""

from __future__ import annotations

from collections.abc import Iterable, Mapping, Sequence
from typing import NamedTuple

from quotekit.pricing.basis import Basis
from quotekit.pricing.exact.flags import FALSE, TRUE, Flag
from quotekit.pricing.exact.program import Program
from quotekit.pricing.items import Item
from quotekit.record import record


class Taken(NamedTuple):
    """An item and the flag that says it is taken."""

    item: Item
    flag: Flag


@record
class Present:
    """Flags of the work: operations and steps by key, and items whose work larger work has not made unnecessary."""

    taken: tuple[Taken, ...]
    operations: Mapping[str, Flag]
    steps: Mapping[str, Flag]
    active: Mapping[str, Flag]
    included: Mapping[str, Flag]
    """Flags that something wanted includes an operation; empty where whatever is wanted is present."""


def present_work(program: Program, basis: Basis, taken: Sequence[Taken], always: Item) -> Present:
    """Flags of all work that a choice among these items can bring."""
    everything = (*taken, Taken(always, TRUE))
    wanted = _any_of(program, ((key, one.flag) for one in everything for key in one.item.wanted))
    included = _any_of(
        program,
        (
            (other, flag)
            for key, flag in wanted.items()
            for other in basis.op_named(key).includes & wanted.keys()
            if other != key
        ),
    )
    operations = _Operations(program, everything, included).flags() if included else wanted
    steps = _any_of(program, ((step, flag) for key, flag in operations.items() for step in basis.op_named(key).steps))
    active = {
        one.item.key: program.without(one.flag, [included.get(key, FALSE) for key in one.item.direct])
        if included and one.item.direct
        else one.flag
        for one in taken
    }
    return Present(taken=tuple(taken), operations=operations, steps=steps, active=active, included=included)


def brought_by(program: Program, present: Present, one: Taken) -> dict[str, Flag]:
    """Operations an item really brings: its own that are present, and what those require (`work.brought_by`)."""
    item = one.item
    if not present.included:
        return dict.fromkeys(sorted(item.wanted), one.flag)
    requirers: dict[str, list[str]] = {}
    for by, needed in item.edges:
        requirers.setdefault(needed, []).append(by)
    found: dict[str, Flag] = {}

    def flag_of(key: str) -> Flag:
        if key not in found:
            required = one.flag if key in item.direct else program.either(map(flag_of, requirers.get(key, ())))
            found[key] = program.without(required, [present.included.get(key, FALSE)])
        return found[key]

    for key in sorted(item.wanted):
        flag_of(key)
    return found


class _Operations:
    """Present operations where some include others: those are dropped, and what only dropped ones required."""

    def __init__(self, program: Program, everything: Sequence[Taken], included: Mapping[str, Flag]) -> None:
        self.program = program
        self.included = included
        self.named: dict[str, list[Flag]] = {}
        self.edges: dict[str, dict[str, list[Taken]]] = {}
        self.found: dict[str, Flag] = {}
        self.brought: dict[tuple[str, str], Flag] = {}
        self.wanted = sorted({key for one in everything for key in one.item.wanted})
        for one in everything:
            for key in one.item.direct:
                self.named.setdefault(key, []).append(one.flag)
            for by, needed in one.item.edges:
                self.edges.setdefault(needed, {}).setdefault(by, []).append(one)

    def flags(self) -> dict[str, Flag]:
        """Each operation's flag; requirements hold no cycle, so each is worked out once."""
        return {key: self._flag(key) for key in self.wanted}

    def _flag(self, key: str) -> Flag:
        if key not in self.found:
            required = [self._required(by, taken) for by, taken in sorted(self.edges.get(key, {}).items())]
            called_for = self.program.either([*self.named.get(key, ()), *required])
            self.found[key] = self.program.without(called_for, [self.included.get(key, FALSE)])
        return self.found[key]

    def _required(self, by: str, taken: Sequence[Taken]) -> Flag:
        """True when an operation is present and one of the items that make it require another is taken.

        What an item brings by itself says so too, and closer. It is all there is to say where the item names the
        operation or nothing can drop it; else another item may keep the operation present.
        """
        brought = {one.item.key: self._brought(one, by) for one in taken}
        kept = [one.flag for one in taken if by not in one.item.direct and brought[one.item.key] != one.flag]
        present = self.program.both(self._flag(by), self.program.either(kept)) if kept else FALSE
        return self.program.either([*brought.values(), present])

    def _brought(self, one: Taken, key: str) -> Flag:
        """An operation that an item calls for, itself or through one that it brings, and nothing includes."""
        place = (one.item.key, key)
        if place not in self.brought:
            by_others = (self._brought(one, by) for by, needed in one.item.edges if needed == key)
            called_for = one.flag if key in one.item.direct else self.program.either(by_others)
            self.brought[place] = self.program.without(called_for, [self.included.get(key, FALSE)])
        return self.brought[place]


def _any_of(program: Program, pairs: Iterable[tuple[str, Flag]]) -> dict[str, Flag]:
    """By key, whether any of its flags is true."""
    flags: dict[str, list[Flag]] = {}
    for key, flag in pairs:
        flags.setdefault(key, []).append(flag)
    return {key: program.either(those) for key, those in sorted(flags.items())}
