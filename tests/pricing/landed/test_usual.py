"""Each part at its usual supplier: how many packs, what it lands for, and why it can't be."""

from __future__ import annotations

from decimal import Decimal

import pytest

from quotekit.model.landed import OrderTask
from quotekit.pricing.landed.in_time import covers_of
from quotekit.pricing.landed.usual import usual_order
from tests.pricing.landed.orders import DAY, FRIDAY, TUESDAY, a_lot, a_need, a_task, an_offer, terms

CASES = [
    ("whole packs", a_task([a_need("SEAL", 5)], [an_offer("SEAL", pack=2, cost=8)]), "24.00", ""),
    (
        "less the shelf",
        a_task([a_need("SEAL", 5)], [an_offer("SEAL", pack=2, cost=8)], lots=[a_lot("SEAL", 2)]),
        "16.00",
        "",
    ),
    (
        "with freight and fee",
        a_task([a_need("SEAL")], [an_offer("SEAL")], [terms(freight=9, minimum_order=20, small_order_fee=4)]),
        "23.00",
        "",
    ),
    (
        "never filled up",
        a_task([a_need("SEAL")], [an_offer("SEAL")], [terms(freight=9, free_freight_from=20)]),
        "19.00",
        "",
    ),
    (
        "below a minimum",
        a_task([a_need("SEAL")], [an_offer("SEAL")], [terms(minimum_order=20)]),
        "10.00",
        "",
    ),
    ("offers only", a_task([a_need("SEAL")], [an_offer("SEAL", "AXLE")]), None, "SEAL has no usual supplier"),
    (
        "too late where another is in time",
        a_task([a_need("SEAL", by=FRIDAY)], [an_offer("SEAL", lead_days=3), an_offer("SEAL", "AXLE")]),
        None,
        "SEAL from NORTH comes too late; it would land for 10.00",
    ),
    ("late, and nobody sooner", a_task([a_need("SEAL", by=DAY)], [an_offer("SEAL", lead_days=3)]), "10.00", ""),
    (
        "two days, one order",
        a_task([a_need("SEAL", 1, by=FRIDAY), a_need("SEAL", 3, "118", by=TUESDAY)], [an_offer("SEAL", pack=2)]),
        "20.00",
        "",
    ),
    ("nothing to buy", a_task([a_need("SEAL")], [an_offer("SEAL")], lots=[a_lot("SEAL", 4)]), "0", ""),
]


@pytest.mark.parametrize(("why", "task", "landed", "why_not"), CASES, ids=[case[0] for case in CASES])
def test_the_usual_order(why: str, task: OrderTask, landed: str | None, why_not: str) -> None:
    usual = usual_order(task, covers_of(task))
    assert usual.landed == (None if landed is None else Decimal(landed)), why
    assert usual.why_not == why_not
