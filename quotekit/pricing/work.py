"""From items to work: operations and access steps present, each once (DESIGN.md 5.2).

Required operations are added; every operation drops at once what it includes, even if it is dropped itself;
then operations go that only a dropped operation required. Access is the closure of what is left.
Source: shop policy; an operation included in a larger one is not charged again: common practice, no source.

Worked example: GEARBOX includes SEAL, SEAL requires FLUSH, nothing else asks for FLUSH. A job that wants GEARBOX and
SEAL does GEARBOX alone: SEAL goes because it is included, FLUSH because only SEAL required it. GEARBOX names the step
AUGER-OUT, which needs COVER: both are opened, once.
"""

from __future__ import annotations

from collections.abc import Iterable, Sequence
from decimal import Decimal

from quotekit.pricing.basis import Basis, Op
from quotekit.pricing.items import Item
from quotekit.record import record


@record
class Work:
    """The work of a set of items; keys are `CODE` or `CODE@side`."""

    items: tuple[Item, ...]
    """In text order of their keys, without the Always work."""
    always: Item
    present: frozenset[str]
    steps: frozenset[str]
    dropped: frozenset[str]

    def is_done_by_larger(self, item: Item) -> bool:
        """True when all of an item's operations were dropped: it has no share and brings no parts of its own.

        An item that names no operation has none that larger work could do: its parts are charged.
        """
        return bool(item.direct) and item.direct.isdisjoint(self.present)


def work_of(basis: Basis, items: Sequence[Item], always: Item) -> Work:
    """Requirements, inclusions and access of a set of items together with the Always work."""
    everything = (*items, always)
    wanted: frozenset[str] = frozenset().union(*(item.wanted for item in everything))
    included: set[str] = set()
    for key in wanted:
        op = basis.op_named(key)
        if op.includes:
            included |= (op.includes & wanted) - {key}
    present = wanted - included
    if included:
        present = _without_orphans(everything, present)
    steps: frozenset[str] = frozenset().union(*(basis.op_named(key).steps for key in present))
    return Work(
        items=tuple(sorted(items, key=lambda item: item.key)),
        always=always,
        present=present,
        steps=steps,
        dropped=wanted - present,
    )


def book_operations(basis: Basis, work: Work) -> tuple[str, ...]:
    """Present operations of the shop book, in text order: a one-off line's own work is none of them."""
    return tuple(sorted(key for key in work.present if basis.op_named(key).operation is not None))


def hours_of_operations(basis: Basis, present: frozenset[str]) -> dict[str, Decimal]:
    """Net hours of each operation; each further position takes the second-side hours where given."""
    hours: dict[str, Decimal] = {}
    first_seen: set[str] = set()
    for op in in_order_of_sides(basis, present):
        further = op.code in first_seen and op.second_side_hours is not None
        hours[op.key] = op.second_side_hours if further and op.second_side_hours is not None else op.net_hours
        first_seen.add(op.code)
    return hours


def in_order_of_sides(basis: Basis, keys: Iterable[str]) -> list[Op]:
    """Operations by the machine's order of positions, then by key: the first of a code takes its net hours."""
    return sorted((basis.op_named(key) for key in keys), key=lambda op: _position(basis, op))


def brought_by(item: Item, present: frozenset[str]) -> frozenset[str]:
    """Operations an item really brings: its own that are present, and what those require."""
    reached: set[str] = set()
    waiting = [key for key in item.direct if key in present]
    if len(waiting) == len(item.wanted):
        return item.wanted
    while waiting:
        key = waiting.pop()
        if key not in reached:
            reached.add(key)
            waiting.extend(needed for by, needed in item.edges if by == key and needed in present)
    return frozenset(reached)


def _without_orphans(items: Sequence[Item], present: frozenset[str]) -> frozenset[str]:
    """Drop operations that only dropped operations required, until nothing changes."""
    direct: frozenset[str] = frozenset().union(*(item.direct for item in items))
    edges = {edge for item in items for edge in item.edges}
    while True:
        kept = frozenset(
            key for key in present if key in direct or any(by in present for by, needed in edges if needed == key)
        )
        if kept == present:
            return kept
        present = kept


def _position(basis: Basis, op: Op) -> tuple[int, str]:
    return (basis.job.positions.index(op.side) if op.side in basis.job.positions else 0, op.key)
