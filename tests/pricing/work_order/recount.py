"""A work order looked over line by line from the rows of the shop book alone: a second reading, none of its code.

Rules: what must be open is what the rows name, with what that needs first; each-side steps on the side they are reached
from, on every side where there is none. What an operation requires is done before it; where larger work includes what
is required, that larger work is. Parts are counted from `Parts`, Parts used, `Replaced by` and `Also needs`.
"""

from __future__ import annotations

from collections.abc import Iterator
from fractions import Fraction

from quotekit.model.agreed import Agreed, AgreedWork
from quotekit.model.job import Job
from quotekit.model.shop_book import Quantity, ShopBook
from quotekit.model.work_order import WorkOrder, WorkStep


class Recount:
    """One work order held against the book, the job and what was agreed."""

    def __init__(self, book: ShopBook, job: Job, agreed: Agreed, order: WorkOrder) -> None:
        self.book, self.job, self.agreed, self.order = book, job, agreed, order
        self.work = {one.key: one for one in agreed.work}
        self.places = {step.key: n for n, step in enumerate(order.steps) if step.kind in ("first", "do", "last")}

    def differences(self) -> list[str]:
        """Everything that is not as the rules say."""
        return [*self._brackets(), *self._lines(), *self._required(), *self._hours(), *self._cautions(), *self._parts()]

    def _brackets(self) -> Iterator[str]:
        still_open: list[str] = []
        for n, step in enumerate(self.order.steps):
            if step.kind == "close" and (not still_open or still_open.pop() != step.key):
                yield f"line {n}: {step.key} is closed, which was not opened last"
            if step.open_now != len(still_open):
                yield f"line {n}: {step.open_now} things are open, and it is {len(still_open)}"
            if step.kind != "close" and not self._needs(step) <= set(still_open):
                yield f"line {n}: {step.kind} {step.key} without {self._needs(step) - set(still_open)}"
            if step.kind in ("first", "last") and (still_open or self._needs(step)):
                yield f"line {n}: {step.key} is {step.kind} behind something"
            still_open += [step.key] if step.kind == "open" else []
        if still_open:
            yield f"{still_open} stay open"

    def _lines(self) -> Iterator[str]:
        kinds: dict[str, list[str]] = {}
        for step in self.order.steps:
            kinds.setdefault(step.key, []).append(step.kind)
        for key, one in self.work.items():
            told = kinds.pop(key, [])
            if told != ["open", "close"] if one.kind == "access" else len(told) != 1 or told[0] in ("open", "close"):
                yield f"{key} stands there as {told}"
        parts = {line.code for line in self.job.one_off if line.kind in ("part", "sublet") and line.access}
        if kinds.keys() != parts & {item.code for item in self.agreed.items}:
            yield f"{sorted(kinds)} are lines too"
        order = ["first", "do", "last"]
        seen = [order.index(step.kind) if step.kind in order else 1 for step in self.order.steps]
        if seen != sorted(seen):
            yield "first and last are not first and last"

    def _needs(self, step: WorkStep) -> set[str]:
        """What must be open: the keys of what its rows name, with what those need."""
        if step.kind == "open":
            return self._opened(self.book.access[step.code].needs, step.side)
        if step.code in self.book.operations:
            return self._opened(self.book.operations[step.code].access, step.side)
        (line,) = (one for one in self.job.one_off if one.code == step.code)
        return self._opened(line.access, None)

    def _opened(self, codes: tuple[str, ...], side: str | None) -> set[str]:
        found: set[str] = set()
        for code in codes:
            row = self.book.access[code]
            sides = [None] if not row.each_side else [side] if side else list(self.job.positions)
            for at in sides:
                found |= {f"{code}@{at}" if at else code, *self._opened(row.needs, at)}
        return found

    def _required(self) -> Iterator[str]:
        for one in self.agreed.work:
            for before in self.before(one):
                if self.places[before] > self.places[one.key] and one.key not in self._behind(before):
                    yield f"{one.key} comes before {before}, which it requires"

    def before(self, one: AgreedWork) -> set[str]:
        """Lines that must be done before a line of work."""
        row = self.book.operations.get(one.code) if one.kind == "operation" else None
        found: set[str] = set()
        for code in row.requires if row else ():
            found |= self._doing(code, one.side, {code})
        return found - {one.key}

    def _doing(self, code: str, side: str | None, seen: set[str]) -> set[str]:
        """The work by which an operation is done: itself, or what includes it."""
        mine = {
            key
            for key, one in self.work.items()
            if one.kind == "operation" and one.code == code and (not one.side or not side or one.side == side)
        }
        for other in self.book.operations.values() if not mine else ():
            if code in other.includes and other.code not in seen:
                mine |= self._doing(other.code, side, seen | {other.code})
        return mine

    def _behind(self, key: str) -> set[str]:
        """All that must be done before a line, and before that: a circle has no order."""
        found: set[str] = set()
        waiting = [key]
        while waiting:
            for before in self.before(self.work[waiting.pop()]) - found:
                found.add(before)
                waiting.append(before)
        return found

    def _hours(self) -> Iterator[str]:
        lines = sum((Fraction(step.hours) for step in self.order.steps), Fraction(0))
        agreed = sum((Fraction(one.access) + Fraction(one.net) for one in self.agreed.labour), Fraction(0))
        allowed = sum((Fraction(one.allowance) for one in self.agreed.labour), Fraction(0))
        if lines != agreed or Fraction(self.order.standard_hours) != agreed + allowed:
            yield f"lines {lines}, standard {self.order.standard_hours}, agreed {agreed} and {allowed}"
        for step in self.order.steps:
            row = self.book.access.get(step.code)
            if row and step.hours != (row.hours_to_open if step.kind == "open" else row.hours_to_close):
                yield f"{step.kind} {step.key} takes {step.hours}"

    def _cautions(self) -> Iterator[str]:
        wanted: dict[str, None] = {}
        for step in self.order.steps:
            row = self.book.access.get(step.code) or self.book.operations.get(step.code)
            wanted.update(dict.fromkeys(row.cautions if row else ()))
        if [line.code for line in self.order.cautions] != list(wanted):
            yield f"cautions {[line.code for line in self.order.cautions]}, wanted {list(wanted)}"

    def _parts(self) -> Iterator[str]:
        if [(one.part, one.quantity) for one in self.order.parts] != [
            (one.part, one.quantity) for one in self.agreed.parts
        ]:
            yield "parts to hand are not those that were agreed"
        for one, agreed in zip(self.order.parts, self.agreed.parts, strict=True):
            numbers = [many for _, many in one.places if many is not None]
            counted = self.by_side(one.part)
            if numbers and {side: Fraction(many or 0) for side, many in one.places} != {
                side: many for side, many in counted.items() if side
            }:
                yield f"{one.part}: {one.places}, counted {counted}"
            if numbers and sum(counted.values()) != Fraction(one.quantity):
                yield f"{one.part}: {one.places} of {one.quantity}"
            none_told = not numbers and {side for side, _ in one.places} != set(agreed.sides)
            if none_told and (sum(counted.values()) != one.quantity or any(counted.keys() - {""})):
                yield f"{one.part}: sides {one.places}, agreed {agreed.sides}"

    def by_side(self, part: str) -> dict[str, Fraction]:
        """Units of a final part by side, of all that brings it; the empty side is for none."""
        found: dict[str, Fraction] = {}
        for code, side, rows in self._bringing():
            many = self._units(code, side, rows, part)
            if many:
                found[side or ""] = found.get(side or "", Fraction(0)) + many
        return found

    def _bringing(self) -> Iterator[tuple[str, str | None, tuple[Quantity, ...]]]:
        for one in self.agreed.work:
            if one.kind == "operation":
                yield one.code, one.side, self.book.operations[one.code].parts
            elif one.kind == "access":
                yield one.code, one.side, self.book.access[one.code].parts
        for item in self.agreed.items:
            row = {"remedy": self.book.remedies, "extra": self.book.extras}.get(item.kind, {}).get(item.code)  # type: ignore[attr-defined]
            if row is not None:
                yield item.code, item.side, row.parts

    def _units(self, code: str, side: str | None, rows: tuple[Quantity, ...], part: str) -> Fraction:
        total = sum((self._in(one.code, Fraction(one.quantity), part) for one in rows), Fraction(0))
        for used in self.book.parts_used_by.get(code, ()):
            here = not used.sides or (side is not None and any(_is_on(word, side) for word in used.sides))
            if here and (not used.machines or self.job.machine_class in used.machines):
                total += self._in(used.part, Fraction(used.quantity), part)
        return total

    def _in(self, code: str, many: Fraction, part: str) -> Fraction:
        row = self.job.parts.get(code) or self.book.parts[code]
        if row.replaced_by is not None:
            return self._in(row.replaced_by, many, part)
        mine = many if row.code == part else Fraction(0)
        return mine + sum((self._in(one.code, many * Fraction(one.quantity), part) for one in row.also_needs), mine * 0)


def _is_on(word: str, side: str) -> bool:
    return word in ("all", "both") or word == side or word in side.split()
