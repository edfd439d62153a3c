"""What is on the shelf and on its way to it, worked out from entries: moves, takes, and what orders leave over.

Units come by a move onto the shelf, and by what an order leaves over once it is there: packs that come in serve the
jobs of their line first. Until then they are on their way, there on the day that the lead or the supplier says; where
that day has passed nobody knows when. Takes for jobs use what is there first, the oldest first, then what comes
soonest. What the shop keeps in stock without ever having counted it is not known, and takes of it change nothing.
Packs that are called off come off what the line leaves over, then off the jobs that the entry names (`cancel`). A job
gives back to the shelf what it took from there, else its share of a line, there or on its way as the line is.
Units: the part's own. Source: shop policy.

Worked example: order 1 buys a pack of four seals for a job that needs one: three are on their way. Order 2 gives two of
them to a job: one is left. The pack comes in: one is on the shelf.
"""

from __future__ import annotations

from collections.abc import Iterable, Iterator
from dataclasses import dataclass, field
from datetime import date
from decimal import Decimal

from quotekit.model.entries import (
    Cancelled,
    CancelledLine,
    Entry,
    EntryKind,
    Ordered,
    Received,
    ReceivedLine,
    ShelfMove,
)
from quotekit.model.landed import NEVER, Lot
from quotekit.model.story import job_key
from quotekit.pricing.landed.lots import StockLine, StockLot
from quotekit.pricing.landed.working_days import arrival

ZERO = Decimal(0)
KINDS: tuple[EntryKind, ...] = ("ordered", "received", "shelf", "cancelled")
"""Entries that stock is worked out from."""
LineKey = tuple[int, int]
"""Order, and place of the line in it from 1."""


@dataclass(slots=True)
class Stock:
    """What has been ordered, taken and put on the shelf so far."""

    got: dict[tuple[str, str], Decimal] = field(default_factory=dict)
    """Units that a job has, or that are on order for it, by job key and part, capitals aside."""
    counted: set[str] = field(default_factory=set)
    """Parts that were ever put on the shelf, taken from it or counted by hand."""
    names: dict[str, str] = field(default_factory=dict)
    spelled: dict[str, str] = field(default_factory=dict)
    """Parts as they were ordered, by how `got` compares them."""
    called_off: dict[tuple[str, str], set[tuple[str, date]]] = field(default_factory=dict)
    """Suppliers that called off a part, and when, by job key and part of those that lost units by it."""
    _lots: dict[str, list[StockLot]] = field(default_factory=dict)
    _lines: dict[LineKey, StockLine] = field(default_factory=dict)
    _took: dict[tuple[str, str], Decimal] = field(default_factory=dict)
    """Units that jobs got from the shelf."""

    def line(self, order: int, place: int) -> StockLine:
        """A line of an order."""
        return self._lines[order, place]

    def lots(self, day: date) -> list[Lot]:
        """Free units as they are, or will be, there from a day on."""
        return [lot for part in sorted(self._lots) for lot in self._lots_of(part, day)]

    def on_shelf(self, part: str) -> Decimal:
        """Free units of a part that are there."""
        return sum((lot.there for lot in self._lots.get(part, ())), ZERO)

    def on_the_way(self, part: str) -> Decimal:
        """Free units of a part that are ordered and not there yet."""
        return sum((lot.free - lot.there for lot in self._lots.get(part, ())), ZERO)

    def unit_cost(self, part: str) -> Decimal | None:
        """What the latest units of a part cost each, where it is known."""
        known = [lot.unit_cost for lot in self._lots.get(part, ()) if lot.unit_cost is not None]
        return known[-1] if known else None

    def parts(self) -> list[str]:
        """Parts with units, or once counted, in text order."""
        return sorted({part for part, lots in self._lots.items() if any(lot.free for lot in lots)} | self.counted)

    def keeps_count(self, part: str) -> bool:
        """False for stock that was never counted, bought or put there: its units come from nowhere, and go there."""
        return part in self.counted or part in self._lots

    def _lots_of(self, part: str, day: date) -> Iterator[Lot]:
        for lot in self._lots[part]:
            if lot.there:
                yield Lot(part=part, units=lot.there, there_from=day, unit_cost=lot.unit_cost)
            if lot.free > lot.there:
                there_from = NEVER if lot.there_from < day else lot.there_from
                yield Lot(part=part, units=lot.free - lot.there, there_from=there_from, unit_cost=lot.unit_cost)

    def _move(self, move: ShelfMove, day: date) -> None:
        known = self.keeps_count(move.part)
        self.counted |= set() if move.job else {move.part}
        if move.quantity > 0:
            own = self._give_back(move) if move.job else ZERO
            units = move.quantity - own
            if units and (known or not move.job):
                lot = StockLot(units=units, arrived=units, there_from=day, unit_cost=move.unit_cost)
                self._lots.setdefault(move.part, []).append(lot)
            return
        wanted = -move.quantity
        for lot in self._lots.get(move.part, ()):
            wanted = lot.take(wanted, lot.there, move.job)
        if move.job:
            self._give(move.job, move.part, -move.quantity, took=True)

    def _give_back(self, move: ShelfMove) -> Decimal:
        """A job's units to where they came from: lots, or its share of lines; how many found their place so."""
        key = (job_key(move.job), job_key(move.part))
        self._lose(move.job, move.part, move.quantity)
        left = move.quantity
        for lot in self._lots.get(move.part, ()):
            left -= lot.give_back(move.job, left)
        never_counted = min(left, max(ZERO, self._took.get(key, ZERO) - (move.quantity - left)))
        self._took[key] = max(ZERO, self._took.get(key, ZERO) - (move.quantity - left) - never_counted)
        left -= never_counted
        lines = [one for one in self._lines.values() if job_key(one.line.part) == key[1]]
        for line in sorted(lines, key=lambda one: one.units < one.whole):
            for job in [job for job in line.jobs if job_key(job) == key[0]]:
                units = min(left, line.jobs[job])
                line.jobs[job], left = line.jobs[job] - units, left - units
                line.share_again()
        return move.quantity - never_counted - left

    def _order(self, number: int, ordered: Ordered, day: date) -> None:
        for take in ordered.shelf:
            self.names[take.part] = take.name
            self._give(take.job, take.part, take.quantity, took=True)
            self._take(take.part, take.quantity, take.job)
        for place, line in enumerate(ordered.lines, 1):
            self.names[line.part] = line.name
            for job, units in line.jobs.items():
                self._give(job, line.part, units)
            lot = StockLot(
                units=line.left_over,
                arrived=ZERO,
                there_from=arrival(day, line.lead_days),
                unit_cost=each(line.pack_cost, line.pack_quantity),
            )
            self._lots.setdefault(line.part, []).append(lot)
            jobs = dict(line.jobs)
            self._lines[number, place] = StockLine(line, lot, line.packs, jobs, ordered.needed_by)

    def _give(self, job: str, part: str, units: Decimal, *, took: bool = False) -> None:
        key = (job_key(job), job_key(part))
        self.spelled[key[1]] = part
        self.got[key] = self.got.get(key, ZERO) + units
        if took:
            self._took[key] = self._took.get(key, ZERO) + units

    def _lose(self, job: str, part: str, units: Decimal) -> None:
        key = (job_key(job), job_key(part))
        self.got[key] = max(ZERO, self.got.get(key, ZERO) - units)

    def has(self, job: str, part: str) -> Decimal:
        """Units of a part that a job has, or that are on order for it."""
        return self.got.get((job_key(job), job_key(part)), ZERO)

    def _take(self, part: str, wanted: Decimal, job: str) -> None:
        for lot in sorted(self._lots.get(part, ()), key=lambda lot: (not lot.there, lot.there_from)):
            wanted = lot.take(wanted, lot.free, job)

    def _receive(self, order: int, received: ReceivedLine, day: date) -> None:
        line = self._lines.get((order, received.line))
        if line is None:
            return
        line.units += received.packs * line.line.pack_quantity
        line.share_again()
        if line.units >= line.whole:
            line.lot.there_from = day
        elif received.back_ordered or received.packs < 0:
            line.lot.there_from = received.expected or NEVER
        if received.pack_cost is not None and received.packs:
            line.lot.unit_cost = each(received.pack_cost, line.line.pack_quantity)

    def _cancel(self, cancelled: Cancelled, told: CancelledLine, day: date) -> None:
        line = self._lines.get((cancelled.order, told.line))
        if line is None:
            return
        part = line.line.part
        line.packs -= told.packs
        for job, units in told.jobs.items():
            self._lose(job, part, units)
            back = line.lot.give_back(job, units)
            key = (job_key(job), job_key(part))
            self._took[key] = max(ZERO, self._took.get(key, ZERO) - back)
            own = units - back
            line.jobs[job] = max(ZERO, line.jobs.get(job, ZERO) - own)
            if cancelled.by == "supplier":
                self.called_off.setdefault((job_key(job), job_key(part)), set()).add((line.line.supplier, day))
        line.share_again()


def stock_of(entries: Iterable[Entry]) -> Stock:
    """The stock that entries of the kinds in KINDS tell, in their order; others are passed over."""
    stock = Stock()
    for entry in entries:
        if entry.kind == "shelf":
            stock._move(entry.told(ShelfMove), entry.day)
        elif entry.kind == "ordered":
            stock._order(entry.number or 0, entry.told(Ordered), entry.day)
        elif entry.kind == "received":
            received = entry.told(Received)
            for line in received.lines:
                stock._receive(received.order, line, entry.day)
        elif entry.kind == "cancelled":
            cancelled = entry.told(Cancelled)
            for off in cancelled.lines:
                stock._cancel(cancelled, off, entry.day)
    return stock


def each(pack_cost: Decimal, pack_quantity: Decimal) -> Decimal:
    """Cost of a unit, half up to six decimals: for the shelf list, never for pricing.

    >>> each(Decimal("7.90"), Decimal("2")), each(Decimal("10"), Decimal("3"))
    (Decimal('3.950000'), Decimal('3.333333'))
    """
    from fractions import Fraction

    from quotekit.money import round_to

    return round_to(Fraction(pack_cost) / Fraction(pack_quantity), 6)
