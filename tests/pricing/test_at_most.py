"""The most an extra can add to a tier, whatever else is taken (DESIGN.md 5.8), by hand beside the exact difference."""

from __future__ import annotations

from typing import Any

import pytest

from quotekit.model.shop_book import Operation, ShopBook
from quotekit.pricing import price_combination
from tests import build
from tests.pricing.priced import first_tier


def shop(more: Operation, **values: Any) -> ShopBook:
    """A tier of 1.02 hours behind a cover of 0.5 and one part; MORE is the extra's operation."""
    named: dict[str, Any] = {
        "access": [build.a_step("COVER"), build.a_step("FLOOR", "0.2", "0.2", needs=["COVER"])],
        "operations": [build.an_operation("FIT", "1.02", access=["COVER"], parts="PUMP"), more],
        "parts": [build.a_part("PUMP", 40), build.a_part("SEAL", 8), build.a_part("KIT", 20, contains="SEAL x 2")],
        "findings": [build.a_finding("WORN")],
        "remedies": [build.a_remedy("NEW", ["WORN"], ["FIT"])],
        "extras": [build.an_extra("MORE", ["MORE"])],
        "tiers": [build.a_tier("good")],
    }
    return build.a_book(**(named | values))


def limits(book: ShopBook, **job: Any) -> tuple[str, str]:
    """Exact price and upper limit of the extra."""
    named = {"extras": (build.a_job_extra("MORE"),)} | job
    (one,) = first_tier(book, build.a_finding_on("WORN"), **named).extras
    return str(one.price), str(one.at_most)


def more(hours: str = "0.3", **values: Any) -> Operation:
    return build.an_operation("MORE", hours, **values)


def test_slack_from_rounding_up_is_not_given_away() -> None:
    """1.52 is billed 1.6; with 0.05 more it is 1.57, still 1.6: exactly nothing, at most 0.1 hours."""
    assert limits(shop(more("0.05"))) == ("0.00", "10.00")


def test_slack_may_work_the_other_way() -> None:
    """With 0.3 more, 1.82 is billed 1.9: 30 both ways; with 0.11, 1.63 is billed 1.7: 10, at most 0.2 hours."""
    assert limits(shop(more("0.3"))) == ("30.00", "30.00")
    assert limits(shop(more("0.11"))) == ("10.00", "20.00")


def test_only_steps_that_are_not_open_already() -> None:
    """The cover is open, the floor of 0.4 is not: 0.7 hours."""
    assert limits(shop(more("0.3", access=["FLOOR"]))) == ("70.00", "70.00")


def test_no_slack_from_the_minimum() -> None:
    """A minimum of 2 swallows the hours; on paper they are there."""
    book = shop(more("0.3"), settings=build.settings(minimum_labour_hours=2))
    assert limits(book) == ("0.00", "30.00")


@pytest.mark.parametrize("ceiling", [None, "0.3"])
def test_its_own_allowance_as_if_alone(ceiling: str | None) -> None:
    """FIT and MORE are slowed by a quarter: 0.255 and 0.075. 1.775 billed 1.8, then 2.15 billed 2.2.

    With a ceiling of 0.3: 1.775, then 0.5 + 1.32 + 0.3 = 2.12, billed 2.2. Alone 0.375, at most 0.4 hours.
    """
    book = shop(
        more("0.3", slowed_by_rust=True),
        operations=[
            build.an_operation("FIT", "1.02", access=["COVER"], slowed_by_rust=True),
            more("0.3", slowed_by_rust=True),
        ],
        conditions=[build.a_condition("RUSTY", "0.25", at_most_hours=ceiling)],
    )
    assert limits(book, condition="RUSTY") == ("40.00", "40.00")


def test_first_side_hours_even_where_it_is_the_second() -> None:
    """The tier presses the left at 1 hour; the right is 0.4 as a further side, on paper 1 hour."""
    press = build.an_operation("PRESS", 1, each_side=True, second_side_hours="0.4")
    book = shop(
        press,
        operations=[press],
        remedies=[build.a_remedy("NEW", ["WORN"], ["PRESS"])],
        extras=[build.an_extra("MORE", ["PRESS"])],
    )
    rows = (build.a_job_extra("MORE", "right"),)
    (one,) = first_tier(book, build.a_finding_on("WORN", "left"), extras=rows).extras
    assert (str(one.price), str(one.at_most)) == ("40.00", "100.00")


def test_no_kit_is_taken_off() -> None:
    """The tier's kit holds the two seals that the extra uses."""
    book = shop(
        more("0.3", parts="SEAL x 2"),
        operations=[build.an_operation("FIT", 1, parts="KIT"), more("0.3", parts="SEAL x 2")],
    )
    assert limits(book) == ("30.00", "54.00")


def test_a_kit_of_the_extra_takes_nothing_off_either() -> None:
    """FIT uses a seal; MORE brings the kit of 30 and saves the seal's 12."""
    operations = [build.an_operation("FIT", 1, parts="SEAL"), more("0.3", parts="KIT")]
    assert limits(shop(more(), operations=operations)) == ("48.00", "60.00")


def test_an_included_operation_gives_nothing_back() -> None:
    """MORE includes FIT, which goes with its cover and its part: 200 for 160 + 60; on paper its whole 2 hours."""
    book = shop(more("2", includes=["FIT"]))
    exact, most = limits(book)
    assert (exact, most) == ("-20.00", "200.00")


def test_a_found_remedy_done_by_the_tiers_work_costs_nothing() -> None:
    """FIT includes MORE: the remedy of what else was found brings neither hours nor its own part."""
    book = shop(
        more(),
        operations=[build.an_operation("FIT", "1.02", includes=["MORE"]), more()],
        findings=[build.a_finding("WORN"), build.a_finding("DIRTY", "advised")],
        remedies=[
            build.a_remedy("NEW", ["WORN"], ["FIT"]),
            build.a_remedy("CLEANED", ["DIRTY"], ["MORE"], parts="SEAL"),
        ],
        extras=[],
    )
    tier = first_tier(book, build.a_finding_on("WORN"), build.a_finding_on("DIRTY", severity="advised"))
    assert [(one.extra, str(one.price), str(one.at_most)) for one in tier.extras] == [("CLEANED", "0.00", "0.00")]


def test_core_charges_and_sublet_and_supplies() -> None:
    """30 hours' worth, supplies 5 % = 1.50; a part of 12 and its core of 5; sublet 20 x 1.1 = 22."""
    book = shop(
        more("0.3", parts="SEAL", sublet_cost=20),
        parts=[build.a_part("PUMP", 40), build.a_part("SEAL", 8, core_charge=5)],
        settings=build.settings(supplies_percent_of_labour="0.05", sublet_markup="0.1"),
    )
    assert limits(book, old_parts="keep") == ("70.50", "70.50")
    assert limits(book) == ("65.50", "65.50")


def test_the_supplies_cap_gives_no_slack() -> None:
    """The tier's 160 reach the cap of 8 already: exactly nothing more, on paper 1.50."""
    settings = build.settings(supplies_percent_of_labour="0.05", supplies_cap=8)
    assert limits(shop(more("0.3"), settings=settings)) == ("30.00", "31.50")


@pytest.mark.parametrize(
    ("applies", "job", "expected"),
    [
        (["MORE"], {}, ("34.00", "34.00")),
        (["MORE", "FIT"], {}, ("30.00", "30.00")),
        (["MORE"], {"fees": "WASTE x 2"}, ("30.00", "30.00")),
        (["MORE"], {"fees": "WASTE x 0"}, ("30.00", "30.00")),
    ],
)
def test_only_fees_not_charged_already(applies: list[str], job: dict[str, Any], expected: tuple[str, str]) -> None:
    """A fee of 4; a quantity on the job replaces its trigger."""
    assert limits(shop(more("0.3"), fees=[build.a_fee("WASTE", 4, applies_to=applies)]), **job) == expected


def test_no_saving_of_a_bundle_and_no_discount() -> None:
    """The bundle takes 10 off 30; a discount of half changes nothing on paper."""
    book = shop(more("0.3"), bundles=[build.a_bundle("PAIR", ["NEW", "MORE"], "labour amount off", 10)])
    assert limits(book) == ("20.00", "30.00")
    assert limits(book, discount_percent="0.5", discount_reason="Club")[1] == "30.00"


def test_each_amount_is_rounded_up() -> None:
    """0.3 hours at 33.35 = 10.005, so 10.01; a third of a part at 1.00 = 0.333, so 0.34; 5 % of 10.01 = 0.51."""
    book = shop(
        more("0.3", parts="SEAL x 0.333"),
        parts=[build.a_part("PUMP", 40), build.a_part("SEAL", fixed_price_each=1)],
        labour_rates=[build.a_rate(rate="33.35")],
        settings=build.settings(supplies_percent_of_labour="0.05"),
    )
    assert limits(book)[1] == "10.86"


def test_own_parts_cost_nothing() -> None:
    assert limits(shop(more("0.3", parts="SEAL")), own_parts=("SEAL",)) == ("30.00", "30.00")


def test_two_extras_that_open_the_same_step_never_cost_more_than_the_sum() -> None:
    """Each alone opens the floor: 70 and 60. Together 0.4 + 0.3 + 0.2 = 0.9 hours: 90."""
    operations = [
        build.an_operation("FIT", "1.02", access=["COVER"]),
        more("0.3", access=["FLOOR"]),
        build.an_operation("LINER", "0.2", access=["FLOOR"]),
    ]
    book = shop(
        more(), operations=operations, extras=[build.an_extra("MORE", ["MORE"]), build.an_extra("LINED", ["LINER"])]
    )
    rows = (build.a_job_extra("MORE"), build.a_job_extra("LINED"))
    job = build.a_job(build.a_finding_on("WORN"), extras=rows)
    tier = first_tier(book, build.a_finding_on("WORN"), extras=rows)
    assert {one.extra: str(one.at_most) for one in tier.extras} == {"LINED": "60.00", "MORE": "70.00"}
    assert str(price_combination(book, job, "good", ["MORE", "LINED"]).work - tier.work) == "90.00"
