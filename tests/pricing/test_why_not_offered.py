"""Why an option is not offered: corners of dominance, safety and nothing to do (DESIGN.md 5.7 and 5.9)."""

from __future__ import annotations

from collections.abc import Sequence
from typing import Any

import pytest

from quotekit.model.quote import Quote
from quotekit.model.shop_book import ShopBook
from quotekit.pricing import build_quote
from tests import build

SEVERITIES = {"BRAKE": "safety", "BELT": "needed", "PAINT": "advised", "NOISE": "watch"}
GOOD = build.a_tier("good", ["safety"])
BETTER = build.a_tier("better", ["safety", "needed"])


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
