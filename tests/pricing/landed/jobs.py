"""Accepted jobs on a small shop: seals at NORTH and AXLE, a belt at NORTH, cotters on the shelf."""

from __future__ import annotations

from datetime import date
from decimal import Decimal
from typing import Any

from quotekit.model.agreed import Agreed, AgreedPart
from quotekit.model.job import Job
from quotekit.model.shop_book import Offer, ShopBook
from quotekit.pricing.landed.open_needs import JobToOrder
from tests.build import a_book, a_job, a_part, a_supplier, settings

DAY = date(2026, 11, 26)


def shop(**values: Any) -> ShopBook:
    """The shop, with anything of it replaced."""
    parts = [
        a_part("SEAL", "6.40", 2, suppliers_number="N-1", extra_freight=Decimal("0.50"), unit="each"),
        a_part("BELT", "11.80", lead_days=5, returnable=False),
        a_part("COTTER", "6.00", 100, supplier="SHELF"),
    ]
    suppliers = [
        a_supplier("NORTH", freight=Decimal("11.95"), lead_days=2),
        a_supplier("AXLE", lead_days=3),
        a_supplier("SHELF", shelf=True, lead_days=None),
    ]
    offers = (
        Offer(
            part="SEAL", supplier="AXLE", suppliers_number="A-1", pack_quantity=Decimal(5), pack_cost=Decimal("14.50")
        ),
        Offer(part="SEAL", supplier="SHELF", pack_quantity=Decimal(1), pack_cost=Decimal("1.00")),
    )
    given = {"parts": parts, "suppliers": suppliers, "settings": settings(queue_days=2), "offers": offers}
    return a_book(**given | values)


def agreed(ready_days: int | None = None, **quantities: Any) -> Agreed:
    """What was agreed of parts; `own_BELT` is the customer's own."""
    parts = [
        _part(code.removeprefix("own_"), quantity, own=code.startswith("own_")) for code, quantity in quantities.items()
    ]
    nothing: dict[str, Any] = dict.fromkeys(
        ("items", "work", "labour", "sublet", "savings", "fees", "freight", "taxes"), ()
    )
    zero = dict.fromkeys(
        ("minimum_amount", "minimum_hours", "subtotal", "tax", "total", "deposit", "cost_freight"), Decimal(0)
    )
    unknown = dict.fromkeys(("cost_labour", "cost_parts", "cost_sublet", "cost_total", "margin"))
    return Agreed(
        tier="good", option="Good", parts=tuple(parts), amounts={}, ready_days=ready_days, **nothing, **zero, **unknown
    )


def _part(code: str, quantity: object, *, own: bool) -> AgreedPart:
    return AgreedPart(
        part=code,
        name=code.title(),
        unit="",
        new_or_used="",
        quantity=Decimal(str(quantity)),
        packs=0,
        pack_quantity=Decimal(1),
        pack_cost=None,
        unit_price=Decimal(0),
        amount=Decimal(0),
        unit_cost=None,
        cost=None,
        supplier="",
        suppliers_number="",
        own=own,
    )


def to_order(job: str = "117", what: Agreed | None = None, **values: Any) -> JobToOrder:
    """A job accepted on Thursday."""
    record: Job = values.pop("record", None) or a_job(job_number=job)
    given = {"said_yes": DAY, "book": shop(), "record": record} | values
    return JobToOrder(job=job, agreed=what or agreed(SEAL=2), **given)
