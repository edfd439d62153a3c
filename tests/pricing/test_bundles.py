"""Bundles and the job's discount (DESIGN.md 5.5 item 4 and 5.9), by hand."""

from __future__ import annotations

from datetime import date
from typing import Any

import pytest

from quotekit.model.quote import PricedTier
from quotekit.model.shop_book import Bundle, ShopBook
from tests import build
from tests.pricing.priced import first_tier, texts


def shop(*bundles: Bundle, **values: Any) -> ShopBook:
    """BUSH takes an hour and a part of 30, BELT half an hour and a part of 15, TEST is always done with a part of 6."""
    named: dict[str, Any] = {
        "operations": [
            build.an_operation("BUSH", 1, access=["COVER"], parts="BUSH", each_side=True),
            build.an_operation("BELT", "0.5", access=["COVER"], parts="BELT"),
            build.an_operation("TEST", "0", parts="FUEL"),
        ],
        "access": [build.a_step("COVER", 0, 0, parts="GASKET")],
        "parts": [
            build.a_part("BUSH", 20),
            build.a_part("BELT", 10),
            build.a_part("FUEL", 4),
            build.a_part("GASKET", 2),
        ],
        "machines": [build.a_machine(always=["TEST"])],
        "findings": [build.a_finding("WORN"), build.a_finding("FRAYED")],
        "remedies": [
            build.a_remedy("NEW-BUSH", ["WORN"], ["BUSH"]),
            build.a_remedy("NEW-BELT", ["FRAYED"], ["BELT"], parts="FUEL"),
        ],
        "bundles": list(bundles),
    }
    return build.a_book(**(named | values))


def both(book: ShopBook, **job: Any) -> PricedTier:
    """Both faults: labour 150, parts 30 + 15 + 12 for two of fuel + 3 for a gasket = 60."""
    return first_tier(book, build.a_finding_on("WORN", "left"), build.a_finding_on("FRAYED"), **job)


def listed(tier: PricedTier) -> list[tuple[str, str]]:
    """Each bundle with its amount."""
    return [(code, texts(amount)[0]) for code, amount in tier.bundles]


def test_without_a_bundle() -> None:
    tier = both(shop())
    assert texts(tier.amounts.labour, tier.amounts.parts, tier.amounts.savings, tier.work) == [
        "150.00",
        "60.00",
        "0.00",
        "210.00",
    ]


@pytest.mark.parametrize(
    ("saving", "value", "amount", "work"),
    [
        ("labour amount off", "25", "-25.00", "185.00"),
        ("labour amount off", "999", "-150.00", "60.00"),
        ("parts amount off", "10", "-10.00", "200.00"),
        ("parts amount off", "999", "-60.00", "150.00"),
        ("percent off parts", "0.1", "-5.40", "204.60"),
        ("percent off parts", "1", "-54.00", "156.00"),
        ("hours off", "0.5", "null", "160.00"),
        ("hours off", "99", "null", "60.00"),
    ],
)
def test_each_kind_of_saving(saving: Any, value: str, amount: str, work: str) -> None:
    """Never more than its charge; the members bring parts of 30 + 15 + 6 + 3 = 54, the Always fuel apart."""
    tier = both(shop(build.a_bundle("PAIR", ["NEW-BUSH", "NEW-BELT"], saving, value)))
    assert listed(tier) == [("PAIR", amount)]
    assert str(tier.work) == work


def test_every_member_must_be_there_on_any_side() -> None:
    pair = build.a_bundle("PAIR", ["NEW-BUSH", "NEW-BELT"], "labour amount off", 25)
    assert listed(both(shop(pair))) == [("PAIR", "-25.00")]
    assert listed(first_tier(shop(pair), build.a_finding_on("WORN", "right"))) == []


def test_once_whatever_the_number_of_sides() -> None:
    """Both bushings are renewed: the saving is 25, not 50."""
    one = build.a_bundle("ONE", ["NEW-BUSH"], "labour amount off", 25)
    tier = first_tier(shop(one), build.a_finding_on("WORN", "left"), build.a_finding_on("WORN", "right"))
    assert listed(tier) == [("ONE", "-25.00")]


def test_an_extra_may_be_a_member() -> None:
    book = shop(
        build.a_bundle("TREAT", ["NEW-BUSH", "WASH"], "labour amount off", 5),
        extras=[build.an_extra("WASH", ["BELT"])],
    )
    asked = first_tier(book, build.a_finding_on("WORN", "left"), extras=(build.a_job_extra("WASH", asked=True),))
    offered = first_tier(book, build.a_finding_on("WORN", "left"), extras=(build.a_job_extra("WASH"),))
    assert (listed(asked), listed(offered)) == ([("TREAT", "-5.00")], [])


@pytest.mark.parametrize(
    ("from_", "to", "counts"),
    [
        (None, None, True),
        (date(2026, 3, 2), None, True),
        (date(2026, 3, 3), None, False),
        (None, date(2026, 3, 2), True),
        (None, date(2026, 3, 1), False),
    ],
)
def test_a_dated_bundle_counts_from_its_first_to_its_last_day(
    from_: date | None, to: date | None, counts: bool
) -> None:
    """The quote is of 2 March 2026."""
    bundle = build.a_bundle("SPRING", ["NEW-BELT"], "labour amount off", 5, from_=from_, to=to)
    assert bool(listed(both(shop(bundle)))) is counts


def test_two_bundles_together_never_take_more_than_the_charge() -> None:
    """Labour 150: the first takes 100, the second the 50 that are left."""
    bundles = [build.a_bundle(code, ["NEW-BELT"], "labour amount off", 100) for code in ("A", "B")]
    assert listed(both(shop(*bundles))) == [("A", "-100.00"), ("B", "-50.00")]


def test_in_the_order_of_the_sheet() -> None:
    bundles = [
        build.a_bundle("Z", ["NEW-BELT"], "hours off", "0.1"),
        build.a_bundle("A", ["NEW-BELT"], "parts amount off", 1),
    ]
    assert listed(both(shop(*bundles))) == [("Z", "null"), ("A", "-1.00")]


def test_percent_off_parts_is_before_kits() -> None:
    """A kit of 45 takes the bushing and the belt off: charged 45 + 12 + 3, but the members brought 99: 9.90 off."""
    book = shop(
        build.a_bundle("PAIR", ["NEW-BUSH", "NEW-BELT"], "percent off parts", "0.1"),
        parts=[
            build.a_part("BUSH", 20),
            build.a_part("BELT", 10),
            build.a_part("FUEL", 4),
            build.a_part("GASKET", 2, also_needs="KIT"),
            build.a_part("KIT", 30, contains="BUSH; BELT"),
        ],
    )
    tier = both(book)
    assert str(tier.amounts.parts) == "60.00"
    assert listed(tier) == [("PAIR", "-9.90")]


def test_only_parts_that_members_bring_count() -> None:
    """The belt's parts of 15 + 6 and the gasket of 3 that it opens; the bushing of 30 is no member's."""
    tier = both(shop(build.a_bundle("BELTS", ["NEW-BELT"], "percent off parts", "0.5")))
    assert listed(tier) == [("BELTS", "-12.00")]


def test_the_discount_names_its_reason() -> None:
    assert [line.name for line in both(shop(), discount_percent="0.1", discount_reason="Club").saving_lines] == [
        "Discount: Club",
        "Discount: Club",
    ]


def test_own_parts_are_in_no_percentage() -> None:
    """The customer brings the bushing: 54 less 30."""
    book = shop(build.a_bundle("PAIR", ["NEW-BUSH", "NEW-BELT"], "percent off parts", "0.1"))
    assert listed(both(book, own_parts=("BUSH",))) == [("PAIR", "-2.40")]


def test_the_discount_comes_after_the_savings_rounded_once_on_labour_and_once_on_parts() -> None:
    """150 - 25 = 125, 7.5 % is 9.375, so 9.38; parts 60 - 10 = 50, 7.5 % is 3.75."""
    book = shop(
        build.a_bundle("L", ["NEW-BELT"], "labour amount off", 25),
        build.a_bundle("P", ["NEW-BELT"], "parts amount off", 10),
    )
    tier = both(book, discount_percent="0.075", discount_reason="Neighbour")
    assert [(line.key, str(line.amount)) for line in tier.saving_lines] == [
        ("L", "-25.00"),
        ("P", "-10.00"),
        ("DISCOUNT-LABOUR", "-9.38"),
        ("DISCOUNT-PARTS", "-3.75"),
    ]
    assert texts(tier.amounts.savings, tier.work) == ["-48.13", "161.87"]
    assert listed(tier) == [("L", "-25.00"), ("P", "-10.00")]


def test_the_discount_counts_the_minimum_line_as_labour() -> None:
    """Two hours at least: 200 less 10 %."""
    tier = both(shop(settings=build.settings(minimum_labour_hours=2)), discount_percent="0.1", discount_reason="Club")
    assert str(tier.saving_lines[0].amount) == "-20.00"


def test_the_discount_touches_neither_sublet_nor_fees() -> None:
    book = shop(
        operations=[build.an_operation("BELT", 1, sublet_cost=50)],
        machines=[build.a_machine()],
        remedies=[build.a_remedy("NEW-BELT", ["FRAYED"], ["BELT"])],
        fees=[build.a_fee("GATE", 8, always=True)],
        extras=[],
        parts=[],
    )
    tier = first_tier(book, build.a_finding_on("FRAYED"), discount_percent="0.5", discount_reason="Club")
    assert texts(tier.amounts.savings, tier.work) == ["-50.00", "108.00"]
