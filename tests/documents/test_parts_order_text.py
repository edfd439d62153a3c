"""A parts order and a delivery as a person reads them."""

from __future__ import annotations

from decimal import Decimal

from quotekit.documents.parts_order_text import order_text
from quotekit.documents.received_text import DeliveryState, received_json, received_text
from quotekit.model.entries import SupplierOrder
from quotekit.pricing.landed.open_orders import line_states
from tests.pricing.landed.orders import DAY, a_line, a_take, an_order, came

NORTH = SupplierOrder(
    supplier="NORTH",
    name="North Parts",
    goods=Decimal("6.40"),
    freight=Decimal(9),
    fee=Decimal("6.50"),
    total=Decimal("21.90"),
)
ORDER = an_order(
    a_line("SEAL", unit="each", returnable=False),
    shelf=[a_take("COTTER", 6)],
    suppliers=(NORTH,),
    compared="Proved.",
    usual=Decimal("7.00"),
)


def test_an_order() -> None:
    assert list(order_text(3, ORDER)) == [
        "Order 3, for 117, in USD",
        "North Parts: goods 6.40, freight 9.00, small order fee 6.50, together 21.90",
        "  1 x SEAL (pack of 4, 6.40 a pack): 1 for 117, 3 left over, cannot be returned",
        "From the shelf:",
        "  6 COTTER for 117",
        "Lands for 6.40. Proved.",
        "Each part at its usual supplier: 7.00, so 0.60 is saved.",
    ]


def test_what_would_be_ordered() -> None:
    told = list(order_text(None, an_order(a_line(cost_known=False), usual_why="too late")))
    assert told[0] == "What would be ordered, for 117, in USD"
    assert told[-1] == "Each part at its usual supplier can't be: too late."


def test_a_line_bought_elsewhere() -> None:
    line = list(order_text(1, an_order(a_line(instead_of="AXLE"), suppliers=(NORTH,))))[2]
    assert line.endswith("1 for 117, 3 left over, instead of AXLE")


def test_a_line_for_no_job() -> None:
    """Packs that only fill up an order."""
    line = list(order_text(1, an_order(a_line(needed=0), suppliers=(NORTH,))))[2]
    assert line == "  1 x SEAL (pack of 4, 6.40 a pack): for no job, 4 left over"


def state(*received: object) -> DeliveryState:
    before, after = line_states(ORDER, received[:-1]), line_states(ORDER, received)  # type: ignore[arg-type]
    lines = received[-1].lines  # type: ignore[attr-defined]
    return DeliveryState(ordered=ORDER, before=tuple(before), after=tuple(after), lines=lines)


def test_a_delivery() -> None:
    """Only what this delivery brought counts as its difference and as put on the shelf."""
    told = received_text(3, state(came(1, 1, 1, pack_cost=Decimal("6.00"))))
    assert told == [
        "Came in: 1 x  from NORTH, charged 6.00 a pack",
        "Charged 0.40 less than ordered.",
        "Onto the shelf: 3 SEAL",
        "Nothing of order 3 is open.",
    ]


def test_a_delivery_as_json() -> None:
    told = received_json(3, DAY, state(came(1, 1, 0, back_ordered=1)), [])
    assert (told["difference"], told["to_shelf"]) == ("0.00", [])
    assert told["open"] == [
        {
            "line": 1,
            "supplier": "NORTH",
            "part": "SEAL",
            "packs": 1,
            "back_ordered": 1,
            "expected": None,
            "jobs": ["117"],
        }
    ]
    refused = received_json(9, DAY, None, [])
    assert refused == {"order": 9, "day": "2026-11-26", "received": [], "open": [], "problems": []}
