"""Which work is present, as a program: requirements, inclusions, access steps and sides (DESIGN.md 5.2).

Written from the contract. What an operation is, which parts it brings and which remedy fixes what is looked up in
tests/oracle, which knows nothing of the engine either.
"""

from __future__ import annotations

from collections.abc import Iterable
from dataclasses import dataclass, field
from functools import cached_property

from tests.oracle.work import ALWAYS, Item, Key, World, includes, named_operations
from tests.solver.program import Literal, Program

Link = tuple[Key, Key]


@dataclass
class Reach:
    """What an item names, all it wants, and which operation of it requires which."""

    named: set[Key]
    wanted: set[Key]
    links: set[Link]


def reach_of(world: World, named: set[Key], side: str | None) -> Reach:
    """Everything required, on the side of the item where it is done each side."""
    reach, waiting = Reach(named, set(named), set()), list(named)
    while waiting:
        key = waiting.pop()
        for code in world.book.operations[key[0]].requires:
            other = (code, side if world.book.operations[code].each_side else None)
            reach.links.add((key, other))
            if other not in reach.wanted:
                reach.wanted.add(other)
                waiting.append(other)
    return reach


def steps_of(world: World, codes: Iterable[str], side: str | None) -> set[Key]:
    """Access steps reached from a side; an each-side step without one is opened at every position."""
    found: set[Key] = set()
    waiting = [(code, side) for code in codes]
    while waiting:
        code, at = waiting.pop()
        step = world.book.access[code]
        places = [None] if not step.each_side else [at] if at is not None else list(world.job.positions)
        for place in places:
            if (code, place) not in found:
                found.add((code, place))
                waiting += [(needed, place) for needed in step.needs]
    return found


@dataclass
class WorkProgram:
    """Literals of items, operations and steps."""

    world: World
    program: Program
    items: dict[str, Item]
    taken: dict[str, Literal]
    """By item key; what is in the tier anyway is constant."""
    _present: dict[Key, Literal] = field(default_factory=dict)
    _brought: dict[tuple[str, Key], Literal] = field(default_factory=dict)

    @cached_property
    def reaches(self) -> dict[str, Reach]:
        """By item key, the Always work among them."""
        found = {
            key: reach_of(self.world, named_operations(self.world, item), item.side) for key, item in self.items.items()
        }
        always = {(code, None) for code in self.world.always}
        return found | {ALWAYS: reach_of(self.world, always, None)}

    @cached_property
    def _wanting(self) -> dict[Key, list[str]]:
        found: dict[Key, list[str]] = {}
        for name, reach in self.reaches.items():
            for key in reach.wanted:
                found.setdefault(key, []).append(name)
        return found

    @cached_property
    def _naming(self) -> dict[Key, list[str]]:
        found: dict[Key, list[str]] = {}
        for name, reach in self.reaches.items():
            for key in reach.named:
                found.setdefault(key, []).append(name)
        return found

    @cached_property
    def _linking(self) -> dict[Key, dict[Key, list[str]]]:
        """By required operation: by requiring operation, the items in which it does."""
        found: dict[Key, dict[Key, list[str]]] = {}
        for name, reach in self.reaches.items():
            for by, needed in reach.links:
                found.setdefault(needed, {}).setdefault(by, []).append(name)
        return found

    @cached_property
    def _including(self) -> dict[Key, list[Key]]:
        larger = [key for key in self._wanting if self.world.book.operations[key[0]].includes]
        return {key: [one for one in larger if one != key and includes(self.world, one, key)] for key in self._wanting}

    def is_taken(self, name: str) -> Literal:
        """The literal of an item; the Always work is always there."""
        return self.program.true if name == ALWAYS else self.taken[name]

    @cached_property
    def wanted(self) -> dict[Key, Literal]:
        """Operations that any taken item brings or forces."""
        return {key: self.program.any_of(self.is_taken(name) for name in names) for key, names in self._wanting.items()}

    @cached_property
    def operations(self) -> list[Key]:
        """All that may be present."""
        return sorted(self._wanting, key=lambda key: (key[0], key[1] or ""))

    def present(self, key: Key) -> Literal:
        """Wanted, included by nothing wanted, and named by an item or required by something present."""
        if key not in self._present:
            larger = [self.wanted[one] for one in self._including[key]]
            called = [self.is_taken(name) for name in self._naming.get(key, [])]
            for by, names in self._linking.get(key, {}).items():
                link = self.program.any_of(self.is_taken(name) for name in names)
                called.append(self.program.all_of([self.present(by), link]))
            terms = [self.wanted[key], self.program.any_of(called)]
            none_larger = self.program.no(self.program.any_of(larger))
            self._present[key] = self.program.all_of([*terms, none_larger])
        return self._present[key]

    def brought(self, name: str, key: Key) -> Literal:
        """Present, and named by the item or required by something the item brings; the item is not asked about."""
        if (name, key) not in self._brought:
            reach = self.reaches[name]
            by = [self.brought(name, one) for one, needed in reach.links if needed == key and one in reach.wanted]
            named = self.program.true if key in reach.named else self.program.any_of(by)
            self._brought[name, key] = self.program.all_of([self.present(key), named])
        return self._brought[name, key]

    def active(self, name: str) -> Literal:
        """Taken, and some of what it names is present."""
        named = self.program.any_of(self.present(key) for key in self.reaches[name].named)
        return self.program.all_of([self.is_taken(name), named])

    @cached_property
    def _opened_by(self) -> dict[Key, list[Key]]:
        found: dict[Key, list[Key]] = {}
        for key in self.operations:
            for step in steps_of(self.world, self.world.book.operations[key[0]].access, key[1]):
                found.setdefault(step, []).append(key)
        return found

    @cached_property
    def steps(self) -> dict[Key, Literal]:
        """Access steps that are opened."""
        found = {step: self.program.any_of(self.present(key) for key in keys) for step, keys in self._opened_by.items()}
        for item in self.items.values():
            if item.kind == "one-off":
                found |= dict.fromkeys(steps_of(self.world, item.record.access, None), self.program.true)
        return found

    def opened_for(self, name: str) -> dict[Key, Literal]:
        """Steps opened for what an item brings; the item is not asked about."""
        found: dict[Key, list[Literal]] = {}
        for key in self.reaches[name].wanted:
            for step in steps_of(self.world, self.world.book.operations[key[0]].access, key[1]):
                found.setdefault(step, []).append(self.brought(name, key))
        return {step: self.program.any_of(literals) for step, literals in found.items()}

    def later_side(self, key: Key) -> Literal:
        """Present, and done at an earlier position too."""
        positions = self.world.job.positions
        earlier = [(key[0], at) for at in positions[: positions.index(key[1])]] if key[1] in positions else []
        seen = self.program.any_of(self.present(one) for one in earlier if one in self._wanting)
        return self.program.all_of([self.present(key), seen])
