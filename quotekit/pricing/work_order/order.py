"""The order of work: each thing is opened once, what needs it is done while it is open, and it is closed once.

Something is opened only after what it needs first, and closed before that: what was opened last is closed first, as
soon as nothing that is left needs it. Among the work that can come next, that which needs the fewest things more to be
opened comes first; then that which leaves nothing open for work that must wait; then the order of the shop book. Work
that another requires is done before it.
Source: shop policy; common practice, no source. The least that stands open keeps the bench clear and the machine safe.

Worked example: COVER, then FRAME behind it; BELT needs COVER, BEARING and SEAL need FRAME, BEARING requires SEAL.
Open COVER, do BELT, open FRAME, do SEAL, do BEARING, close FRAME, close COVER.
"""

from __future__ import annotations

from collections.abc import Iterable, Iterator, Mapping, Sequence
from typing import Literal, NamedTuple

from quotekit.pricing.work_order.required import behind

Move = tuple[Literal["open", "do", "close"], str]


class ToDo(NamedTuple):
    """Work of one key: what must be open, what must be done before; earlier rank first where nothing else decides."""

    key: str
    open: frozenset[str]
    after: frozenset[str]
    rank: tuple[int, ...]


class ToOpen(NamedTuple):
    """Something to open: all that must be open before, and its rank."""

    key: str
    needs: frozenset[str]
    rank: tuple[int, ...]


def order_of_work(work: Sequence[ToDo], steps: Sequence[ToOpen]) -> list[Move]:
    """Openings, work and closings in order; every one of each exactly once. What work needs are keys of `steps`.

    >>> cover, frame = ToOpen("COVER", frozenset(), (0,)), ToOpen("FRAME", frozenset({"COVER"}), (1,))
    >>> belt = ToDo("BELT", frozenset({"COVER"}), frozenset(), (0,))
    >>> seal = ToDo("SEAL", frozenset({"COVER", "FRAME"}), frozenset(), (1,))
    >>> [f"{what} {key}" for what, key in order_of_work([belt, seal], [cover, frame])]
    ['open COVER', 'do BELT', 'open FRAME', 'do SEAL', 'close FRAME', 'close COVER']
    """
    by_key = {step.key: step for step in steps}
    waiting = {one.key: one for one in (*work, *_for_nothing(work, steps))}
    done = frozenset(one.key for one in work)
    stack: list[str] = []
    moves: list[Move] = []
    while waiting:
        following = _next(waiting, stack)
        for key in _to_open(following.open - set(stack), by_key):
            moves.append(("open", key))
            stack.append(key)
        if following.key in done:
            moves.append(("do", following.key))
        del waiting[following.key]
        moves.extend(_closed(stack, waiting.values()))
    return moves


def _for_nothing(work: Sequence[ToDo], steps: Sequence[ToOpen]) -> Iterator[ToDo]:
    """Steps that were agreed though no work needs them, as if some did: none is forgotten."""
    needed = {key for one in work for key in one.open}
    for step in steps:
        if step.key not in needed:
            yield ToDo(f"{step.key} for nothing", step.needs | {step.key}, frozenset(), (*step.rank, 0))


def _next(waiting: Mapping[str, ToDo], stack: Sequence[str]) -> ToDo:
    """Work whose forerunners are done; the fewest openings first. A circle of requirements is broken at its first."""
    ready = [one for one in waiting.values() if one.after.isdisjoint(waiting.keys() - {one.key})]
    opened = set(stack)
    before = {key: one.after & waiting.keys() for key, one in waiting.items()}

    def place(one: ToDo) -> tuple[int, int, tuple[int, ...], str]:
        return len(one.open - opened), _left_waiting(one, opened, waiting, before), one.rank, one.key

    return min(ready or _in_circles(waiting), key=place)


def _left_waiting(
    one: ToDo, opened: set[str], waiting: Mapping[str, ToDo], before: Mapping[str, frozenset[str]]
) -> int:
    """Work that needs what would be opened now, but waits for work behind something else: it would stay open."""
    new, around = one.open - opened, one.open.union(opened)
    return sum(
        any(not waiting[key].open <= around for key in behind(other.key, before))
        for other in waiting.values()
        if new and other.after and not new.isdisjoint(other.open)
    )


def _in_circles(waiting: Mapping[str, ToDo]) -> list[ToDo]:
    """Work that waits for nothing but work that waits for it."""
    before = {key: one.after & waiting.keys() for key, one in waiting.items()}
    found = {key: behind(key, before) for key in waiting}
    return [waiting[key] for key, keys in found.items() if all(key in found[other] for other in keys)]


def _to_open(keys: Iterable[str], by_key: Mapping[str, ToOpen]) -> list[str]:
    """Keys in the order in which they can be opened."""
    left = sorted(keys, key=lambda key: (by_key[key].rank, key))
    found: list[str] = []
    while left:
        free = [key for key in left if by_key[key].needs.isdisjoint(left)] or left
        found.append(free[0])
        left.remove(free[0])
    return found


def _closed(stack: list[str], waiting: Iterable[ToDo]) -> Iterator[Move]:
    """Close from the top what no work that is left needs, itself or for what is behind it."""
    needed = {key for one in waiting for key in one.open}
    while stack and stack[-1] not in needed:
        yield "close", stack.pop()
