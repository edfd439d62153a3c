"""Tiers from least to most, and why one is not offered (DESIGN.md 5.7 and 5.9)."""

from __future__ import annotations

from collections.abc import Sequence
from typing import Any

import pytest

from quotekit.model.quote import Quote
from quotekit.model.shop_book import ShopBook
from quotekit.pricing import build_quote
from tests import build
from tests.pricing.priced import keys_of

SEVERITIES = {"BRAKE": "safety", "BELT": "needed", "PAINT": "advised", "NOISE": "watch"}
GOOD = build.a_tier("good", ["safety"])
BETTER = build.a_tier("better", ["safety", "needed"])
BEST = build.a_tier("best", ["safety", "needed", "advised"])


def a_book(*tiers: Any, without: Sequence[str] = (), **values: Any) -> ShopBook:
    """A finding of each severity with one remedy of its name and one hour, NEW-BRAKE and so on."""
    codes = [code for code in SEVERITIES if code not in without]
    return build.a_book(
        **{
            "operations": [build.an_operation(f"FIT-{code}", 1) for code in SEVERITIES],
            "findings": [build.a_finding(code, severity) for code, severity in SEVERITIES.items()],
            "remedies": [build.a_remedy(f"NEW-{code}", [code], [f"FIT-{code}"]) for code in codes],
            "tiers": list(tiers),
        }
        | values
    )


def quote_of(book: ShopBook, *codes: str, **job: Any) -> Quote:
    """The quote of these findings, of the severities above."""
    return build_quote(
        book, build.a_job(*(build.a_finding_on(code, severity=SEVERITIES[code]) for code in codes), **job)
    )


def offered(quote: Quote) -> dict[str, str | None]:
    """Each tier with the reason that keeps it back; None where it is offered."""
    return {tier.code: tier.reason for tier in quote.tiers}


def test_each_tier_covers_its_severities() -> None:
    """A watched noise is in none of them."""
    quote = quote_of(a_book(GOOD, BETTER, BEST), "BRAKE", "BELT", "PAINT", "NOISE")
    assert [keys_of(tier) for tier in quote.tiers] == [
        ["NEW-BRAKE"],
        ["NEW-BELT", "NEW-BRAKE"],
        ["NEW-BELT", "NEW-BRAKE", "NEW-PAINT"],
    ]
    assert [tier.left for tier in quote.tiers] == [("BELT", "NOISE", "PAINT"), ("NOISE", "PAINT"), ("NOISE",)]
    assert offered(quote) == {"good": None, "better": None, "best": None}


def test_a_later_tier_fixes_what_the_tier_before_fixes() -> None:
    """`paint` covers advised only, and keeps the brake."""
    quote = quote_of(a_book(GOOD, build.a_tier("paint", ["advised"])), "BRAKE", "PAINT")
    assert quote.tiers[1].fixed == ("BRAKE", "PAINT")


def test_the_tier_before_counts_even_if_it_is_not_offered() -> None:
    """`same` is not offered, being the same work; `paint` keeps what it fixes, and is compared with it."""
    quote = quote_of(
        a_book(GOOD, build.a_tier("same", ["safety"]), build.a_tier("paint", ["advised"])), "BRAKE", "PAINT"
    )
    assert offered(quote) == {"good": None, "same": "it is the same work as Good", "paint": None}
    assert quote.tiers[2].fixed == ("BRAKE", "PAINT")


def test_a_tier_that_could_not_be_worked_out_is_passed_over() -> None:
    """`years` cannot choose without a life; `better` is compared with `good`."""
    book = a_book(
        GOOD,
        build.a_tier("years", ["safety", "needed"], "least to own"),
        BETTER,
        remedies=[
            build.a_remedy("NEW-BRAKE", ["BRAKE"], ["FIT-BRAKE"]),
            build.a_remedy("NEW-BELT", ["BELT"], ["FIT-BELT"]),
            build.a_remedy("OLD-BELT", ["BELT"], ["FIT-BELT"], life_years=None),
        ],
    )
    quote = quote_of(book, "BRAKE", "BELT")
    assert [(tier.code, tier.offered, tier.priced) for tier in quote.tiers] == [
        ("good", True, True),
        ("years", False, False),
        ("better", True, True),
    ]


def test_the_same_work_is_offered_once() -> None:
    """Nothing needed was found: better does what good does."""
    quote = quote_of(a_book(GOOD, BETTER, BEST), "BRAKE", "PAINT")
    assert offered(quote) == {"good": None, "better": "it is the same work as Good", "best": None}


def test_other_parts_are_not_the_same_work() -> None:
    """One operation, another part that lasts longer."""
    book = a_book(
        build.a_tier("cheap", ["safety"]),
        build.a_tier("lasting", ["safety"], "longest life"),
        parts=[build.a_part("SHOE", 10), build.a_part("GOOD-SHOE", 20)],
        remedies=[
            build.a_remedy("SHOES", ["BRAKE"], ["FIT-BRAKE"], parts="SHOE", life_years=2),
            build.a_remedy("GOOD-SHOES", ["BRAKE"], ["FIT-BRAKE"], parts="GOOD-SHOE", life_years=4),
        ],
    )
    assert offered(quote_of(book, "BRAKE")) == {"cheap": None, "lasting": None}


def test_a_one_off_line_of_one_tier_is_other_work() -> None:
    """Same operations and parts, and a line more."""
    lines = [build.a_one_off(1, "charge", unit_price=5, tiers=["better"])]
    assert offered(quote_of(a_book(GOOD, BETTER), "BRAKE", one_off=lines))["better"] != "it is the same work as Good"


def test_a_dearer_tier_that_does_no_more_is_dominated() -> None:
    """The same fault fixed, the same life, five dollars more."""
    lines = [build.a_one_off(1, "charge", unit_price=5, tiers=["better"])]
    quote = quote_of(a_book(GOOD, BETTER), "BRAKE", one_off=lines)
    assert offered(quote) == {
        "good": None,
        "better": "Good costs no more, fixes no less, lasts no less and is ready no later",
    }


SHOE_PARTS = [
    build.a_part("SHOE", 10, lead_days=5),
    build.a_part("GOOD-SHOE", 20, lead_days=5),
    build.a_part("FAST-SHOE", 30, lead_days=1),
]


@pytest.mark.parametrize(
    ("part", "life", "lead", "stands"),
    [
        ("GOOD-SHOE", 2, 5, False),  # dearer, no better
        ("GOOD-SHOE", 3, 5, True),  # dearer, lasts longer
        ("FAST-SHOE", 2, 1, True),  # dearer, ready sooner
    ],
)
def test_what_costs_more_must_be_better_in_something(part: str, life: int, lead: int, stands: bool) -> None:
    """`cheap` takes shoes of two years with a lead of five days; the plan of `other` takes another part."""
    book = a_book(
        build.a_tier("cheap", ["safety"]),
        build.a_tier("other", ["safety"]),
        remedies=[
            build.a_remedy("SHOES", ["BRAKE"], ["FIT-BRAKE"], parts="SHOE", life_years=2),
            build.a_remedy("OTHER-SHOES", ["BRAKE"], ["FIT-BRAKE"], parts=part, life_years=life),
        ],
        parts=SHOE_PARTS,
    )
    quote = quote_of(book, "BRAKE", plan=[build.a_plan_item("other", "OTHER-SHOES")])
    assert (quote.tiers[1].ready_days, quote.tiers[1].offered, quote.tiers[0].offered) == (lead, stands, True)


def test_a_cheaper_later_tier_puts_an_earlier_one_out() -> None:
    """The plan of `good` takes the dear way; `better` does the same and more for less."""
    book = a_book(
        GOOD,
        BETTER,
        remedies=[
            build.a_remedy("NEW-BRAKE", ["BRAKE"], ["FIT-BRAKE"]),
            build.a_remedy("DEAR-BRAKE", ["BRAKE"], ["FIT-BRAKE"], parts="GOLD"),
            build.a_remedy("NEW-BELT", ["BELT"], ["FIT-BELT"]),
        ],
        parts=[build.a_part("GOLD", 400)],
    )
    quote = quote_of(book, "BRAKE", "BELT", plan=[build.a_plan_item("good", "DEAR-BRAKE")])
    assert [tier.offered for tier in quote.tiers] == [False, True]


def test_lives_beyond_the_horizon_make_no_difference() -> None:
    """Nine years last no longer than six where five are compared."""
    book = a_book(
        build.a_tier("cheap", ["safety"]),
        build.a_tier("other", ["safety"]),
        remedies=[
            build.a_remedy("SHOES", ["BRAKE"], ["FIT-BRAKE"], parts="SHOE", life_years=6),
            build.a_remedy("OTHER-SHOES", ["BRAKE"], ["FIT-BRAKE"], parts="GOOD-SHOE", life_years=9),
        ],
        parts=SHOE_PARTS,
    )
    quote = quote_of(book, "BRAKE", plan=[build.a_plan_item("other", "OTHER-SHOES")])
    assert [tier.offered for tier in quote.tiers] == [True, False]


def test_ready_days_not_known_are_later_than_any() -> None:
    """A part without a lead, for the same money and life: the tier with a known day stands."""
    book = a_book(
        build.a_tier("late", ["safety"]),
        build.a_tier("known", ["safety"]),
        remedies=[
            build.a_remedy("SHOES", ["BRAKE"], ["FIT-BRAKE"], parts="LATE-SHOE"),
            build.a_remedy("OTHER-SHOES", ["BRAKE"], ["FIT-BRAKE"], parts="FAST-SHOE"),
        ],
        suppliers=[build.a_supplier(), build.a_supplier("SLOW", lead_days=None)],
        parts=[build.a_part("LATE-SHOE", 30, supplier="SLOW"), build.a_part("FAST-SHOE", 30, lead_days=30)],
    )
    plan = [build.a_plan_item("late", "SHOES"), build.a_plan_item("known", "OTHER-SHOES")]
    quote = quote_of(book, "BRAKE", plan=plan)
    assert [(tier.ready_days, tier.offered) for tier in quote.tiers] == [(None, False), (30, True)]


def test_equal_tiers_in_every_respect_both_stand() -> None:
    """Better in nothing is not dominated: other parts at the same price."""
    book = a_book(
        build.a_tier("one", ["safety"]),
        build.a_tier("two", ["safety"]),
        remedies=[
            build.a_remedy("SHOES", ["BRAKE"], ["FIT-BRAKE"], parts="SHOE"),
            build.a_remedy("OTHER-SHOES", ["BRAKE"], ["FIT-BRAKE"], parts="TWIN"),
        ],
        parts=[build.a_part("SHOE", 10), build.a_part("TWIN", 10)],
    )
    quote = quote_of(book, "BRAKE", plan=[build.a_plan_item("two", "SHOES")])
    assert offered(quote) == {"one": None, "two": None}


def test_a_safety_finding_without_remedy_keeps_every_tier_back() -> None:
    """No option that leaves the brake bad is ever handed out."""
    quote = quote_of(a_book(GOOD, BETTER, without=["BRAKE"]), "BRAKE", "BELT")
    assert offered(quote) == {
        "good": "there is nothing to do in it",
        "better": "it would leave a safety finding: BRAKE",
    }


def test_a_tier_that_does_not_cover_safety_is_not_offered_with_one_left() -> None:
    """The owner's tier says needed only; the brake was found."""
    quote = quote_of(a_book(build.a_tier("belt", ["needed"]), BETTER), "BRAKE", "BELT")
    assert offered(quote) == {"belt": "it would leave a safety finding: BRAKE", "better": None}


@pytest.mark.parametrize(
    ("job", "something"),
    [
        ({}, False),
        ({"extras": [build.a_job_extra("WASHED")]}, False),
        ({"extras": [build.a_job_extra("WASHED", asked=True)]}, True),
        ({"one_off": [build.a_one_off(1, "labour", 1)]}, True),
    ],
)
def test_a_tier_with_nothing_to_do_is_not_offered(job: dict[str, Any], something: bool) -> None:
    """Always work alone is nothing to do; what the customer asked for, or a one-off line, is."""
    book = a_book(
        GOOD,
        extras=[build.an_extra("WASHED", ["FIT-PAINT"])],
        machines=[build.a_machine(always=["FIT-NOISE"])],
    )
    assert offered(quote_of(book, "NOISE", **job)) == {"good": None if something else "there is nothing to do in it"}
