"""Orders, deliveries, returns, cancellations and moves in any order: no unit appears from nowhere and none is lost."""

from __future__ import annotations

from decimal import Decimal
from random import Random

from hypothesis import given, settings
from hypothesis import strategies as st

from quotekit.model.entries import Cancelled, CancelledLine, Ordered, Received, ShelfMove
from quotekit.pricing.landed.cancel import units_lost, what_is_left
from quotekit.pricing.landed.open_orders import line_states
from quotekit.pricing.landed.stock import Stock, stock_of
from tests.pricing.landed.orders import a_line, a_move, a_take, an_order, came, entries

Bodies = list[Ordered | Received | ShelfMove | Cancelled]
JOBS = ("A", "B", "C")


class _Shop:
    """What an onlooker counts: units that exist or are to come, by hand."""

    def __init__(self, random: Random) -> None:
        self.random = random
        self.bodies: Bodies = []
        self.packs: list[int] = []
        self.received: list[int] = []
        self.sizes: list[int] = []
        self.put = Decimal(0)

    @property
    def stock(self) -> Stock:
        return stock_of(entries(*self.bodies))

    def order(self) -> None:
        """A line of seals for up to three jobs, and takes of what is free."""
        packs, size = self.random.randint(1, 3), self.random.choice([1, 2, 4])
        left, jobs = packs * size, {}
        for job in self.random.sample(JOBS, self.random.randint(0, 3)):
            units = self.random.randint(0, min(2, left))
            left -= units
            jobs |= {job: Decimal(units)} if units else {}
        stock = self.stock
        free = int(stock.on_shelf("SEAL") + stock.on_the_way("SEAL"))
        takes = [a_take("SEAL", self.random.randint(1, free), self.random.choice(JOBS))] if free else []
        line = a_line(packs=packs, pack=size, needed=sum(jobs.values(), Decimal(0)), jobs=jobs)
        self.bodies.append(an_order(line, shelf=takes))
        self.packs.append(packs)
        self.received.append(0)
        self.sizes.append(size)

    def receive(self) -> None:
        """Packs that come in, or go back."""
        place = self.random.randrange(len(self.packs))
        line = self.stock.line(place + 1, 1)
        low, high = -min(self.received[place], line.can_go_back), self.packs[place] - self.received[place]
        count = self.random.randint(low, high)
        if count:
            self.bodies.append(came(place + 1, 1, count))
            self.received[place] += count

    def cancel(self) -> None:
        """Packs that have not come in."""
        place = self.random.randrange(len(self.packs))
        still = self.packs[place] - self.received[place]
        if still:
            count = self.random.randint(1, still)
            jobs = units_lost(self.stock.line(place + 1, 1), count)
            line = CancelledLine(supplier="NORTH", part="SEAL", packs=count, line=1, jobs=jobs)
            self.bodies.append(Cancelled(order=place + 1, lines=(line,)))
            self.packs[place] -= count

    def move(self) -> None:
        """Onto the shelf from nowhere, or from a job; from the shelf to one."""
        stock, job = self.stock, self.random.choice(JOBS)
        if (has := int(stock.has(job, "SEAL"))) and self.random.random() < 0.6:
            self.bodies.append(a_move("SEAL", self.random.randint(1, has), job=job))
        elif (there := int(stock.on_shelf("SEAL"))) and self.random.random() < 0.5:
            self.bodies.append(a_move("SEAL", -self.random.randint(1, there), job=job))
        else:
            units = self.random.randint(1, 3)
            self.put += units
            self.bodies.append(a_move("SEAL", units))


def _lived(seed: int) -> _Shop:
    random = Random(seed)
    shop = _Shop(random)
    shop.order()
    for _ in range(random.randint(1, 12)):
        random.choice([shop.order, shop.receive, shop.receive, shop.cancel, shop.move])()
    return shop


@given(st.integers(0, 100_000))
@settings(max_examples=60, deadline=None)
def test_units_of_jobs_shelf_and_way_are_all_there_are(seed: int) -> None:
    """Packs bought and not called off, and what was put there by hand: as much as jobs, shelf and way have together."""
    shop = _lived(seed)
    stock = shop.stock
    bought = sum((Decimal(packs * size) for packs, size in zip(shop.packs, shop.sizes, strict=True)), Decimal(0))
    had = sum((stock.has(job, "SEAL") for job in JOBS), Decimal(0))
    assert had + stock.on_shelf("SEAL") + stock.on_the_way("SEAL") == bought + shop.put
    assert min(stock.on_shelf("SEAL"), stock.on_the_way("SEAL"), *stock.got.values(), Decimal(0)) == 0


@given(st.integers(0, 100_000))
@settings(max_examples=30, deadline=None)
def test_what_is_open_is_what_was_not_called_off_and_did_not_come(seed: int) -> None:
    shop = _lived(seed)
    orders = [body for body in shop.bodies if isinstance(body, Ordered)]
    for place, order in enumerate(orders):
        off = [body for body in shop.bodies if isinstance(body, Cancelled) and body.order == place + 1]
        deliveries = [body for body in shop.bodies if isinstance(body, Received) and body.order == place + 1]
        left = what_is_left(order, off)
        (state,) = line_states(left, deliveries)
        assert (state.line.packs, state.open) == (shop.packs[place], shop.packs[place] - shop.received[place])
        assert state.line.needed <= state.line.packs * state.line.pack_quantity
