"""Small orders for tables that can be checked by hand: seals, belts and bearings from NORTH and AXLE."""

from __future__ import annotations

from collections.abc import Iterable
from datetime import date
from decimal import Decimal
from typing import Any

from quotekit.model.entries import Cancelled, Entry, Ordered, OrderLine, Received, ReceivedLine, ShelfMove, ShelfTake
from quotekit.model.landed import NEVER, LandedChoice, Lot, Need, OrderTask, PackOffer, PartFacts
from quotekit.model.record_json import to_json
from quotekit.model.shop_book import Supplier
from quotekit.pricing.landed.choose import choose_order
from quotekit.pricing.landed.in_time import covers_of
from quotekit.pricing.landed.usual import usual_order

DAY = date(2026, 11, 26)
"""A Thursday."""
FRIDAY, MONDAY, TUESDAY = date(2026, 11, 27), date(2026, 11, 30), date(2026, 12, 1)


def number(value: object) -> Decimal:
    return Decimal(str(value))


def an_offer(part: str, supplier: str = "NORTH", pack: object = 1, cost: object = 10, **values: Any) -> PackOffer:
    """The usual offer of NORTH, another of anybody else, there the same day."""
    more = {"usual": supplier == "NORTH", "lead_days": 0, "suppliers_number": f"{supplier}-{part}"} | values
    return PackOffer(part=part, supplier=supplier, pack_quantity=number(pack), pack_cost=number(cost), **more)


def a_need(part: str, quantity: object = 1, job: str = "117", by: date = NEVER) -> Need:
    return Need(part=part, job=job, quantity=number(quantity), by=by)


def terms(code: str = "NORTH", **values: object) -> Supplier:
    """Terms with the amounts given."""
    amounts = {name: number(value) for name, value in values.items()}
    return Supplier(code=code, supplier=code.title(), **amounts)  # type: ignore[arg-type]


def a_task(
    needs: Iterable[Need],
    offers: Iterable[PackOffer],
    suppliers: Iterable[Supplier] = (),
    lots: Iterable[Lot] = (),
    digits: int = 2,
) -> OrderTask:
    """An order of Thursday."""
    needs, offers = tuple(needs), tuple(offers)
    parts = {need.part for need in needs}
    return OrderTask(
        day=DAY,
        digits=digits,
        needs=needs,
        offers=offers,
        terms={one.code: one for one in suppliers},
        parts={part: PartFacts(part=part, code=part, name=part.title()) for part in sorted(parts)},
        lots=tuple(lots),
    )


def a_lot(part: str, units: object, there: date = DAY) -> Lot:
    return Lot(part=part, units=number(units), there_from=there)


def chosen(task: OrderTask) -> LandedChoice:
    covers = covers_of(task)
    return choose_order(task, covers, usual_order(task, covers))


def bought(choice: LandedChoice) -> dict[str, int]:
    """Packs by `PART from SUPPLIER`."""
    return {f"{line.offer.part} from {line.offer.supplier}": line.packs for line in choice.packs}


def a_line(part: str = "SEAL", packs: int = 1, pack: object = 4, needed: object = 1, **values: Any) -> OrderLine:
    """A line of NORTH for job 117, three working days away."""
    units = packs * number(pack)
    jobs = {"117": number(needed)} if number(needed) else {}
    more = {"supplier": "NORTH", "suppliers_number": f"N-{part}", "pack_cost": Decimal("6.40"), "jobs": jobs}
    more |= {"lead_days": 3, "code": part} | values
    return OrderLine(
        part=part,
        name=part.title(),
        packs=packs,
        pack_quantity=number(pack),
        amount=packs * more["pack_cost"],
        needed=number(needed),
        left_over=units - number(needed),
        **more,
    )


def an_order(*lines: OrderLine, shelf: Iterable[ShelfTake] = (), **values: Any) -> Ordered:
    """An order of lines; what it lands for is of no interest."""
    more = {"suppliers": (), "usual": None, "bound": Decimal(0), "compared": "", "currency": "USD"} | values
    jobs = sorted({job for line in lines for job in line.jobs} | {take.job for take in shelf})
    landed = sum((line.amount for line in lines), Decimal(0))
    return Ordered(jobs=tuple(jobs), lines=lines, shelf=tuple(shelf), landed=landed, **more)


def a_take(part: str, quantity: object, job: str = "117") -> ShelfTake:
    return ShelfTake(part=part, name=part.title(), job=job, quantity=number(quantity))


def came(order: int, line: int, packs: int, **values: Any) -> Received:
    """Packs of one line that came in."""
    return Received(order=order, lines=(ReceivedLine(supplier="NORTH", part="", packs=packs, line=line, **values),))


def entries(*bodies: Ordered | Received | ShelfMove | Cancelled, day: date = DAY) -> list[Entry]:
    """Entries that tell these, in order; orders are numbered 1, 2 and on."""
    made, orders = [], 0
    for seq, body in enumerate(bodies, 1):
        kind = {Ordered: "ordered", Received: "received", ShelfMove: "shelf", Cancelled: "cancelled"}[type(body)]
        orders += kind == "ordered"
        made.append(
            Entry(
                seq=seq,
                at="",
                day=day,
                who="",
                why="",
                kind=kind,  # type: ignore[arg-type]
                job="",
                version=None,
                number=orders if kind == "ordered" else None,
                body=to_json(body),
                hash="",
                before="",
            )
        )
    return made


def a_move(part: str, quantity: object, cost: object | None = None, job: str = "") -> ShelfMove:
    return ShelfMove(part=part, quantity=number(quantity), unit_cost=None if cost is None else number(cost), job=job)
