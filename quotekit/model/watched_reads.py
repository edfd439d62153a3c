"""What was read while something was worked out: cells, apart by the rule that read them.

A frame is open while a figure is worked out, and what is read lands in the innermost one. A value that is kept for
later is kept together with what was read for it, so that whoever uses it later has read that too.
"""

from __future__ import annotations

from collections.abc import Callable, Iterable, Iterator, Mapping
from contextlib import contextmanager
from typing import Any, Generic, TypeVar, overload

from quotekit.problems import Place

T = TypeVar("T")
Reads = dict[str, set[Place]]
"""Cells by the rule that read them."""


class Seen:
    """The open frames, the innermost last."""

    def __init__(self) -> None:
        self._frames: list[Reads] = [{}]
        self._cells: list[set[Place]] = [self._frames[0].setdefault("", set())]

    def read(self, places: Iterable[Place]) -> None:
        """Cells were read."""
        self._cells[-1].update(places)

    def take(self, reads: Mapping[str, Iterable[Place]]) -> None:
        """What was read for a value that is used again."""
        frame = self._frames[-1]
        for stage, places in reads.items():
            frame.setdefault(stage, set()).update(places)

    @contextmanager
    def frame(self, stage: str) -> Iterator[Reads]:
        """Gathers what is read meanwhile; nothing of it counts for the frame around it unless that takes it."""
        found: Reads = {stage: set()}
        self._frames.append(found)
        self._cells.append(found[stage])
        try:
            yield found
        finally:
            self._frames.pop()
            self._cells.pop()


class Kept(Generic[T]):
    """A property worked out once, kept with what was read for it. Its owner has a field `seen`."""

    def __init__(self, stage: str, rule: Callable[[Any], T]) -> None:
        self.stage, self.rule = stage, rule
        self.name = ""
        self.__doc__ = rule.__doc__

    def __set_name__(self, owner: type, name: str) -> None:
        self.name = f"_kept_{name}"

    @overload
    def __get__(self, one: None, owner: type) -> Kept[T]: ...
    @overload
    def __get__(self, one: object, owner: type) -> T: ...
    def __get__(self, one: Any, owner: type) -> Any:
        if one is None:
            return self
        known = one.__dict__.get(self.name)
        if known is None:
            known = one.__dict__[self.name] = keep(one.seen, self.stage, lambda: self.rule(one))
        return known.use(one.seen)


class KeptValue(Generic[T]):
    """A value with what was read for it."""

    def __init__(self, value: T, reads: Reads) -> None:
        self.value, self.reads = value, reads

    def use(self, seen: Seen) -> T:
        """The value; whoever asks has read its cells."""
        seen.take(self.reads)
        return self.value


def keep(seen: Seen, stage: str, work_out: Callable[[], T]) -> KeptValue[T]:
    """Work a value out in a frame of its own."""
    with seen.frame(stage) as reads:
        value = work_out()
    return KeptValue(value, reads)


def kept(stage: str) -> Callable[[Callable[[Any], T]], Kept[T]]:
    """Marks a rule whose value is kept with what was read for it."""
    return lambda rule: Kept(stage, rule)
