"""What is on the shelf and on its way to it, worked out from entries: moves, takes, and what orders leave over.

Units come by a move onto the shelf, and by what an order leaves over once it is there: packs that come in serve the
jobs of their line first. Until then they are on their way, there on the day that the lead or the supplier says; where
that day has passed nobody knows when. Takes for jobs use what is there first, the oldest first, then what comes
soonest. What the shop keeps in stock without ever having counted it is not known, and takes of it change nothing.
Units: the part's own. Source: shop policy.

Worked example: order 1 buys a pack of four seals for a job that needs one: three are on their way. Order 2 gives two of
them to a job: one is left. The pack comes in: one is on the shelf.
"""

from __future__ import annotations

from collections.abc import Iterable, Iterator
from dataclasses import dataclass, field
from datetime import date
from decimal import Decimal

from quotekit.model.entries import Entry, Ordered, OrderLine, Received, ReceivedLine, ShelfMove
from quotekit.model.landed import NEVER, Lot
from quotekit.model.story import job_key
from quotekit.pricing.landed.working_days import arrival

ZERO = Decimal(0)
LineKey = tuple[int, int]
"""Order, and place of the line in it from 1."""


@dataclass(slots=True)
class _Lot:
    units: Decimal
    arrived: Decimal
    there_from: date
    unit_cost: Decimal | None = None
    taken: Decimal = ZERO

    @property
    def there(self) -> Decimal:
        return max(ZERO, self.arrived - self.taken)

    @property
    def free(self) -> Decimal:
        return self.units - self.taken


@dataclass(slots=True)
class _Line:
    line: OrderLine
    lot: _Lot
    units: Decimal = ZERO
    """Received so far."""


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
    _lots: dict[str, list[_Lot]] = field(default_factory=dict)
    _lines: dict[LineKey, _Line] = field(default_factory=dict)

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

    def _lots_of(self, part: str, day: date) -> Iterator[Lot]:
        for lot in self._lots[part]:
            if lot.there:
                yield Lot(part=part, units=lot.there, there_from=day, unit_cost=lot.unit_cost)
            if lot.free > lot.there:
                there_from = NEVER if lot.there_from < day else lot.there_from
                yield Lot(part=part, units=lot.free - lot.there, there_from=there_from, unit_cost=lot.unit_cost)

    def _move(self, move: ShelfMove, day: date) -> None:
        self.counted.add(move.part)
        if move.quantity > 0:
            lot = _Lot(units=move.quantity, arrived=move.quantity, there_from=day, unit_cost=move.unit_cost)
            self._lots.setdefault(move.part, []).append(lot)
            return
        wanted = -move.quantity
        for lot in self._lots.get(move.part, ()):
            taken = min(wanted, lot.there)
            lot.taken, wanted = lot.taken + taken, wanted - taken

    def _order(self, number: int, ordered: Ordered, day: date) -> None:
        for take in ordered.shelf:
            self.names[take.part] = take.name
            self._give(take.job, take.part, take.quantity)
            self._take(take.part, take.quantity)
        for place, line in enumerate(ordered.lines, 1):
            self.names[line.part] = line.name
            for job, units in line.jobs.items():
                self._give(job, line.part, units)
            lot = _Lot(
                units=line.left_over,
                arrived=ZERO,
                there_from=arrival(day, line.lead_days),
                unit_cost=each(line.pack_cost, line.pack_quantity),
            )
            self._lots.setdefault(line.part, []).append(lot)
            self._lines[number, place] = _Line(line, lot)

    def _give(self, job: str, part: str, units: Decimal) -> None:
        key = (job_key(job), job_key(part))
        self.spelled[key[1]] = part
        self.got[key] = self.got.get(key, ZERO) + units

    def has(self, job: str, part: str) -> Decimal:
        """Units of a part that a job has, or that are on order for it."""
        return self.got.get((job_key(job), job_key(part)), ZERO)

    def _take(self, part: str, wanted: Decimal) -> None:
        for lot in sorted(self._lots.get(part, ()), key=lambda lot: (not lot.there, lot.there_from)):
            taken = min(wanted, lot.free)
            lot.taken, wanted = lot.taken + taken, wanted - taken

    def _receive(self, order: int, received: ReceivedLine, day: date) -> None:
        line = self._lines.get((order, received.line))
        if line is None:
            return
        line.units += received.packs * line.line.pack_quantity
        line.lot.arrived = min(line.lot.units, max(ZERO, line.units - line.line.needed))
        if line.units >= line.line.packs * line.line.pack_quantity:
            line.lot.there_from = day
        elif received.back_ordered:
            line.lot.there_from = received.expected or NEVER
        if received.pack_cost is not None and received.packs:
            line.lot.unit_cost = each(received.pack_cost, line.line.pack_quantity)


def stock_of(entries: Iterable[Entry]) -> Stock:
    """The stock that entries of the kinds ordered, received and shelf tell, in their order; others are passed over."""
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
    return stock


def each(pack_cost: Decimal, pack_quantity: Decimal) -> Decimal:
    """Cost of a unit, half up to six decimals: for the shelf list, never for pricing.

    >>> each(Decimal("7.90"), Decimal("2")), each(Decimal("10"), Decimal("3"))
    (Decimal('3.950000'), Decimal('3.333333'))
    """
    from fractions import Fraction

    from quotekit.money import round_to

    return round_to(Fraction(pack_cost) / Fraction(pack_quantity), 6)
