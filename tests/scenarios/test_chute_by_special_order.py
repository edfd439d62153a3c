"""A bent chute from one supplier and cables from another: freight of this job alone, deposit and waiting time.

Shop: 85.00 an hour. Deposit 50 % of ordered parts, 100 % where they can't go back. Two days of queue.
NORTH: freight 12.00, free from 150.00; below 60.00 a small order fee of 8.00; four days.
SOUTH: freight 20.00; ten days. Bolts are on the shelf.

Labour   chute 0.8, cables 0.6 = 1.4 x 85.00                       = 119.00
Parts    chute from SOUTH, not returnable: 88.00 + 40 %            = 123.20
         3 cables from NORTH: 16.00 + 60 % = 25.60                 =  76.80
         4 bolts from the shelf: 0.50 + 100 % = 1.00               =   4.00
Freight  NORTH: 3 x 16.00 = 48.00, so 12.00 + 8.00                 =  20.00
         SOUTH: 20.00 and 15.00 more for a bulky chute             =  35.00
To pay                                                             = 378.00
Deposit  50 % of 76.80 + 100 % of 123.20 = 38.40 + 123.20          = 161.60
Ready    the longest of 4, 10 and the shelf, and 2 of queue        = 12 working days
"""

from __future__ import annotations

import pytest

from quotekit.model.quote import PricedTier
from tests import build
from tests.pricing.priced import first_tier
from tests.scenarios.bill import bill, parts_bill


def quoted(cables: int = 3) -> PricedTier:
    """The only option, with so many cables."""
    book = build.a_book(
        settings=build.settings(
            freight_to_customer="this job alone",
            deposit_on_ordered_parts="0.5",
            deposit_on_non_returnable_parts=1,
            queue_days=2,
        ),
        labour_rates=[build.a_rate("MAIN", 85)],
        suppliers=[
            build.a_supplier(
                "NORTH", freight=12, free_freight_from=150, minimum_order=60, small_order_fee=8, lead_days=4
            ),
            build.a_supplier("SOUTH", freight=20, lead_days=10),
            build.a_supplier("SHELF", shelf=True),
        ],
        operations=[
            build.an_operation("FIT-CHUTE", "0.8", parts="CHUTE; BOLT x 4"),
            build.an_operation("FIT-CABLES", "0.6", parts=f"CABLE x {cables}"),
        ],
        parts=[
            build.a_part("CHUTE", 88, supplier="SOUTH", extra_freight=15, returnable=False),
            build.a_part("CABLE", 16),
            build.a_part("BOLT", "0.50", supplier="SHELF"),
        ],
        markup=[build.a_band(0, 5, 1), build.a_band(5, 50, "0.6"), build.a_band(50, None, "0.4")],
        findings=[build.a_finding("BENT"), build.a_finding("STIFF")],
        remedies=[
            build.a_remedy("NEW-CHUTE", ["BENT"], ["FIT-CHUTE"]),
            build.a_remedy("NEW-CABLES", ["STIFF"], ["FIT-CABLES"]),
        ],
    )
    return first_tier(book, build.a_finding_on("BENT"), build.a_finding_on("STIFF"))


def test_the_bill() -> None:
    """As added up above."""
    tier = quoted()
    assert bill(tier) == {
        "labour": "119.00",
        "parts": "204.00",
        "freight": "55.00",
        "subtotal": "378.00",
        "total": "378.00",
    }
    assert parts_bill(tier) == {"BOLT": "4.00", "CABLE": "76.80", "CHUTE": "123.20"}


def test_deposit_and_waiting_time() -> None:
    """Nothing is asked for the bolts, all of it for the chute, half for the cables."""
    tier = quoted()
    assert str(tier.deposit) == "161.60"
    assert tier.ready_days == 12


@pytest.mark.parametrize(
    ("cables", "freight"),
    [
        (3, "20.00"),  # 48.00: freight and the small order fee
        (4, "12.00"),  # 64.00: freight
        (9, "12.00"),  # 144.00: freight
        (10, "0.00"),  # 160.00: free
    ],
)
def test_a_fuller_order_from_one_supplier_does_not_help_the_other(cables: int, freight: str) -> None:
    """SOUTH stays at 35.00 whatever NORTH sends."""
    assert [str(line.amount) for line in quoted(cables).freight_lines] == [freight, "35.00"]
