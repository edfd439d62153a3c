"""Results come in the order in which they are ready and are told in the order of file names."""

from __future__ import annotations

from collections.abc import Iterator
from typing import Generic, TypeVar

Held = TypeVar("Held")


class InOrder(Generic[Held]):
    """Holds what came early until all before it have come.

    >>> order = InOrder()
    >>> order.put(1, "b"), list(order.ready()), order.put(0, "a"), list(order.ready())
    (None, [], None, ['a', 'b'])
    """

    def __init__(self) -> None:
        self._early: dict[int, Held] = {}
        self._next = 0

    def put(self, number: int, held: Held) -> None:
        """What has this number; each number comes once."""
        if number < self._next or number in self._early:
            raise ValueError(f"number {number} came twice")
        self._early[number] = held

    def ready(self) -> Iterator[Held]:
        """Everything that can be told now, in order."""
        while self._next in self._early:
            held = self._early.pop(self._next)
            self._next += 1
            yield held

    @property
    def waiting(self) -> int:
        """How many came early and wait."""
        return len(self._early)
