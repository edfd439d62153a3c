"""What an order lands for: freight, thresholds, minimums and fees, to be checked by hand."""

from __future__ import annotations

from decimal import Decimal

import pytest

from quotekit.model.landed import Packs
from quotekit.model.shop_book import Supplier
from quotekit.pricing.landed.price import is_below_minimum, landed_cost, supplier_costs
from tests.pricing.landed.orders import a_need, a_task, an_offer, terms

FULL = terms(freight=9, free_freight_from=50, minimum_order=40, small_order_fee=6)
CASES = [
    ("below both", FULL, 2, ("36.00", "9.00", "6.00")),
    ("over both", FULL, 3, ("54.00", "0.00", "0.00")),
    ("no terms", Supplier(code="X", supplier="X"), 2, ("36.00", "0.00", "0.00")),
    ("on the free-freight value", terms(freight=9, free_freight_from=36), 2, ("36.00", "0.00", "0.00")),
    ("a cent below it", terms(freight=9, free_freight_from="36.01"), 2, ("36.00", "9.00", "0.00")),
    ("a value of zero never makes it free", terms(freight=9, free_freight_from=0), 2, ("36.00", "9.00", "0.00")),
    ("on the minimum", terms(minimum_order=36, small_order_fee=6), 2, ("36.00", "0.00", "0.00")),
    ("a minimum of zero is none", terms(minimum_order=0, small_order_fee=6), 2, ("36.00", "0.00", "0.00")),
]


@pytest.mark.parametrize(("why", "north", "packs", "expected"), CASES)
def test_goods_freight_and_fee(why: str, north: Supplier, packs: int, expected: tuple[str, str, str]) -> None:
    offer = an_offer("BELT", cost=18)
    task = a_task([a_need("BELT")], [offer], [Supplier(**{**vars(north), "code": "NORTH"})])
    (cost,) = supplier_costs(task, [Packs(offer=offer, packs=packs)])
    assert tuple(str(amount) for amount in (cost.goods, cost.freight, cost.fee)) == expected, why


def test_extra_freight_is_for_each_pack_also_where_freight_is_free() -> None:
    """An oversized part costs its extra whatever the order comes to."""
    offer = an_offer("AXLE-35", cost=188, extra_freight=Decimal(65))
    task = a_task([a_need("AXLE-35")], [offer], [terms(freight=9, free_freight_from=50)])
    (cost,) = supplier_costs(task, [Packs(offer=offer, packs=2)])
    assert (cost.goods, cost.freight) == (Decimal(376), Decimal(130))


def test_each_supplier_is_rounded_once() -> None:
    """Three packs at 0.125 are 0.375: 0.38, not three times 0.13."""
    north, axle = an_offer("SEAL", cost="0.125"), an_offer("SEAL", "AXLE", cost="0.125")
    task = a_task([a_need("SEAL")], [north, axle])
    packs = [Packs(offer=north, packs=3), Packs(offer=axle, packs=1)]
    assert [str(cost.total) for cost in supplier_costs(task, packs)] == ["0.13", "0.38"]
    assert landed_cost(task, packs) == Decimal("0.51")


@pytest.mark.parametrize(
    ("north", "goods", "below"),
    [
        (terms(minimum_order=40), "39.99", True),
        (terms(minimum_order=40), "40", False),
        (terms(minimum_order=0), "0", False),
        (terms(), "0", False),
    ],
)
def test_below_a_minimum(north: Supplier, goods: str, below: bool) -> None:
    """On the minimum is not below it; a minimum of zero is none."""
    assert is_below_minimum(north, Decimal(goods)) is below


@pytest.mark.parametrize("fee", [None, Decimal(0)])
def test_a_blank_fee_charges_nothing_as_in_a_quote(fee: Decimal | None) -> None:
    north = Supplier(code="NORTH", supplier="North", minimum_order=Decimal(40), small_order_fee=fee)
    offer = an_offer("SEAL")
    task = a_task([a_need("SEAL")], [offer], [north])
    assert landed_cost(task, [Packs(offer=offer, packs=1)]) == Decimal(10)
