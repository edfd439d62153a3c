"""The printed price of an extra: the most it can add, whatever else is taken with it (DESIGN.md 5.8).

Greasing takes half an hour behind a cover that a new bearing, one hour, opens anyway: 50.00 unless a case says more.
"""

from __future__ import annotations

from decimal import Decimal
from typing import Any

import pytest

from quotekit.model.job import Job
from quotekit.model.shop_book import ShopBook
from quotekit.pricing import build_quote, price_combination
from tests import build


def a_book(grease: dict[str, Any] | None = None, **values: Any) -> ShopBook:
    """The bearing with a bearing part, and the extra GREASED."""
    return build.a_book(
        **{
            "access": [build.a_step("COVER"), build.a_step("DECK")],
            "operations": [
                build.an_operation("FIT-BEARING", 1, access=["COVER"], parts="BEARING"),
                build.an_operation("GREASE", **({"access": ["COVER"]} | (grease or {}))),
            ],
            "parts": [build.a_part("BEARING", 20), build.a_part("TUBE", 10)],
            "conditions": [build.a_condition("RUSTY", "0.25")],
            "findings": [build.a_finding("NOISY")],
            "remedies": [build.a_remedy("NEW-BEARING", ["NOISY"], ["FIT-BEARING"])],
            "extras": [build.an_extra("GREASED", ["GREASE"])],
            "tiers": [build.a_tier("good")],
        }
        | values
    )


def a_job(**values: Any) -> Job:
    """The bearing is noisy; greasing is on the job's list."""
    return build.a_job(build.a_finding_on("NOISY"), **({"extras": [build.a_job_extra("GREASED")]} | values))


def at_most(book: ShopBook, job: Job | None = None) -> str:
    """The printed price of the only offer."""
    (offer,) = build_quote(book, job or a_job()).tiers[0].extras
    assert offer.price <= offer.at_most
    return str(offer.at_most)


@pytest.mark.parametrize(
    ("grease", "amount"),
    [
        ({}, "50.00"),
        ({"net_hours": "0.51"}, "60.00"),  # up to the next tenth, by itself
        ({"access": ["COVER", "DECK"]}, "100.00"),  # the deck is not off yet
        ({"slowed_by_rust": True}, "70.00"),  # 0.625 h, up to 0.7
        ({"requires": ["FIT-BEARING"]}, "50.00"),  # which is done anyway
        ({"parts": "TUBE"}, "65.00"),
        ({"parts": "TUBE x 0.3333"}, "55.00"),  # 4.9995, rounded up
        ({"sublet_cost": "20"}, "70.00"),
    ],
)
def test_its_own_work_at_full_price(grease: dict[str, Any], amount: str) -> None:
    """Hours of operations and steps the tier lacks, rounded up, and its parts."""
    hours = grease.pop("net_hours", "0.5")
    book = a_book({"net_hours": hours} | grease)
    assert at_most(book, a_job(condition="RUSTY")) == amount


def test_each_amount_is_rounded_up() -> None:
    """Half an hour at 99.99 is 49.995: 50.00, where a labour line rounds half up to the same."""
    assert at_most(a_book(labour_rates=[build.a_rate(rate="99.99")])) == "50.00"
    assert at_most(a_book({"net_hours": "0.1"}, labour_rates=[build.a_rate(rate="99.91")])) == "10.00"


@pytest.mark.parametrize(
    ("settings", "amount"),
    [
        ({"supplies_percent_of_labour": Decimal("0.1")}, "55.00"),
        ({"supplies_percent_of_labour": Decimal("0.1001")}, "55.01"),
        ({"supplies_percent_of_labour": Decimal("0.1"), "supplies_cap": 3}, "53.00"),
        ({"supplies_percent_of_labour": Decimal("0.1"), "supplies_shown_as": "off"}, "50.00"),
        ({"minimum_labour_hours": 9}, "50.00"),
        ({"inspection_fee": 40, "inspection_fee_credited": "when work goes ahead"}, "50.00"),
    ],
)
def test_supplies_and_what_never_counts(settings: dict[str, Any], amount: str) -> None:
    """No slack of the minimum, no inspection credit: the tier may use them up."""
    assert at_most(a_book(settings=build.settings(**settings))) == amount


def test_no_discount_and_no_bundle() -> None:
    """A tenth off the job and 20 off both together make the difference smaller, never the printed price."""
    book = a_book(bundles=[build.a_bundle("BOTH", ["NEW-BEARING", "GREASED"], "labour amount off", 20)])
    assert at_most(book, a_job(discount_percent=Decimal("0.1"), discount_reason="A friend")) == "50.00"


def test_no_kit_is_taken_off() -> None:
    """The tier's bearing kit holds a tube, so greasing adds none; the kit may not stay, so the tube is printed."""
    parts = [build.a_part("BEARING", 20, contains="TUBE"), build.a_part("TUBE", 10)]
    (offer,) = build_quote(a_book({"parts": "TUBE"}, parts=parts), a_job()).tiers[0].extras
    assert [str(offer.price), str(offer.at_most)] == ["50.00", "65.00"]


@pytest.mark.parametrize(("old_parts", "amount"), [("keep", "69.00"), ("show", "65.00"), (None, "65.00")])
def test_cores_where_the_customer_keeps_the_old_parts(old_parts: str | None, amount: str) -> None:
    """A core of 4 is lost to the shop only then."""
    parts = [build.a_part("BEARING", 20), build.a_part("TUBE", 10, core_charge=4)]
    assert at_most(a_book({"parts": "TUBE"}, parts=parts), a_job(old_parts=old_parts)) == amount


def test_the_customers_own_parts_cost_nothing() -> None:
    """They brought the tube."""
    assert at_most(a_book({"parts": "TUBE"}), a_job(own_parts=("TUBE",))) == "50.00"


@pytest.mark.parametrize(
    ("fee", "job", "amount"),
    [
        ({"applies_to": ["GREASE"]}, {}, "53.00"),
        ({"applies_to": ["GREASE", "FIT-BEARING"]}, {}, "50.00"),  # charged already
        ({"applies_to": ["GREASE"]}, {"fees": "WASTE x 2"}, "50.00"),  # the job sets it
        ({}, {}, "50.00"),
    ],
)
def test_fees_not_charged_already(fee: dict[str, Any], job: dict[str, Any], amount: str) -> None:
    """A waste fee of 3."""
    assert at_most(a_book(fees=[build.a_fee("WASTE", 3, **fee)]), a_job(**job)) == amount


@pytest.mark.parametrize(
    ("supplier", "extra_freight", "setting", "amount"),
    [
        ("SOUTH", None, "this job alone", "77.00"),  # 65 and flat freight of 12
        ("NORTH", None, "this job alone", "65.00"),  # the bearing comes from there anyway
        ("NORTH", 5, "this job alone", "70.00"),
        ("SOUTH", 5, "this job alone", "82.00"),
        ("SHELF", 5, "this job alone", "65.00"),
        ("SOUTH", 5, "none", "65.00"),
    ],
)
def test_freight(supplier: str, extra_freight: int | None, setting: str, amount: str) -> None:
    """Flat freight only where the tier orders nothing; extra freight per pack; the shelf is free."""
    book = a_book(
        {"parts": "TUBE"},
        settings=build.settings(freight_to_customer=setting),
        parts=[build.a_part("BEARING", 20), build.a_part("TUBE", 10, supplier=supplier, extra_freight=extra_freight)],
        suppliers=[
            build.a_supplier(freight=12),
            build.a_supplier("SOUTH", freight=12),
            build.a_supplier("SHELF", shelf=True),
        ],
    )
    assert at_most(book) == amount


def a_two_sided_book() -> ShopBook:
    """Greasing takes half an hour on the first side and 0.3 on the second, a tube each."""
    return a_book({"each_side": True, "second_side_hours": "0.3", "parts": "TUBE"})


def test_first_side_hours_count() -> None:
    """The left side is done in the tier, so the right one adds 0.3 h; printed is half an hour."""
    asked = [build.a_job_extra("GREASED", "left", asked=True)]
    (offer,) = build_quote(a_two_sided_book(), a_job(extras=asked)).tiers[0].extras
    assert [offer.extra, str(offer.price), str(offer.at_most)] == ["GREASED@right", "45.00", "65.00"]


def test_together_extras_never_cost_more_than_the_sum() -> None:
    """Both sides add 0.8 h and two tubes, 110.00, where 65.00 and 65.00 were printed."""
    book, job = a_two_sided_book(), a_job(extras=())
    tier = build_quote(book, job).tiers[0]
    both = price_combination(book, job, "good", [offer.extra for offer in tier.extras])
    assert (str(both.work - tier.work), [str(offer.at_most) for offer in tier.extras]) == ("110.00", ["65.00"] * 2)
