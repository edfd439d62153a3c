"""What must be done before a line of work: what its operation requires, on the sides that are done.

An operation without a side waits for what it requires on every side that is done; one of a side for that side alone.
Where larger work includes what is required, and so is done in its place, that larger work comes before.
Source: shop policy; common practice, no source.

Worked example: RUN-IN, once on the machine, requires BEARING of each side: BEARING@left and BEARING@right come before
it. SHAFT requires FLUSH, which GEARBOX includes: GEARBOX comes before SHAFT.
"""

from __future__ import annotations

from collections.abc import Iterator, Mapping

from quotekit.model.agreed import AgreedWork
from quotekit.model.shop_book import ShopBook

Before = frozenset[str]
"""Keys of work that comes before."""


def required_before(book: ShopBook, works: Mapping[str, AgreedWork], work: AgreedWork) -> Before:
    """Keys of the work that a line of work must wait for."""
    operation = book.operations.get(work.code) if work.kind == "operation" else None
    required = operation.requires if operation is not None else ()
    done = (key for code in required for key in _doing(book, works, code, work.side, frozenset()))
    return frozenset(done) - {work.key}


def behind(key: str, before: Mapping[str, Before]) -> Before:
    """All that work waits for, and that waits for in turn; itself too, in a circle.

    >>> sorted(behind("C", {"C": frozenset({"B"}), "B": frozenset({"A"}), "A": frozenset()}))
    ['A', 'B']
    """
    found: set[str] = set()
    left = [key]
    while left:
        new = before[left.pop()] - found
        found |= new
        left.extend(new)
    return frozenset(found)


def _doing(
    book: ShopBook, works: Mapping[str, AgreedWork], code: str, side: str | None, seen: frozenset[str]
) -> Iterator[str]:
    """Work that does an operation: itself, else what includes it."""
    mine = [
        key
        for key, work in works.items()
        if work.kind == "operation" and work.code == code and (side is None or work.side in (None, side))
    ]
    yield from mine
    if not mine:
        for larger in book.operations.values():
            if code in larger.includes and larger.code not in seen:
                yield from _doing(book, works, larger.code, side, seen | {larger.code})
