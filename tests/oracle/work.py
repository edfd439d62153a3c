"""From items to work (DESIGN.md 5.2): operations, what drops them, access steps, and who brings what."""

from __future__ import annotations

from dataclasses import dataclass, field
from typing import Any

from quotekit.model.job import Job, at_side
from quotekit.model.shop_book import LabourRate, Part, ShopBook

Key = tuple[str, str | None]
ALWAYS = "(always)"


@dataclass
class World:
    """A shop book and a job with what follows from both."""

    book: ShopBook
    job: Job
    digits: int
    parts: dict[str, Part] = field(default_factory=dict)
    rates: dict[str, LabourRate] = field(default_factory=dict)
    default_rate: str = ""
    always: tuple[str, ...] = ()

    def __post_init__(self) -> None:
        self.parts = {**self.book.parts, **self.job.parts}
        self.default_rate = self.job.labour_rate or self.book.labour_rates[0].code
        for row in self.book.labour_rates:
            self._enter_rate(row)
        if self.book.machines is not None:
            self.always = self.book.machines[self.job.machine_class].always

    def _enter_rate(self, row: LabourRate) -> None:
        if row.in_force_from and row.in_force_from > self.job.quote_date:
            return
        known = self.rates.get(row.code)
        if (
            known is None
            or known.in_force_from is None
            or (row.in_force_from or known.in_force_from) > known.in_force_from
        ):
            self.rates[row.code] = row

    def rate(self, labour: str | None) -> str:
        """The labour rate code of an operation, step or one-off line."""
        return labour or self.default_rate


@dataclass(frozen=True)
class Item:
    """A remedy, extra, operation or one-off line in a tier."""

    code: str
    side: str | None
    kind: str
    record: Any = field(compare=False, hash=False)

    @property
    def key(self) -> str:
        """CODE or CODE@side."""
        return at_side(self.code, self.side)

    @property
    def operations(self) -> tuple[str, ...]:
        """Codes the item brings itself."""
        if self.kind == "operation":
            return (self.code,)
        return () if self.kind == "one-off" else self.record.operations


def written(key: Key) -> str:
    """CODE or CODE@side."""
    return at_side(*key)


def matches(side: str | None, other: str | None) -> bool:
    """The same side, or either has none."""
    return side is None or other is None or side == other


def requires_too(book: ShopBook, codes: tuple[str, ...]) -> set[str]:
    """The operations and all they require."""
    found: set[str] = set()
    waiting = list(codes)
    while waiting:
        code = waiting.pop()
        if code not in found:
            found.add(code)
            waiting += book.operations[code].requires
    return found


def is_sided(book: ShopBook, codes: tuple[str, ...]) -> bool:
    """Any of the operations, or one they require, is done on each side."""
    return any(book.operations[code].each_side for code in requires_too(book, codes))


@dataclass
class Work:
    """What is done: present operations, dropped ones, steps, and for each item what it brings."""

    operations: set[Key]
    dropped: set[Key]
    steps: set[Key]
    brings: dict[str, set[Key]]
    opens: dict[str, set[Key]]
    active: list[str]
    """Keys of items not wholly dropped, in order."""
    payers: list[str]
    """Who shares Always work: the active items, or all where every item is wholly dropped."""


def work_of(world: World, items: list[Item]) -> Work:
    """5.2, steps 1 to 5."""
    direct = {item.key: named_operations(world, item) for item in items}
    direct[ALWAYS] = {_placed(world, code, None) for code in world.always}
    sides = {item.key: item.side for item in items} | {ALWAYS: None}
    wanted: set[Key] = set()
    links: dict[str, set[tuple[Key, Key]]] = {}
    for name, first in direct.items():
        reached, links[name] = _closure(world, first, sides[name])
        wanted |= reached
    included = {key for key in wanted if any(includes(world, other, key) for other in wanted if other != key)}
    present = _present(direct, links, wanted - included)
    brings = {name: _brought(direct[name], links[name], present) for name in direct}
    opens = {name: _opened(world, keys) for name, keys in brings.items()}
    for item in items:
        if item.kind == "one-off":
            opens[item.key] = _steps(world, [(code, None) for code in item.record.access])
    steps = set().union(*opens.values())
    active = sorted(item.key for item in items if item.kind == "one-off" or brings[item.key] or not item.operations)
    payers = active or sorted(item.key for item in items)
    return Work(present, wanted - present, steps, brings, opens, active, payers)


def _placed(world: World, code: str, side: str | None) -> Key:
    return (code, side if world.book.operations[code].each_side else None)


def named_operations(world: World, item: Item) -> set[Key]:
    """The operations an item names itself, on its side."""
    return {_placed(world, code, item.side) for code in item.operations}


def wanted_operations(world: World, item: Item) -> set[Key]:
    """The operations an item names and all they require."""
    return _closure(world, named_operations(world, item), item.side)[0]


def _closure(world: World, first: set[Key], side: str | None) -> tuple[set[Key], set[tuple[Key, Key]]]:
    """All that is wanted, and who requires whom; a required each-side operation takes the item's side."""
    found, links, waiting = set(first), set(), list(first)
    while waiting:
        key = waiting.pop()
        for code in world.book.operations[key[0]].requires:
            other = _placed(world, code, side)
            links.add((key, other))
            if other not in found:
                found.add(other)
                waiting.append(other)
    return found, links


def includes(world: World, larger: Key, smaller: Key) -> bool:
    return smaller[0] in world.book.operations[larger[0]].includes and matches(larger[1], smaller[1])


def _present(direct: dict[str, set[Key]], links: dict[str, set[tuple[Key, Key]]], allowed: set[Key]) -> set[Key]:
    present = set().union(*direct.values()) & allowed
    every = set().union(*links.values())
    while True:
        more = {to for (start, to) in every if start in present and to in allowed} - present
        if not more:
            return present
        present |= more


def _brought(direct: set[Key], links: set[tuple[Key, Key]], present: set[Key]) -> set[Key]:
    brought = direct & present
    while True:
        more = {to for (start, to) in links if start in brought and to in present} - brought
        if not more:
            return brought
        brought |= more


def _opened(world: World, operations: set[Key]) -> set[Key]:
    return _steps(world, [(code, key[1]) for key in operations for code in world.book.operations[key[0]].access])


def _steps(world: World, reached: list[Key]) -> set[Key]:
    """Steps with the side they are reached from; without one, an each-side step is opened at every position."""
    found: set[Key] = set()
    waiting = list(reached)
    while waiting:
        code, side = waiting.pop()
        step = world.book.access[code]
        sides: tuple[str | None, ...] = (None,)
        if step.each_side:
            sides = world.job.positions if side is None else (side,)
        for at in sides:
            if (code, at) not in found:
                found.add((code, at))
                waiting += [(other, at) for other in step.needs]
    return found


def hours_of_step(world: World, key: Key) -> Any:
    """Open plus close."""
    step = world.book.access[key[0]]
    return step.hours_to_open + step.hours_to_close


def hours_of_operation(world: World, key: Key, present: set[Key]) -> Any:
    """Net hours, or second-side hours where an earlier position has the operation too."""
    operation = world.book.operations[key[0]]
    if key[1] is None or operation.second_side_hours is None:
        return operation.net_hours
    earlier = world.job.positions[: world.job.positions.index(key[1])]
    further = any((key[0], position) in present for position in earlier)
    return operation.second_side_hours if further else operation.net_hours
