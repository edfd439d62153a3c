"""A tier laid open: lines, users, hours, costs and the opening amount (DESIGN.md 5.6, 5.9 and 7), by hand."""

from __future__ import annotations

from typing import Any

import pytest

from quotekit.model.quote import PricedTier
from quotekit.model.shop_book import ShopBook
from tests import build
from tests.pricing.priced import first_tier, plain, texts


def shop(**values: Any) -> ShopBook:
    """A bushing on each side, slowed by rust, behind a cover, and a belt; a final test is always done."""
    named: dict[str, Any] = {
        "labour_rates": [build.a_rate(cost=40), build.a_rate("WELD", 120, 50)],
        "access": [build.a_step("COVER")],
        "operations": [
            build.an_operation(
                "BUSH",
                "0.8",
                each_side=True,
                second_side_hours="0.5",
                access=["COVER"],
                slowed_by_rust=True,
                parts="BUSH",
            ),
            build.an_operation("BELT", "0.4", access=["COVER"]),
            build.an_operation("PLATE", "0.2", labour="WELD", sublet_cost=30, customer_wording="Plating"),
            build.an_operation("TEST", "0.3"),
        ],
        "conditions": [build.a_condition("RUSTY", "0.25")],
        "parts": [build.a_part("BUSH", 10, 3)],
        "machines": [build.a_machine(always=["TEST"])],
        "findings": [build.a_finding("WORN"), build.a_finding("FRAYED")],
        "remedies": [
            build.a_remedy(
                "NEW-BUSH", ["WORN"], ["BUSH"], warranty_days=90, leaves="The shaft", customer_wording="New bushing"
            ),
            build.a_remedy("NEW-BELT", ["FRAYED"], ["BELT", "PLATE"], kind="repair"),
        ],
        "tiers": [build.a_tier("good")],
    }
    return build.a_book(**(named | values))


def everything(book: ShopBook, **job: Any) -> PricedTier:
    """Both bushings and the belt.

    Access 0.5; net 0.8 + 0.5 + 0.4 + 0.3 at MAIN = 2.0, 0.2 at WELD; rust 0.325. MAIN 2.825, billed 2.9; WELD 0.2.
    """
    found = [build.a_finding_on("WORN", side) for side in ("left", "right")]
    return first_tier(book, *found, build.a_finding_on("FRAYED"), **({"condition": "RUSTY"} | job))


def test_hours_of_the_tier() -> None:
    hours = everything(shop()).hours
    assert [plain(value) for value in (hours.access, hours.net, hours.allowance, hours.off, hours.minimum_added)] == [
        "0.5",
        "2.2",
        "0.325",
        "0",
        "0",
    ]
    assert {rate: plain(value) for rate, value in hours.billed.items()} == {"MAIN": "2.9", "WELD": "0.2"}


def test_a_labour_line_for_each_rate_with_what_the_hours_cost() -> None:
    """MAIN 2.825 worked at 40 = 113, billed 290; WELD 0.2 at 50 = 10, billed 24."""
    lines = everything(shop()).labour_lines
    assert [(line.rate, plain(line.billed), str(line.amount), str(line.cost)) for line in lines] == [
        ("MAIN", "2.9", "290.00", "113.00"),
        ("WELD", "0.2", "24.00", "10.00"),
    ]
    assert [plain(value) for value in (lines[0].access, lines[0].net, lines[0].allowance)] == ["0.5", "2", "0.325"]


def test_a_blank_cost_leaves_cost_and_margin_unknown() -> None:
    tier = everything(shop(labour_rates=[build.a_rate(cost=40), build.a_rate("WELD", 120, None)]))
    assert texts(tier.labour_lines[1].cost, tier.cost.labour, tier.cost.total, tier.margin) == ["null"] * 4


def test_operations_with_their_users() -> None:
    lines = {line.key: line for line in everything(shop()).operations}
    assert list(lines) == ["BELT", "BUSH@left", "BUSH@right", "PLATE", "TEST"]
    assert [(plain(lines[key].hours), lines[key].further_side) for key in ("BUSH@left", "BUSH@right")] == [
        ("0.8", False),
        ("0.5", True),
    ]
    assert lines["BUSH@left"].users == ("NEW-BUSH@left",)
    assert lines["TEST"].users == ()
    assert lines["TEST"].always


def test_access_is_listed_once_with_those_that_share_it() -> None:
    (cover,) = everything(shop()).access
    assert (cover.key, plain(cover.hours), cover.always) == ("COVER", "0.5", False)
    assert sorted(cover.users) == ["NEW-BELT", "NEW-BUSH@left", "NEW-BUSH@right"]


def test_items_with_the_words_people_read() -> None:
    belt, left, _ = everything(shop()).items
    assert (belt.key, belt.kind, belt.wording, belt.remedy_kind) == ("NEW-BELT", "remedy", "New-Belt", "repair")
    assert (left.key, left.name, left.wording) == ("NEW-BUSH@left", "New-Bush", "New bushing")
    assert (left.fixes, left.warranty_days, left.leaves) == (("WORN@left",), 90, "The shaft")
    assert not left.done_by_larger_work


def test_each_finding_has_the_life_of_its_own_remedy() -> None:
    remedies = [
        build.a_remedy("NEW-BUSH", ["WORN"], ["BUSH"], life_years=2),
        build.a_remedy("NEW-BELT", ["FRAYED"], ["BELT"], life_years=6),
    ]
    tier = everything(shop(remedies=remedies))
    assert {key: plain(life) for key, life in tier.lives.items()} == {
        "FRAYED": "6",
        "WORN@left": "2",
        "WORN@right": "2",
    }


def test_an_extra_has_its_wording_and_life() -> None:
    book = shop(extras=[build.an_extra("SPARE", ["BELT"], life_years=4, customer_wording="A spare belt")])
    tier = first_tier(book, extras=(build.a_job_extra("SPARE", asked=True),))
    (item,) = tier.items
    assert (item.kind, item.name, item.wording, item.asked) == ("extra", "Spare", "A spare belt", True)
    assert item.life_years == 4


def test_a_one_off_line_is_an_item_but_no_operation() -> None:
    tier = first_tier(shop(), one_off=[build.a_one_off(1, "labour", "0.5", access=["COVER"])])
    assert [(item.key, item.kind, item.name) for item in tier.items] == [("ONEOFF-1", "one-off", "Line 1")]
    assert [line.key for line in tier.operations] == ["TEST"]
    assert tier.access[0].users == ("ONEOFF-1",)


def test_cost_of_the_job() -> None:
    """Labour 113 + 10; two bushings of 10/3 are 6.67; plating 30: 159.67. Sold: 314 + 10 + 30 = 354."""
    tier = everything(shop())
    cost = tier.cost
    assert texts(cost.labour, cost.parts_used, cost.cores, cost.sublet, cost.freight, cost.total) == [
        "123.00",
        "6.67",
        "0.00",
        "30.00",
        "0.00",
        "159.67",
    ]
    assert texts(tier.amounts.labour, tier.amounts.parts, tier.subtotal, tier.margin) == [
        "314.00",
        "10.00",
        "354.00",
        "194.33",
    ]


def test_cash_to_spend_counts_whole_packs() -> None:
    """Two of a pack of three at 10."""
    assert str(everything(shop()).cash_for_parts) == "10.00"


def test_the_minimum_costs_nothing_because_nobody_works_it() -> None:
    tier = everything(shop(settings=build.settings(minimum_labour_hours=5)))
    assert texts(tier.minimum_amount, tier.cost.labour) == ["190.00", "123.00"]


def test_cores_cost_what_is_charged() -> None:
    tier = everything(shop(parts=[build.a_part("BUSH", 10, 3, core_charge=4)]), old_parts="keep")
    assert texts(tier.amounts.cores, tier.cost.cores) == ["8.00", "8.00"]


def test_a_one_off_price_without_a_cost_leaves_the_margin_unknown() -> None:
    for kind, unknown in [("part", "parts_used"), ("sublet", "sublet")]:
        tier = first_tier(shop(), one_off=[build.a_one_off(1, kind, 1, unit_price=9)])
        assert getattr(tier.cost, unknown) is None
        assert (tier.cost.total, tier.margin) == (None, None)


def test_sublet_lines_have_words_and_cost() -> None:
    """A one-off line of two at 7.125: 14.25."""
    tier = everything(shop(), one_off=[build.a_one_off(1, "sublet", 2, unit_cost="7.125")])
    assert {line.key: (line.name, str(line.amount), str(line.cost)) for line in tier.sublet_lines} == {
        "ONEOFF-1": ("Line 1", "14.25", "14.25"),
        "PLATE": ("Plating", "30.00", "30.00"),
    }


def test_an_operation_of_a_plan_has_its_own_words() -> None:
    """Its name, and the customer wording of its row."""
    tier = first_tier(shop(), plan=[build.a_plan_item("good", "PLATE")])
    assert [(item.name, item.wording) for item in tier.items] == [("Plate", "Plating")]


def test_freight_that_is_not_charged_is_listed_with_its_cost() -> None:
    tier = everything(shop(suppliers=[build.a_supplier(freight=9)]))
    assert [(line.key, line.name, str(line.amount), str(line.cost)) for line in tier.freight_lines] == [
        ("NORTH", "North", "0.00", "9.00")
    ]


def test_the_opening_amount_is_by_exact_hours() -> None:
    """0.5 of 2.825 hours at MAIN, of 290: 51.327..., so 51.33; WELD opens nothing."""
    assert str(everything(shop()).opening_amount) == "51.33"


def test_the_opening_amount_takes_its_part_of_the_minimum() -> None:
    """190 to the minimum of 5, by 0.5 of 3.025 hours: 31.40 on top."""
    tier = everything(shop(settings=build.settings(minimum_labour_hours=5)))
    assert str(tier.opening_amount) == "82.73"


def test_a_minimum_on_no_work_opens_nothing() -> None:
    book = shop(settings=build.settings(minimum_labour_hours=1), machines=[build.a_machine()])
    tier = first_tier(book, one_off=[build.a_one_off(1, "charge", 1, unit_price=5)])
    assert texts(tier.minimum_amount, tier.opening_amount) == ["100.00", "0.00"]


@pytest.mark.parametrize(
    ("lives", "stated"), [((2, 6), {"WORN": 6}), ((None, 6), {"WORN": None}), ((2, None), {"WORN": None})]
)
def test_stated_lives_are_the_longest_or_not_stated(lives: tuple[Any, Any], stated: dict[str, Any]) -> None:
    """Two planned remedies for one finding."""
    remedies = [
        build.a_remedy(code, ["WORN"], ["BELT"], life_years=life) for code, life in zip(["A", "B"], lives, strict=True)
    ]
    plan = [build.a_plan_item("good", code) for code in "AB"]
    tier = first_tier(shop(remedies=remedies), build.a_finding_on("WORN"), plan=plan)
    assert dict(tier.lives) == stated
