"""Units for nobody in particular, and the lines of orders they may come from, as they stand after each entry.

Units: packs; units of the part. Source: shop policy.

Worked example: a line of two packs of four for a job that needs one: seven are left over; the first pack comes in, and
three of them are there.
"""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import dataclass, field
from datetime import date
from decimal import Decimal

from quotekit.model.entries import OrderLine
from quotekit.model.story import job_key

ZERO = Decimal(0)


@dataclass(slots=True)
class StockLot:
    """Units for nobody in particular: moved onto the shelf, or left over by a line."""

    units: Decimal
    arrived: Decimal
    there_from: date
    unit_cost: Decimal | None = None
    taken: Decimal = ZERO
    takers: list[tuple[str, Decimal]] = field(default_factory=list)
    """Who got units of it since, in order: a job, or an empty text for nobody, as units that were used up."""

    @property
    def there(self) -> Decimal:
        """Free units that are there."""
        return max(ZERO, self.arrived - self.taken)

    @property
    def free(self) -> Decimal:
        """Units that nobody took, there or on the way."""
        return self.units - self.taken

    def take(self, wanted: Decimal, free: Decimal, job: str) -> Decimal:
        """As many of the free units as are wanted, for a job; how many are still wanted."""
        taken = min(wanted, free)
        if taken > 0:
            self.taken += taken
            self.takers.append((job, taken))
        return wanted - max(ZERO, taken)

    def give_back(self, job: str, units: Decimal) -> Decimal:
        """What a job took of it taken back, the last first; how much that was."""
        left = units
        for place in range(len(self.takers) - 1, -1, -1):
            taker, taken = self.takers[place]
            if taker and job_key(taker) == job_key(job):
                back = min(left, taken)
                self.takers[place], left = (taker, taken - back), left - back
        self.taken -= units - left
        return units - left


@dataclass(slots=True)
class StockLine:
    """A line of an order as it stands: packs that were not called off, and who gets their units."""

    line: OrderLine
    lot: StockLot
    packs: int
    jobs: dict[str, Decimal]
    by: Mapping[str, date]
    """When jobs need them."""
    units: Decimal = ZERO
    """Received so far."""

    @property
    def needed(self) -> Decimal:
        """Units that its jobs get."""
        return sum(self.jobs.values(), ZERO)

    @property
    def whole(self) -> Decimal:
        """Units of all its packs."""
        return self.packs * self.line.pack_quantity

    @property
    def can_go_back(self) -> int:
        """Packs that came in and of which no unit was used up for nobody."""
        used_up = sum((units for job, units in self.lot.takers if not job), ZERO)
        return int((self.units - used_up) // self.line.pack_quantity)

    def share_again(self) -> None:
        """What is left over, and how much of that is there, after a change of packs, jobs or deliveries."""
        self.lot.units = max(ZERO, self.whole - self.needed)
        self.lot.arrived = min(self.lot.units, max(ZERO, self.units - self.needed))
