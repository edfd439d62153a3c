"""Whole orders from random shop books, counted through by a second reading of the contract, and told what differs.

    python -m tests.landed.from_books ORDERS SEED

A book of a few parts (packs, other suppliers' packs, the shop's own shelf, numbers that were replaced, extra freight),
suppliers with terms, one to three jobs (left and right parts, the customer's own, a row of the job's own, days), stock
that was moved or is on its way from an order before. `build_order` makes the order; here every order is tried, from
the words of DESIGN.md 3 and 5.5 and of issue and README alone: integers only (cents, thousandths of a unit), days as
numbers, no rule of the package but its records. Not a test: it takes minutes; a share of it is in the suite.
"""

from __future__ import annotations

import sys
import time
from collections import Counter
from collections.abc import Iterator
from dataclasses import dataclass, field, replace
from datetime import date, timedelta
from decimal import Decimal
from itertools import product
from random import Random
from typing import Any

from quotekit.model.agreed import AgreedPart
from quotekit.model.entries import Ordered
from quotekit.model.shop_book import Offer
from quotekit.pricing.landed.build_order import OrderPlan, build_order
from quotekit.pricing.landed.open_needs import JobToOrder
from quotekit.pricing.landed.stock import stock_of
from tests.build import a_book, a_job, a_part, a_supplier
from tests.pricing.landed.jobs import agreed
from tests.pricing.landed.orders import a_line, a_move, an_order, entries

DAY = date(2026, 11, 26)
"""A Thursday."""
ANY, MOST = 10**6, 30_000
"""A day later than all; more orders than this are not tried."""


@dataclass
class Asked:
    """A random shop, in numbers: money in cents, units in thousandths, days from today."""

    offers: dict[str, list[tuple[str, int, int, int, int]]] = field(default_factory=dict)
    """By part: supplier, units of a pack, cost, extra freight, day it is there."""
    terms: dict[str, tuple[int, int, int, int]] = field(default_factory=dict)
    """By supplier: freight, free from, minimum, small order fee."""
    needs: dict[str, dict[str, int]] = field(default_factory=dict)
    """Units by part and job."""
    by: dict[str, int] = field(default_factory=dict)
    stock: dict[str, list[tuple[int, int]]] = field(default_factory=dict)
    """By part: day it is there, units."""
    usual: dict[str, int] = field(default_factory=dict)
    """By part: which of its offers."""


@dataclass(frozen=True)
class Drawn:
    """The shop as records, and in numbers."""

    asked: Asked
    jobs: list[JobToOrder]
    book: Any
    bodies: list[Any]

    def plan(self) -> OrderPlan:
        """The package's order."""
        return build_order(self.jobs, stock_of(entries(*self.bodies, day=DAY)), self.book, DAY)


def day_of(working_days: int | None) -> int:
    """Calendar days until so many working days are over, counted one by one."""
    if working_days is None:
        return ANY
    ahead = 0
    while working_days:
        ahead += 1
        working_days -= (DAY + timedelta(days=ahead)).weekday() < 5
    return ahead


def cents(amount: int) -> Decimal:
    """As a cell has it."""
    return Decimal(amount) / 100


def units(thousandths: int) -> Decimal:
    """As a cell has it."""
    return Decimal(thousandths) / 1000


def draw(random: Random) -> Drawn:
    """A shop with one to three parts, suppliers and jobs."""
    asked = Asked()
    names = ["NORTH", "AXLE", "ELM"][: random.randint(1, 3)]
    leads = {name: random.choice([0, 1, 2, 4, None]) if random.random() < 0.5 else 2 for name in names}
    suppliers = [a_supplier("SHELF", shelf=True, lead_days=None)]
    for name in names:
        freight, free, least, fee = (random.choice(each) for each in _TERMS)
        asked.terms[name] = (freight or 0, free or 0, least or 0, fee or 0)
        given = {"freight": freight, "free_freight_from": free, "minimum_order": least, "small_order_fee": fee}
        amounts = {key: None if value is None else cents(value) for key, value in given.items()}
        suppliers.append(a_supplier(name, lead_days=leads[name], **amounts))
    parts, others = [], []
    for code in ["PIN", "BELT@left", "SEAL"][: random.randint(1, 3)]:
        sellers = random.sample(names, random.randint(1, len(names)))
        extra = random.choice([0, 0, 125])
        for place, name in enumerate(sellers):
            pack, cost = random.choice([1000, 1000, 2000, 4000, 2500]), random.choice([0, 150, 200, 200, 395, 990])
            lead = random.choice([None, None, 0, 1, 3])
            there = day_of(leads[name] if lead is None else lead)
            asked.offers.setdefault(code, []).append((name, pack, cost * max(pack // 1000, 1), extra, there))
            row: dict[str, Any] = {"lead_days": lead, "suppliers_number": f"{name}-{code}"}
            if place:
                offer = Offer(
                    part=code,
                    supplier=name,
                    pack_quantity=units(pack),
                    pack_cost=cents(cost * max(pack // 1000, 1)),
                    **row,
                )
                others.append(offer)
            else:
                row |= {"supplier": name, "extra_freight": cents(extra)}
                parts.append(a_part(code, cents(cost * max(pack // 1000, 1)), units(pack), **row))
        asked.usual[code] = 0
        if random.random() < 0.2:
            parts.append(a_part(f"OLD-{code}", "99", 3, supplier=names[0], replaced_by=code))
    book = a_book(parts=parts, suppliers=suppliers, offers=tuple(others))
    jobs = [_job(random, asked, book, f"J{number}") for number in range(random.randint(1, 3))]
    return Drawn(asked, jobs, book, _stock(random, asked, book))


_TERMS = (
    (None, 0, 300, 500, 299),
    (None, None, 0, 600, 800, 1200, 2000),
    (None, None, 0, 500, 900, 1500),
    (None, 0, 150, 400),
)


def _job(random: Random, asked: Asked, book: Any, name: str) -> JobToOrder:
    lines: list[AgreedPart] = []
    for code in list(asked.offers):
        for number in (code, f"OLD-{code}"):
            if number not in book.parts or random.random() < (0.3 if number == code else 0.6):
                continue
            quantity = random.choice([1000, 1000, 2000, 3000, 500])
            own = random.random() < 0.1
            (part,) = agreed(x=units(quantity)).parts
            lines.append(replace(part, part=number, name=number.title(), own=own))
            if not own:
                needs = asked.needs.setdefault(code, {})
                needs[name] = needs.get(name, 0) + quantity
    asked.by[name] = random.choice([ANY, ANY, 0, 1, 4, 5, 7])
    by = date.max if asked.by[name] == ANY else DAY + timedelta(days=asked.by[name])
    what = replace(agreed(), parts=tuple(lines))
    return JobToOrder(job=name, agreed=what, said_yes=DAY, book=book, record=a_job(job_number=name), by=by)


def _stock(random: Random, asked: Asked, book: Any) -> list[Any]:
    """Moves onto the shelf, under old numbers too, and a pack on its way from an order of today."""
    bodies: list[Any] = []
    for code in asked.offers:
        lots = asked.stock.setdefault(code, [])
        if random.random() < 0.3:
            quantity = random.choice([500, 1000, 2000, 9000])
            lots.append((0, quantity))
            stored = f"OLD-{code}" if f"OLD-{code}" in book.parts and random.random() < 0.5 else code
            bodies.append(a_move(stored, units(quantity)))
        if random.random() < 0.15:
            lead = random.choice([0, 2, 3])
            lots.append((day_of(lead), 1000))
            line = a_line(code, packs=1, pack=1, needed=0, lead_days=lead)
            bodies.append(an_order(line))
    return bodies


def cost_of(asked: Asked, packs: dict[tuple[str, int], int]) -> int:
    """Cents of packs by part and offer."""
    goods: dict[str, int] = {}
    total = 0
    for (part, place), count in packs.items():
        name, _, cost, extra, _ = asked.offers[part][place]
        if count:
            goods[name] = goods.get(name, 0) + count * cost
            total += count * (cost + extra)
    for name, value in goods.items():
        freight, free, least, fee = asked.terms[name]
        total += 0 if free and value >= free else freight
        total += fee if value < least else 0
    return total


def dues(asked: Asked) -> dict[str, list[tuple[int, int]]]:
    """Day and units of each need by part: its job's day, or the day on which the job's last late part can be there."""
    late: dict[str, int] = {}
    for part, needs in asked.needs.items():
        soonest = min(offer[4] for offer in asked.offers[part])
        wanted = 0
        for job in sorted(needs, key=lambda job: (asked.by[job], job)):
            wanted += needs[job]
            there = sum(units for day, units in asked.stock.get(part, ()) if day <= asked.by[job])
            if asked.by[job] < soonest < ANY and wanted > there:
                late[job] = max(late.get(job, 0), soonest)
    return {
        part: [
            (max(asked.by[job], late.get(job, 0), min(offer[4] for offer in asked.offers[part])), needs[job])
            for job in needs
        ]
        for part, needs in asked.needs.items()
    }


def ways(asked: Asked, part: str, due: list[tuple[int, int]]) -> Iterator[dict[tuple[str, int], int]]:
    """All packs of a part's offers that bring everything in time; none where the shelf has enough."""
    offers, stock = asked.offers[part], asked.stock.get(part, [])
    missing = {
        day: left
        for day, _ in due
        if (left := sum(u for d, u in due if d <= day) - sum(u for d, u in stock if d <= day)) > 0
    }
    if not missing:
        yield {}
        return
    last = max(missing)
    most = []
    for name, pack, cost, _, there in offers:
        _, free, least, _ = asked.terms[name]
        reach = -(-max(free, least) // cost) if cost else 0
        most.append(max(-(-max(missing.values()) // pack), reach) if there <= last else 0)
    for counts in product(*(range(each + 1) for each in most)):
        if all(
            sum(count * offer[1] for count, offer in zip(counts, offers, strict=True) if offer[4] <= day) >= left
            for day, left in missing.items()
        ):
            yield {(part, place): count for place, count in enumerate(counts)}


def least(asked: Asked) -> tuple[int, int, int] | None:
    """Cents, suppliers and packs of the first of all orders; None where there are too many to try."""
    due = dues(asked)
    each = [list(ways(asked, part, due[part])) for part in asked.needs]
    tries = 1
    for some in each:
        tries *= len(some)
    if tries > MOST:
        return None
    best: tuple[int, int, int] | None = None
    for chosen in product(*each):
        packs = {key: count for way in chosen for key, count in way.items() if count}
        key = (
            cost_of(asked, packs),
            len({asked.offers[part][place][0] for part, place in packs}),
            sum(packs.values()),
        )
        if best is None or key < best:
            best = key
    return best


def usual_least(asked: Asked) -> int:
    """Each part in whole packs of the offer on its own row, in time or not."""
    due, packs = dues(asked), {}
    for part in asked.needs:
        stock = asked.stock.get(part, [])
        missing = max(
            (sum(u for d, u in due[part] if d <= day) - sum(u for d, u in stock if d <= day) for day, _ in due[part]),
            default=0,
        )
        packs[part, 0] = max(0, -(-missing // asked.offers[part][0][1]))
    return cost_of(asked, packs)


def differences(drawn: Drawn, seen: Counter[str]) -> list[str]:
    """What the order says otherwise than every order tried."""
    asked, best = drawn.asked, least(drawn.asked)
    if best is None:
        seen["too many"] += 1
        return []
    told = drawn.plan()
    ordered = told.ordered
    if ordered is None:
        return [] if not asked.needs else [f"nothing ordered for {asked.needs}"]
    found = []
    for what, ours, theirs in (
        ("cents", int(ordered.landed * 100), best[0]),
        ("bound", int(ordered.bound * 100), best[0]),
        ("suppliers", len(ordered.suppliers), best[1]),
        ("packs", sum(line.packs for line in ordered.lines), best[2]),
    ):
        found += [f"{what} {ours}, not {theirs}"] if ours != theirs else []
    if ordered.usual is not None and int(ordered.usual * 100) != usual_least(asked):
        found.append(f"usual {ordered.usual}, not {usual_least(asked)}")
    seen["late"] += any(note.code == "part-too-late" for note in told.notes)
    seen["usual"] += ordered.usual is not None
    seen["bought"] += bool(ordered.lines)
    seen["shelf"] += bool(ordered.shelf)
    seen["by the program"] += "program" in ordered.compared
    return [*found, *handed_out(asked, ordered)]


def handed_out(asked: Asked, ordered: Ordered) -> Iterator[str]:
    """Every job gets what it needs, sums are what they say, and no unit is given twice."""
    got: dict[tuple[str, str], int] = {}
    for line in ordered.lines:
        whole = line.packs * line.pack_quantity
        if sum(line.jobs.values()) + line.left_over != whole or line.amount != line.packs * line.pack_cost:
            yield f"{line.part}: packs, jobs and what is left over do not add up"
        for job, quantity in line.jobs.items():
            got[line.part, job] = got.get((line.part, job), 0) + int(quantity * 1000)
    taken: dict[str, int] = {}
    for take in ordered.shelf:
        part = take.part.removeprefix("OLD-")
        got[part, take.job] = got.get((part, take.job), 0) + int(take.quantity * 1000)
        taken[part] = taken.get(part, 0) + int(take.quantity * 1000)
    wanted = {(part, job): quantity for part, needs in asked.needs.items() for job, quantity in needs.items()}
    if got != wanted:
        yield f"jobs get {got}, not {wanted}"
    for part, quantity in taken.items():
        if quantity > sum(units for _, units in asked.stock[part]):
            yield f"more of {part} is taken from the shelf than there is"
    if sum((one.total for one in ordered.suppliers), Decimal(0)) != ordered.landed:
        yield "the suppliers' totals are not what it lands for"


def main() -> int:
    """Draw, order, try every order, report."""
    orders, seed = int(sys.argv[1]), int(sys.argv[2])
    seen: Counter[str] = Counter()
    started = time.monotonic()
    for one in range(seed, seed + orders):
        seen["drawn"] += 1
        for difference in differences(draw(Random(one)), seen):
            seen["differences"] += 1
            print(f"seed {one}: {difference}", flush=True)
    print(f"{dict(seen)}; {seen['differences']} differences; {time.monotonic() - started:.0f} s")
    return 1 if seen["differences"] else 0


if __name__ == "__main__":
    sys.exit(main())
