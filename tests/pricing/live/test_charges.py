"""Sublet, supplies, fees, one-off charges and the credit of any choice, by hand."""

from __future__ import annotations

from decimal import Decimal
from typing import Any

import pytest

from quotekit.model.expression import Step, evaluate
from quotekit.model.job import Job
from quotekit.model.shop_book import ShopBook
from quotekit.pricing.live.charges import live_credit, live_fees, live_sublet, live_supplies
from tests import build
from tests.pricing.live.bench import Bench, a_bench


def shop(**values: Any) -> ShopBook:
    """GRIND is another shop's at 25.00, with 20 %; A and B are our own."""
    named: dict[str, Any] = {
        "operations": [
            build.an_operation("GRIND", 0, sublet_cost="25.00"),
            build.an_operation("A"),
            build.an_operation("B"),
        ],
        "settings": build.settings(sublet_markup="0.2"),
    }
    return build.a_book(**(named | values))


def test_sublet_work_when_it_is_done() -> None:
    """25.00 x 1.2 = 30.00."""
    bench = a_bench(shop(), "GRIND", "A")
    (line,) = live_sublet(bench.working, bench.work)
    assert [bench.number(line, *keys) for keys in ((), ("A",), ("GRIND",))] == [0, 0, 3000]


def test_sublet_work_done_on_both_sides_is_two_lines() -> None:
    bench = a_bench(
        shop(operations=[build.an_operation("GRIND", 0, each_side=True, sublet_cost="10.01")]),
        "GRIND@left",
        "GRIND@right",
    )
    lines = live_sublet(bench.working, bench.work)
    assert [bench.number(line, "GRIND@left", "GRIND@right") for line in lines] == [1201, 1201]
    assert sum(bench.number(line, "GRIND@right") for line in lines) == 1201


@pytest.mark.parametrize(
    ("values", "cents"),
    [({"unit_cost": "10.03", "quantity": 2}, 2407), ({"unit_price": "10.005", "quantity": 3}, 3002)],
)
def test_one_off_sublet(values: dict[str, Any], cents: int) -> None:
    """20.06 x 1.2 = 24.072 -> 24.07; 30.015 -> 30.02."""
    line = build.a_one_off(kind="sublet", **values)
    bench = a_bench(shop(), "ONEOFF-1", job=build.a_job(one_off=(line,)))
    (found,) = live_sublet(bench.working, bench.work)
    assert (bench.number(found), bench.number(found, "ONEOFF-1")) == (0, cents)


def supplies(labour: int, **values: Any) -> int:
    """Supplies in cents on so much labour, 4.5 % unless told otherwise."""
    given = {"supplies_percent_of_labour": "0.045"} | values
    bench = a_bench(shop(settings=build.settings(**given)))
    amount = Step("labour")
    found = Step("found", live_supplies(bench.working, amount))
    return evaluate((amount, *bench.working.steps, found), {amount: labour})[found]


@pytest.mark.parametrize(
    ("labour", "values", "expected"),
    [
        (10000, {}, 450),
        (10011, {}, 450),
        (10100, {}, 455),
        (10100, {"supplies_cap": "4.55"}, 455),
        (10100, {"supplies_cap": "4.00"}, 400),
        (10100, {"supplies_cap": "4.005"}, 401),
        (10100, {"supplies_cap": "0"}, 0),
        (10100, {"supplies_shown_as": "off"}, 0),
        (10100, {"supplies_percent_of_labour": "0"}, 0),
    ],
)
def test_supplies_are_a_percent_of_labour_up_to_a_cap(labour: int, values: dict[str, Any], expected: int) -> None:
    """4.5 % of 101.00 = 4.545 -> 4.55, half up; of 100.11 = 4.50495 -> 4.50."""
    assert supplies(labour, **values) == expected


class Fees:
    """Fees and charges in cents with their signs, by code, for any of some items."""

    def __init__(self, book: ShopBook, *keys: str, job: Job | None = None) -> None:
        self.bench: Bench = a_bench(book, *keys, job=job)
        self.fees = live_fees(self.bench.working, self.bench.work)

    def __call__(self, *ticked: str) -> dict[str, int]:
        amounts = [(fee.code, fee.sign * self.bench.number(fee.amount, *ticked)) for fee in self.fees]
        return {code: amount for code, amount in amounts if amount}


def test_a_fee_comes_once_with_any_of_its_operations() -> None:
    fees = Fees(shop(fees=[build.a_fee("OIL", "3", applies_to=["A", "B"])]), "A", "B", "GRIND")
    assert fees("A") == fees("B") == fees("A", "B") == {"OIL": 300}
    assert fees() == fees("GRIND") == {}


def test_a_fee_on_every_job_and_one_that_nobody_named() -> None:
    fees = Fees(shop(fees=[build.a_fee("SHOP", "2", always=True), build.a_fee("PICKUP", "1.5")]), "A")
    assert fees() == fees("A") == {"SHOP": 200}
    assert [fee.code for fee in fees.fees] == ["SHOP"]


def test_the_jobs_quantity_takes_the_place_of_what_brings_a_fee() -> None:
    """12.5 miles at 1.505 = 18.8125 -> 18.81; OIL is waived although A is done; SHOP counts twice."""
    book = shop(
        fees=[
            build.a_fee("OIL", "3", applies_to=["A"]),
            build.a_fee("PICKUP", "1.505"),
            build.a_fee("SHOP", "2", always=True),
        ]
    )
    fees = Fees(book, "A", job=build.a_job(fees="PICKUP x 12.5; OIL x 0; SHOP x 2"))
    assert fees() == fees("A") == {"PICKUP": 1881, "SHOP": 400}


def test_a_fee_of_work_that_larger_work_makes_unnecessary_is_not_charged() -> None:
    book = shop(
        operations=[build.an_operation("A"), build.an_operation("OVERHAUL", includes=["A"])],
        fees=[build.a_fee("OIL", "3", applies_to=["A"])],
    )
    fees = Fees(book, "A", "OVERHAUL")
    assert (fees("A"), fees("A", "OVERHAUL")) == ({"OIL": 300}, {})


@pytest.mark.parametrize(("price", "quantity", "cents"), [("12.50", 1, 1250), ("-12.505", 1, -1251), ("-4", 3, -1200)])
def test_a_one_off_charge_may_be_below_zero(price: str, quantity: int, cents: int) -> None:
    """Rounded by its size, half away from zero; it has no code, as no tax row can name it."""
    line = build.a_one_off(kind="charge", unit_price=price, quantity=quantity)
    fees = Fees(shop(), "ONEOFF-1", job=build.a_job(one_off=(line,)))
    assert fees("ONEOFF-1") == {"": cents}
    assert fees() == {}
    assert fees.fees[0].sign == (-1 if cents < 0 else 1)


def credit(work: int, rule: Any, *, fee: str = "45") -> int:
    """The inspection fee given back in cents, for so much work."""
    bench = a_bench(shop(settings=build.settings(inspection_fee=fee, inspection_fee_credited=rule)))
    done = Step("work")
    found = Step("found", live_credit(bench.working, done))
    return evaluate((done, *bench.working.steps, found), {done: work})[found]


@pytest.mark.parametrize(
    ("rule", "work", "expected"),
    [
        ("never", 99999, 0),
        ("when work goes ahead", 1, 4500),
        (Decimal("100"), 9999, 0),
        (Decimal("100"), 10000, 4500),
        (Decimal("100.005"), 10000, 0),
        (Decimal("100.005"), 10001, 4500),
    ],
)
def test_the_inspection_fee_is_given_back_by_the_shops_rule(rule: Any, work: int, expected: int) -> None:
    """From 100.00 of work on, exactly; a limit of 100.005 is first met by 100.01."""
    assert credit(work, rule) == expected


def test_without_an_inspection_fee_nothing_is_given_back() -> None:
    assert credit(10000, Decimal("100"), fee="0") == 0
