"""What a quote has to say besides figures: warnings for the shop, each with its place and what to do."""

from __future__ import annotations

from datetime import timedelta
from typing import Any

import pytest

from quotekit.model.quote import Quote
from quotekit.pricing import build_quote
from quotekit.problems import Problem
from tests import build


def a_quote(job: dict[str, Any] | None = None, part: dict[str, Any] | None = None, **values: Any) -> Quote:
    """A frayed belt and its belt."""
    book = build.a_book(
        **{
            "operations": [build.an_operation("FIT-BELT", 1, parts="BELT")],
            "parts": [build.a_part("BELT", 10, **(part or {}))],
            "findings": [build.a_finding("FRAYED"), build.a_finding("LEAK"), build.a_finding("BRAKE", "safety")],
            "remedies": [build.a_remedy("NEW-BELT", ["FRAYED"], ["FIT-BELT"])],
            "tiers": [build.a_tier("good")],
        }
        | values
    )
    found = (job or {}).pop("found", [build.a_finding_on("FRAYED")])
    return build_quote(book, build.a_job(*found, **(job or {})))


def said(quote: Quote) -> dict[str, Problem]:
    """Problems by code; all of them are warnings."""
    assert all(problem.severity == "warning" for problem in quote.problems)
    return {problem.code: problem for problem in quote.problems}


def test_a_quote_without_anything_to_say() -> None:
    """No warning, so that a warning is read when there is one."""
    assert a_quote().problems == ()


def test_a_covered_finding_without_remedy_is_left_and_said() -> None:
    """In every tier that covers it."""
    tiers = [build.a_tier("belt", ["safety"]), build.a_tier("good"), build.a_tier("best")]
    quote = a_quote({"found": [build.a_finding_on("FRAYED"), build.a_finding_on("LEAK", "left")]}, tiers=tiers)
    assert said(quote)["no-permitted-remedy"].message == (
        "LEAK@left is left in good, best: no permitted remedy puts it right there"
    )


def test_a_finding_no_tier_covers_is_not_warned_of() -> None:
    """It was meant to be left."""
    found = [build.a_finding_on("FRAYED"), build.a_finding_on("LEAK", severity="advised")]
    assert a_quote({"found": found}).problems == ()


@pytest.mark.parametrize(
    ("part", "warned"),
    [
        ({"lead_days": 2, "supplier": "SLOW"}, False),
        ({"supplier": "SLOW"}, True),
        ({"supplier": "SHELF"}, False),
        ({"supplier": ""}, False),
    ],
)
def test_an_ordered_part_without_lead_days(part: dict[str, Any], warned: bool) -> None:
    """Without it nobody can say when the machine is ready."""
    suppliers = [build.a_supplier("SLOW", lead_days=None), build.a_supplier("SHELF", shelf=True, lead_days=None)]
    quote = a_quote(part=part, suppliers=suppliers)
    assert ("no-lead-days" in said(quote)) == warned
    assert (quote.tiers[0].ready_days is None) == warned


@pytest.mark.parametrize(("age", "warned"), [(0, False), (90, False), (91, True)])
def test_an_old_price(age: int, warned: bool) -> None:
    """Ninety days are still good; the message names the date."""
    day = build.QUOTE_DATE - timedelta(days=age)
    quote = a_quote(part={"cost_date": day})
    assert ("old-price" in said(quote)) == warned
    assert all(day.isoformat() in problem.message for problem in quote.problems)


def test_an_old_price_of_an_own_part_is_no_matter() -> None:
    """Nothing is bought at it."""
    day = build.QUOTE_DATE - timedelta(days=400)
    assert a_quote({"own_parts": ("BELT",)}, {"cost_date": day}).problems == ()


def test_each_warning_is_said_once_for_all_tiers() -> None:
    """The same belt in two tiers."""
    day = build.QUOTE_DATE - timedelta(days=400)
    lines = [build.a_one_off(1, "charge", unit_price=1, tiers=["best"])]
    quote = a_quote({"one_off": lines}, {"cost_date": day}, tiers=[build.a_tier("good"), build.a_tier("best")])
    assert [problem.code for problem in quote.problems] == ["old-price"]


def test_a_labour_rate_without_cost() -> None:
    """The margin is not known."""
    quote = a_quote(labour_rates=[build.a_rate(cost=None), build.a_rate("UNUSED", cost=None)])
    assert list(said(quote)) == ["labour-cost-unknown"]
    assert said(quote)["labour-cost-unknown"].message.startswith("labour rate MAIN has no cost per hour")


def test_a_one_off_part_without_cost() -> None:
    """Sold at 9, bought at nobody knows what."""
    quote = a_quote({"one_off": [build.a_one_off(1, "part", unit_price=9)]})
    assert list(said(quote)) == ["one-off-cost-unknown"]


def test_no_tier_at_all_gives_every_reason() -> None:
    """Exit code 0 and a costing: the shop must know what to do to get an offer out."""
    found = [build.a_finding_on("FRAYED"), build.a_finding_on("BRAKE", severity="safety")]
    tiers = [build.a_tier("good"), build.a_tier("best")]
    message = said(a_quote({"found": found}, tiers=tiers))["no-tier-offered"].message
    assert message == (
        "no option can be offered (good: it would leave a safety finding: BRAKE; "
        "best: it would leave a safety finding: BRAKE), so no customer quote is written"
    )


def test_every_warning_says_what_to_do() -> None:
    """A remedy in words."""
    day = build.QUOTE_DATE - timedelta(days=400)
    quote = a_quote(
        {
            "found": [build.a_finding_on("LEAK"), build.a_finding_on("FRAYED")],
            "one_off": [build.a_one_off(1, "part", unit_price=9)],
        },
        {"cost_date": day},
        labour_rates=[build.a_rate(cost=None)],
        suppliers=[build.a_supplier(lead_days=None)],
    )
    assert [problem.code for problem in quote.problems] == [
        "no-permitted-remedy",
        "old-price",
        "no-lead-days",
        "one-off-cost-unknown",
        "labour-cost-unknown",
    ]
    assert all(problem.remedy for problem in quote.problems)
