"""The plain implementation against figures worked out by hand, so that it can be trusted beside the engine."""

from __future__ import annotations

from fractions import Fraction
from typing import Any

from quotekit.model.job import Job
from quotekit.model.shop_book import ShopBook
from tests import build
from tests.oracle.quote import answer, combination


def first_tier(book: ShopBook, job: Job) -> dict[str, Any]:
    """The figures of the first tier."""
    tier: dict[str, Any] = answer(book, job)["tiers"][0]
    return tier


def a_thrower_book(**values: Any) -> ShopBook:
    """A bushing on each side behind one cover, and a belt behind the same cover."""
    named: dict[str, Any] = {
        "access": [build.a_step("COVER", "0.2", "0.3")],
        "operations": [
            build.an_operation(
                "BUSHING",
                "0.8",
                second_side_hours="0.5",
                each_side=True,
                access=["COVER"],
                parts="BUSH x 2",
                slowed_by_rust=True,
            ),
            build.an_operation("BELT", "0.4", access=["COVER"], parts="BELT"),
        ],
        "parts": [build.a_part("BUSH", 12, 4), build.a_part("BELT", 20)],
        "findings": [build.a_finding("WORN", "safety"), build.a_finding("FRAYED", "advised")],
        "remedies": [
            build.a_remedy("NEW-BUSH", ["WORN"], ["BUSHING"]),
            build.a_remedy("NEW-BELT", ["FRAYED"], ["BELT"]),
        ],
        "extras": [build.an_extra("SPARE-BELT", ["BELT"])],
        "conditions": [build.a_condition("RUSTY", "0.25")],
        "tiers": [build.a_tier("good")],
    }
    return build.a_book(**(named | values))


def test_two_sides_behind_one_cover() -> None:
    """0.5 for the cover once, 0.8 and 0.5 for the sides, a quarter more for rust: 2.125, billed 2.2 at 100."""
    job = build.a_job(build.a_finding_on("WORN", "left"), build.a_finding_on("WORN", "right"), condition="RUSTY")
    tier = first_tier(a_thrower_book(), job)
    assert tier["hours"]["access"] == Fraction("0.5")
    assert tier["hours"]["net"] == Fraction("1.3")
    assert tier["hours"]["allowance"] == Fraction("0.325")
    assert tier["hours"]["billed"] == {"MAIN": Fraction("2.2")}
    assert tier["amounts"]["labour"] == 220


def test_packs_and_units() -> None:
    """Four bushings at 12/4 x 1.5 = 4.50 each: 18.00 to the customer, one pack of four to buy."""
    job = build.a_job(build.a_finding_on("WORN", "left"), build.a_finding_on("WORN", "right"))
    tier = first_tier(a_thrower_book(), job)
    assert tier["parts"] == {"BUSH": (4, 1, Fraction("4.5"), 18)}
    assert tier["cash_for_parts"] == 12


def test_the_cover_is_shared() -> None:
    """A planned tier with a bushing and the belt: half of the cover's 0.5 hours each."""
    plan = [build.a_plan_item("good", "NEW-BUSH", "left"), build.a_plan_item("good", "NEW-BELT")]
    job = build.a_job(build.a_finding_on("WORN", "left"), build.a_finding_on("FRAYED"), plan=plan)
    shares = first_tier(a_thrower_book(), job)["shares"]
    assert shares["NEW-BUSH@left"]["hours"] == Fraction("1.05")
    assert shares["NEW-BELT"]["hours"] == Fraction("0.65")
    assert shares["NEW-BUSH@left"]["labour"] + shares["NEW-BELT"]["labour"] == 170


def test_an_extra_while_it_is_open() -> None:
    """The belt adds 0.4 hours at most 40 and a belt of 30; exactly 1.3 to 1.7 hours: also 40."""
    offers = first_tier(a_thrower_book(), build.a_job(build.a_finding_on("WORN", "left")))["extras"]
    assert [(one["extra"], one["price"], one["at_most"]) for one in offers] == [("SPARE-BELT", 70, 70)]
    together = combination(a_thrower_book(), build.a_job(build.a_finding_on("WORN", "left")), "good", ["SPARE-BELT"])
    assert together["work"] == 130 + 9 + 70


def test_money_in_its_order() -> None:
    """Labour 130, parts 9, supplies 5 %, ten percent off labour and parts, a fee of 4, tax of 10 % on labour only."""
    book = a_thrower_book(
        settings=build.settings(supplies_percent_of_labour="0.05"),
        fees=[build.a_fee("WASTE", 4, applies_to=["BUSHING"])],
        taxes=[build.a_tax("LOCAL", "0.1", ["labour"])],
    )
    job = build.a_job(build.a_finding_on("WORN", "left"), discount_percent="0.1", discount_reason="Neighbour")
    tier = first_tier(book, job)
    assert tier["amounts"]["savings"] == -(Fraction(13) + Fraction("0.9"))
    assert tier["work"] == Fraction("130") + 9 - Fraction("13.9") + Fraction("6.5") + 4
    assert tier["taxes"] == {"LOCAL": (117, Fraction("11.7"))}


def test_a_cheap_short_life_costs_more_over_the_years() -> None:
    """A repair of 60 every year for five years costs 300 to own; the replacement of 100 lasts: it is chosen."""
    book = build.a_book(
        operations=[build.an_operation("PATCH", "0.6"), build.an_operation("REPLACE", 1)],
        findings=[build.a_finding("WORN")],
        remedies=[
            build.a_remedy("PATCHED", ["WORN"], ["PATCH"], life_years=1),
            build.a_remedy("REPLACED", ["WORN"], ["REPLACE"], life_years=6),
        ],
        tiers=[build.a_tier("good"), build.a_tier("better", aim="least to own")],
    )
    good, better = answer(book, build.a_job(build.a_finding_on("WORN")))["tiers"]
    assert (good["items"], good["work"], good["horizon_cost"]) == (["PATCHED"], 60, 300)
    assert (better["items"], better["work"], better["horizon_cost"]) == (["REPLACED"], 100, 100)


def test_a_bushing_that_fits_only_a_sound_shaft() -> None:
    """The new bushing fits a shaft of at least 19; this one measures 18: only together with a new shaft of 20."""
    book = build.a_book(
        operations=[build.an_operation("BUSHING", 1), build.an_operation("SHAFT", 2)],
        findings=[
            build.a_finding("WORN"),
            build.a_finding("THIN", "watch", limit="19", fails_when="below", as_new="20"),
        ],
        remedies=[build.a_remedy("NEW-BUSH", ["WORN"], ["BUSHING"]), build.a_remedy("NEW-SHAFT", ["THIN"], ["SHAFT"])],
        fits_only_if=[build.fits_only_if("NEW-BUSH", "THIN", "19")],
        tiers=[build.a_tier("good")],
    )
    figures = answer(book, build.a_job(build.a_finding_on("WORN"), build.found(book, "THIN", measured="18")))
    assert figures["only_with"] == {"NEW-BUSH": ("NEW-SHAFT",)}
    assert figures["tiers"][0]["items"] == ["NEW-BUSH", "NEW-SHAFT"]
    assert figures["tiers"][0]["fixed"] == ["THIN", "WORN"]


def test_freight_by_supplier() -> None:
    """Two parts of 20 and 10 from a supplier with freight 8, a minimum of 40 and a fee of 3: 11 to the customer."""
    terms = build.a_supplier("NORTH", freight=8, free_freight_from=50, minimum_order=40, small_order_fee=3)
    book = build.a_book(
        settings=build.settings(freight_to_customer="this job alone"),
        suppliers=[terms],
        operations=[build.an_operation("FIT", 1, parts="A; B")],
        parts=[build.a_part("A", 20), build.a_part("B", 10)],
        findings=[build.a_finding("WORN")],
        remedies=[build.a_remedy("FITTED", ["WORN"], ["FIT"])],
    )
    assert first_tier(book, build.a_job(build.a_finding_on("WORN")))["amounts"]["freight"] == 11


def test_a_larger_operation_drops_the_smaller() -> None:
    """A gearbox rebuild includes the seal: the seal's remedy stays, done by the larger work, and pays nothing."""
    book = build.a_book(
        operations=[build.an_operation("REBUILD", 3, includes=["SEAL"]), build.an_operation("SEAL", 1, parts="S")],
        parts=[build.a_part("S")],
        findings=[build.a_finding("NOISY"), build.a_finding("LEAKS")],
        remedies=[build.a_remedy("REBUILT", ["NOISY"], ["REBUILD"]), build.a_remedy("SEALED", ["LEAKS"], ["SEAL"])],
    )
    tier = first_tier(book, build.a_job(build.a_finding_on("NOISY"), build.a_finding_on("LEAKS")))
    assert (tier["operations"], tier["dropped"], tier["parts"]) == (["REBUILD"], ["SEAL"], {})
    assert tier["shares"]["SEALED"]["amount"] == 0
    assert tier["fixed"] == ["LEAKS", "NOISY"]
